package shop

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// stockTaker posts what a file of stock says is there and the book does not: a
// row tells the amount of a lot in a bin, of a part in a bin, or of a part
// wherever it may be taken from.
type stockTaker struct{ base }

func (t *stockTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	p, err := t.part(ctx, get("number"), get("maker"), "number")
	if err != nil {
		return catalog.Unchanged, err
	}
	if u := get("unit"); u != "" && u != p.Unit {
		return catalog.Unchanged, in("unit", fault.New(fault.Conflict, "shop.import.unit", p.Unit, u))
	}
	var bin inventory.Bin
	if name := get("bin"); name != "" {
		if bin, err = t.bin(ctx, name, get("bin_kind")); err != nil {
			return catalog.Unchanged, in("bin", err)
		}
	}
	lot, err := t.lot(ctx, p, get)
	if err != nil {
		return catalog.Unchanged, in("lot", err)
	}
	there, err := t.there(ctx, p.ID, bin.ID, lot.ID)
	if err != nil {
		return catalog.Unchanged, err
	}
	more := number(get("amount")) - there
	if more == 0 {
		return catalog.Unchanged, nil
	}
	if more > 0 && lot.ID != "" && number(get("lot")) == 0 {
		if err := t.plain(ctx, p.ID, bin); err != nil {
			return catalog.Unchanged, in("amount", err)
		}
	}
	return catalog.Changed, t.post(ctx, p, bin.ID, lot, more, r.row.Line)
}

// lot finds the lot of a row: by the shop's number for it, else by what is
// told of it; none where nothing is.
func (t *stockTaker) lot(ctx context.Context, p catalog.Part, get func(string) string) (l inventory.Lot, err error) {
	if short := number(get("lot")); short > 0 {
		l, err = inventory.LotNumbered(ctx, t.tx, short)
		if err == nil && l.Part == p.ID || err != nil && fault.KindOf(err) != fault.NotFound {
			return l, err
		}
		l = inventory.Lot{Short: short}
	}
	l.Part, l.Batch, l.Cure, l.UseBy = p.ID, get("batch"), get("cure"), get("use_by")
	if name := get("delivery"); name != "" {
		d, err := inventory.DeliveryNamed(ctx, t.tx, name)
		if err != nil {
			return l, err
		}
		l.Delivery = d.ID
	}
	if (l == inventory.Lot{Part: p.ID}) {
		return inventory.Lot{}, nil
	}
	if day := get("since"); day != "" {
		noon, err := time.ParseInLocation(time.DateOnly, day, t.s.settings.zone)
		if err != nil {
			return l, err
		}
		l.Since = store.Stamp(noon.Add(12 * time.Hour))
	}
	return inventory.LotOf(ctx, t.tx, l)
}

// plain refuses a row that tells a batch or a date where the bin holds pieces
// of which none is known: most likely the same ones, which would count twice.
func (t *stockTaker) plain(ctx context.Context, part string, bin inventory.Bin) error {
	lines, err := inventory.Stock(ctx, t.tx, part)
	for _, l := range lines {
		if (l.Bin.ID == bin.ID || bin.ID == "" && l.Bin.Free()) && l.Lot.Batch == "" && l.Lot.Cure == "" && l.Lot.UseBy == "" {
			return fault.New(fault.Conflict, "shop.import.plain_lot", l.Bin.Name, l.Amount, l.Lot.Short).
				WithHint("shop.import.plain_lot.hint", l.Lot.Short)
		}
	}
	return err
}

// there gives what the book says of a lot in a bin; an empty id is any, an
// empty bin any that may be taken from.
func (t *stockTaker) there(ctx context.Context, part, bin, lot string) (n int64, err error) {
	lines, err := inventory.Stock(ctx, t.tx, part)
	for _, l := range lines {
		if (lot == "" || l.Lot.ID == lot) && (l.Bin.ID == bin || bin == "" && l.Bin.Free()) {
			n += l.Amount
		}
	}
	return n, err
}

