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

// open reports whether what comes in is recorded only, and posted when the
// delivery is finished.
func (r *receiving) open() bool { return r.delivery.State == inventory.DeliveryOpen }

// join says that a delivery is for an order, too, and so from which supplier it
// came, as far as that is one.
func join(ctx context.Context, tx *store.Tx, d inventory.Delivery, order inventory.Purchase) (inventory.Delivery, error) {
	others, err := d.Orders(ctx, tx)
	if err != nil {
		return d, err
	}
	if err := d.For(ctx, tx, order); err != nil || d.State != inventory.DeliveryOpen {
		return d, err
	}
	switch {
	case d.Supplier == "" && len(others) == 0:
		return inventory.SetSupplier(ctx, tx, d, order.Supplier, false)
	case d.Supplier != "" && d.Supplier != order.Supplier:
		return inventory.SetSupplier(ctx, tx, d, "", true)
	}
	return d, nil
}

// foresee says of the scans of an open delivery what they will be.
func (r *receiving) foresee(ctx context.Context) error {
	var err error
	if r.foreseen, err = foreseen(ctx, r.tx, r.delivery); err != nil {
		return err
	}
	at := map[int64]int{}
	for i, f := range r.foreseen {
		at[f.Seq] = i
	}
	for i, sc := range r.scans {
		if f, counts := at[sc.Seq]; counts {
			r.scans[i] = r.foreseen[f].Scan
		}
	}
	return nil
}

// againstOrder tells what a delivery brought more or less than its orders ask
// for, and which complaints it may settle.
func (s *Shop) againstOrder(ctx context.Context, d inventory.Delivery, out *Received) error {
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		var err error
		if out.Owing, err = owingOf(ctx, tx, d); err != nil {
			return err
		}
		orders, err := d.Orders(ctx, tx)
		if err != nil || len(orders) == 0 || d.State == inventory.DeliveryOpen {
			return err
		}
		out.Order = orders[0].Number
		over, err := d.Over(ctx, tx)
		if err != nil {
			return err
		}
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
		for _, p := range orders {
			if err := s.short(ctx, tx, p, out); err != nil {
				return err
			}
		}
		return nil
	})
}

// short tells what of an order has not come.
func (s *Shop) short(ctx context.Context, tx *store.Tx, p inventory.Purchase, out *Received) error {
	v, err := s.order(ctx, tx, p)
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
}
