package search

import (
	"cmp"
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// A size alone has a hundred parts and more, of which twenty are shown. They
// are judged by role and sizes, in which most are alike: so SQLite groups them,
// each group is judged once, and of the groups that come first the parts that
// will be shown are read, those on hand first.

// alike are the parts of a size that differ in nothing they are judged by.
type alike struct {
	key    string // as alikeKey
	part   catalog.Part
	why    fault.Message
	near   bool
	makers map[string]int // by normal form
	parts  int
}

// alikeKey is what parts p are judged by, beside their inner diameter.
const alikeKey = `p.role || ' ' || coalesce(p.outer_um, 0) || ' ' || coalesce(p.height_um, 0) || ' ' || coalesce(p.overall_um, 0) || ' ' || p.thread`

// sizeAlone reports whether a text asks for one size, and beside it for kinds of
// parts at most that no kit is among.
func (f *finder) sizeAlone() bool {
	return !f.narrows() && len(f.q.Sizes) == 1 && f.q.Lengths == nil && f.bikes == nil && f.q.Make == "" && f.q.Fork == "" && f.q.Layout == "" &&
		f.q.Cross == measure.Size{} && !slices.Contains(f.q.Roles, catalog.Kit)
}

// bestOfSize gives of the parts that a condition holds for those that will be
// shown, and counts the others.
func (f *finder) bestOfSize(ctx context.Context, tx *store.Tx, says judge, where string, args ...any) (set, error) {
	groups, err := groupsOf(ctx, tx, says, where, args...)
	if err != nil {
		return nil, err
	}
	groups = slices.DeleteFunc(groups, func(g *alike) bool { return len(f.q.Roles) > 0 && !slices.Contains(f.q.Roles, g.part.Role) })
	if slices.ContainsFunc(groups, func(g *alike) bool { return !g.near }) {
		groups = slices.DeleteFunc(groups, func(g *alike) bool { return g.near })
	}
	ranked := f.q.Roles
	if ranked == nil {
		ranked = catalog.Roles
	}
	rank := func(g *alike) int { return slices.Index(ranked, g.part.Role) }
	slices.SortStableFunc(groups, func(a, b *alike) int { return cmp.Compare(rank(a), rank(b)) })
	all := set{}
	for from, left := 0, f.opt.Limit; from < len(groups); {
		to, parts := from, 0
		for to < len(groups) && rank(groups[to]) == rank(groups[from]) {
			parts += groups[to].parts
			to++
		}
		some := 0
		if left > 0 {
			n := len(all)
			if err := f.readAlike(ctx, tx, all, groups[from:to], min(parts, left), where, args...); err != nil {
				return nil, err
			}
			some = len(all) - n
		}
		left -= parts
		f.uncounted += parts - some
		from = to
	}
	f.groups = groups
	return all, nil
}

// groupsOf gives the groups of parts that a condition holds for and that the
// judge takes.
func groupsOf(ctx context.Context, tx *store.Tx, says judge, where string, args ...any) (all []*alike, err error) {
	by := map[string]*alike{}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var g alike
		var maker string
		p := &g.part
		err := scan(&g.key, &p.Role, &p.Size.Inner, &p.Size.Outer, &p.Size.Height, &p.Size.Overall, &p.Thread, &maker, &g.parts)
		if by[g.key] == nil {
			g.makers = map[string]int{}
			if g.why, g.near = says(*p); !g.why.IsZero() {
				all = append(all, &g)
			}
			by[g.key] = &g
		} else {
			by[g.key].parts += g.parts
		}
		by[g.key].makers[maker] += g.parts
		return err
	}, `SELECT `+alikeKey+`, p.role, coalesce(p.inner_um, 0), coalesce(p.outer_um, 0), coalesce(p.height_um, 0),
		coalesce(p.overall_um, 0), p.thread, p.maker_norm, count(*)
		FROM part p WHERE p.merged_into IS NULL AND (`+where+`) GROUP BY 1, p.maker_norm ORDER BY 1, p.maker_norm`, args...)
	return all, err
}

// readAlike adds the first parts of groups of one role in the order of the
// ranking, need of them, and what else it takes to be sure of them: what was
// replaced comes last, and is known only once it is read.
func (f *finder) readAlike(ctx context.Context, tx *store.Tx, all set, groups []*alike, need int, where string, args ...any) error {
	by, keys := map[string]*alike{}, []string{}
	for _, g := range groups {
		by[g.key] = g
		keys = append(keys, g.key)
	}
	stocked := `0`
	if f.opt.OnHand != "" {
		stocked = `(` + f.opt.OnHand + `)`
	}
	n := len(args)
	for most := need + need/2; ; most = mostLooked {
		var read []candidate
		err := tx.Each(ctx, func(scan store.Scan) error {
			var key, id string
			c := candidate{tier: meets, known: true}
			if err := scan(&key, &id, &c.number, &c.maker, &c.stocked); err != nil {
				return err
			}
			c.part, c.why, c.near = by[key].part, by[key].why, by[key].near
			c.part.ID = id
			read = append(read, c)
			return nil
		}, `SELECT `+alikeKey+`, p.id, p.number_norm, p.maker_norm, `+stocked+` FROM part p
			WHERE p.merged_into IS NULL AND (`+where+`) AND `+alikeKey+` IN (SELECT value FROM json_each(`+placeholder(n+1)+`))
			ORDER BY 5 DESC, p.number_norm, p.maker_norm LIMIT `+placeholder(n+2), append(slices.Clone(args), jsonList(keys), most)...)
		if err != nil {
			return err
		}
		if err := markReplaced(ctx, tx, read); err != nil {
			return err
		}
		fresh := 0
		for _, c := range read {
			if !c.replaced {
				fresh++
			}
		}
		if fresh >= need || len(read) < most || most == mostLooked {
			for _, c := range read {
				all.add(c)
			}
			return nil
		}
	}
}

// grouped counts the parts of the groups of a size.
func (f *finder) grouped() (n int) {
	for _, g := range f.groups {
		n += g.parts
	}
	return n
}
