package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Owing is an open complaint about what was short, of which something came now:
// it may be settled by that.
type Owing struct {
	Complaint int64  `json:"complaint"`
	Number    string `json:"number"`
	Maker     string `json:"maker"`
	Unit      string `json:"unit"`
	Amount    int64  `json:"amount"`   // that was short
	Delivery  string `json:"delivery"` // of the complaint
}

// Owing gives the open complaints about what was short of parts that a delivery
// brought since; of its own supplier where that is known. Error: NotFound.
func (s *Shop) Owing(ctx context.Context, delivery string) (all []Owing, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, delivery)
		if err == nil {
			all, err = owingOf(ctx, tx, d)
		}
		return err
	})
	return all, err
}

func owingOf(ctx context.Context, tx *store.Tx, d inventory.Delivery) ([]Owing, error) {
	all := []Owing{}
	open, err := inventory.Claims(ctx, tx, inventory.ClaimsOf{Open: true})
	if err != nil {
		return nil, err
	}
	for _, c := range open {
		if c.What != inventory.TooShort || c.Delivery == d.ID {
			continue
		}
		supplier, err := d.SupplierOf(ctx, tx, c.Part)
		if err != nil {
			return nil, err
		}
		if c.Supplier != "" && supplier != "" && c.Supplier != supplier {
			continue
		}
		since, err := tx.One(ctx, store.Into(new(int64)), `SELECT 1 FROM posting p JOIN movement m ON m.posting = p.id
			WHERE p.delivery = $1 AND p.kind = 'receive' AND p.at >= $2 AND m.part = $3 AND m.amount > 0 LIMIT 1`, d.ID, c.At, c.Part)
		if err != nil {
			return nil, err
		}
		if !since {
			continue
		}
		p, _, err := catalog.PartByID(ctx, tx, c.Part)
		if err != nil {
			return nil, err
		}
		o := Owing{Complaint: c.Number, Number: p.Number, Maker: p.Maker, Unit: p.Unit, Amount: c.Amount}
		if _, err := tx.One(ctx, store.Into(&o.Delivery), `SELECT name FROM delivery WHERE id = $1`, c.Delivery); err != nil {
			return nil, err
		}
		all = append(all, o)
	}
	return all, nil
}
