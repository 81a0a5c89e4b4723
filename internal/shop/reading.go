package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/store"
)

// readers reads suppliers' descriptions with the bikes that the shop knows and
// the rules that it has for their words.
type readers struct {
	known wording.Known
	every wording.Rules            // of every supplier
	of    map[string]wording.Rules // and of one more, by its name in normal form
}

// newReaders loads what descriptions are read with.
func newReaders(ctx context.Context, tx *store.Tx) (*readers, error) {
	r := &readers{of: map[string]wording.Rules{}}
	var bikes []wording.Bike
	err := tx.Each(ctx, func(scan store.Scan) error {
		var b wording.Bike
		err := scan(&b.Make, &b.Model)
		bikes = append(bikes, b)
		return err
	}, `SELECT DISTINCT make, model FROM fitment WHERE withdrawn = 0 ORDER BY make, model`)
	if err != nil {
		return nil, err
	}
	r.known = wording.NewKnown(bikes)
	var every []wording.Rule
	own := map[string][]wording.Rule{}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var rule wording.Rule
		var supplier string
		err := scan(&rule.Words, &rule.Role, &rule.Pieces, &supplier)
		if supplier == "" {
			every = append(every, rule)
		} else {
			rule.Own = true
			own[supplier] = append(own[supplier], rule)
		}
		return err
	}, `SELECT r.words, r.role, coalesce(r.pieces, 0), coalesce(s.name_norm, '') FROM wording_rule r
		LEFT JOIN supplier s ON s.id = r.supplier ORDER BY r.at, r.id`)
	r.every = wording.NewRules(every)
	for supplier, rules := range own {
		r.of[supplier] = wording.NewRules(append(rules, every...))
	}
	return r, err
}

// read gives what a description of a supplier says: the shop's rules first.
func (r *readers) read(supplier, description string) wording.Reading {
	rules, ok := r.of[catalog.Normal(supplier)]
	if !ok {
		rules = r.every
	}
	return wording.Apply(rules, description).Over(wording.Read(description, r.known))
}
