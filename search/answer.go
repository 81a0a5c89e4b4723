package search

import (
	"context"
	"maps"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// parts puts the found parts into the answer, the best first.
func (f *finder) parts(ctx context.Context, tx *store.Tx, found set, ranked []catalog.Role) error {
	all := make([]candidate, 0, len(found))
	for _, id := range found.ids() {
		all = append(all, found[id])
	}
	r := ranking{roles: ranked, limit: f.opt.Limit, onHand: f.opt.OnHand, oldLast: f.narrow, wide: f.wide}
	if r.onHand == "" {
		f.q.InStock, f.q.Out = false, false
	}
	if f.q.InStock || f.q.Out {
		if err := r.stock(ctx, tx, all); err != nil {
			return err
		}
		all = slices.DeleteFunc(all, func(c candidate) bool { return c.stocked != f.q.InStock })
	}
	if err := r.order(ctx, tx, all); err != nil {
		return err
	}
	if err := f.count(ctx, tx, all); err != nil {
		return err
	}
	f.hits.Total, f.hits.More = len(all)+f.uncounted, f.cut
	all = all[:min(len(all), f.opt.Limit)]
	if err := sayOld(ctx, tx, all); err != nil {
		return err
	}
	ids := make([]string, len(all))
	for i, c := range all {
		ids[i] = c.part.ID
	}
	parts, err := catalog.PartsByID(ctx, tx, ids)
	if err != nil {
		return err
	}
	for _, c := range all {
		if p, ok := parts[c.part.ID]; ok {
			f.hits.Parts = append(f.hits.Parts, Hit{p, c.why, c.said})
		}
	}
	return nil
}

// count counts what the answer can be narrowed down to, where that was asked
// for and all of it was looked at.
func (f *finder) count(ctx context.Context, tx *store.Tx, all []candidate) error {
	grouped := f.groups != nil && len(all)+f.uncounted == f.grouped()
	if !f.opt.Tally || f.cut || f.uncounted != 0 && !grouped {
		return nil
	}
	t := tallied{map[catalog.Role]int{}, map[measure.Length]int{}, map[string]int{}}
	if grouped {
		for _, g := range f.groups {
			t.add(g.part, g.parts)
			for maker, n := range g.makers {
				t.makers[maker] += n
			}
		}
	} else {
		for _, c := range all {
			t.add(c.part, 1)
			t.makers[c.maker]++
		}
	}
	makers, err := makersNamed(ctx, tx, t.makers)
	f.hits.Tally = Tally{counts(t.roles), counts(t.legs), counts(makers)}
	return err
}

// forks puts into the answer the forks that the text names or describes.
func (f *finder) forks(ctx context.Context, tx *store.Tx) (err error) {
	all := f.bikes
	legs := len(f.q.Lengths) > 0 && !slices.ContainsFunc(f.q.Roles, ownDiameter)
	named := f.q.Bikes != nil || f.q.Make != "" || f.q.Fork != "" || f.q.Layout != ""
	switch {
	case named && legs:
		all = slices.DeleteFunc(slices.Clone(all), func(c carrier) bool { return c.leg != f.q.Lengths[0] })
	case named:
	case legs:
		all, err = forksWith(ctx, tx, f.q.Lengths[0])
	case len(f.q.Sizes) > 0:
		all, err = forksTaking(ctx, tx, f.q.Sizes[0], f.within(), f.opt.Limit)
	case len(f.rest) > 0 && len(f.q.Roles) == 0:
		all, err = f.forksWorded(ctx, tx)
	}
	if err != nil {
		return err
	}
	ids := []string{}
	for _, c := range all {
		if !slices.Contains(ids, c.id) && len(ids) < f.opt.Limit {
			ids = append(ids, c.id)
			f.hits.Forks = append(f.hits.Forks, ForkHit{Fork: catalog.Fork{ID: c.id, Name: c.name, Leg: c.leg, Layout: c.layout}, Why: c.why})
		}
	}
	if len(ids) == 0 {
		return nil
	}
	models, err := catalog.FitmentsOfForks(ctx, tx, ids)
	for i, id := range ids {
		f.hits.Forks[i].Models = slices.DeleteFunc(models[id], f.otherBike)
	}
	return err
}

// otherBike reports whether the text names bikes and m is none of them.
func (f *finder) otherBike(m catalog.Fitment) bool {
	from, to := f.q.years()
	switch {
	case from != 0 && (to < m.YearFrom || m.YearTo != 0 && from > m.YearTo):
		return true
	case f.q.Bikes != nil:
		return !slices.ContainsFunc(f.q.Bikes, func(b Bike) bool { return same(b.Make, m.Make) && same(b.Model, m.Model) })
	}
	return f.q.Make != "" && !same(f.q.Make, m.Make)
}

// same reports whether two spellings of a name are one.
func same(a, b string) bool { return catalog.Normal(a) == catalog.Normal(b) }

// forksWorded gives the forks that have all the words that are left, by name.
func (f *finder) forksWorded(ctx context.Context, tx *store.Tx) ([]carrier, error) {
	scores, err := f.lex.having(ctx, forkField, f.rest, nil)
	if err != nil {
		return nil, err
	}
	if len(scores) == 0 {
		return nil, nil
	}
	return queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) {
		c.why = fault.Say("search.why_words", strings.Join(f.rest, " "))
	}, `SELECT f.id, f.name, f.leg_um, f.layout, '', '', 0, 0 FROM json_each($1) k CROSS JOIN fork f ON f.id = k.value
		ORDER BY f.name_norm LIMIT $2`, jsonList(slices.Sorted(maps.Keys(scores))), mostCarriers)
}

// suggest names the numbers that look like the one asked for, where nothing
// was found.
func (f *finder) suggest(ctx context.Context, tx *store.Tx) error {
	if f.hits.Total > 0 || len(f.hits.Forks) > 0 || len(f.hits.Items) > 0 {
		return nil
	}
	for _, w := range append([]string{f.q.Text}, f.q.Words...) {
		alike, err := catalog.LookAlikes(ctx, tx, w, true)
		if err != nil {
			return err
		}
		if len(alike) > 0 {
			var names []string
			for _, r := range alike {
				names = append(names, r.Name())
			}
			f.hits.Suggest = fault.Say("search.look_alike", w, strings.Join(names, ", "))
			return nil
		}
	}
	return nil
}