// post posts the difference, once for each row of a file.
func (t *stockTaker) post(ctx context.Context, p catalog.Part, bin string, lot inventory.Lot, more int64, line int) error {
	posting := inventory.Posting{
		Key: "stock file:" + t.l.sum + ":" + strconv.Itoa(line), Content: fmt.Sprint(p.ID, bin, lot.ID), Person: t.who.ID,
		Reason: t.l.file.File, Kind: inventory.Scrap,
	}
	if _, used, err := inventory.PostingByKey(ctx, t.tx, posting.Key, posting.Content); err != nil {
		return err
	} else if used {
		return in("amount", fault.New(fault.Conflict, "shop.import.counted").WithHint("shop.import.counted.hint"))
	}
	if more < 0 {
		flows, err := inventory.Pick(ctx, t.tx, p.ID, -more, bin, lot.ID)
		if err != nil {
			return err
		}
		_, err = inventory.Post(ctx, t.tx, posting, flows)
		return err
	}
	f := inventory.Flow{Part: p.ID, Lot: lot.ID, To: bin, Amount: more}
	known, err := t.known(ctx, p)
	if err != nil {
		return err
	}
	posting.Kind = inventory.Opening
	if known {
		posting.Kind = inventory.Found
		if f.Value, err = inventory.Worth(ctx, t.tx, p.ID, more); err != nil {
			return err
		}
	}
	if f.To == "" {
		if f.To, err = inventory.FreeBin(ctx, t.tx, p.HomeBin); err != nil {
			return err
		}
	}
	if f.Lot == "" {
		l, err := inventory.LotOf(ctx, t.tx, inventory.Lot{Part: p.ID})
		if err != nil {
			return err
		}
		f.Lot = l.ID
	}
	_, err = inventory.Post(ctx, t.tx, posting, []inventory.Flow{f})
	return err
}

// known reports whether the ledger has the part from anything but this file.
func (t *stockTaker) known(ctx context.Context, p catalog.Part) (known bool, err error) {
	_, err = t.tx.One(ctx, store.Into(&known), `SELECT EXISTS (SELECT 1 FROM movement m JOIN posting p ON p.id = m.posting
		WHERE m.part = $1 AND substr(p.key, 1, length($2)) <> $2)`, p.ID, "stock file:"+t.l.sum)
	return known, err
}

// codeTaker takes in what barcodes stand for.
type codeTaker struct{ base }

func (t *codeTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	l := catalog.Link{Code: or(get("code"), get("gtin")), Pieces: max(number(get("pieces")), 1)}
	if n := get("number"); n != "" {
		p, err := t.part(ctx, n, get("maker"), "number")
		if err != nil {
			return catalog.Unchanged, err
		}
		l.Part = p.ID
	}
	old, found, err := catalog.LinkOf(ctx, t.tx, l.Code)
	if found && get("pieces") == "" && old.Part == l.Part {
		l.Pieces = old.Pieces // not told
	}
	if err != nil || found && old.Part == l.Part && old.Pieces == l.Pieces {
		return catalog.Unchanged, err
	}
	err = in(t.column("code", "gtin"), catalog.LinkCode(ctx, t.tx, l, t.who.ID, false))
	if found {
		return catalog.Changed, err
	}
	return catalog.Added, err
}

// column gives the first of the columns that the file has.
func (b *base) column(names ...string) string {
	for _, n := range names {
		if b.l.has[n] {
			return n
		}
	}
	return names[0]
}

// jobTaker takes in what past jobs used.
type jobTaker struct{ base }

func (t *jobTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	p, err := t.part(ctx, get("number"), get("maker"), "number")
	if err != nil {
		return catalog.Unchanged, err
	}
	u := inventory.PastUse{Job: get("job"), Day: get("day"), Part: p.ID, Amount: number(get("amount"))}
	if u.Day > t.s.day(t.tx.Now) {
		return catalog.Unchanged, in("day", fault.New(fault.Invalid, "shop.day_to_come", u.Day))
	}
	if name := get("fork"); name != "" {
		f, err := catalog.ForkNamed(ctx, t.tx, name)
		if err = t.l.cell(r.row.Line, "fork", err); err != nil {
			return catalog.Unchanged, err
		}
		u.Fork = f.ID
	}
	added, changed, err := inventory.SetPastUse(ctx, t.tx, u)
	switch {
	case added:
		return catalog.Added, in("amount", err)
	case changed:
		return catalog.Changed, in("amount", err)
	}
	return catalog.Unchanged, in("amount", err)
}
