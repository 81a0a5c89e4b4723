package catalog

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Two records of one part are made one only where nothing that both state
// speaks against it: the same role, unit and sizes, the same rubber. Two
// versions of a part, an old and a new one, are no two records of one.

// Proposal is a pair of records that may be one part.
type Proposal struct {
	Kept, Gone Part
	Why        fault.Message
}

// Proposals gives the pairs of records that may be one part, with the reason:
// a code that stood for both, or the maker's number in another spelling. What
// was merged and undone is not proposed again, nor what Mergeable refuses.
func Proposals(ctx context.Context, tx *store.Tx) ([]Proposal, error) {
	var all []Proposal
	seen := map[[2]string]bool{}
	for _, source := range proposalSources {
		type pair struct {
			a, b, told string
		}
		var pairs []pair
		err := tx.Each(ctx, func(scan store.Scan) error {
			var p pair
			err := scan(&p.a, &p.b, &p.told)
			pairs = append(pairs, p)
			return err
		}, source.query)
		if err != nil {
			return nil, err
		}
		for _, x := range pairs {
			key := [2]string{min(x.a, x.b), max(x.a, x.b)}
			if seen[key] {
				continue
			}
			seen[key] = true
			p, ok, err := propose(ctx, tx, key[0], key[1])
			if err != nil {
				return nil, err
			}
			if ok {
				p.Why = fault.Say(source.why, x.told)
				all = append(all, p)
			}
		}
	}
	return all, nil
}

// proposalSources find pairs of records, and what they have in common.
var proposalSources = []struct{ why, query string }{
	{"catalog.same_code", `SELECT DISTINCT a.part, b.part, a.code FROM code_link a JOIN code_link b ON b.code = a.code AND b.part > a.part AND b.supplier IS a.supplier
		JOIN part p ON p.id = a.part JOIN part q ON q.id = b.part
		WHERE p.merged_into IS NULL AND q.merged_into IS NULL ORDER BY 3, 1, 2`},
	{"catalog.same_code", `SELECT DISTINCT i.part, c.part, i.code FROM supplier_item i JOIN code_now c ON c.code = i.code
		AND (c.supplier IS NULL OR c.supplier = i.supplier)
		JOIN part p ON p.id = i.part JOIN part q ON q.id = c.part
		WHERE i.code <> '' AND c.part <> i.part AND p.merged_into IS NULL AND q.merged_into IS NULL ORDER BY 3, 1, 2`},
	{"catalog.same_spelling", `WITH spelt AS (SELECT id, maker, maker_norm, number,
			replace(replace(number_norm, 'O', '0'), 'I', '1') AS form FROM part WHERE merged_into IS NULL)
		SELECT a.id, b.id, a.maker || ' ' || min(a.number, b.number) || ' = ' || max(a.number, b.number) FROM spelt a
		JOIN spelt b ON b.maker_norm = a.maker_norm AND b.form = a.form AND b.id > a.id ORDER BY a.form, a.maker_norm, 1, 2`},
	{"catalog.same_maker", `SELECT a.id, b.id, a.maker || ' = ' || b.maker FROM part a
		JOIN part b ON b.number_norm = a.number_norm AND b.id <> a.id
			AND length(b.maker_norm) > length(a.maker_norm) AND substr(b.maker_norm, 1, length(a.maker_norm)) = a.maker_norm
		WHERE a.merged_into IS NULL AND b.merged_into IS NULL ORDER BY a.number_norm, a.maker_norm, 1, 2`},
	{"catalog.same_number", `SELECT p.id, o.part, p.maker || '/' || p.number FROM part p
		JOIN other_number o ON o.maker_norm = p.maker_norm AND o.number_norm = p.number_norm AND o.part <> p.id
		WHERE p.merged_into IS NULL ORDER BY p.number_norm, p.maker_norm`},
}

// propose makes a proposal of two records; the one that more was posted of is
// kept, else the older one.
func propose(ctx context.Context, tx *store.Tx, a, b string) (p Proposal, ok bool, err error) {
	undone, err := tx.One(ctx, store.Into(new(int)), `SELECT 1 FROM merge WHERE undone_at IS NOT NULL
		AND (kept = $1 AND gone = $2 OR kept = $2 AND gone = $1) LIMIT 1`, a, b)
	if err != nil || undone {
		return p, false, err
	}
	var ids []string
	err = tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		ids = append(ids, id)
		return err
	}, `SELECT p.id FROM part p WHERE p.id IN ($1, $2)
		ORDER BY (SELECT count(*) FROM movement m WHERE m.part = p.id) DESC, p.id`, a, b)
	if err != nil || len(ids) != 2 {
		return p, false, err
	}
	for i, to := range []*Part{&p.Kept, &p.Gone} {
		if *to, _, err = PartByID(ctx, tx, ids[i]); err != nil {
			return p, false, err
		}
	}
	err = Mergeable(ctx, tx, p.Kept, p.Gone)
	if fault.KindOf(err) == fault.Conflict {
		return p, false, nil
	}
	return p, err == nil, err
}

