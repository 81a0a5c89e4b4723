package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// PartKept is how the shop keeps and sells one part, and what of it is spoken
// for or out.
type PartKept struct {
	Shelf
	Empty     string     `json:"empty_since"` // the day since which its bag is empty; empty: it is not
	SetAsides []SetAside `json:"set_asides"`
	Loans     []Loan     `json:"loans"`
}

// PartKept gives how a part is kept. Errors: NotFound, Ambiguous.
func (s *Shop) PartKept(ctx context.Context, name string) (PartKept, error) {
	out := PartKept{Shelf: Shelf{Currency: s.settings.Currency}, Loans: []Loan{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, _, err := partFor(ctx, tx, name)
		if err != nil {
			return err
		}
		out.Number, out.Maker, out.Unit = p.Number, p.Maker, p.Unit
		if err := out.read(ctx, tx, p.ID); err != nil {
			return err
		}
		since, err := inventory.EmptyBags(ctx, tx)
		if err != nil {
			return err
		}
		if at := since[p.ID]; at != "" {
			day, err := store.Time(at)
			if err != nil {
				return err
			}
			out.Empty = s.day(day)
		}
		if out.SetAsides, err = s.setAsides(ctx, tx, p.ID, ""); err != nil {
			return err
		}
		loans, err := inventory.Loans(ctx, tx, p.ID, "")
		if err != nil {
			return err
		}
		for _, l := range loans {
			told, err := s.loan(tx, p, l)
			if err != nil {
				return err
			}
			out.Loans = append(out.Loans, told)
		}
		return nil
	})
	return out, err
}

// loan tells a loan of a part.
func (s *Shop) loan(tx *store.Tx, p catalog.Part, l inventory.Loan) (Loan, error) {
	since, err := store.Time(l.Since)
	return Loan{
		l.Kind, p.Number, p.Maker, p.Role, p.Unit, l.Amount, l.Partner, s.day(since), l.Due, l.Due != "" && l.Due < tx.Today(),
	}, err
}
