package search

import (
	"context"
	"fmt"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// carrier is a fork that meets a text, with the bike that it was named by.
type carrier struct {
	id, name string
	bike     string // empty where the fork was not found by a bike
	leg      measure.Length
	why      fault.Message
}

// carriersOf gives the forks of a bike, or of all of a make where the model is
// empty, that a year covers; each once, by name. Year 0 covers all.
func carriersOf(ctx context.Context, tx *store.Tx, b Bike, year int) ([]carrier, error) {
	return queryCarriers(ctx, tx, func(c *carrier, m catalog.Fitment) {
		c.bike = m.Make + " " + m.Model + " " + m.Years()
		c.why = fault.Plain(c.bike)
	}, `SELECT f.id, f.name, f.leg_um, m.make, m.model, m.year_from, coalesce(m.year_to, 0)
		FROM fitment m JOIN fork f ON f.id = m.fork
		WHERE m.make_norm = $1 AND ($2 = '' OR m.model_norm = $2)
		AND ($3 = 0 OR m.year_from <= $3 AND coalesce(m.year_to, 9999) >= $3)
		ORDER BY f.name_norm, m.model_norm, m.year_from`, catalog.Normal(b.Make), catalog.Normal(b.Model), year)
}

// forksWith gives the forks with a leg diameter, by name.
func forksWith(ctx context.Context, tx *store.Tx, leg measure.Length) ([]carrier, error) {
	return queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) { c.why = fault.Say("search.why_legs", c.leg) },
		`SELECT f.id, f.name, f.leg_um, '', '', 0, 0 FROM fork f WHERE f.leg_um = $1 ORDER BY f.name_norm`, int64(leg))
}

// forkNamed gives the fork of a name.
func forkNamed(ctx context.Context, tx *store.Tx, name string) ([]carrier, error) {
	return queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) { c.why = fault.Say("search.why_fork") },
		`SELECT f.id, f.name, f.leg_um, '', '', 0, 0 FROM fork f WHERE f.name_norm = $1 ORDER BY f.name_norm`,
		catalog.Normal(name))
}

// forksTaking gives the forks with a place of a size, by name.
func forksTaking(ctx context.Context, tx *store.Tx, size measure.Size, wants func(catalog.Role) bool) ([]carrier, error) {
	var all []carrier
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c carrier
		var role catalog.Role
		var s measure.Size
		err := scan(&c.id, &c.name, &c.leg, &role, &s.Inner, &s.Outer, &s.Height, &s.Overall)
		c.why = fault.Say("search.why_place", fault.Say("role."+string(role)), s)
		if wants(role) && (len(all) == 0 || all[len(all)-1].id != c.id) {
			all = append(all, c)
		}
		return err
	}, `SELECT f.id, f.name, f.leg_um, p.role, p.inner_um, p.outer_um, coalesce(p.height_um, 0), coalesce(p.overall_um, 0)
		FROM position p JOIN fork f ON f.id = p.fork
		WHERE p.fitted <> 'no' AND p.inner_um = $1 AND p.outer_um = $2 AND ($3 = 0 OR p.height_um = $3)
		ORDER BY f.name_norm, p.seq`, int64(size.Inner), int64(size.Outer), int64(size.Height))
	return all, err
}

func queryCarriers(ctx context.Context, tx *store.Tx, say func(*carrier, catalog.Fitment), query string, args ...any,
) ([]carrier, error) {
	var all []carrier
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c carrier
		var m catalog.Fitment
		err := scan(&c.id, &c.name, &c.leg, &m.Make, &m.Model, &m.YearFrom, &m.YearTo)
		if len(all) == 0 || all[len(all)-1].id != c.id {
			say(&c, m)
			all = append(all, c)
		}
		return err
	}, query, args...)
	return all, err
}

// place is what some forks ask for at one of their places.
type place struct {
	want  catalog.Wanted
	forks []carrier
	named []catalog.NamedPart
}

// partsOf gives the parts for the places of forks that wanted takes: those
// that fit, and where none does, those that come near.
func partsOf(ctx context.Context, tx *store.Tx, forks []carrier, wanted func(place) bool) (set, error) {
	all := set{}
	places, err := placesOf(ctx, tx, forks)
	if err != nil {
		return nil, err
	}
	for _, p := range places {
		if !wanted(*p) {
			continue
		}
		matches, err := catalog.PartsFor(ctx, tx, catalog.Position{
			Role: p.want.Role, Size: p.want.Size, Thread: p.want.Thread, Parts: p.named,
		})
		if err != nil {
			return nil, err
		}
		here := set{}
		for _, m := range matches {
			c := candidate{part: m.Part, number: catalog.Normal(m.Part.Number), maker: catalog.Normal(m.Part.Maker), tier: meets}
			c.near = m.Verdict == catalog.Near
			c.why = fault.Say("search.why_fits", p.who(), list(m.Why))
			if c.near {
				c.why = fault.Say("search.why_near", p.who(), fault.Say("verdict.near"), list(m.Why))
			}
			here.add(c)
		}
		here.fitsBeforeNear()
		for _, id := range here.ids() {
			all.add(here[id])
		}
	}
	return all, nil
}

// who names the forks of a place, the first in full.
func (p place) who() fault.Message {
	first := fault.Plain(p.forks[0].name)
	if p.forks[0].bike != "" {
		first = fault.Plain(p.forks[0].name + ", " + p.forks[0].bike)
	}
	if n := len(p.forks) - 1; n > 0 {
		return fault.Say("search.and_more", first, n)
	}
	return first
}

// placesOf gives the places of forks, in the order of forks and stack, those
// that ask for the same as one. A place for which a source names parts stands
// alone: they are named for that fork only.
func placesOf(ctx context.Context, tx *store.Tx, forks []carrier) ([]*place, error) {
	var all []*place
	alike := map[string]*place{}
	for _, f := range forks {
		positions, err := catalog.Positions(ctx, tx, f.id)
		if err != nil {
			return nil, err
		}
		for _, pos := range positions {
			if pos.Fitted == "no" {
				continue
			}
			k := fmt.Sprint(pos.Role, pos.Size, pos.Thread)
			if len(pos.Parts) > 0 {
				k += pos.ID
			}
			p := alike[k]
			if p == nil {
				p = &place{want: pos.Wanted(), named: pos.Parts}
				alike[k] = p
				all = append(all, p)
			}
			p.forks = append(p.forks, f)
		}
	}
	return all, nil
}
