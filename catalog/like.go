package catalog

import (
	"context"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// SupplierLike finds a supplier by its name, or by a piece of it that no other
// has. Errors: NotFound, naming those that are known; Ambiguous.
func SupplierLike(ctx context.Context, tx *store.Tx, name string) (Supplier, error) {
	var like []Supplier
	var names []string
	err := tx.Each(ctx, func(scan store.Scan) error {
		var s Supplier
		err := scan(&s.ID, &s.Name, &s.LeadDays)
		names = append(names, s.Name)
		if Normal(name) != "" && strings.Contains(Normal(s.Name), Normal(name)) {
			like = append(like, s)
		}
		return err
	}, `SELECT id, name, lead_days FROM supplier ORDER BY name_norm`)
	if err != nil {
		return Supplier{}, err
	}
	for _, s := range like {
		if len(like) == 1 || Normal(s.Name) == Normal(name) {
			return s, nil
		}
	}
	if len(like) == 0 {
		return Supplier{}, fault.New(fault.NotFound, "catalog.supplier_absent", name).
			WithHint("catalog.suppliers.hint", strings.Join(names, ", "))
	}
	e := fault.New(fault.Ambiguous, "catalog.supplier_ambiguous", name)
	for _, s := range like {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: s.Name})
	}
	return Supplier{}, e
}
