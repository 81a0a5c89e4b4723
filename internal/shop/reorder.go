package shop

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/inventory/reorder"
)

// Reorder is what to buy this week.
type Reorder struct {
	Week     string          `json:"week"` // ISO 8601, 2026-W48
	AsOf     string          `json:"as_of"`
	Currency string          `json:"currency"`
	Rule     fault.Message   `json:"rule"` // how the list was reckoned
	Orders   []SupplierOrder `json:"orders"`
	Total    int64           `json:"total_minor"`
	Unpriced int             `json:"unpriced"` // lines whose price is not known, and not in the total
}

// SupplierOrder is what to buy from one supplier; the empty name stands for
// parts that nobody is known to sell.
type SupplierOrder struct {
	Supplier string        `json:"supplier"`
	Lines    []ReorderLine `json:"lines"`
	Total    int64         `json:"total_minor"`
	Unpriced int           `json:"unpriced"`
}

// ReorderLine is one part to buy.
type ReorderLine struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	SupplierNumber string        `json:"supplier_number"`
	Unit           string        `json:"unit"`
	Amount         int64         `json:"amount"`
	Packs          int64         `json:"packs"`
	PackPriceMinor *int64        `json:"pack_price_minor"`
	PriceMinor     *int64        `json:"price_minor"`
	OnHand         int64         `json:"on_hand"`
	OrderUpTo      int64         `json:"order_up_to"`
	Why            fault.Message `json:"why"`
	Replaces       []string      `json:"replaces,omitempty"` // old numbers whose use counts here
}

// ReorderRequest narrows the list.
type ReorderRequest struct {
	Supplier string // name; empty: all
	AsOf     string // YYYY-MM-DD, the end of that day; empty: now
}

// weeksOfUse is how far back use is looked at.
const weeksOfUse = 52

// fill is the share of parts to be there when needed.
const fill = reorder.DefaultFill

// bulk is the week's use of a part counted in mL from which one job is taken
// for a one-off: a drum sold over the counter.
const bulkML = 20_000

// Reorder gives what to buy, by supplier. An empty list is no error. Errors:
// Invalid (the date), NotFound (the supplier).
func (s *Shop) Reorder(ctx context.Context, q ReorderRequest) (Reorder, error) {
	out := Reorder{Currency: s.settings.Currency, Orders: []SupplierOrder{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		asOf, err := s.endOf(q.AsOf, tx.Now)
		if err != nil {
			return err
		}
		if q.Supplier != "" {
			sup, err := catalog.SupplierLike(ctx, tx, q.Supplier)
			if err != nil {
				return err
			}
			q.Supplier = sup.Name
		}
		year, week := asOf.In(s.settings.zone).ISOWeek()
		out.Week, out.AsOf = fmt.Sprintf("%d-W%02d", year, week), s.day(asOf)
		out.Rule = fault.Say("shop.reorder_rule", int64(fill*100))
		free := inventory.Free
		if q.AsOf != "" {
			free = func(ctx context.Context, tx *store.Tx) (map[string]int64, error) {
				return inventory.FreeAt(ctx, tx, asOf)
			}
		}
		lines, err := s.reorderLines(ctx, tx, asOf, free)
		if err != nil {
			return err
		}
		for _, l := range lines {
			if q.Supplier == "" || l.supplier == q.Supplier {
				out.add(l.supplier, l.ReorderLine)
			}
		}
		return nil
	})
	slices.SortStableFunc(out.Orders, func(a, b SupplierOrder) int {
		if (a.Supplier == "") != (b.Supplier == "") { // parts without a supplier last
			return len(b.Supplier) - len(a.Supplier)
		}
		return strings.Compare(a.Supplier, b.Supplier)
	})
	return out, err
}

// endOf gives the end of a day in the shop's zone, now for no day.
func (s *Shop) endOf(day string, now time.Time) (time.Time, error) {
	if day == "" {
		return now, nil
	}
	t, err := time.ParseInLocation(time.DateOnly, day, s.settings.zone)
	if err != nil {
		return t, fault.New(fault.Invalid, "shop.bad_day", day).WithHint("shop.bad_day.hint")
	}
	end := t.AddDate(0, 0, 1).Add(-time.Millisecond)
	if day > s.day(now) {
		return t, fault.New(fault.Invalid, "shop.day_to_come", day).WithHint("shop.day_to_come.hint", s.day(now))
	}
	return end, nil
}

