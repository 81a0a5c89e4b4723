package search

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// partly keeps of met what has the measures that say which one they are; where
// nothing else is asked for, it finds what has them.
func (f *finder) partly(ctx context.Context, tx *store.Tx, met set) (set, error) {
	want := f.q.Partly
	if want == (measure.Size{}) {
		return met, nil
	}
	if met == nil {
		var err error
		if met, err = f.byMeasure(ctx, tx, want, f.within()); err != nil {
			return nil, err
		}
	}
	met.keep(func(c candidate) bool {
		s := c.part.Size
		return (want.Inner == 0 || s.Inner == want.Inner) && (want.Outer == 0 || s.Outer == want.Outer) &&
			(want.Height == 0 || s.Height == want.Height || s.Overall == want.Height)
	})
	return met, nil
}

// byMeasure gives the parts of roles (nil for all) with one of the measures,
// the one that tells most.
func (f *finder) byMeasure(ctx context.Context, tx *store.Tx, want measure.Size, roles []catalog.Role) (set, error) {
	column, l, why := "p.height_um", want.Height, "search.why_height"
	switch {
	case want.Inner != 0:
		column, l, why = "p.inner_um", want.Inner, "search.why_inner"
	case want.Outer != 0:
		column, l, why = "p.outer_um", want.Outer, "search.why_outer"
	}
	return f.looked(ctx, tx, because(why, l), column+` = $1 AND ($2 = 'null' OR p.role IN (SELECT value FROM json_each($2)))`,
		int64(l), jsonList(roles))
}

// packed keeps of the kits of met those that bring what they have to, and none
// of what they must not; where no kit brings all that, all stay, and it is
// noted. Other parts stay unless they are of a kind that is not wanted.
func (f *finder) packed(ctx context.Context, tx *store.Tx, met set) error {
	if len(f.q.With)+len(f.q.Without) == 0 || met == nil {
		return nil
	}
	right := map[string]bool{}
	contents, err := contentsOf(ctx, tx, met.ids())
	if err != nil {
		return err
	}
	for id, c := range met {
		if c.part.Role != catalog.Kit {
			right[id] = !slices.Contains(f.q.Without, c.part.Role)
			continue
		}
		lacks := func(r catalog.Role) bool {
			return !slices.ContainsFunc(contents[id], func(in content) bool { return in.want.Role == r })
		}
		lacksAll := func(any []catalog.Role) bool {
			return !slices.ContainsFunc(any, func(r catalog.Role) bool { return !lacks(r) })
		}
		right[id] = !slices.ContainsFunc(f.q.With, lacksAll) && !slices.ContainsFunc(f.q.Without, func(r catalog.Role) bool { return !lacks(r) })
	}
	some := false
	for _, ok := range right {
		some = some || ok
	}
	if !some {
		f.notes = append(f.notes, fault.Say("search.no_kit_brings"))
		return nil
	}
	met.keep(func(c candidate) bool { return right[c.part.ID] })
	return nil
}

// binned keeps of met what is in the bin that one of the words names; where
// nothing else is asked for, it gives what is in the bin. A word that names
// none stays a word, but behind "bin" it is noted that there is none.
func (f *finder) binned(ctx context.Context, tx *store.Tx, met set) (set, error) {
	if f.opt.InBin == nil {
		return met, nil
	}
	for i, w := range f.rest {
		bin, ids, err := f.opt.InBin(ctx, w)
		if err != nil {
			return nil, err
		}
		if bin == "" {
			continue
		}
		f.q.Bin = bin
		says := because("search.why_bin", bin)
		if f.roleAlone {
			says = itsRole
		}
		f.rest = slices.Delete(slices.Clone(f.rest), i, i+1)
		f.q.Words = f.rest
		there, err := partsWhere(ctx, tx, meets, says, `p.id IN (SELECT value FROM json_each($1))`, jsonList(ids))
		if err != nil {
			return nil, err
		}
		there.keep(func(c candidate) bool { return len(f.q.Roles) == 0 || slices.Contains(f.q.Roles, c.part.Role) })
		return met.and(there), nil
	}
	if f.q.Shelf && len(f.rest) > 0 {
		f.notes = append(f.notes, fault.Say("search.no_bin"))
	}
	return met, nil
}

// without drops from found what has a word that nothing may have.
func (f *finder) without(ctx context.Context, found set) error {
	for _, w := range f.q.Not {
		has, err := f.lex.having(ctx, partField, []string{w}, found.ids())
		if err != nil {
			return err
		}
		found.keep(func(c candidate) bool { return has[c.part.ID] == 0 })
	}
	return nil
}

// byStock gives what is in stock, or what is not, of much the first.
func (f *finder) byStock(ctx context.Context, tx *store.Tx) (set, error) {
	where, id := `p.id IN (`+f.opt.Stocked+`)`, "search.in_stock"
	if f.q.Out {
		where, id = `NOT (`+f.opt.OnHand+`)`, "search.out"
	}
	f.notes = append(f.notes, fault.Say("search.stock_list"))
	return f.looked(ctx, tx, because(id), where)
}

// use remembers words of which a number was made.
func (f *finder) use(words []string) {
	if f.numbers == nil {
		f.numbers = map[string]bool{}
	}
	for _, w := range words {
		f.numbers[w] = true
	}
}

// slider says of which tube the bushing of the "slider" is, by the layout of the
// forks that are meant: of upside-down ones it may be either.
func (f *finder) slider() {
	if !f.q.Slider {
		return
	}
	of := func(layout string) bool {
		return slices.ContainsFunc(f.bikes, func(c carrier) bool { return c.layout == layout })
	}
	if of("upside-down") && !of("conventional") {
		f.q.Roles = []catalog.Role{catalog.TubeBushing, catalog.LowerBushing}
		f.notes = append(f.notes, fault.Say("search.slider_usd"))
	}
}

// prefer marks what fits the forks with legs of d; O-rings are named by their
// own hole before they are by the leg.
func (s set) prefer(d measure.Length, fitting set) {
	for id, c := range s {
		if (&Query{Roles: []catalog.Role{c.part.Role}}).rubberRings() {
			c.fits = c.part.Size.Inner == d
		} else {
			f, in := fitting[id]
			c.fits = in && !f.near
		}
		s[id] = c
	}
}
