package search

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// tagged gives the forks that one bike or a kind of bike carries by what is
// stamped on it, where that is the whole text: a model code, a frame number
// within a range, or what a bike with a swapped fork is remembered by.
func tagged(ctx context.Context, tx *store.Tx, text string) (forks []carrier, err error) {
	norm := catalog.Normal(text)
	if len(norm) < 2 || !hasDigit(norm) {
		return nil, nil
	}
	swapped, err := queryCarriers(ctx, tx, func(c *carrier, m catalog.Fitment) { c.why = fault.Say("search.why_swapped", m.Make) },
		`SELECT f.id, f.name, f.leg_um, f.layout, s.bike, '', 0, 0 FROM swap s JOIN fork f ON f.id = s.fork
		WHERE s.ended_at IS NULL AND s.bike_norm = $1 ORDER BY f.name_norm`, norm)
	if err != nil || len(swapped) > 0 {
		return swapped, err
	}
	bikes, err := catalog.FitmentsTagged(ctx, tx, text)
	if err != nil {
		return nil, err
	}
	seen := map[string]bool{}
	for _, m := range bikes {
		if seen[m.Fork] {
			continue
		}
		f, ok, err := catalog.ForkByID(ctx, tx, m.Fork)
		if err != nil {
			return nil, err
		}
		if ok {
			seen[m.Fork] = true
			forks = append(forks, carrier{id: f.ID, name: f.Name, leg: f.Leg, layout: f.Layout, bike: m.Name(), why: fault.Plain(m.Name())})
		}
	}
	return forks, nil
}
