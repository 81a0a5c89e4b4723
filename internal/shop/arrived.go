package shop

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// from gives the supplier and the order that were named; an order tells its
// supplier.
func (r *receiving) from(ctx context.Context) (supplier catalog.Supplier, order inventory.Purchase, err error) {
	if trimmed(r.in.Supplier) != "" {
		if supplier, err = catalog.SupplierNamed(ctx, r.tx, r.in.Supplier); err != nil {
			return supplier, order, err
		}
	}
	if trimmed(r.in.Order) == "" {
		return supplier, order, nil
	}
	if order, err = orderNamed(ctx, r.tx, r.in.Order); err != nil {
		return supplier, order, err
	}
	switch {
	case supplier.ID != "" && supplier.ID != order.Supplier:
		err = fault.New(fault.Conflict, "shop.order_of_other", order.Number, supplier.Name).WithHint("inventory.order_absent.hint")
	case order.State == inventory.Draft:
		err = fault.New(fault.Conflict, "inventory.order_unsent", order.Number).WithHint("inventory.order_unsent.hint", order.Number)
	}
	supplier.ID = order.Supplier
	return supplier, order, err
}

// againstOrder tells what a delivery brought more or less than its order asks
// for.
func (s *Shop) againstOrder(ctx context.Context, d inventory.Delivery, out *Received) error {
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		over, order, ok, err := d.Over(ctx, tx)
		if err != nil || !ok {
			return err
		}
		out.Order = order.Number
		parts, err := catalog.PartsByID(ctx, tx, slices.Sorted(maps.Keys(over)))
		if err != nil {
			return err
		}
		for id, n := range over {
			p := parts[id]
			out.Over = append(out.Over, Line{Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit, Amount: n})
		}
		slices.SortFunc(out.Over, func(a, b Line) int {
			return cmp.Or(strings.Compare(a.Number, b.Number), strings.Compare(a.Maker, b.Maker))
		})
		v, err := s.order(ctx, tx, order)
		for _, l := range v.Lines {
			if l.Missing == 0 {
				continue
			}
			i := slices.IndexFunc(out.Short, func(o Outstanding) bool { return o.Number == l.Number })
			if i < 0 {
				i = len(out.Short)
				out.Short = append(out.Short, Outstanding{Number: l.Number, Unit: l.Unit})
			}
			out.Short[i].Missing += l.Missing
		}
		return err
	})
}

// PutAway is where what a delivery brought goes.
type PutAway struct {
	Delivery string        `json:"delivery"`
	Lines    []PutAwayLine `json:"lines"`
}

// PutAwayLine is what goes into a bin, or to a job that waits for it.
type PutAwayLine struct {
	Bin    string       `json:"bin"`
	Job    string       `json:"job"`  // not the bin: it was ordered for that
	Tray   string       `json:"tray"` // of that job; empty: it has none yet
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit   string `json:"unit"`
	Amount int64  `json:"amount"`
}

// PutAway gives where what a delivery brought goes, by bin; parts that were
// ordered for a job name the job. Error: NotFound.
func (s *Shop) PutAway(ctx context.Context, delivery string) (PutAway, error) {
	out := PutAway{Lines: []PutAwayLine{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, delivery)
		if err != nil {
			return err
		}
		out.Delivery = d.Name
		all, err := inventory.PutAway(ctx, tx, d.ID)
		for _, l := range all {
			p, _, err := catalog.PartByID(ctx, tx, l.Part)
			if err != nil {
				return err
			}
			tray, _, err := inventory.TrayOf(ctx, tx, l.Job)
			if err != nil {
				return err
			}
			out.Lines = append(out.Lines, PutAwayLine{
				l.Bin, l.Job, tray.Bin.Name, p.Number, p.Maker, p.Role, sizes(p.Size, p.Thread), p.Unit, l.Amount,
			})
		}
		return err
	})
	return out, err
}
