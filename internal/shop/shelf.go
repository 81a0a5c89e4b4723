package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Shelf is how the shop keeps and sells a part.
type Shelf struct {
	Number    string `json:"number"`
	Maker     string `json:"maker"`
	Unit      string `json:"unit"`
	SellMinor *int64 `json:"sell_minor"` // of one, net, over the counter; null: none
	Counted   bool   `json:"counted"`    // false: an empty bag says that it is to be ordered
	Bottle    int64  `json:"bottle_ml"`  // of an oil, what a bottle holds: as told, else as all offers have it; 0: not known
	Currency  string `json:"currency"`
}

// ShelfFacts are what can be told of it; nil stays as it is.
type ShelfFacts struct {
	Sell    *string // 14, 14.50 or 14,50; empty: none
	Counted *bool
	Bottle  *int64 // mL; 0: as the offers have it
}

// SetShelf tells how the shop keeps and sells a part; without facts it says how
// it does. Errors: Invalid, NotFound, Ambiguous.
func (s *Shop) SetShelf(ctx context.Context, name string, f ShelfFacts) (Shelf, error) {
	out := Shelf{Currency: s.settings.Currency}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		p, _, err := partFor(ctx, tx, name)
		if err != nil {
			return err
		}
		out.Number, out.Maker, out.Unit = p.Number, p.Maker, p.Unit
		if f.Sell != nil {
			var sell any
			if text := trimmed(*f.Sell); text != "" {
				minor, err := readMoney(text)
				if err != nil {
					return err
				}
				sell = minor
			}
			if _, err := tx.Exec(ctx, `UPDATE part SET sell_minor = $2 WHERE id = $1`, p.ID, sell); err != nil {
				return err
			}
		}
		if f.Counted != nil {
			if _, err := tx.Exec(ctx, `UPDATE part SET uncounted = $2 WHERE id = $1`, p.ID, !*f.Counted); err != nil {
				return err
			}
		}
		if f.Bottle != nil {
			if p.Unit != catalog.Millilitre || *f.Bottle < 0 || *f.Bottle > mostAmount {
				return fault.New(fault.Invalid, "shop.bad_bottle", p.Name(), *f.Bottle).WithHint("shop.bad_bottle.hint")
			}
			if _, err := tx.Exec(ctx, `UPDATE part SET bottle_ml = nullif($2, 0) WHERE id = $1`, p.ID, *f.Bottle); err != nil {
				return err
			}
		}
		return out.read(ctx, tx, p.ID)
	})
	return out, err
}

func (out *Shelf) read(ctx context.Context, tx *store.Tx, part string) error {
	var sell int64
	var priced, uncounted bool
	found, err := tx.One(ctx, store.Into(&sell, &priced, &uncounted), `SELECT coalesce(sell_minor, 0), sell_minor IS NOT NULL, uncounted
		FROM part WHERE id = $1`, part)
	if err == nil && !found {
		err = fault.New(fault.Internal, "internal")
	}
	if priced {
		out.SellMinor = &sell
	}
	out.Counted = !uncounted
	if err == nil {
		out.Bottle, err = inventory.Bottle(ctx, tx, part)
	}
	return err
}

// isCounted reports whether a part is counted.
func isCounted(ctx context.Context, tx *store.Tx, part string) (bool, error) {
	var v Shelf
	err := v.read(ctx, tx, part)
	return v.Counted, err
}