// Mergeable refuses two records that cannot be one part. Error: Conflict,
// saying why.
func Mergeable(ctx context.Context, tx *store.Tx, kept, gone Part) error {
	refuse := func(id string, args ...any) error {
		return fault.New(fault.Conflict, id, append([]any{kept.Name(), gone.Name()}, args...)...).WithHint("catalog.merge_refused.hint")
	}
	switch {
	case kept.ID == gone.ID:
		return fault.New(fault.Conflict, "catalog.merge_itself", kept.Name()).WithHint("catalog.merge_itself.hint")
	case kept.Role != gone.Role:
		return refuse("catalog.merge_role", fault.Say("role."+string(kept.Role)), fault.Say("role."+string(gone.Role)))
	case kept.Unit != gone.Unit:
		return refuse("catalog.merge_unit", kept.Unit, gone.Unit)
	}
	for _, f := range bothState(kept, gone) {
		if f.kept != "" && f.gone != "" && !strings.EqualFold(f.kept, f.gone) {
			return refuse("catalog.merge_differs", fault.Say(f.name), f.kept, f.gone)
		}
	}
	both := kept
	both.fill(gone)
	if err := both.check(); err != nil {
		return refuse("catalog.merge_nonsense", fault.Of(err).Message)
	}
	return firstError(versions(ctx, tx, kept, gone), sameContents(ctx, tx, kept, gone))
}

// stated is what two records say of one thing; "" where one says nothing.
type stated struct{ name, kept, gone string }

func bothState(a, b Part) []stated {
	return []stated{
		{"catalog.inner", mm(a.Size.Inner), mm(b.Size.Inner)},
		{"catalog.outer", mm(a.Size.Outer), mm(b.Size.Outer)},
		{"catalog.height", mm(a.Size.Height), mm(b.Size.Height)},
		{"field.overall", mm(a.Size.Overall), mm(b.Size.Overall)},
		{"catalog.thread", a.Thread, b.Thread},
		{"field.head", mm(a.Head), mm(b.Head)},
		{"field.seat", a.Seat, b.Seat},
		{"field.strength", a.Strength, b.Strength},
		{"field.coated", a.Coated, b.Coated},
		{"field.material", a.Material, b.Material},
		{"field.elastomer", a.Elastomer, b.Elastomer},
	}
}

// mm prints a length, nothing for one that is not known.
func mm(l measure.Length) string {
	if l == 0 {
		return ""
	}
	return l.String()
}

// fill takes over what the other record states and p does not.
func (p *Part) fill(o Part) {
	for _, l := range [][2]*measure.Length{
		{&p.Size.Inner, &o.Size.Inner},
		{&p.Size.Outer, &o.Size.Outer},
		{&p.Size.Height, &o.Size.Height},
		{&p.Size.Overall, &o.Size.Overall},
		{&p.Head, &o.Head},
	} {
		if *l[0] == 0 {
			*l[0] = *l[1]
		}
	}
	for _, s := range [][2]*string{
		{&p.Thread, &o.Thread},
		{&p.Seat, &o.Seat},
		{&p.Strength, &o.Strength},
		{&p.Coated, &o.Coated},
		{&p.Material, &o.Material},
		{&p.Elastomer, &o.Elastomer},
		{&p.HomeBin, &o.HomeBin},
	} {
		if *s[0] == "" {
			*s[0] = *s[1]
		}
	}
	if p.Minimum == 0 {
		p.Minimum = o.Minimum
	}
}

// versions refuses an old and a new version of a part, and two that were
// replaced by different ones.
func versions(ctx context.Context, tx *store.Tx, kept, gone Part) error {
	for _, ends := range [][2]Ref{{kept.Ref(), gone.Ref()}, {gone.Ref(), kept.Ref()}} {
		path, err := pathBetween(ctx, tx, ends[0], ends[1])
		if err != nil {
			return err
		}
		if path != nil {
			return fault.New(fault.Conflict, "catalog.merge_versions", arrows(path)).WithHint("catalog.merge_refused.hint")
		}
	}
	var by []string
	for _, p := range []Part{kept, gone} {
		l, err := linkOfPart(ctx, tx, p.ID)
		if err != nil {
			return err
		}
		r, found, err := successor(ctx, tx, l)
		if err != nil {
			return err
		}
		if found {
			to, err := linkOf(ctx, tx, r.New)
			if err != nil {
				return err
			}
			by = append(by, to.key(), r.New.Name())
		}
	}
	if len(by) == 4 && by[0] != by[2] {
		return fault.New(fault.Conflict, "catalog.merge_apart", kept.Name(), by[1], gone.Name(), by[3]).WithHint("catalog.merge_refused.hint")
	}
	return nil
}

