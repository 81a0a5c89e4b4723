package shop

import (
	"cmp"
	"context"
	"fmt"
	"strconv"
	"time"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// stockTaker posts what a file of stock says is there and the book does not: a
// row tells the amount of a lot in a bin, of a part in a bin, or of a part
// wherever it may be taken from. The rows for one part and bin go in with the
// first of them: see counts.
type stockTaker struct{ base }

func (t *stockTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	c := t.l.counts[r.row.Line]
	switch {
	case c == nil || c.err == nil && c.of == nil:
		return catalog.Unchanged, fault.New(fault.Internal, "internal")
	case c.err != nil:
		return catalog.Unchanged, c.err
	}
	if err := t.l.cell(c.line, "cure", c.unread); err != nil {
		return catalog.Unchanged, err
	}
	g := c.of
	if g.broken != 0 {
		return catalog.Unchanged, in("number", fault.New(fault.Conflict, "shop.import.belongs", g.broken).WithHint("shop.import.belongs.hint"))
	}
	if c.first != nil {
		t.l.note(exchange.Flaw{Line: c.line, Why: fault.Say("shop.import.again", c.line, c.first.line)})
		return catalog.Unchanged, g.err
	}
	if !g.done {
		if g.done, g.err = true, t.settle(ctx, g, r); g.err == nil {
			t.l.changed(g.changes)
		}
	}
	return c.outcome, g.err
}

// told reads what a row tells of its lot.
func (t *stockTaker) told(ctx context.Context, c *counted, get func(string) string) {
	p := c.of.part
	if u := get("unit"); u != "" && u != p.Unit {
		c.err = in("unit", fault.New(fault.Conflict, "shop.import.unit", p.Unit, u))
		return
	}
	var err error
	if c.lot, err = t.lot(ctx, p, get); err != nil {
		c.err = in("lot", err)
		return
	}
	if c.lot.ID == "" {
		c.delivery = get("delivery")
	}
	if printed := get("cure"); printed != "" && c.lot.ID == "" {
		dates, err := catalog.DatesOf(ctx, t.tx, p.Maker)
		if err != nil {
			c.err = err
			return
		}
		var cure catalog.Cure
		if cure, c.unread = catalog.ParseCure(printed, p.Maker, dates, t.tx.Now); c.unread == nil {
			c.lot.Cure = cure.String()
		}
	}
	if c.bare() {
		return
	}
	c.lot.Part = p.ID
	if day := get("since"); day != "" {
		noon, err := time.ParseInLocation(time.DateOnly, day, t.s.settings.zone)
		if err != nil {
			c.err = in("since", fault.Of(err))
			return
		}
		c.lot.Since = store.Stamp(noon.Add(12 * time.Hour))
	}
}

// lot gives the lot of the shop's number for it, else what is told of it but
// its cure date and its delivery.
func (t *stockTaker) lot(ctx context.Context, p catalog.Part, get func(string) string) (l inventory.Lot, err error) {
	if short := number(get("lot")); short > 0 {
		l, err = inventory.LotNumbered(ctx, t.tx, short)
		if err == nil && l.Part == p.ID || err != nil && fault.KindOf(err) != fault.NotFound {
			return l, err
		}
		l = inventory.Lot{Short: short}
	}
	l.Batch, l.UseBy = get("batch"), get("use_by")
	return l, nil
}

// settle makes the book say of a part and bin what the rows do.
func (t *stockTaker) settle(ctx context.Context, g *together, r ready) error {
	get := t.cells(r.row)
	var bin inventory.Bin
	if name := get("bin"); name != "" {
		var err error
		if bin, err = t.bin(ctx, name, get("bin_kind")); err != nil {
			return in("bin", err)
		}
	}
	lines, err := inventory.Stock(ctx, t.tx, g.part.ID)
	if err != nil {
		return err
	}
	if err := t.deliveries(ctx, g); err != nil {
		return in("delivery", err)
	}
	own, rest := g.share(lines, bin)
	spare, err := g.spare(own, rest, bin)
	if err != nil {
		return err
	}
	for _, c := range g.rows {
		if c.bare() {
			continue
		}
		n := min(spare, max(c.amount-amountOf(own[c]), 0))
		spare -= n
		b := binCount{stockTaker: t, part: g.part, bin: bin, row: c}
		if err := b.settle(ctx, own[c], rest, n); err != nil {
			return err
		}
	}
	if c := g.sum(); c != nil {
		b := binCount{stockTaker: t, part: g.part, bin: bin, row: c}
		return b.settle(ctx, rest, nil, 0)
	}
	return nil
}

// deliveries finds the deliveries that the rows name, or adds them.
func (t *stockTaker) deliveries(ctx context.Context, g *together) error {
	for _, c := range g.rows {
		if c.delivery == "" {
			continue
		}
		d, err := inventory.DeliveryNamed(ctx, t.tx, c.delivery)
		if err != nil {
			return err
		}
		c.lot.Delivery = d.ID
	}
	return nil
}

// A binCount settles one row.
type binCount struct {
	*stockTaker
	part catalog.Part
	bin  inventory.Bin // none: any that may be taken from
	row  *counted
	step int // postings so far
}

// settle makes own, what the book has, the amount of the row: relot pieces of
// the rest are of its lot, what else is missing was found, what is too much
// goes out.
func (b *binCount) settle(ctx context.Context, own, rest []inventory.Line, relot int64) error {
	was := amountOf(own)
	more := b.row.amount - was - relot
	var lot inventory.Lot
	dated, err := b.date(ctx, own)
	if err == nil && relot > 0 {
		lot, err = b.relot(ctx, own, rest, relot)
	}
	switch {
	case err != nil:
	case more < 0:
		err = b.out(ctx, own, -more)
	case more > 0:
		lot, err = b.found(ctx, own, more)
	}
	if err != nil || b.step == 0 {
		return err
	}
	if len(own) > 0 {
		lot = own[0].Lot
	}
	if b.row.bare() {
		lot = inventory.Lot{}
	}
	b.row.outcome = catalog.Changed
	b.row.of.changes = append(b.row.of.changes, StockChange{
		File: b.l.file.File, Line: b.row.line, Number: b.part.Number, Maker: b.part.Maker, Unit: b.part.Unit, Bin: b.bin.Name,
		Lot: lot.Short, Batch: lot.Batch, Was: was, Now: b.row.amount, Relotted: relot, Dated: dated,
	})
	return nil
}

// changed puts changes of stock into the answer.
func (l *list) changed(all []StockChange) {
	l.out.ChangesCount += len(all)
	l.out.Changes = append(l.out.Changes, all[:min(len(all), mostChanges-len(l.out.Changes))]...)
}

// relot makes pieces of the rest, of which nothing is known, pieces of the
// row's lot, and takes them from rest.
func (b *binCount) relot(ctx context.Context, own, rest []inventory.Line, pieces int64) (to inventory.Lot, err error) {
	if to = b.row.lot; len(own) > 0 {
		to = own[0].Lot
	}
	for i := range rest {
		n := min(pieces, rest[i].Amount)
		if n == 0 || !plain(rest[i].Lot) {
			continue
		}
		p, err := b.posting(ctx)
		if err != nil {
			return to, err
		}
		if to, err = inventory.Relot(ctx, b.tx, p, rest[i], to, n); err != nil {
			return to, err
		}
		rest[i].Amount -= n
		pieces -= n
	}
	return to, nil
}

// posting readies a posting, each once for a row of a file.
func (b *binCount) posting(ctx context.Context) (inventory.Posting, error) {
	key := "stock file:" + b.l.sum + ":" + strconv.Itoa(b.row.line)
	if b.step > 0 {
		key += ":" + strconv.Itoa(b.step)
	}
	b.step++
	p := inventory.Posting{Key: key, Content: fmt.Sprint(b.part.ID, b.bin.ID, b.row.lot.ID), Person: b.who.ID, Reason: b.l.file.File}
	_, used, err := inventory.PostingByKey(ctx, b.tx, p.Key, p.Content)
	if used {
		err = in("amount", fault.New(fault.Conflict, "shop.import.counted").WithHint("shop.import.counted.hint"))
	}
	return p, err
}

// out takes pieces out of lines, the first of them first.
func (b *binCount) out(ctx context.Context, lines []inventory.Line, amount int64) error {
	p, err := b.posting(ctx)
	if err != nil {
		return err
	}
	p.Kind = inventory.Scrap
	var flows []inventory.Flow
	for _, l := range lines {
		if n := min(amount, l.Amount); n > 0 {
			flows = append(flows, inventory.Flow{Part: l.Part, Lot: l.Lot.ID, From: l.Bin.ID, Amount: n})
			amount -= n
		}
	}
	_, err = inventory.Post(ctx, b.tx, p, flows)
	return err
}

// found puts in what the book had not.
func (b *binCount) found(ctx context.Context, own []inventory.Line, amount int64) (lot inventory.Lot, err error) {
	p, err := b.posting(ctx)
	if err != nil {
		return lot, err
	}
	f := inventory.Flow{Part: b.part.ID, To: b.bin.ID, Amount: amount}
	known, err := b.known(ctx, b.part)
	if err != nil {
		return lot, err
	}
	p.Kind = inventory.Opening
	if known {
		p.Kind = inventory.Found
		if f.Value, err = inventory.Worth(ctx, b.tx, b.part.ID, amount); err != nil {
			return lot, err
		}
	}
	if f.To == "" {
		if f.To, err = inventory.FreeBin(ctx, b.tx, b.part.HomeBin); err != nil {
			return lot, err
		}
	}
	if lot = b.row.lot; lot.ID == "" && !b.row.bare() && len(own) > 0 {
		lot = own[0].Lot
	}
	if lot.ID == "" {
		lot.Part = cmp.Or(lot.Part, b.part.ID)
		if lot, err = inventory.LotOf(ctx, b.tx, lot); err != nil {
			return lot, err
		}
	}
	f.Lot = lot.ID
	_, err = inventory.Post(ctx, b.tx, p, []inventory.Flow{f})
	return lot, err
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
	if name := get("supplier"); name != "" {
		v, err := catalog.SupplierNamed(ctx, t.tx, name)
		if err != nil {
			return catalog.Unchanged, in("supplier", err)
		}
		l.Supplier = v.ID
	}
	old, found, err := catalog.LinkFrom(ctx, t.tx, l.Code, l.Supplier)
	if found = found && old.Supplier == l.Supplier; found && get("pieces") == "" && old.Part == l.Part {
		l.Pieces = old.Pieces // not told
	}
	if err != nil || found && old.Part == l.Part && old.Pieces == l.Pieces {
		return catalog.Unchanged, err
	}
	err = in(t.column("code", "gtin"), catalog.LinkCode(ctx, t.tx, l, t.who.ID, false))
	if err == nil {
		err = settleLinked(ctx, t.tx, l.Code)
	}
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
	if u.Day > t.tx.Today() {
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
