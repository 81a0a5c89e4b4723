package demo

import (
	"context"
	"slices"
	"time"

	"forkstock/inventory"
)

// onOrder puts what suppliers have not brought yet on orders, one for each
// supplier and day. The washer of the story is on none: the shop has yet to see
// that it is out.
func (y *years) onOrder(ctx context.Context) error {
	type parcel struct {
		supplier int
		day      time.Time
	}
	lines := map[parcel][]inventory.PurchaseLine{}
	var parcels []parcel
	for _, w := range y.book.wares {
		for _, c := range y.planOf(w).coming {
			to := parcel{c.supplier, c.day}
			if w.Name() == storyWasher {
				continue
			}
			if lines[to] == nil {
				parcels = append(parcels, to)
			}
			lines[to] = append(lines[to], c.line(c.packs))
		}
	}
	slices.SortFunc(parcels, func(a, b parcel) int {
		if c := a.day.Compare(b.day); c != 0 {
			return c
		}
		return a.supplier - b.supplier
	})
	for _, to := range parcels {
		ordered := to.day.AddDate(0, 0, -suppliers[to.supplier].lead)
		for ordered.Weekday() != time.Friday { // what would come on a weekend comes on Monday
			ordered = ordered.AddDate(0, 0, -1)
		}
		p, err := y.draft(ctx, to.supplier, lines[to])
		if err != nil {
			return err
		}
		if err := p.Place(ctx, y.tx, ordered.Format(time.DateOnly), to.day.Format(time.DateOnly)); err != nil {
			return err
		}
	}
	return nil
}

// draft makes an order of lines.
func (y *years) draft(ctx context.Context, supplier int, lines []inventory.PurchaseLine) (inventory.Purchase, error) {
	p, err := inventory.NewPurchase(ctx, y.tx, y.suppliers[supplier].ID, y.person)
	for _, l := range lines {
		if err == nil {
			err = p.SetLine(ctx, y.tx, l)
		}
	}
	return p, err
}

// line gives the line of an order for so many packs.
func (o offer) line(packs int64) inventory.PurchaseLine {
	return inventory.PurchaseLine{
		Part: o.ware.ID, SupplierNumber: o.number, Pack: o.pack, Packs: packs,
		PackPrice: inventory.Value{Minor: o.price, Known: o.price > 0},
	}
}
