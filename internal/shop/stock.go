package shop

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Stock is what is where.
type Stock struct {
	Lines    []StockLine   `json:"lines"`
	Currency string        `json:"currency"`
	How      fault.Message `json:"how,omitzero"` // how the part came to be meant, where not by its own number
}

// StockLine is what lies in a bin of one lot.
type StockLine struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit  string `json:"unit"`
	Bin   string `json:"bin"`
	Lot   int64  `json:"lot"`
	Batch string `json:"batch"`
	UseBy string `json:"use_by"`
	Printed
	Aging
	Since  string `json:"since"` // the day it came, in the shop's zone
	Amount int64  `json:"amount"`
}

// Printed are further days that stand on the packs of a lot, YYYY-MM-DD; empty
// where they are not printed. UseBy is the day of expiry, else best before.
type Printed struct {
	Made       string `json:"made"`
	BestBefore string `json:"best_before"`
	SellBy     string `json:"sell_by"`
}

// Days gives the days that stand on the packs of a line, in words.
func (l StockLine) Days() (days []fault.Message) {
	useBy := l.UseBy
	if useBy == l.BestBefore || useBy == l.AgesBy {
		useBy = ""
	}
	for _, d := range []struct{ id, day string }{
		{"lot.use_by", useBy},
		{"lot.best_before", l.BestBefore},
		{"lot.made", l.Made},
		{"lot.sell_by", l.SellBy},
	} {
		if d.day != "" {
			days = append(days, fault.Say(d.id, d.day))
		}
	}
	return days
}

// Stock gives what is on hand, of one part where part is not empty, as it was at
// the end of a day where one is told. Errors: Invalid (the day), NotFound,
// Ambiguous.
func (s *Shop) Stock(ctx context.Context, part, asOf string) (Stock, error) {
	out := Stock{Lines: []StockLine{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		id, how, err := partID(ctx, tx, part)
		if err != nil {
			return err
		}
		out.How = how
		lines, err := s.linesAt(ctx, tx, id, asOf)
		if err != nil {
			return err
		}
		out.Lines, err = s.tellLines(ctx, tx, lines)
		sortLines(out.Lines)
		return err
	})
	return out, err
}

// partID gives the id of a named part, empty for no name, and how it came to be
// meant where not by its own number.
func partID(ctx context.Context, tx *store.Tx, name string) (id string, how fault.Message, err error) {
	if name == "" {
		return "", how, nil
	}
	p, how, err := partFor(ctx, tx, name)
	return p.ID, how, err
}

func (s *Shop) linesAt(ctx context.Context, tx *store.Tx, part, asOf string) ([]inventory.Line, error) {
	if asOf == "" {
		return inventory.Stock(ctx, tx, part)
	}
	at, err := s.endOf(asOf, tx.Now)
	if err != nil {
		return nil, err
	}
	return inventory.StockAt(ctx, tx, part, at)
}

func (s *Shop) stockLines(ctx context.Context, tx *store.Tx, part string) ([]StockLine, error) {
	lines, err := inventory.Stock(ctx, tx, part)
	if err != nil {
		return nil, err
	}
	return s.tellLines(ctx, tx, lines)
}

func (s *Shop) tellLines(ctx context.Context, tx *store.Tx, lines []inventory.Line) ([]StockLine, error) {
	out := []StockLine{}
	ids := make([]string, len(lines))
	for i, l := range lines {
		ids[i] = l.Part
	}
	parts, err := catalog.PartsByID(ctx, tx, ids)
	if err != nil {
		return out, err
	}
	for _, l := range lines {
		p := parts[l.Part]
		since, err := store.Time(l.Lot.Since)
		if err != nil {
			return out, err
		}
		out = append(out, StockLine{
			Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit, Bin: l.Bin.Name,
			Lot: l.Lot.Short, Batch: l.Lot.Batch, UseBy: l.Lot.UseBy, Since: s.day(since), Amount: l.Amount,
			Printed: Printed(l.Lot.Printed),
		})
		if out[len(out)-1].Aging, err = s.aging(ctx, tx, p, l.Lot); err != nil {
			return out, err
		}
	}
	return out, nil
}

func partsByID(ctx context.Context, tx *store.Tx) (map[string]catalog.Part, error) {
	parts, err := catalog.PartsEver(ctx, tx)
	byID := make(map[string]catalog.Part, len(parts))
	for _, p := range parts {
		byID[p.ID] = p
	}
	return byID, err
}

// Ledger is how the stock came so.
type Ledger struct {
	Movements []Entry       `json:"movements"`
	Currency  string        `json:"currency"`
	How       fault.Message `json:"how,omitzero"` // how the part came to be meant, where not by its own number
}

// Entry is a movement with its posting.
type Entry struct {
	Movement
	Posting  string    `json:"posting"`
	Key      string    `json:"key"`
	Kind     string    `json:"kind"`
	Person   string    `json:"person"`
	Time     time.Time `json:"time"`
	Day      string    `json:"day"` // in the shop's zone
	Delivery string    `json:"delivery,omitempty"`
	Job      string    `json:"job,omitempty"`
	Partner  string    `json:"partner,omitempty"`
	Price    *int64    `json:"price_minor,omitempty"` // of the whole posting: what a sale brought; the credit expected
	Reason   string    `json:"reason,omitempty"`
	Corrects string    `json:"corrects,omitempty"`
	OnHand   int64     `json:"on_hand"` // of the part, after this movement
}

// Sold reports whether the movement is of a sale.
func (e Entry) Sold() bool { return e.Kind == inventory.Sale }

// Free reports whether the price of the posting is nothing.
func (e Entry) Free() bool { return e.Price != nil && *e.Price == 0 }

