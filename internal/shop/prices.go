package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Prices is what a part did cost: what suppliers asked for it, now and before,
// and what was paid whenever it came.
type Prices struct {
	Number   string         `json:"number"`
	Maker    string         `json:"maker"`
	Role     catalog.Role   `json:"role"`
	Unit     string         `json:"unit"`
	Offers   []OfferHistory `json:"offers"`
	Paid     []Paid         `json:"paid"` // the latest first
	Currency string         `json:"currency"`
}

// OfferHistory is an offer with what it did cost before.
type OfferHistory struct {
	Offer
	Earlier []PriceWas `json:"earlier"` // the latest first
}

// PriceWas is what an offer did cost until another price was told.
type PriceWas struct {
	Until  string `json:"until"`
	Pack   int64  `json:"pack"`
	Minor  int64  `json:"pack_price_minor"`
	Listed string `json:"listed"` // day of the list that told it; empty: no list did
}

// Paid is what a delivery cost of a part.
type Paid struct {
	Day      string `json:"day"`
	Supplier string `json:"supplier"` // empty: not known
	Delivery string `json:"delivery"`
	Amount   int64  `json:"amount"`
	Unknown  int64  `json:"unknown"`    // of it, whose cost nobody has told
	Cost     *int64 `json:"cost_minor"` // of all of it; null: not known, or not of all
}

// Prices gives what a part did cost. Errors: NotFound, Ambiguous.
func (s *Shop) Prices(ctx context.Context, part string) (Prices, error) {
	out := Prices{Offers: []OfferHistory{}, Paid: []Paid{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, _, err := partFor(ctx, tx, part)
		if err != nil {
			return err
		}
		out.Number, out.Maker, out.Role, out.Unit = p.Number, p.Maker, p.Role, p.Unit
		items, err := catalog.ItemsOf(ctx, tx, p.ID)
		if err != nil {
			return err
		}
		for _, i := range items {
			h, err := s.history(ctx, tx, i)
			if err != nil {
				return err
			}
			out.Offers = append(out.Offers, h)
		}
		all, err := inventory.PaidOf(ctx, tx, p.ID)
		if err != nil {
			return err
		}
		for n := len(all) - 1; n >= 0; n-- {
			v, err := s.paid(ctx, tx, all[n])
			if err != nil {
				return err
			}
			out.Paid = append(out.Paid, v)
		}
		return nil
	})
	return out, err
}

func (s *Shop) paid(ctx context.Context, tx *store.Tx, p inventory.Paid) (Paid, error) {
	v := Paid{Day: s.stampDay(p.At), Delivery: p.Name, Amount: p.Amount, Unknown: p.Unknown}
	if p.Known() {
		v.Cost = &p.Minor
	}
	var err error
	v.Supplier, err = supplierName(ctx, tx, p.Supplier)
	return v, err
}

// OfferPrices gives what an offer costs and did cost before. Error: NotFound.
func (s *Shop) OfferPrices(ctx context.Context, supplier, number string) (h OfferHistory, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		v, err := catalog.SupplierNamed(ctx, tx, supplier)
		if err != nil {
			return err
		}
		i, err := catalog.ItemNamed(ctx, tx, v, number)
		if err != nil {
			return err
		}
		h, err = s.history(ctx, tx, i)
		return err
	})
	return h, err
}

func (s *Shop) history(ctx context.Context, tx *store.Tx, i catalog.Item) (OfferHistory, error) {
	h := OfferHistory{Offer: offer(i), Earlier: []PriceWas{}}
	all, err := catalog.PricesWere(ctx, tx, i.ID)
	for _, w := range all {
		h.Earlier = append(h.Earlier, PriceWas{s.stampDay(w.Until), w.Pack, w.Minor, w.Listed})
	}
	return h, err
}
