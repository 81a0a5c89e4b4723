package search

import (
	"context"
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
	r := ranking{roles: ranked, limit: f.opt.Limit, onHand: f.opt.OnHand}
	if r.onHand == nil {
		f.q.InStock = false
	}
	if f.q.InStock {
		if err := r.stock(ctx, all); err != nil {
			return err
		}
		all = slices.DeleteFunc(all, func(c candidate) bool { return !c.stocked })
	}
	if err := r.order(ctx, all); err != nil {
		return err
	}
	f.hits.Total = len(all)
	all = all[:min(len(all), f.opt.Limit)]
	if err := sayOld(ctx, tx, all); err != nil {
		return err
	}
	for _, c := range all {
		p, ok, err := catalog.PartByID(ctx, tx, c.part.ID)
		if err != nil {
			return err
		}
		if ok {
			f.hits.Parts = append(f.hits.Parts, Hit{p, c.why})
		}
	}
	return nil
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
		all, err = forksTaking(ctx, tx, f.q.Sizes[0], f.within())
	case len(f.rest) > 0 && len(f.q.Roles) == 0:
		all, err = f.forksWorded(ctx, tx)
	}
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, c := range all {
		if seen[c.id] || len(f.hits.Forks) == f.opt.Limit {
			continue
		}
		seen[c.id] = true
		fork, ok, err := catalog.ForkByID(ctx, tx, c.id)
		if err != nil {
			return err
		}
		models, err := catalog.FitmentsOfFork(ctx, tx, c.id)
		if err != nil {
			return err
		}
		if ok {
			f.hits.Forks = append(f.hits.Forks, ForkHit{fork, c.why, slices.DeleteFunc(models, f.otherBike)})
		}
	}
	return nil
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
	all, err := queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) {
		c.why = fault.Say("search.why_words", strings.Join(f.rest, " "))
	}, `SELECT f.id, f.name, f.leg_um, f.layout, '', '', 0, 0 FROM fork f ORDER BY f.name_norm`)
	return slices.DeleteFunc(all, func(c carrier) bool { return scores[c.id] == 0 }), err
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

// mostItems is how many descriptions of suppliers are read for one answer.
const mostItems = 200

// items puts into the answer what suppliers offer and the shop does not use:
// by number, else by sizes and words of the description.
func (f *finder) items(ctx context.Context, tx *store.Tx) error {
	if f.q.InStock {
		return nil
	}
	norm := catalog.Normal(f.q.Text)
	err := f.offers(ctx, tx, fault.Say("search.why_item_number"), func(string) bool { return true },
		`i.number_norm >= $1 AND i.number_norm <= $2`, norm, norm+beyond)
	if err == nil && len(f.hits.Items)+len(f.hits.Parts) == 0 && len([]rune(norm)) >= 4 && hasDigit(norm) {
		err = f.offers(ctx, tx, fault.Say("search.why_holds", norm), func(string) bool { return true },
			`instr(i.number_norm, $1) > 0`, norm)
	}
	if err != nil || len(f.hits.Items) > 0 || f.bikes != nil || f.q.Fork != "" {
		return err
	}
	var like []string
	for _, s := range f.q.Sizes {
		like = append(like, strings.ReplaceAll(s.Inner.String(), ".", "_")+"%"+strings.ReplaceAll(s.Outer.String(), ".", "_"))
	}
	for _, l := range f.q.Lengths {
		like = append(like, strings.ReplaceAll(l.String(), ".", "_"))
	}
	for _, w := range f.rest {
		like = append(like, likeMarks.Replace(w))
	}
	if len(like) == 0 {
		return nil
	}
	like = append(like, "", "", "")
	return f.offers(ctx, tx, fault.Say("search.why_description"), f.describes,
		`i.description LIKE $1 ESCAPE '\' AND i.description LIKE $2 ESCAPE '\' AND i.description LIKE $3 ESCAPE '\'`,
		"%"+like[0]+"%", "%"+like[1]+"%", "%"+like[2]+"%")
}

// describes reports whether a supplier's description says what the text asks
// for: its sizes, its first diameter as an inner one, one of its kinds of part.
func (f *finder) describes(description string) bool {
	d := describe(description, f.v)
	for _, want := range f.q.Sizes {
		if !slices.ContainsFunc(d.Sizes, func(s measure.Size) bool {
			return s.Inner == want.Inner && s.Outer == want.Outer && (want.Height == 0 || s.Height == want.Height)
		}) {
			return false
		}
	}
	if len(f.q.Lengths) > 0 && !slices.ContainsFunc(d.Sizes, func(s measure.Size) bool { return s.Inner == f.q.Lengths[0] }) &&
		!slices.Contains(d.Lengths, f.q.Lengths[0]) {
		return false
	}
	return len(f.q.Roles) == 0 || slices.ContainsFunc(f.q.Roles, func(r catalog.Role) bool { return slices.Contains(d.Roles, r) })
}

// offers puts items of a condition into the answer whose description is right.
func (f *finder) offers(ctx context.Context, tx *store.Tx, why fault.Message, right func(string) bool,
	where string, args ...any,
) error {
	var ids []string
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id, description string
		err := scan(&id, &description)
		if err == nil && len(ids) < f.opt.Limit && right(description) {
			ids = append(ids, id)
		}
		return err
	}, `SELECT i.id, i.description FROM supplier_item i WHERE coalesce(i.part, '') = '' AND `+where+`
		ORDER BY i.number_norm, i.supplier LIMIT $4`, append(append(args, make([]any, 3-len(args))...), mostItems)...)
	if err != nil {
		return err
	}
	for _, id := range ids {
		item, ok, err := catalog.ItemByID(ctx, tx, id)
		if err != nil {
			return err
		}
		if ok {
			f.hits.Items = append(f.hits.Items, ItemHit{item, why})
		}
	}
	return nil
}