// LedgerRequest says whose story is told; what is empty does not narrow it.
type LedgerRequest struct {
	Part string // number, or maker/number
	Bin  string
	Lot  string // the shop's number
	Job  string
	Day  string // YYYY-MM-DD in the shop's zone
	AsOf string // YYYY-MM-DD: as it stood at the end of that day

	Before int64 // the number of the movement before which the story ends; 0: none
	Last   int   // at most so many movements, the last ones; 0: all
}

// Ledger gives movements in their order. Errors: Invalid (the day, the lot),
// NotFound, Ambiguous.
func (s *Shop) Ledger(ctx context.Context, q LedgerRequest) (Ledger, error) {
	out := Ledger{Movements: []Entry{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		of, err := s.ledgerOf(ctx, tx, q, &out)
		if err != nil {
			return err
		}
		entries, err := inventory.Ledger(ctx, tx, of)
		if err != nil {
			return err
		}
		ids := make([]string, len(entries))
		for i, e := range entries {
			ids[i] = e.Part
		}
		parts, err := catalog.PartsByID(ctx, tx, ids)
		if err != nil {
			return err
		}
		then, err := onHandThen(ctx, tx, of, entries)
		if err != nil {
			return err
		}
		for _, e := range entries {
			p := parts[e.Part]
			out.Movements = append(out.Movements, Entry{
				Movement: Movement{e.Seq, p.Number, p.Maker, p.Unit, e.BinName, e.LotShort, e.Amount, minor(e.Value)},
				Posting:  e.Posting, Key: e.Key, Kind: e.Kind, Person: e.Person, Time: e.At, Day: s.day(e.At),
				Delivery: e.Delivery, Job: e.Job, Partner: e.Partner, Price: minor(e.Price), Reason: e.Reason, Corrects: e.Corrects, OnHand: then[e.Seq],
			})
		}
		return nil
	})
	return out, err
}

// ledgerOf looks up what a request names.
func (s *Shop) ledgerOf(ctx context.Context, tx *store.Tx, q LedgerRequest, out *Ledger) (of inventory.LedgerOf, err error) {
	of.Job = strings.TrimSpace(q.Job)
	if of.Part, out.How, err = partID(ctx, tx, q.Part); err != nil {
		return of, err
	}
	if q.Bin != "" {
		b, err := inventory.BinNamed(ctx, tx, q.Bin)
		if err != nil {
			return of, err
		}
		of.Bin = b.ID
	}
	if q.Lot != "" {
		n, err := strconv.ParseInt(q.Lot, 10, 64)
		if err != nil {
			return of, fault.New(fault.Invalid, "shop.bad_lot", q.Lot).WithHint("inventory.no_lot.hint")
		}
		l, err := inventory.LotNumbered(ctx, tx, n)
		if err != nil {
			return of, err
		}
		of.Lot = l.ID
	}
	if q.Day != "" {
		if of.From, err = time.ParseInLocation(time.DateOnly, q.Day, s.settings.zone); err != nil {
			return of, fault.New(fault.Invalid, "shop.bad_day", q.Day).WithHint("shop.bad_day.hint")
		}
		of.To = of.From.AddDate(0, 0, 1)
	}
	if q.AsOf != "" {
		end, err := s.endOf(q.AsOf, tx.Now)
		if err != nil {
			return of, err
		}
		if end = end.Add(time.Millisecond); of.To.IsZero() || end.Before(of.To) {
			of.To = end
		}
	}
	of.Before, of.Last = q.Before, q.Last
	return of, nil
}

// onHandThen gives what was on hand of each movement's part after it. A story
// that leaves no movement of its parts out is reckoned backwards from its end.
func onHandThen(ctx context.Context, tx *store.Tx, of inventory.LedgerOf, entries []inventory.Entry) (map[int64]int64, error) {
	then := map[int64]int64{}
	before := map[string]int64{}
	seen := map[string]bool{}
	for _, e := range slices.Backward(entries) {
		part := cmp.Or(of.Part, e.Part)
		switch {
		case !seen[part] && of.Whole():
			at, err := inventory.OnHandAt(ctx, tx, part, e.Seq)
			if err != nil {
				return nil, err
			}
			before[part] = at
		case !seen[part]:
			after, err := inventory.OnHandAfter(ctx, tx, part)
			if err != nil {
				return nil, err
			}
			maps.Copy(then, after)
		}
		seen[part] = true
		if of.Whole() {
			then[e.Seq] = before[part]
			before[part] -= e.Amount
		}
	}
	return then, nil
}

// AddBin adds a bin of a kind ("shelf" where empty). Errors: Invalid,
// Conflict.
func (s *Shop) AddBin(ctx context.Context, name, kind string) error {
	if kind == "" {
		kind = "shelf"
	}
	if kind != "shelf" && kind != "tray" && kind != "blocked" {
		return fault.New(fault.Invalid, "shop.bad_bin_kind", kind)
	}
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		_, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: name, Kind: kind})
		return err
	})
}

// sortLines orders lines by part, then as they should be used, for tables.
func sortLines(lines []StockLine) {
	slices.SortStableFunc(lines, func(a, b StockLine) int {
		return cmp.Or(strings.Compare(a.Number, b.Number), strings.Compare(a.Maker, b.Maker))
	})
}

// Bins gives the names of all bins, sorted.
func (s *Shop) Bins(ctx context.Context) ([]string, error) {
	names := []string{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		bins, err := inventory.Bins(ctx, tx)
		for _, b := range bins {
			names = append(names, b.Name)
		}
		return err
	})
	return names, err
}

// Today gives the day in the shop's zone, YYYY-MM-DD: the name of the
// delivery where none is named.
func (s *Shop) Today() string { return s.day(s.opt.Clock()) }
