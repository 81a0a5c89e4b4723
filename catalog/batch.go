package catalog

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// What is asked for many at once: a statement costs more than a row.

// idList gives ids as SQLite's json_each takes them.
func idList(ids []string) string {
	b, _ := json.Marshal(append([]string{}, ids...)) // strings cannot fail
	return string(b)
}

// PartsByID gives the parts of some ids, by id; what there is none of is left
// out.
func PartsByID(ctx context.Context, tx *store.Tx, ids []string) (map[string]Part, error) {
	all := map[string]Part{}
	if len(ids) == 0 {
		return all, nil
	}
	parts, err := queryParts(ctx, tx, `SELECT`+partColumns+`FROM json_each($1) k CROSS JOIN part p ON p.id = k.value ORDER BY k.key`, idList(ids))
	for _, p := range parts {
		all[p.ID] = p
	}
	return all, err
}

// PartNames gives number, maker, role and unit of parts, by id, and nothing else
// of them: a report over the whole stock takes half the time by it.
func PartNames(ctx context.Context, tx *store.Tx, ids []string) (map[string]Part, error) {
	all := make(map[string]Part, len(ids))
	err := tx.Each(ctx, func(scan store.Scan) error {
		var p Part
		err := scan(&p.ID, &p.Number, &p.Maker, &p.Role, &p.Unit)
		all[p.ID] = p
		return err
	}, `SELECT p.id, p.number, p.maker, p.role, p.unit FROM json_each($1) k CROSS JOIN part p ON p.id = k.value ORDER BY k.key`, idList(ids))
	return all, err
}

