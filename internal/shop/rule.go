package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// WordingRule is what the shop knows of the words of a supplier: a description
// with all of Words says what the others say.
type WordingRule struct {
	Words    string       `json:"words"`
	Supplier string       `json:"supplier"` // empty: every supplier
	Role     catalog.Role `json:"role"`
	Pieces   int64        `json:"pieces"` // in a pack; 0: the words do not say
	Items    int          `json:"items"`  // that were read anew
}

// AddRule keeps a rule, and reads the items anew that have its words. Errors:
// Invalid (no word, nothing said), NotFound (the supplier), Ambiguous (the
// word for the role), Conflict (it is there already).
func (s *Shop) AddRule(ctx context.Context, r WordingRule, role string) (WordingRule, error) {
	r.Words = tidied(r.Words)
	words := wording.Words(r.Words)
	switch {
	case len(words) == 0:
		return r, fault.New(fault.Invalid, "shop.rule.no_words", clipped(r.Words)).WithHint("shop.rule.hint")
	case len([]rune(r.Words)) > 60 || r.Pieces < 0 || r.Pieces > 10_000:
		return r, fault.New(fault.Invalid, "shop.rule.too_much").WithHint("shop.rule.hint")
	case tidied(role) == "" && r.Pieces == 0:
		return r, fault.New(fault.Invalid, "shop.rule.says_nothing").WithHint("shop.rule.hint")
	}
	if tidied(role) != "" {
		var err error
		if r.Role, err = s.role(tidied(role)); err != nil {
			return r, err
		}
	}
	supplier := ""
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		if r.Supplier != "" {
			v, err := catalog.SupplierNamed(ctx, tx, r.Supplier)
			if err != nil {
				return err
			}
			supplier, r.Supplier = v.ID, v.Name
		}
		return insertRule(ctx, tx, who, r, supplier)
	})
	if err != nil {
		return r, err
	}
	r.Items, err = s.reread(ctx, supplier, words)
	return r, err
}

func insertRule(ctx context.Context, tx *store.Tx, who Actor, r WordingRule, supplier string) error {
	var twice bool
	if _, err := tx.One(ctx, store.Into(&twice), `SELECT EXISTS (SELECT 1 FROM wording_rule WHERE lower(words) = lower($1)
		AND coalesce(supplier, '') = $2)`, r.Words, supplier); err != nil {
		return err
	}
	if twice {
		return fault.New(fault.Conflict, "shop.rule.twice", r.Words)
	}
	id, err := tx.NewID()
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO wording_rule (id, supplier, words, role, pieces, person, at)
		VALUES ($1, nullif($2, ''), $3, $4, nullif($5, 0), $6, $7)`, id, supplier, r.Words, r.Role, r.Pieces, who.ID, store.Stamp(tx.Now))
	return err
}

// reread reads the descriptions anew that have all the words, in short
// transactions, and gives how many there are.
func (s *Shop) reread(ctx context.Context, supplier string, words []string) (n int, err error) {
	for after := ""; ; {
		var last string
		err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
			r, err := newReaders(ctx, tx)
			if err != nil {
				return err
			}
			items, err := catalog.ItemsWorded(ctx, tx, supplier, words, after, switched)
			for _, i := range items {
				x, err := catalog.NewItems(ctx, tx, i.Supplier, wording.Words)
				if err == nil {
					err = x.Read(ctx, i.ID, r.read(i.SupplierName, i.Description).Item(), false)
				}
				if err != nil {
					return err
				}
				n, last = n+1, i.ID
			}
			return err
		})
		if err != nil || last == "" {
			return n, err
		}
		after = last
	}
}
