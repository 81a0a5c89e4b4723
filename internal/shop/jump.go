package shop

import (
	"context"
	"fmt"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// Jump says that a price is far from what it was before (catalog.JumpAt).
type Jump struct {
	Percent   int64         `json:"percent"`   // of the price of a piece, up or down
	WasMinor  int64         `json:"was_minor"` // what it cost before
	WasPieces int64         `json:"was_pieces"`
	Day       string        `json:"day"` // on which it did; empty: not known
	Why       fault.Message `json:"why"`
}

// jump compares two prices; nil where the later one is no jump.
func jump(was, now catalog.Price, currency, day string) *Jump {
	percent, jumped := was.Jump(now)
	if !jumped {
		return nil
	}
	money := func(p catalog.Price) words.Money { return words.Money{Minor: p.Minor, Currency: currency} }
	why := fault.Say("shop.price_jumped", money(now), now.Pack, money(was), was.Pack, fmt.Sprintf("%+d", percent))
	if day != "" {
		why = fault.Say("shop.price_jumped_since", why, day)
	}
	return &Jump{percent, was.Minor, was.Pack, day, why}
}

// lastPaid gives what a part did cost when it last came from a supplier, but
// with a delivery; found is false where that is not known.
func (s *Shop) lastPaid(ctx context.Context, tx *store.Tx, part, supplier, but string) (p catalog.Price, day string, found bool, err error) {
	all, err := inventory.PaidOf(ctx, tx, part)
	for _, x := range slices.Backward(all) {
		if x.Supplier == supplier && x.Known() && (but == "" || x.Delivery != but) {
			return catalog.Price{Pack: x.Amount, Minor: x.Minor}, s.stampDay(x.At), true, err
		}
	}
	return p, "", false, err
}

// jumpOf compares the price of a line of a draft with what was paid last to the
// supplier, else with what the offer did cost before.
func (s *Shop) jumpOf(ctx context.Context, tx *store.Tx, o inventory.Purchase, l inventory.PurchaseLine) (*Jump, error) {
	if o.State != inventory.Draft || !l.PackPrice.Known {
		return nil, nil
	}
	now := catalog.Price{Pack: l.Pack, Minor: l.PackPrice.Minor}
	was, day, found, err := s.lastPaid(ctx, tx, l.Part, o.Supplier, "")
	if err != nil {
		return nil, err
	}
	if found {
		return jump(was, now, s.settings.Currency, day), nil
	}
	items, err := catalog.ItemsOf(ctx, tx, l.Part)
	for _, i := range items {
		if i.Supplier != o.Supplier || i.Number != l.SupplierNumber {
			continue
		}
		earlier, err := catalog.PricesWere(ctx, tx, i.ID)
		if err != nil || len(earlier) == 0 {
			return nil, err
		}
		return jump(earlier[0].Price, now, s.settings.Currency, s.stampDay(earlier[0].Until)), nil
	}
	return nil, err
}

// jumpOfInvoice compares what an invoice says with what the order had, else with
// what was paid last to the supplier.
func (s *Shop) jumpOfInvoice(ctx context.Context, tx *store.Tx, out Invoiced, d inventory.Delivery, part catalog.Part) (*Jump, error) {
	now := catalog.Price{Pack: out.Amount, Minor: out.Cost}
	if out.Before != nil {
		return jump(catalog.Price{Pack: out.Amount, Minor: *out.Before}, now, s.settings.Currency, ""), nil
	}
	paid, err := inventory.PaidFor(ctx, tx, d.ID)
	if err != nil {
		return nil, err
	}
	for _, p := range paid {
		if p.Part != part.ID || p.Supplier == "" {
			continue
		}
		was, day, found, err := s.lastPaid(ctx, tx, part.ID, p.Supplier, d.ID)
		if err != nil || !found {
			return nil, err
		}
		return jump(was, now, s.settings.Currency, day), nil
	}
	return nil, nil
}
