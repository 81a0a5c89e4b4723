package search

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// carrier is a fork that meets a text, with the bike that it was named by.
type carrier struct {
	id, name string
	bike     string // empty where the fork was not found by a bike
	layout   string
	leg      measure.Length
	why      fault.Message
}

// mostCarriers is how many rows of forks and bikes are looked at.
const mostCarriers = 300

// carriersOf gives the forks of a bike, or of all of a make where the model is
// empty, that any of the years covers; each once, by name. Year 0 covers all.
func carriersOf(ctx context.Context, tx *store.Tx, b Bike, from, to int) ([]carrier, error) {
	model := ""
	if b.Model != "" {
		model = `AND m.model_norm = $2 `
	}
	return queryCarriers(ctx, tx, func(c *carrier, m catalog.Fitment) {
		c.bike = m.Make + " " + m.Model + " " + m.Years()
		c.why = fault.Plain(c.bike)
	}, `SELECT f.id, f.name, f.leg_um, f.layout, m.make, m.model, coalesce(m.year_from, 0), coalesce(m.year_to, 0)
		FROM fitment m JOIN fork f ON f.id = m.fork
		WHERE m.withdrawn = 0 AND m.make_norm = $1 `+model+`AND ($3 = 0 OR coalesce(m.year_from, 0) <= $4 AND coalesce(m.year_to, 9999) >= $3)
		ORDER BY f.name_norm, m.model_norm, m.year_from LIMIT $5`, catalog.Normal(b.Make), catalog.Normal(b.Model), from, to, mostCarriers)
}

// forksWith gives the forks with a leg diameter, by name.
func forksWith(ctx context.Context, tx *store.Tx, leg measure.Length) ([]carrier, error) {
	return queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) { c.why = fault.Say("search.why_legs", c.leg) },
		`SELECT f.id, f.name, f.leg_um, f.layout, '', '', 0, 0 FROM fork f WHERE f.leg_um = $1 ORDER BY f.name_norm LIMIT $2`, int64(leg), mostCarriers)
}

// forksLaid gives the forks of a layout, by name.
func forksLaid(ctx context.Context, tx *store.Tx, layout string) ([]carrier, error) {
	return queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) { c.why = fault.Say("layout." + layout) },
		`SELECT f.id, f.name, f.leg_um, f.layout, '', '', 0, 0 FROM fork f WHERE f.layout = $1 ORDER BY f.name_norm LIMIT $2`, layout, mostCarriers)
}

// forkNamed gives the fork of a name.
func forkNamed(ctx context.Context, tx *store.Tx, name string) ([]carrier, error) {
	return queryCarriers(ctx, tx, func(c *carrier, _ catalog.Fitment) { c.why = fault.Say("search.why_fork") },
		`SELECT f.id, f.name, f.leg_um, f.layout, '', '', 0, 0 FROM fork f WHERE f.name_norm = $1 ORDER BY f.name_norm`,
		catalog.Normal(name))
}

// forksTaking gives the first forks with a place of a size, by name.
func forksTaking(ctx context.Context, tx *store.Tx, size measure.Size, roles []catalog.Role, most int) ([]carrier, error) {
	var all []carrier
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c carrier
		var role catalog.Role
		var s measure.Size
		err := scan(&c.id, &c.name, &c.leg, &c.layout, &role, &s.Inner, &s.Outer, &s.Height, &s.Overall)
		c.why = fault.Say("search.why_place", fault.Say("role."+string(role)), s)
		all = append(all, c)
		return err
	}, `SELECT f.id, f.name, f.leg_um, f.layout, p.role, p.inner_um, p.outer_um, coalesce(p.height_um, 0), coalesce(p.overall_um, 0)
		FROM (SELECT fork, role, inner_um, outer_um, height_um, overall_um, min(seq) FROM position
			WHERE fitted <> 'no' AND inner_um = $1 AND outer_um = $2 AND ($3 = 0 OR height_um = $3)
			AND ($4 = 'null' OR role IN (SELECT value FROM json_each($4))) GROUP BY fork) p CROSS JOIN fork f ON f.id = p.fork
		ORDER BY f.name_norm LIMIT $5`, int64(size.Inner), int64(size.Outer), int64(size.Height), jsonList(roles), most)
	return all, err
}

func queryCarriers(ctx context.Context, tx *store.Tx, say func(*carrier, catalog.Fitment), query string, args ...any,
) ([]carrier, error) {
	var all []carrier
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c carrier
		var m catalog.Fitment
		err := scan(&c.id, &c.name, &c.leg, &c.layout, &m.Make, &m.Model, &m.YearFrom, &m.YearTo)
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
	want     catalog.Wanted
	first    carrier
	forks    int    // how many there are
	last     int    // the one counted last
	position string // id, where it stands alone
	named    []catalog.NamedPart
}