// supplied is a line with the supplier's name.
type supplied struct {
	supplier string
	ReorderLine
}

func (s *Shop) reorderLines(ctx context.Context, tx *store.Tx, asOf time.Time,
	freeOf func(context.Context, *store.Tx) (map[string]int64, error),
) ([]supplied, error) {
	use, err := inventory.Use(ctx, tx, asOf, weeksOfUse)
	if err != nil {
		return nil, err
	}
	free, err := freeOf(ctx, tx)
	if err != nil {
		return nil, err
	}
	coming, err := s.comingOf(ctx, tx, asOf)
	if err != nil {
		return nil, err
	}
	parts, err := catalog.Parts(ctx, tx)
	if err != nil {
		return nil, err
	}
	now, err := currently(ctx, tx, parts, use, free)
	if err != nil {
		return nil, err
	}
	parts = now.parts
	var pieces [][]int64
	for _, p := range parts {
		if p.Unit == catalog.Piece && use[p.ID] != nil {
			pieces = append(pieces, use[p.ID])
		}
	}
	pool := reorder.PoolRatio(pieces)
	var lines []supplied
	for _, p := range parts {
		if len(use[p.ID]) == 0 && p.Minimum == 0 && coming.empty[p.ID] == "" && coming.kept[p.ID] == 0 {
			continue
		}
		p, items, err := now.offers(ctx, tx, p)
		if err != nil {
			return nil, err
		}
		ask := coming.ask(p, use[p.ID], free[p.ID], pool)
		l, needed, err := advise(p, ask, items)
		if err == nil && coming.empty[p.ID] != "" && ask.OnOrder == 0 {
			l, needed, err = s.bagEmpty(p, l, needed, items, coming.empty[p.ID])
		}
		if err != nil {
			return nil, err
		}
		if needed {
			l.Replaces = now.old[p.ID]
			lines = append(lines, l)
		}
	}
	return lines, nil
}

// advise chooses from whom to buy and how much. The need is reckoned with the
// slowest supplier first, so that the choice is among all, then with the one
// chosen.
func advise(p catalog.Part, ask reorder.Part, items []catalog.Item) (l supplied, needed bool, err error) {
	var offers []reorder.Item
	for _, i := range items {
		o := reorder.Item{Supplier: i.SupplierName, Number: i.Number, Pack: i.Pack, LeadDays: i.LeadDays}
		if i.Priced {
			o.PackPriceMinor = &i.PackPriceMinor
		}
		offers = append(offers, o)
		ask.LeadDays = max(ask.LeadDays, i.LeadDays)
	}
	if len(offers) == 0 {
		ask.LeadDays = 7 // nobody is known to sell it: a week
	}
	a, err := reorder.Advise(ask)
	if err != nil || a.Need == 0 {
		return l, false, err
	}
	l.ReorderLine = ReorderLine{
		Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit, OnHand: ask.OnHand,
	}
	if len(offers) > 0 {
		c, err := reorder.Choose(offers, a.Need)
		if err != nil {
			return l, false, err
		}
		ask.LeadDays, ask.Pack = c.Item.LeadDays, c.Item.Pack
		if a, err = reorder.Advise(ask); err != nil || a.Need == 0 {
			return l, false, err
		}
		l.supplier, l.SupplierNumber, l.PackPriceMinor = c.Item.Supplier, c.Item.Number, c.Item.PackPriceMinor
		if l.PackPriceMinor != nil {
			price := *l.PackPriceMinor * a.Packs
			l.PriceMinor = &price
		}
	}
	l.Amount, l.Packs, l.OrderUpTo, l.Why = a.Order, a.Packs, a.Level, a.Why
	return l, true, nil
}

// add puts a line on its supplier's list.
func (out *Reorder) add(supplier string, l ReorderLine) {
	i := slices.IndexFunc(out.Orders, func(o SupplierOrder) bool { return o.Supplier == supplier })
	if i < 0 {
		i = len(out.Orders)
		out.Orders = append(out.Orders, SupplierOrder{Supplier: supplier, Lines: []ReorderLine{}})
	}
	o := &out.Orders[i]
	o.Lines = append(o.Lines, l)
	if l.PriceMinor == nil {
		o.Unpriced++
		out.Unpriced++
		return
	}
	o.Total += *l.PriceMinor
	out.Total += *l.PriceMinor
}