// sameContents refuses two kits that bring different things, and a kit and
// what is in it.
func sameContents(ctx context.Context, tx *store.Tx, kept, gone Part) error {
	contents := map[string][]string{}
	inside := false
	err := tx.Each(ctx, func(scan store.Scan) error {
		var kit, part, row string
		err := scan(&kit, &part, &row)
		contents[kit] = append(contents[kit], row)
		inside = inside || part == kept.ID || part == gone.ID
		return err
	}, `SELECT kit, coalesce(part, ''), json_array(part, role, inner_um, outer_um, height_um, overall_um, thread, pieces)
		FROM kit_content WHERE kit IN ($1, $2) ORDER BY kit, 3`, kept.ID, gone.ID)
	if err != nil {
		return err
	}
	a, b := contents[kept.ID], contents[gone.ID]
	if inside || len(a) > 0 && len(b) > 0 && !slices.Equal(a, b) {
		return fault.New(fault.Conflict, "catalog.merge_contents", kept.Name(), gone.Name()).WithHint("catalog.merge_refused.hint")
	}
	return nil
}

// Merge is two records that were made one.
type Merge struct {
	ID         string
	Kept, Gone string // ids of parts
	Reason     string
	Person     string // id
	Name       string // of the person, given by queries
	At         string // store.Stamp
	Posting    string // id of that which moved the stock, empty for none
	Undone     bool
}

const mergeColumns = ` m.id, m.kept, m.gone, m.reason, m.person, w.name, m.at, coalesce(m.posting, ''), m.undone_at IS NOT NULL
	FROM merge m JOIN person w ON w.id = m.person JOIN part g ON g.id = m.gone `

func queryMerges(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Merge, error) {
	var all []Merge
	err := tx.Each(ctx, func(scan store.Scan) error {
		var m Merge
		err := scan(&m.ID, &m.Kept, &m.Gone, &m.Reason, &m.Person, &m.Name, &m.At, &m.Posting, &m.Undone)
		all = append(all, m)
		return err
	}, query, args...)
	return all, err
}

// Merges gives what was merged and not undone, in its order.
func Merges(ctx context.Context, tx *store.Tx) ([]Merge, error) {
	return queryMerges(ctx, tx, `SELECT`+mergeColumns+`WHERE m.undone_at IS NULL ORDER BY m.at, m.id`)
}

// MergeNamed finds a merge by its id, by its posting, or by the number of the
// record that is gone. Error: NotFound, Ambiguous, Conflict (undone already).
func MergeNamed(ctx context.Context, tx *store.Tx, name string) (Merge, error) {
	maker, number, cut := strings.Cut(name, "/")
	if !cut {
		maker, number = "", name
	}
	all, err := queryMerges(ctx, tx, `SELECT`+mergeColumns+`WHERE m.id = $1 OR m.posting = $1 OR m.undone_at IS NULL
		AND $3 <> '' AND g.number_norm = $3 AND ($2 = '' OR g.maker_norm = $2) ORDER BY m.at, m.id`, name, Normal(maker), Normal(number))
	switch {
	case err != nil:
		return Merge{}, err
	case len(all) == 0:
		return Merge{}, fault.New(fault.NotFound, "catalog.merge_absent", short(name)).WithHint("catalog.merge_absent.hint")
	case len(all) > 1:
		e := fault.New(fault.Ambiguous, "catalog.merge_ambiguous", short(name))
		for _, m := range all {
			p, _, err := PartByID(ctx, tx, m.Gone)
			if err != nil {
				return m, err
			}
			command := "forkstock merge --undo " + words.ShellWord(m.ID)
			e.Candidates = append(e.Candidates, fault.Candidate{Name: m.ID, Tell: fault.Plain(fmt.Sprint(p.Name(), " ", m.At)), Command: command})
		}
		return Merge{}, e
	case all[0].Undone:
		return all[0], fault.New(fault.Conflict, "catalog.merge_undone").WithHint("catalog.merge_undone.hint")
	}
	return all[0], nil
}

// MergeByPosting gives the merge that moved its stock by a posting; ok is false
// where none did.
func MergeByPosting(ctx context.Context, tx *store.Tx, posting string) (m Merge, ok bool, err error) {
	all, err := queryMerges(ctx, tx, `SELECT`+mergeColumns+`WHERE m.posting = $1 AND $1 <> '' ORDER BY m.id`, posting)
	if err != nil || len(all) == 0 {
		return m, false, err
	}
	return all[0], true, nil
}
