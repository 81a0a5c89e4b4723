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

// bySize gives the parts of a size, those that only come near where none has
// it. A part without a role of its own is compared all the same.
func bySize(ctx context.Context, tx *store.Tx, size measure.Size) (set, error) {
	all, err := partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) {
		switch verdict, reasons := catalog.Fit(catalog.Wanted{Role: p.Role, Size: size}, p); verdict {
		case catalog.Fits:
			return fault.Say("search.why_size", p.Size), false
		case catalog.Near:
			return fault.Say("search.why_near", p.Size, fault.Say("verdict.near"), list(reasons)), true
		}
		return fault.Message{}, false
	}, `p.inner_um = $1 AND (p.outer_um = $2 OR p.outer_um IS NULL)`, int64(size.Inner), int64(size.Outer))
	all.fitsBeforeNear()
	return all, err
}

// fitsBeforeNear drops what only comes near where anything fits.
func (s set) fitsBeforeNear() {
	for _, c := range s {
		if !c.near {
			s.keep(func(c candidate) bool { return !c.near })
			return
		}
	}
}

// byDiameter gives the parts of roles (nil for all) for a diameter: seals,
// wipers and other rings for a leg of it, clips also by the bore that they
// spring into, washers by their hole and bolts by their thread; and what the
// forks with such legs take.
func byDiameter(ctx context.Context, tx *store.Tx, d measure.Length, roles []catalog.Role) (set, error) {
	all := set{}
	more := func(found set, err error) error {
		for _, c := range found {
			all.add(c)
		}
		return err
	}
	inner := func(p catalog.Part) (fault.Message, bool) {
		if forLeg(p.Role) {
			return fault.Say("search.why_leg", d), false
		}
		return fault.Say("search.why_inner", d), false
	}
	if roles == nil {
		if err := more(partsWhere(ctx, tx, meets, inner, `p.inner_um = $1`, int64(d))); err != nil {
			return nil, err
		}
	}
	for _, role := range roles {
		if err := more(partsWhere(ctx, tx, meets, inner, `p.role = $1 AND p.inner_um = $2`, role, int64(d))); err != nil {
			return nil, err
		}
	}
	if wants(roles, catalog.Clip) {
		err := more(partsWhere(ctx, tx, meets, because("search.why_outer", d), `p.role = $1 AND p.outer_um = $2`,
			catalog.Clip, int64(d)))
		if err != nil {
			return nil, err
		}
	}
	if wants(roles, catalog.BottomBolt) || wants(roles, catalog.DrainScrew) {
		if err := more(byThread(ctx, tx, measure.Thread{Series: "M", Nominal: d.String()})); err != nil {
			return nil, err
		}
	}
	forks, err := forksWith(ctx, tx, d)
	if err != nil {
		return nil, err
	}
	fitting, err := partsOf(ctx, tx, forks, roles, "", true)
	if err := more(fitting, err); err != nil {
		return nil, err
	}
	err = more(byDescription(ctx, tx, d, roles, forks))
	all.prefer(d, fitting)
	return all, err
}

// wants reports whether a role is among roles, which are all where it is nil.
func wants(roles []catalog.Role, role catalog.Role) bool {
	return roles == nil || slices.Contains(roles, role)
}

// byDescription gives the parts whose description names a length, such as "Seal
// driver 41 mm", or a fork with such legs: those whose inner diameter is not
// known, and springs and the like, whose diameter is not the leg's.
func byDescription(ctx context.Context, tx *store.Tx, d measure.Length, roles []catalog.Role, forks []carrier) (set, error) {
	if roles == nil {
		roles = catalog.Roles
	}
	names := map[string]string{}
	for _, f := range forks {
		names[strings.Join(split(f.name), " ")] = f.name
	}
	why := map[string]fault.Message{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id, text string
		err := scan(&id, &text)
		if fork := fork(text, names); fork != "" {
			why[id] = fault.Say("search.why_says_fork", fork)
		}
		if !strings.Contains(text, d.Screen('.')) && !strings.Contains(text, d.Screen(',')) {
			return err
		}
		if lengths, _ := measure.FindLengths(text); slices.Contains(lengths, d) {
			why[id] = fault.Say("search.why_says", d)
		}
		return err
	}, `SELECT p.id, p.description FROM part p WHERE p.role IN (SELECT value FROM json_each($1))
		AND (p.inner_um IS NULL OR p.role IN ('spring', 'topout_spring', 'spacer')) ORDER BY p.id`,
		jsonList(slices.DeleteFunc(slices.Clone(roles), ownDiameter)))
	if err != nil {
		return nil, err
	}
	return partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) { return why[p.ID], false },
		`p.id IN (SELECT value FROM json_each($1))`, jsonList(slices.Sorted(maps.Keys(why))))
}

