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
func (f *finder) bySize(ctx context.Context, tx *store.Tx, size measure.Size) (set, error) {
	// A millimetre is more than any role allows; the height of washers is nothing to go by.
	most := size.Height
	if most != 0 {
		most += measure.Millimetre
	}
	says := func(p catalog.Part) (fault.Message, bool) {
		switch verdict, reasons := catalog.Fit(catalog.Wanted{Role: p.Role, Size: size}, p); verdict {
		case catalog.Fits:
			return fault.Say("search.why_size", p.Size), false
		case catalog.Near:
			return fault.Say("search.why_near", p.Size, fault.Say("verdict.near"), list(reasons)), true
		}
		return fault.Message{}, false
	}
	const where = `p.inner_um = $1 AND (p.outer_um = $2 OR p.outer_um IS NULL)
		AND ($3 = 0 OR p.height_um IS NULL OR p.height_um <= $3 OR p.role IN ('bottom_washer', 'drain_washer'))`
	args := []any{int64(size.Inner), int64(size.Outer), int64(most)}
	if f.sizeAlone() {
		return f.bestOfSize(ctx, tx, says, where, args...)
	}
	all, err := f.looked(ctx, tx, says, where, args...)
	if err == nil && f.q.Cross != (measure.Size{}) {
		return f.byCross(ctx, tx, all)
	}
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

// enough is how many parts a diameter is looked at for before kinds of parts
// that would stand behind them are left out.
const enough = 300

// byDiameter gives the parts of roles (nil for all) for a diameter: seals,
// wipers and other rings for a leg of it, clips also by the bore that they
// spring into, washers by their hole and bolts by their thread; and what the
// forks with such legs take. It goes by kinds of parts, in the order in which
// they are shown, and stops where there are more than anybody looks at.
func (f *finder) byDiameter(ctx context.Context, tx *store.Tx, d measure.Length, roles []catalog.Role) (set, error) {
	if roles == nil {
		roles = catalog.Roles
	}
	all := set{}
	for i, role := range roles {
		if len(all) >= f.deep(enough) {
			f.cut = true
			roles = roles[:i]
			break
		}
		found, err := f.looked(ctx, tx, innerOf(d), `p.role = $1 AND p.inner_um = $2`, role, int64(d))
		if err != nil {
			return nil, err
		}
		all.addAll(found)
	}
	if err := f.byOwnDiameter(ctx, tx, d, roles, all); err != nil {
		return nil, err
	}
	forks, err := forksWith(ctx, tx, d)
	if err != nil {
		return nil, err
	}
	fewer := f.few(forks, mostOfLeg)
	fitting, err := f.partsOf(ctx, tx, fewer, f.shownOf(all, roles), "", true)
	if err != nil {
		return nil, err
	}
	all.addAll(fitting)
	found, err := f.byDescription(ctx, tx, d, roles, fewer)
	all.addAll(found)
	all.prefer(d, fitting)
	return all, err
}

// shownOf gives the roles of which parts will be shown, where they are in order.
func (f *finder) shownOf(all set, roles []catalog.Role) []catalog.Role {
	if len(all) < enough {
		return roles
	}
	n := map[catalog.Role]int{}
	for _, c := range all {
		n[c.part.Role]++
	}
	some := 0
	for i, r := range roles {
		if some += n[r]; some >= f.opt.Limit {
			return roles[:i+1]
		}
	}
	return roles
}

// innerOf says of a part why it is one for an inner diameter.
func innerOf(d measure.Length) judge {
	return func(p catalog.Part) (fault.Message, bool) {
		if forLeg(p.Role) {
			return fault.Say("search.why_leg", d), false
		}
		return fault.Say("search.why_inner", d), false
	}
}

// byOwnDiameter adds clips by the bore that they spring into and bolts by
// their thread.
func (f *finder) byOwnDiameter(ctx context.Context, tx *store.Tx, d measure.Length, roles []catalog.Role, all set) error {
	if slices.Contains(roles, catalog.Clip) {
		found, err := f.looked(ctx, tx, because("search.why_outer", d), `p.role = $1 AND p.outer_um = $2`, catalog.Clip, int64(d))
		if err != nil {
			return err
		}
		all.addAll(found)
	}
	if d > mostThread || !slices.Contains(roles, catalog.BottomBolt) && !slices.Contains(roles, catalog.DrainScrew) {
		return nil
	}
	found, err := f.byThread(ctx, tx, measure.Thread{Series: "M", Nominal: d.String()})
	all.addAll(found)
	return err
}

// mostThread is the widest thread that a diameter alone can mean.
const mostThread = 60 * measure.Millimetre

// wants reports whether a role is among roles, which are all where it is nil.
func wants(roles []catalog.Role, role catalog.Role) bool {
	return roles == nil || slices.Contains(roles, role)
}

// byDescription gives the parts whose description names a length, such as "Seal
// driver 41 mm", or a fork with such legs: those whose inner diameter is not
// known, and springs and the like, whose diameter is not the leg's.
func (f *finder) byDescription(ctx context.Context, tx *store.Tx, d measure.Length, roles []catalog.Role, forks []carrier) (set, error) {
	names := map[string]string{}
	for _, c := range forks {
		names[strings.Join(split(c.name), " ")] = c.name
	}
	roles = slices.DeleteFunc(slices.Clone(roles), ownDiameter)
	where, args := loosely, []any{jsonList(roles)}
	if ids, ok := f.lex.naming(ctx, d, slices.Sorted(maps.Keys(names))); ok {
		where, args = `p.id IN (SELECT value FROM json_each($2)) AND `+loosely, append(args, jsonList(ids))
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
	}, `SELECT p.id, p.description FROM part p WHERE `+where+` ORDER BY p.id`, args...)
	if err != nil || len(why) == 0 {
		return nil, err
	}
	return partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) { return why[p.ID], false },
		`p.id IN (SELECT value FROM json_each($1))`, jsonList(slices.Sorted(maps.Keys(why))))
}