// partsOf gives the parts for the places of forks of some roles (nil
// for all): those that fit, and where none does, those that come near. For a leg's
// diameter alone, a seal or wiper has to be found by more than its outside.
// Where one leg is named ("left", "right"), places of the other alone are left out.
// Kinds of parts that would stand behind enough others are left out, too.
func (f *finder) partsOf(ctx context.Context, tx *store.Tx, forks []carrier, roles []catalog.Role, leg string, byLeg bool) (set, error) {
	all := set{}
	places, err := placesOf(ctx, tx, forks, roles, leg)
	if err != nil {
		return nil, err
	}
	places = slices.DeleteFunc(places, func(p *place) bool {
		return byLeg && forLeg(p.want.Role) && p.want.Size.Inner == 0 && p.named == nil
	})
	if roles == nil {
		roles = catalog.Roles
	}
	for len(places) > 0 && len(roles) > 0 {
		if all.fitting() >= f.plenty() {
			f.cut = true
			break
		}
		n := min(len(roles), atOnce)
		now := slices.DeleteFunc(slices.Clone(places), func(p *place) bool { return !slices.Contains(roles[:n], p.want.Role) })
		if err := f.take(ctx, tx, now, all); err != nil {
			return nil, err
		}
		roles = roles[n:]
	}
	return all, nil
}

// atOnce is how many kinds of parts are looked for at once.
const atOnce = 2

// plenty is how many parts that fit are enough, so that kinds of parts that
// stand behind them are not looked for.
func (f *finder) plenty() int { return f.deep(max(60, 3*f.opt.Limit)) }

// fitting counts what fits.
func (s set) fitting() (n int) {
	for _, c := range s {
		if !c.near {
			n++
		}
	}
	return n
}