// fork gives the first of the names, by their words, that stands in a text.
func fork(text string, names map[string]string) string {
	words := split(text)
	for i := range words {
		for end := i + 1; end <= min(i+longest, len(words)); end++ {
			if name := names[strings.Join(words[i:end], " ")]; name != "" {
				return name
			}
		}
	}
	return ""
}

// forLeg reports whether a part of a role is named by the leg it runs on.
func forLeg(role catalog.Role) bool { return role == catalog.OilSeal || role == catalog.Wiper }

// byThread gives the parts of a thread: the same, or where either leaves the
// pitch out, the same diameter.
func byThread(ctx context.Context, tx *store.Tx, t measure.Thread) (set, error) {
	all, err := partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) {
		got, err := measure.ParseThread(p.Thread)
		switch {
		case err != nil || got.Series != t.Series || got.Diameter() != t.Diameter():
			return fault.Message{}, false
		case !t.Stated() || got.Same(t):
			return fault.Say("search.why_thread", got), false
		case !got.Stated():
			return fault.Say("catalog.no_pitch", got, t), true
		}
		return fault.Message{}, false
	}, `p.thread LIKE $1`, t.Series+t.Nominal+"%")
	return all, err
}

// byRole gives the parts of a role.
func byRole(ctx context.Context, tx *store.Tx, role catalog.Role) (set, error) {
	return partsWhere(ctx, tx, meets, because("search.why_role", fault.Say("role."+string(role))), `p.role = $1`, role)
}

// withDimension reports whether one of p's sizes is l.
func withDimension(p catalog.Part, l measure.Length) bool {
	return l == p.Size.Inner || l == p.Size.Outer || l == p.Size.Height || l == p.Size.Overall
}

// kits gives the kits with parts of s; where it is strict, only those whose
// oil seals and wipers are all in s, or where they have none, whose bushings
// are.
func kits(ctx context.Context, tx *store.Tx, s set, strict bool) (set, error) {
	all := set{}
	for _, id := range s.ids() {
		c := s[id]
		found, err := partsWhere(ctx, tx, meets, because("search.why_kit", c.why), `p.id IN (
			SELECT kit FROM kit_content WHERE part = $1
			UNION SELECT kit FROM kit_content WHERE role = $2 AND (inner_um IS $3 OR inner_um IS NULL)
				AND (outer_um IS $4 OR outer_um IS NULL) AND (inner_um IS NOT NULL OR outer_um IS NOT NULL))`,
			id, c.part.Role, known(c.part.Size.Inner), known(c.part.Size.Outer))
		if err != nil {
			return nil, err
		}
		for kit, k := range found {
			if _, seen := all[kit]; seen {
				continue
			}
			fits, err := kitFits(ctx, tx, kit, s)
			if err != nil {
				return nil, err
			}
			if fits || !strict {
				k.near = c.near
				all.add(k)
			}
		}
	}
	return all, nil
}

func kitFits(ctx context.Context, tx *store.Tx, kit string, s set) (bool, error) {
	contents := map[catalog.Role][]bool{} // whether in s
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id string
		var want catalog.Wanted
		err := scan(&id, &want.Role, &want.Size.Inner, &want.Size.Outer, &want.Size.Height, &want.Size.Overall)
		contents[want.Role] = append(contents[want.Role], s.brought(id, want))
		return err
	}, `SELECT coalesce(c.part, ''), coalesce(p.role, c.role), coalesce(c.inner_um, 0), coalesce(c.outer_um, 0),
		coalesce(c.height_um, 0), coalesce(c.overall_um, 0)
		FROM kit_content c LEFT JOIN part p ON p.id = c.part WHERE c.kit = $1 ORDER BY c.seq`, kit)
	for _, roles := range [][]catalog.Role{{catalog.OilSeal, catalog.Wiper}, {catalog.TubeBushing, catalog.LowerBushing}} {
		some, fits := false, true
		for _, role := range roles {
			for _, in := range contents[role] {
				some, fits = true, fits && in
			}
		}
		if some {
			return fits, err
		}
	}
	return false, err
}

// brought reports whether s has the part of that id, or where a kit's maker
// names none, one of the role and size that it does name.
func (s set) brought(id string, want catalog.Wanted) bool {
	if id != "" {
		_, in := s[id]
		return in
	}
	for _, c := range s {
		if verdict, _ := catalog.Fit(want, c.part); verdict == catalog.Fits && want.Size != (measure.Size{}) {
			return true
		}
	}
	return false
}

// known gives NULL for a length that is not.
func known(l measure.Length) any {
	if l == 0 {
		return nil
	}
	return int64(l)
}
