package shop

import (
	"context"
	"regexp"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Supplier is where parts are bought.
type Supplier struct {
	Supplier string `json:"supplier"`
	LeadDays int    `json:"lead_days"` // from order to receipt
}

// AddSupplier adds a supplier. Errors: Invalid, Conflict (the name is taken).
func (s *Shop) AddSupplier(ctx context.Context, v Supplier) (Supplier, error) {
	v.Supplier = tidied(v.Supplier)
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		_, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: v.Supplier, LeadDays: v.LeadDays})
		return err
	})
	return v, err
}

// ChangeSupplier changes how long a supplier takes. Errors: Invalid, NotFound.
func (s *Shop) ChangeSupplier(ctx context.Context, v Supplier) (Supplier, error) {
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		old, err := catalog.SupplierNamed(ctx, tx, v.Supplier)
		if err != nil {
			return err
		}
		old.LeadDays, v.Supplier = v.LeadDays, old.Name
		return catalog.ChangeSupplier(ctx, tx, old)
	})
	return v, err
}

// OfferFacts are what can be told of an offer.
type OfferFacts struct {
	Pack  *int64  // of the part's unit; default 1, of a liquid none
	Price *string // of a pack, net: 400, 400.50 or 400,50; empty: not known
}

// Offered is an offer with the part that it delivers.
type Offered struct {
	Offer
	Number   string `json:"number"`
	Maker    string `json:"maker"`
	Unit     string `json:"unit"`
	Currency string `json:"currency"`
}

// AddOffer says that a supplier sells a part under a number of its own.
// Errors: Invalid, NotFound (supplier, part), Ambiguous, Conflict (the
// supplier has that number already).
func (s *Shop) AddOffer(ctx context.Context, supplier, number, part string, f OfferFacts) (Offered, error) {
	return s.offer(ctx, supplier, func(ctx context.Context, tx *store.Tx, v catalog.Supplier) (catalog.Item, error) {
		p, err := catalog.PartNamed(ctx, tx, part)
		if err != nil {
			return catalog.Item{}, err
		}
		i := catalog.Item{Supplier: v.ID, SupplierName: v.Name, Number: tidied(number), Description: p.Description, Part: p.ID, Pack: 1}
		if p.Unit != catalog.Piece && f.Pack == nil {
			return i, fault.New(fault.Invalid, "shop.no_pack").WithHint("shop.no_pack.hint")
		}
		if err := f.apply(&i); err != nil {
			return i, err
		}
		return catalog.AddItem(ctx, tx, i)
	})
}

// ChangeOffer changes pack and price of what a supplier offers. Errors:
// Invalid, NotFound.
func (s *Shop) ChangeOffer(ctx context.Context, supplier, number string, f OfferFacts) (Offered, error) {
	if f == (OfferFacts{}) {
		return Offered{}, noChange()
	}
	return s.offer(ctx, supplier, func(ctx context.Context, tx *store.Tx, v catalog.Supplier) (catalog.Item, error) {
		i, err := catalog.ItemNamed(ctx, tx, v, number)
		if err != nil {
			return i, err
		}
		old := i
		if err := f.apply(&i); err != nil {
			return i, err
		}
		if err := catalog.ChangeItem(ctx, tx, i); err != nil {
			return i, err
		}
		return i, catalog.KeepPrice(ctx, tx, old, i)
	})
}

func (s *Shop) offer(ctx context.Context, supplier string,
	keep func(context.Context, *store.Tx, catalog.Supplier) (catalog.Item, error),
) (Offered, error) {
	out := Offered{Currency: s.settings.Currency}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		v, err := catalog.SupplierNamed(ctx, tx, supplier)
		if err != nil {
			return err
		}
		i, err := keep(ctx, tx, v)
		if err != nil {
			return err
		}
		p, _, err := catalog.PartByID(ctx, tx, i.Part)
		out.Offer, out.Number, out.Maker, out.Unit = offer(i), p.Number, p.Maker, p.Unit
		return err
	})
	return out, err
}

func (f OfferFacts) apply(i *catalog.Item) (err error) {
	if f.Pack != nil {
		i.Pack = *f.Pack
	}
	if f.Price != nil {
		i.Priced = trimmed(*f.Price) != ""
		i.PackPriceMinor = 0
		if i.Priced {
			i.PackPriceMinor, err = readMoney(trimmed(*f.Price))
		}
	}
	return err
}

var moneyForm = regexp.MustCompile(`^(\d{1,7})(?:[.,](\d{1,2}))?$`)

// readMoney reads an amount of money in minor units, two digits of them. A
// point or comma before three digits could part thousands, and is refused.
func readMoney(text string) (int64, error) {
	part := moneyForm.FindStringSubmatch(text)
	if part == nil {
		return 0, fault.New(fault.Invalid, "shop.bad_price", clipped(text)).WithHint("shop.bad_price.hint")
	}
	n, err := strconv.ParseInt(part[1]+(part[2] + "00")[:2], 10, 64)
	return n, err
}
