package search

import (
	"cmp"
	"context"
	"maps"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Only narrows an answer down. The zero value of a field narrows nothing.
type Only struct {
	Role    catalog.Role
	Leg     measure.Length // for legs of this diameter
	Maker   string
	InStock bool
}

// Tally says what an answer can be narrowed down to, with how many of its
// parts remain; the most first. It is empty where the answer holds more than
// was looked at.
type Tally struct {
	Roles  []Count[catalog.Role]
	Legs   []Count[measure.Length] // of seals and wipers alone: others are not named by the leg
	Makers []Count[string]
}

// Count is how many parts there are of one kind, maker or diameter.
type Count[T any] struct {
	Of    T
	Parts int
}

// narrowTo makes what narrows an answer part of the question, where that asks
// for more than words, as far as it is none of its own. It reports whether both
// go together at all: nothing is a wiper and a seal.
func (f *finder) narrowTo() (possible bool) {
	only, q := f.opt.Only, &f.q
	if only.InStock && q.Out {
		return false
	}
	q.InStock = q.InStock || only.InStock
	asks := q.Roles != nil || q.Sizes != nil || q.Lengths != nil || q.Partly != measure.Size{} || q.Threads != nil || q.Make != "" ||
		q.Bikes != nil || q.Fork != "" || q.Layout != ""
	if only.Role != "" && len(q.Roles) > 0 && !slices.Contains(q.Roles, only.Role) {
		return false
	}
	if only.Role != "" && asks {
		q.Roles = []catalog.Role{only.Role}
	}
	if only.Leg != 0 && asks && len(q.Lengths) == 0 && !ownDiameter(only.Role) {
		q.Lengths = []measure.Length{only.Leg}
	}
	return true
}

// keepOnly drops what the answer is narrowed down from.
func (f *finder) keepOnly(ctx context.Context, tx *store.Tx, found set) error {
	only := f.opt.Only
	maker := catalog.Normal(only.Maker)
	found.keep(func(c candidate) bool {
		return (only.Role == "" || c.part.Role == only.Role) && (maker == "" || c.maker == maker)
	})
	if only.Leg == 0 || len(found) == 0 || len(f.q.Lengths) > 0 && f.q.Lengths[0] == only.Leg {
		return nil
	}
	roles := f.within()
	if only.Role != "" && only.Role != catalog.Kit {
		roles = []catalog.Role{only.Role}
	}
	legs, err := f.byDiameter(ctx, tx, only.Leg, roles)
	if err != nil {
		return err
	}
	more, err := kits(ctx, tx, legs, true)
	legs.addAll(more)
	found.keep(func(c candidate) bool {
		_, in := legs[c.part.ID]
		return in
	})
	return err
}

// tallied counts parts by what an answer can be narrowed down to.
type tallied struct {
	roles  map[catalog.Role]int
	legs   map[measure.Length]int
	makers map[string]int // by normal form
}

// add counts so many parts that are like p.
func (t tallied) add(p catalog.Part, parts int) {
	t.roles[p.Role] += parts
	if forLeg(p.Role) && p.Size.Inner != 0 {
		t.legs[p.Size.Inner] += parts
	}
}

// mostCounts is how many ways to narrow down are offered of each kind.
const mostCounts = 8

// counts lists what there is of each, the most first; nothing where it is all
// one.
func counts[T cmp.Ordered](of map[T]int) []Count[T] {
	if len(of) < 2 {
		return nil
	}
	var all []Count[T]
	for _, k := range slices.Sorted(maps.Keys(of)) {
		all = append(all, Count[T]{k, of[k]})
	}
	slices.SortStableFunc(all, func(a, b Count[T]) int { return cmp.Compare(b.Parts, a.Parts) })
	return all[:min(len(all), mostCounts)]
}

// makersNamed gives what was counted by the normal form of makers by their names, as
// the catalog writes them.
func makersNamed(ctx context.Context, tx *store.Tx, norms map[string]int) (map[string]int, error) {
	makers := map[string]int{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var norm, name string
		err := scan(&norm, &name)
		makers[name] += norms[norm]
		return err
	}, `SELECT k.value, coalesce((SELECT maker FROM part WHERE maker_norm = k.value ORDER BY number_norm LIMIT 1), '')
		FROM json_each($1) k ORDER BY 1`, jsonList(slices.AppendSeq([]string{}, maps.Keys(norms))))
	return makers, err
}
