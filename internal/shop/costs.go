package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Costs is what a delivery cost.
type Costs struct {
	Delivery string     `json:"delivery"`
	Supplier string     `json:"supplier"` // empty: not known
	Lines    []CostLine `json:"lines"`
	Total    int64      `json:"total_minor"` // of the lines whose cost is known
	Unknown  int        `json:"unknown"`     // lines whose cost is not
	Currency string     `json:"currency"`
}

// CostLine is what a delivery brought of a part, and what that cost.
type CostLine struct {
	Number  string       `json:"number"`
	Maker   string       `json:"maker"`
	Role    catalog.Role `json:"role"`
	Unit    string       `json:"unit"`
	Amount  int64        `json:"amount"`
	Unknown int64        `json:"unknown"`    // of it, whose cost nobody has told
	Cost    *int64       `json:"cost_minor"` // of all of it; null: not known, or not of all
}

// Name gives the part as forms take it.
func (l CostLine) Name() string { return l.Maker + "/" + l.Number }

// Costs gives what a delivery cost, by part as they came. Error: NotFound.
func (s *Shop) Costs(ctx context.Context, delivery string) (Costs, error) {
	out := Costs{Lines: []CostLine{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, delivery)
		if err != nil {
			return err
		}
		out.Delivery = d.Name
		all, err := inventory.PaidFor(ctx, tx, d.ID)
		if err != nil {
			return err
		}
		supplier := d.Supplier
		for _, p := range all {
			part, _, err := catalog.PartByID(ctx, tx, p.Part)
			if err != nil {
				return err
			}
			l := CostLine{Number: part.Number, Maker: part.Maker, Role: part.Role, Unit: part.Unit, Amount: p.Amount, Unknown: p.Unknown}
			if p.Known() {
				l.Cost = &p.Minor
				out.Total += p.Minor
			} else {
				out.Unknown++
			}
			out.Lines = append(out.Lines, l)
			supplier = or(supplier, p.Supplier)
		}
		out.Supplier, err = supplierName(ctx, tx, supplier)
		return err
	})
	return out, err
}
