package search

import (
	"context"
	"maps"
	"slices"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A candidate is a part that may become a hit.
type candidate struct {
	part          catalog.Part // id, role, sizes and thread only
	number, maker string       // in normal form, for the order
	tier          tier
	near          bool
	why           fault.Message
	said          fault.Message // where that is known from, of a fork's place
	score         int           // how well it has the words
	fits          bool          // a known fork with the leg asked for, or by its own hole
	old           bool          // another number replaced it, and it was not asked for by number
	replaced      bool          // another number replaced it, as far as that was checked
	checked       bool
	stocked       bool
	known         bool // whether it is in stock is
	forks         int  // places that take it, as far as that was counted
}

// A tier says how strongly a part answers a text.
type tier int

const (
	named    tier = iota // its number or code is the text
	replaces             // it replaced the number that is the text
	meets                // it meets all conditions
	begins               // its number begins with the text
)

// A set holds candidates by the part's id. A nil set is no condition yet: it
// holds every part.
type set map[string]candidate

// add puts c in, unless the part is there with a better tier or a better fit.
func (s set) add(c candidate) {
	old, ok := s[c.part.ID]
	if !ok || c.tier < old.tier || c.tier == old.tier && old.near && !c.near {
		s[c.part.ID] = c
	}
}

// addAll puts all of more in.
func (s set) addAll(more set) {
	for _, c := range more {
		s.add(c)
	}
}

// clone gives a set that can be changed alone.
func (s set) clone() set { return maps.Clone(s) }

// and keeps what is in both sets, with the reason of s.
func (s set) and(other set) set {
	switch {
	case s == nil:
		return other
	case other == nil:
		return s
	}
	both := set{}
	for id, c := range s {
		if o, ok := other[id]; ok {
			c.near, c.fits = c.near || o.near, c.fits || o.fits
			both[id] = c
		}
	}
	return both
}

// keep drops what f is false for.
func (s set) keep(f func(candidate) bool) {
	maps.DeleteFunc(s, func(_ string, c candidate) bool { return !f(c) })
}

// names reports whether any part is in s because the text names it, or one
// that it replaced.
func (s set) names() bool {
	for _, c := range s {
		if c.tier <= replaces {
			return true
		}
	}
	return false
}

// ids gives the parts' ids, sorted.
func (s set) ids() []string {
	if s == nil {
		return nil
	}
	return append([]string{}, slices.Sorted(maps.Keys(s))...)
}

// A judge says why a part is a hit, and whether it only comes near; the zero
// Message says that it is none.
type judge func(catalog.Part) (why fault.Message, near bool)

// placeholder is the nth argument in SQL.
func placeholder(n int) string { return "$" + strconv.Itoa(n) }

// because is the judge that takes everything.
func because(id string, args ...any) judge {
	return func(catalog.Part) (fault.Message, bool) { return fault.Say(id, args...), false }
}

// mostLooked is how many parts a condition is looked at for, the first by
// number.
const mostLooked = 5000

// looked is partsWhere for what meets a condition; where there may be more than
// are looked at, the answer says so.
func (f *finder) looked(ctx context.Context, tx *store.Tx, says judge, where string, args ...any) (set, error) {
	n := 0
	all, err := partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) {
		n++
		return says(p)
	}, where, args...)
	f.cut = f.cut || n >= mostLooked
	return all, err
}

// partsWhere gives the parts p that a condition in SQL holds for and that the
// judge takes.
func partsWhere(ctx context.Context, tx *store.Tx, t tier, says judge, where string, args ...any) (set, error) {
	all := set{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		c := candidate{tier: t}
		p := &c.part
		err := scan(&p.ID, &p.Role, &p.Size.Inner, &p.Size.Outer, &p.Size.Height, &p.Size.Overall, &p.Thread,
			&c.number, &c.maker)
		if err != nil {
			return err
		}
		if c.why, c.near = says(*p); !c.why.IsZero() {
			all.add(c)
		}
		return nil
	}, `SELECT p.id, p.role, coalesce(p.inner_um, 0), coalesce(p.outer_um, 0), coalesce(p.height_um, 0),
		coalesce(p.overall_um, 0), p.thread, p.number_norm, p.maker_norm
		FROM part p WHERE p.merged_into IS NULL AND (`+where+`) ORDER BY p.number_norm, p.maker_norm LIMIT `+strconv.Itoa(mostLooked), args...)
	return all, err
}