// loosely holds for parts p of some roles that a length in their description
// says the leg of.
const loosely = `p.role IN (SELECT value FROM json_each($1)) AND (p.inner_um IS NULL OR p.role IN ('spring', 'topout_spring', 'spacer'))`

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
func (f *finder) byThread(ctx context.Context, tx *store.Tx, t measure.Thread) (set, error) {
	all, err := f.looked(ctx, tx, func(p catalog.Part) (fault.Message, bool) {
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
	}, `p.role IN (SELECT DISTINCT role FROM part) AND p.thread >= $1 AND p.thread < $2`, t.Series+t.Nominal, t.Series+t.Nominal+beyond)
	return all, err
}

// byRoles gives the parts of roles, of many the best.
func (f *finder) byRoles(ctx context.Context, tx *store.Tx, roles []catalog.Role) (set, error) {
	all := set{}
	for _, role := range roles {
		found, looked, err := f.best(ctx, tx, meets, itsRole, `role = $1`, role)
		if err != nil {
			return nil, err
		}
		all.addAll(found)
		f.uncounted += looked - len(found)
	}
	return all, nil
}

// withDimension reports whether one of p's sizes is l.
func withDimension(p catalog.Part, l measure.Length) bool {
	return l == p.Size.Inner || l == p.Size.Outer || l == p.Size.Height || l == p.Size.Overall
}

// kits gives the kits with parts of s; where it is strict, only those whose
// oil seals and wipers are all in s, or where they have none, whose bushings
// are.
func kits(ctx context.Context, tx *store.Tx, s set, strict bool) (set, error) {
	by := map[string]candidate{} // kit, and the first part of s that is in it
	order, err := kitsWith(ctx, tx, s, by)
	if err != nil || len(order) == 0 {
		return nil, err
	}
	contents, err := contentsOf(ctx, tx, order)
	if err != nil {
		return nil, err
	}
	taken := []string{}
	for _, kit := range order {
		if !strict || s.kitFits(contents[kit]) {
			taken = append(taken, kit)
		}
	}
	return partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) {
		return fault.Say("search.why_kit", by[p.ID].why), by[p.ID].near
	}, `p.id IN (SELECT value FROM json_each($1))`, jsonList(taken))
}

// kitsWith gives the kits that bring a part of s, or name its role and size,
// and into by the first such part of each.
func kitsWith(ctx context.Context, tx *store.Tx, s set, by map[string]candidate) (order []string, err error) {
	meet := func(scan store.Scan) error {
		var kit, part string
		err := scan(&kit, &part)
		if old, seen := by[kit]; !seen || part < old.part.ID {
			if !seen {
				order = append(order, kit)
			}
			by[kit] = s[part]
		}
		return err
	}
	ids := jsonList(s.ids())
	err = tx.Each(ctx, meet, `SELECT c.kit, c.part FROM json_each($1) k CROSS JOIN kit_content c ON c.part = k.value ORDER BY k.key, c.kit LIMIT $2`, ids, mostLooked)
	if err != nil {
		return nil, err
	}
	return order, tx.Each(ctx, meet, `SELECT c.kit, p.id FROM kit_content c CROSS JOIN json_each($1) k JOIN part p ON p.id = k.value
		WHERE c.role <> '' AND c.role = p.role AND (c.inner_um IS p.inner_um OR c.inner_um IS NULL)
		AND (c.outer_um IS p.outer_um OR c.outer_um IS NULL) AND (c.inner_um IS NOT NULL OR c.outer_um IS NOT NULL)
		ORDER BY k.key, c.kit LIMIT $2`, ids, mostLooked)
}

// content is what a kit brings of one part, or of a role and size.
type content struct {
	part string
	want catalog.Wanted
}

// contentsOf gives what kits bring.
func contentsOf(ctx context.Context, tx *store.Tx, kits []string) (map[string][]content, error) {
	all := map[string][]content{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var kit string
		var c content
		err := scan(&kit, &c.part, &c.want.Role, &c.want.Size.Inner, &c.want.Size.Outer, &c.want.Size.Height, &c.want.Size.Overall)
		all[kit] = append(all[kit], c)
		return err
	}, `SELECT c.kit, coalesce(c.part, ''), coalesce(p.role, c.role), coalesce(c.inner_um, 0), coalesce(c.outer_um, 0),
		coalesce(c.height_um, 0), coalesce(c.overall_um, 0)
		FROM json_each($1) k CROSS JOIN kit_content c ON c.kit = k.value LEFT JOIN part p ON p.id = c.part ORDER BY c.kit, c.seq`, jsonList(kits))
	return all, err
}

// kitFits reports whether the oil seals and wipers of a kit are all in s, or
// where it has none, its bushings.
func (s set) kitFits(contents []content) bool {
	for _, roles := range [][]catalog.Role{{catalog.OilSeal, catalog.Wiper}, {catalog.TubeBushing, catalog.LowerBushing}} {
		some, fits := false, true
		for _, c := range contents {
			if slices.Contains(roles, c.want.Role) {
				some, fits = true, fits && s.brought(c.part, c.want)
			}
		}
		if some {
			return fits
		}
	}
	return false
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