// FitmentsOfForks gives the bikes that carry some forks, by the fork's id, each
// in the order of FitmentsOfFork.
func FitmentsOfForks(ctx context.Context, tx *store.Tx, forks []string) (map[string][]Fitment, error) {
	all := map[string][]Fitment{}
	bikes, err := queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM json_each($1) k CROSS JOIN fitment m ON m.fork = k.value
		WHERE m.withdrawn = 0 ORDER BY m.make_norm, m.model_norm, m.variant_norm, m.year_from, m.frame_from_norm`, idList(forks))
	for _, m := range bikes {
		all[m.Fork] = append(all[m.Fork], m)
	}
	return all, err
}

// Few says how many parts are looked at by size for one place, and that only
// what they are judged and named by is asked for. The zero Few says all.
type Few struct {
	Most  int
	First string // condition in SQL on a part p that comes first; empty: by number
}

// parts gives those of a query for whole rows of parts, in order: of thousands
// not all are even sorted.
func (f Few) parts(ctx context.Context, tx *store.Tx, rows string, args ...any) ([]Part, error) {
	if f.Most == 0 {
		return queryParts(ctx, tx, `SELECT`+partColumns+`FROM (`+rows+`) p WHERE p.merged_into IS NULL ORDER BY p.number_norm, p.maker_norm`, args...)
	}
	first := ""
	if f.First != "" {
		first = `(` + f.First + `) DESC, `
	}
	var all []Part
	err := tx.Each(ctx, func(scan store.Scan) error {
		var p Part
		err := scan(&p.ID, &p.Number, &p.Maker, &p.Role, &p.Size.Inner, &p.Size.Outer, &p.Size.Height, &p.Size.Overall, &p.Thread,
			&p.Head, &p.Seat, &p.Strength, &p.Coated)
		all = append(all, p)
		return err
	}, fmt.Sprintf(`SELECT p.id, p.number, p.maker, p.role, coalesce(p.inner_um, 0), coalesce(p.outer_um, 0), coalesce(p.height_um, 0),
		coalesce(p.overall_um, 0), p.thread, coalesce(p.head_um, 0), p.seat, p.strength, p.coated
		FROM (SELECT * FROM (%s) LIMIT %d) p WHERE p.merged_into IS NULL ORDER BY %s p.number_norm, p.maker_norm LIMIT %d`,
		rows, 5*f.Most, first, f.Most), args...)
	return all, err
}

// PartsForAll gives for each of some places what PartsFor gives, but for what
// is said of sizes.
func PartsForAll(ctx context.Context, tx *store.Tx, places []Position, few Few) ([][]Match, error) {
	b, err := newBatch(ctx, tx, places)
	if err != nil {
		return nil, err
	}
	b.few = few
	type found struct{ fits, near []Match }
	all := make([]found, len(places))
	var ids []string
	for i, pos := range places {
		f := &all[i]
		if f.fits, f.near, err = b.matches(ctx, tx, pos); err != nil {
			return nil, err
		}
		for _, m := range slices.Concat(f.fits, f.near) {
			ids = append(ids, m.Part.ID)
		}
	}
	replaced, err := ReplacedAmong(ctx, tx, ids)
	if err != nil {
		return nil, err
	}
	became := &becoming{replaced, map[string]Succession{}}
	out := make([][]Match, len(places))
	for i, pos := range places {
		matches, err := renewed(ctx, tx, pos, all[i].fits, all[i].near, became)
		if err != nil {
			return nil, err
		}
		out[i] = doubted(matches, b.claims[pos.ID])
	}
	return out, nil
}

// batch is what is known for the places of one question.
type batch struct {
	named  map[string]Part               // that lists name for the places, by id
	claims map[string]map[string][]Claim // of fits: by place, then part
	alike  map[Wanted][]Part             // by role, bore and outside
	few    Few                           // of these, for one place
}

func newBatch(ctx context.Context, tx *store.Tx, places []Position) (b batch, err error) {
	b = batch{claims: map[string]map[string][]Claim{}, alike: map[Wanted][]Part{}}
	var parts, ids []string
	for _, pos := range places {
		for _, n := range pos.Parts {
			parts = append(parts, n.Part)
		}
		if pos.ID != "" {
			ids = append(ids, pos.ID)
		}
	}
	if b.named, err = PartsByID(ctx, tx, parts); err != nil || len(ids) == 0 {
		return b, err
	}
	claims, err := claimsOfEach(ctx, tx, AboutFit, `c.subject > k.value || ' ' AND c.subject < k.value || ' ~'`, ids)
	for _, c := range claims {
		place, part, _ := strings.Cut(c.Subject, " ")
		if b.claims[place] == nil {
			b.claims[place] = map[string][]Claim{}
		}
		b.claims[place][part] = append(b.claims[place][part], c)
	}
	return b, err
}

// matches gives what fits a place and what comes near, by names and sizes
// alone.
func (b *batch) matches(ctx context.Context, tx *store.Tx, pos Position) (fits, near []Match, err error) {
	named := map[string]bool{}
	for _, n := range pos.Parts {
		p, ok := b.named[n.Part]
		if !ok {
			continue
		}
		named[p.ID] = true
		m := Match{Part: p, Verdict: Fits, Why: []fault.Message{fault.Say("catalog.named", n.Source)}}
		said := slices.DeleteFunc(slices.Clone(b.claims[pos.ID][p.ID]), func(c Claim) bool { return c.Field != "fits" })
		if d, wrong := pos.misnamed(p, StandingOf(said)); wrong {
			m.Verdict, m.Why = d.Verdict, append(m.Why, d.Why...)
			near = append(near, m)
			continue
		}
		fits = append(fits, m)
	}
	candidates, err := b.alikes(ctx, tx, pos.Wanted())
	for _, p := range candidates {
		if named[p.ID] {
			continue
		}
		switch verdict, why := pos.Takes(p); verdict {
		case Fits:
			fits = append(fits, Match{Part: p, Verdict: Fits, Why: []fault.Message{fault.Say("catalog.same_size")}})
		case Near:
			near = append(near, Match{Part: p, Verdict: Near, Why: why})
		}
	}
	return fits, near, err
}

// alikes is alike, asked once for places that want the same.
func (b *batch) alikes(ctx context.Context, tx *store.Tx, want Wanted) (parts []Part, err error) {
	key := Wanted{Role: want.Role, Thread: threadStart(want.Thread)}
	key.Size.Inner, key.Size.Outer = want.Size.Inner, want.Size.Outer
	key.Size.Height, key.Worn = want.Size.Height, want.Worn
	parts, ok := b.alike[key]
	if !ok {
		parts, err = alike(ctx, tx, want, b.few)
		b.alike[key] = parts
	}
	return parts, err
}

// ItemsByID gives the items of some ids with what their descriptions seem to
// say, by id.
func ItemsByID(ctx context.Context, tx *store.Tx, ids []string) (map[string]Item, map[string]Reading, error) {
	items, readings := map[string]Item{}, map[string]Reading{}
	all, err := queryItems(ctx, tx, `SELECT`+itemColumns+`FROM json_each($1) k CROSS JOIN supplier_item i ON i.id = k.value
		JOIN supplier s ON s.id = i.supplier ORDER BY k.key`, idList(ids))
	if err != nil {
		return nil, nil, err
	}
	for _, i := range all {
		items[i.ID] = i
	}
	return items, readings, tx.Each(ctx, func(scan store.Scan) error {
		var item string
		var r Reading
		err := scan(&item, &r.Role, &r.Size.Inner, &r.Size.Outer, &r.Size.Height, &r.Size.Overall, &r.Thread, &r.Leg, &r.Pieces, &r.Sure)
		readings[item] = r
		return err
	}, `SELECT r.item, `+readingColumns+` FROM json_each($1) k CROSS JOIN item_reading r ON r.item = k.value ORDER BY k.key`, idList(ids))
}
