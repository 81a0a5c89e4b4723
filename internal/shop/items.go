package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// ItemList is a part of a supplier's list, with what is proposed of each item.
type ItemList struct {
	Supplier  string     `json:"supplier"`
	Suppliers []string   `json:"suppliers"`
	Items     []Adoption `json:"items"`
	Next      string     `json:"next,omitempty"` // number to go on behind
	Currency  string     `json:"currency"`
}

// Items gives what a supplier lists and the shop does not use yet, behind a
// number, at most most: those with proposals only where read is set. Errors:
// NotFound (the supplier).
func (s *Shop) Items(ctx context.Context, supplier, after string, read bool, most int) (ItemList, error) {
	out := ItemList{Suppliers: []string{}, Items: []Adoption{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		all, err := catalog.Suppliers(ctx, tx)
		if err != nil {
			return err
		}
		for _, v := range all {
			out.Suppliers = append(out.Suppliers, v.Name)
		}
		if supplier == "" {
			return nil
		}
		v, err := catalog.SupplierNamed(ctx, tx, supplier)
		if err != nil {
			return err
		}
		out.Supplier = v.Name
		r, err := newReaders(ctx, tx)
		if err != nil {
			return err
		}
		items, err := catalog.ItemsListed(ctx, tx, v.ID, after, read, most+1)
		for n, i := range items {
			if n == most {
				out.Next = items[n-1].Number
				break
			}
			out.Items = append(out.Items, Adoption{
				Offer: offer(i), Proposals: proposals(r.read(v.Name, i.Description)), Maker: i.Maker, Number: i.MakerNumber, Code: i.Code,
				Note: i.Note, Currency: s.settings.Currency,
			})
		}
		return err
	})
	return out, err
}

// Says gives the proposal of a field; ok is false where there is none.
func (a Adoption) Says(field string) (p Proposal, ok bool) {
	for _, p := range a.Proposals {
		if p.Field == field {
			return p, true
		}
	}
	return Proposal{}, false
}

// Whole reports whether a yes is enough to make the item a part.
func (a Adoption) Whole() bool {
	_, ok := a.Says("role")
	return ok && a.Maker != "" && a.Number != ""
}