// take adds what the places ask for.
func (f *finder) take(ctx context.Context, tx *store.Tx, places []*place, all set) error {
	if len(places) == 0 {
		return nil
	}
	asked := make([]catalog.Position, len(places))
	for i, p := range places {
		asked[i] = catalog.Position{
			ID: p.position, Role: p.want.Role, Size: p.want.Size, Thread: p.want.Thread, Traits: p.want.Traits, Parts: p.named,
		}
	}
	few := catalog.Few{Most: f.deep(max(mostAlike, 2*f.opt.Limit)), First: f.opt.OnHand}
	matches, err := catalog.PartsForAll(ctx, tx, asked, few)
	if err != nil {
		return err
	}
	for i, p := range places {
		here := set{}
		f.cut = f.cut || len(matches[i]) >= few.Most
		for _, m := range matches[i] {
			c := candidate{part: m.Part, number: catalog.Normal(m.Part.Number), maker: catalog.Normal(m.Part.Maker), tier: meets, said: m.Said, checked: true, replaced: m.Old}
			c.near = m.Verdict != catalog.Fits // near, or an old version
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
	return nil
}

// who names the forks of a place, the first in full.
func (p place) who() fault.Message {
	first := fault.Plain(p.first.name)
	if p.first.bike != "" {
		first = fault.Plain(p.first.name + ", " + p.first.bike)
	}
	if n := p.forks - 1; n > 0 {
		return fault.Say("search.and_more", first, n)
	}
	return first
}

// placesOf gives the places of forks, in the order of forks and stack, those
// that ask for the same as one. A place stands alone where somebody has said of
// parts that they fit it or do not, or that old ones may still go into its fork.
func placesOf(ctx context.Context, tx *store.Tx, forks []carrier, roles []catalog.Role, leg string) ([]*place, error) {
	var all []*place
	type key struct {
		want  catalog.Wanted
		alone string // position
	}
	alike := map[key]*place{}
	err := eachPlace(ctx, tx, forks, leg, func(at int, position string, want catalog.Wanted, named bool) {
		k := key{want: want}
		if named {
			k.alone = position
		}
		p := alike[k]
		if p == nil {
			p = &place{want: want, first: forks[at]}
			alike[k] = p
			if wants(roles, want.Role) {
				all = append(all, p)
			}
			if named {
				p.position = position
			}
		}
		if p.last != at+1 { // once for a fork with two such places
			p.last = at + 1
			p.forks++
		}
	})
	if err != nil {
		return nil, err
	}
	return all, namedAt(ctx, tx, all)
}

// namedAt gives the places that stand alone the parts that are named for them.
func namedAt(ctx context.Context, tx *store.Tx, places []*place) error {
	at, ids := map[string]*place{}, []string{}
	for _, p := range places {
		if p.position != "" {
			at[p.position] = p
			ids = append(ids, p.position)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	return tx.Each(ctx, func(scan store.Scan) error {
		var position string
		var n catalog.NamedPart
		err := scan(&position, &n.Part, &n.Source)
		at[position].named = append(at[position].named, n)
		return err
	}, `SELECT n.position, n.part, n.source FROM json_each($1) k CROSS JOIN position_part n ON n.position = k.value
		ORDER BY n.position, n.part`, jsonList(ids))
}

// mostAlike is how many parts are looked at by size for one place, those on
// hand first: thousands of bolts may have a thread and length.
const mostAlike = 40

// How many forks parts are looked for in: of bikes, and of a leg diameter
// alone, of which there are many alike.
const (
	mostForks = 30
	mostOfLeg = 12
)

// few gives the forks that parts are looked for in: those with the leg diameter
// that the text names before others, of too many the first.
func (f *finder) few(forks []carrier, most int) []carrier {
	if len(forks) <= most {
		return forks
	}
	f.cut = true
	if len(f.q.Lengths) > 0 {
		forks = slices.Clone(forks)
		slices.SortStableFunc(forks, func(a, b carrier) int { return falseFirst(a.leg != f.q.Lengths[0], b.leg != f.q.Lengths[0]) })
	}
	return forks[:most]
}

// eachPlace calls f with the places of forks that are fitted, or may be: the
// fork's index, the position's id, what it asks for, and whether it stands
// alone.
func eachPlace(ctx context.Context, tx *store.Tx, forks []carrier, leg string,
	f func(at int, position string, want catalog.Wanted, alone bool),
) error {
	type row struct {
		position string
		want     catalog.Wanted
		named    bool
	}
	rows := map[string][]row{}
	ids := make([]string, len(forks))
	for i, c := range forks {
		ids[i] = c.id
	}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var r row
		var fork string
		s := &r.want.Size
		t := &r.want.Traits
		err := scan(&fork, &r.position, &r.want.Role, &s.Inner, &s.Outer, &s.Height, &s.Overall, &r.want.Thread,
			&t.Head, &t.Seat, &t.Strength, &t.Coated, &r.named)
		rows[fork] = append(rows[fork], r)
		return err
	}, `SELECT p.fork, p.id, p.role, coalesce(p.inner_um, 0), coalesce(p.outer_um, 0), coalesce(p.height_um, 0),
		coalesce(p.overall_um, 0), p.thread, coalesce(p.head_um, 0), p.seat, p.strength, p.coated, EXISTS (SELECT 1 FROM position_part n WHERE n.position = p.id)
			OR EXISTS (SELECT 1 FROM claim c WHERE c.about = 'place_part' AND c.subject > p.id || ' ' AND c.subject < p.id || ' ~')
			OR EXISTS (SELECT 1 FROM still_usable u WHERE u.fork = p.fork)
		FROM position p WHERE p.fork IN (SELECT value FROM json_each($1)) AND p.fitted <> 'no'
		AND ($2 = '' OR p.leg IN ('both', $2)) ORDER BY p.fork, p.seq`, jsonList(ids), leg)
	for i, id := range ids {
		for _, r := range rows[id] {
			f(i, r.position, r.want, r.named)
		}
		delete(rows, id) // a fork that stands twice counts once
	}
	return err
}

// jsonList gives texts as SQLite's json_each takes them.
func jsonList[T ~string](all []T) string {
	b, _ := json.Marshal(all) // strings cannot fail
	return string(b)
}

// kinOf lists, with their years, the models of the years of q whose name
// begins like b's or that b's begins like: Lumi 900 and Lumi 900 S.
func kinOf(ctx context.Context, tx *store.Tx, b Bike, q Query) (string, error) {
	var all []string
	from, to := q.years()
	err := tx.Each(ctx, func(scan store.Scan) error {
		var m catalog.Fitment
		err := scan(&m.Make, &m.Model, &m.YearFrom, &m.YearTo)
		x, y := strings.Fields(wording.Fold(b.Model)), strings.Fields(wording.Fold(m.Model))
		if n := min(len(x), len(y)); slices.Equal(x[:n], y[:n]) {
			all = append(all, m.Make+" "+m.Model+" "+m.Years())
		}
		return err
	}, `SELECT DISTINCT make, model, coalesce(year_from, 0), coalesce(year_to, 0) FROM fitment
		WHERE withdrawn = 0 AND make_norm = $1 AND coalesce(year_from, 0) <= $3 AND coalesce(year_to, 9999) >= $2
		ORDER BY model_norm, 3`, catalog.Normal(b.Make), from, to)
	return strings.Join(all, ", "), err
}
