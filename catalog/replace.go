package catalog

import (
	"context"
	"regexp"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Numbers get replaced: by exactly one newer number each, so that a chain,
// from whichever of its numbers, ends at the same current one. A number may
// replace several. All numbers of one part are one link of a chain. A
// replacement both ways says that the old one still does for the new one;
// which is the newer does not change by it.

// Replacement says that a number was replaced by another.
type Replacement struct {
	ID       string
	Old, New Ref
	BothWays bool
	Since    string // 2019, 2019-05 or 2019-05-14; empty: not known
	Reason   string
	Told
}

// Tail gives since when and why, as it follows a sentence; nothing where
// neither is known.
func (r Replacement) Tail() fault.Message {
	switch {
	case r.Since != "" && r.Reason != "":
		return fault.Say("catalog.since_reason", r.Since, r.Reason)
	case r.Since != "":
		return fault.Say("catalog.since", r.Since)
	case r.Reason != "":
		return fault.Say("catalog.reason", r.Reason)
	}
	return fault.Message{}
}

// sinceForm is a year, month or day of ISO 8601.
var sinceForm = regexp.MustCompile(`^(?:19|2[01])\d\d(?:-(?:0[1-9]|1[0-2])(?:-(?:0[1-9]|[12]\d|3[01]))?)?$`)

func (r Replacement) check() error {
	if r.Since != "" && !sinceForm.MatchString(r.Since) {
		return fault.New(fault.Invalid, "catalog.bad_since", short(r.Since)).WithHint("catalog.bad_since.hint")
	}
	return firstError(r.Old.check(), r.New.check(),
		checkTexts(field{"reason", r.Reason, mostText}, field{"source", r.Source, mostText}))
}

// AddReplacement says that a number was replaced by another. Errors: Invalid,
// Conflict (known already, replaced by something else already, or the new one
// leads back to the old one; the message shows the way).
func AddReplacement(ctx context.Context, tx *store.Tx, r Replacement) (Replacement, error) {
	if err := r.check(); err != nil {
		return r, err
	}
	old, err := linkOf(ctx, tx, r.Old)
	if err != nil {
		return r, err
	}
	next, err := linkOf(ctx, tx, r.New)
	if err != nil {
		return r, err
	}
	if old.same(next) {
		return r, fault.New(fault.Conflict, "catalog.replaces_itself", r.Old.Name(), r.New.Name()).WithHint("catalog.replaces_itself.hint")
	}
	before, found, err := successor(ctx, tx, old)
	switch {
	case err != nil:
		return r, err
	case found:
		return r, fault.New(fault.Conflict, "catalog.replaced_already", r.Old.Name(), before.New.Name(), before.Tail()).
			WithHint("catalog.replaced_already.hint", words.ShellWord(before.Old.Name()), words.ShellWord(before.New.Name()))
	}
	path, err := pathBetween(ctx, tx, r.New, r.Old)
	if err != nil {
		return r, err
	}
	if path != nil {
		return r, fault.New(fault.Conflict, "catalog.cycle", arrows(append([]Ref{r.Old}, path...))).
			WithHint("catalog.see_chain.hint", words.ShellWord(r.Old.Name()))
	}
	if r.ID, err = tx.NewID(); err != nil {
		return r, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO replacement (id, maker, maker_norm, number, number_norm, by_maker, by_maker_norm,
		by_number, by_number_norm, both_ways, since, reason, source, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		r.ID, r.Old.Maker, Normal(r.Old.Maker), r.Old.Number, Normal(r.Old.Number), r.New.Maker, Normal(r.New.Maker),
		r.New.Number, Normal(r.New.Number), r.BothWays, r.Since, r.Reason, r.Source, r.person(), store.Stamp(tx.Now))
	return r, err
}

// ReplacementOf finds what was told of two numbers. Error: NotFound.
func ReplacementOf(ctx context.Context, tx *store.Tx, old, by Ref) (Replacement, error) {
	all, err := replacements(ctx, tx, `r.maker_norm = $1 AND r.number_norm = $2 AND r.by_maker_norm = $3 AND r.by_number_norm = $4`,
		Normal(old.Maker), Normal(old.Number), Normal(by.Maker), Normal(by.Number))
	if err == nil && len(all) == 0 {
		err = fault.New(fault.NotFound, "catalog.replacement_absent", short(old.Name()), short(by.Name())).
			WithHint("catalog.see_chain.hint", words.ShellWord(short(old.Name())))
	}
	if err != nil {
		return Replacement{}, err
	}
	return all[0], nil
}

// ChangeReplacement keeps what r says of the replacement with its id, but for
// its numbers. Error: Invalid.
func ChangeReplacement(ctx context.Context, tx *store.Tx, r Replacement) error {
	if err := r.check(); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE replacement SET both_ways = $2, since = $3, reason = $4, source = $5, person = $6, at = $7
		WHERE id = $1`, r.ID, r.BothWays, r.Since, r.Reason, r.Source, r.person(), store.Stamp(tx.Now))
	return err
}

// DropReplacement takes back that a number was replaced by another.
func DropReplacement(ctx context.Context, tx *store.Tx, r Replacement) error {
	_, err := tx.Exec(ctx, `DELETE FROM replacement WHERE id = $1`, r.ID)
	return err
}

// Replacements gives everything that is told of replaced numbers, by the old
// number.
func Replacements(ctx context.Context, tx *store.Tx) ([]Replacement, error) {
	return replacements(ctx, tx, `$1 = 0`, 0)
}

func replacements(ctx context.Context, tx *store.Tx, where string, args ...any) ([]Replacement, error) {
	var all []Replacement
	err := tx.Each(ctx, func(scan store.Scan) error {
		var r Replacement
		err := scan(&r.ID, &r.Old.Maker, &r.Old.Number, &r.New.Maker, &r.New.Number, &r.BothWays, &r.Since, &r.Reason, &r.Source, &r.Person)
		all = append(all, r)
		return err
	}, `SELECT r.id, r.maker, r.number, r.by_maker, r.by_number, r.both_ways, r.since, r.reason, r.source, coalesce(r.person, '')
		FROM replacement r WHERE `+where+` ORDER BY r.number_norm, r.maker_norm, r.since DESC, r.id`, args...)
	return all, err
}

// link is one place in chains: a part with all its numbers, or a bare number.
type link struct {
	part string
	refs []Ref // the part's own first
}

// key tells links apart.
func (l link) key() string {
	if l.part != "" {
		return l.part
	}
	return l.refs[0].norm()
}

func (l link) same(o link) bool { return l.key() == o.key() }

func linkOf(ctx context.Context, tx *store.Tx, r Ref) (link, error) {
	part, err := ownerOf(ctx, tx, r)
	if err != nil || part == "" {
		return link{refs: []Ref{r}}, err
	}
	return linkOfPart(ctx, tx, part)
}

func linkOfPart(ctx context.Context, tx *store.Tx, part string) (link, error) {
	l := link{part: part}
	p, _, err := PartByID(ctx, tx, part)
	if err != nil {
		return l, err
	}
	l.refs = append(l.refs, p.Ref())
	others, err := OtherNumbers(ctx, tx, part)
	for _, n := range others {
		l.refs = append(l.refs, n.Ref)
	}
	return l, err
}

// successor gives by what l was replaced; found is false where it is current.
// Of several, which only a hand-run SQL can have told, the newest counts.
func successor(ctx context.Context, tx *store.Tx, l link) (newest Replacement, found bool, err error) {
	for _, ref := range l.refs {
		all, err := replacements(ctx, tx, `r.maker_norm = $1 AND r.number_norm = $2`, Normal(ref.Maker), Normal(ref.Number))
		if err != nil {
			return newest, false, err
		}
		for _, r := range all {
			to, err := linkOf(ctx, tx, r.New)
			if err != nil {
				return newest, false, err
			}
			if !to.same(l) && (!found || r.Since > newest.Since) {
				newest, found = r, true
			}
		}
	}
	return newest, found, nil
}

// forward gives the replacements from l to the current number, and the links
// that they lead to.
func forward(ctx context.Context, tx *store.Tx, l link) (steps []Replacement, links []link, err error) {
	seen := map[string]bool{l.key(): true}
	for {
		r, found, err := successor(ctx, tx, l)
		if err != nil || !found {
			return steps, links, err
		}
		if l, err = linkOf(ctx, tx, r.New); err != nil || seen[l.key()] {
			return steps, links, err
		}
		seen[l.key()] = true
		steps, links = append(steps, r), append(links, l)
	}
}

// pathBetween gives the numbers from one to another, both included; nil where
// the one was not replaced by the other.
func pathBetween(ctx context.Context, tx *store.Tx, from, to Ref) ([]Ref, error) {
	start, err := linkOf(ctx, tx, from)
	if err != nil {
		return nil, err
	}
	end, err := linkOf(ctx, tx, to)
	if err != nil {
		return nil, err
	}
	path := []Ref{from}
	steps, links, err := forward(ctx, tx, start)
	for i, l := range links {
		if l.same(end) {
			return append(path, to), err
		}
		path = append(path, steps[i].New)
	}
	return nil, err
}

// arrows shows the way along numbers.
func arrows(path []Ref) string {
	var names []string
	for _, r := range path {
		names = append(names, r.Name())
	}
	return strings.Join(names, " -> ")
}

// ChainLink is one number of a chain, or one part with all its numbers.
type ChainLink struct {
	Ref         // of a part its own number
	Part string // id; empty: the shop keeps no part of it
	// By is by what it was replaced; the zero Replacement for the current one.
	By Replacement
	// Usable says that it may be fitted instead of the number that the chain
	// was asked for: it is newer, or replaced both ways.
	Usable bool
}

// Chain gives every number that leads to the same current one as r does, the
// oldest first, the current one last; r alone where nothing is told of it.
func Chain(ctx context.Context, tx *store.Tx, r Ref) ([]ChainLink, error) {
	asked, err := linkOf(ctx, tx, r)
	if err != nil {
		return nil, err
	}
	_, links, err := forward(ctx, tx, asked)
	if err != nil {
		return nil, err
	}
	c := chain{usable: map[string]bool{asked.key(): true}, seen: map[string]bool{}}
	current := asked
	for _, l := range links {
		c.usable[l.key()] = true
		current = l
	}
	if err := c.add(ctx, tx, current, Replacement{}); err != nil {
		return nil, err
	}
	c.spread()
	return c.links, nil
}

// chain is a chain that is being gathered.
type chain struct {
	links        []ChainLink
	keys         []string // of links
	by           []string // key of the link that replaced it
	usable, seen map[string]bool
}

// add takes in what was replaced by l, then l itself, which by replaced.
func (c *chain) add(ctx context.Context, tx *store.Tx, l link, by Replacement) error {
	c.seen[l.key()] = true
	for _, ref := range l.refs {
		older, err := replacements(ctx, tx, `r.by_maker_norm = $1 AND r.by_number_norm = $2`, Normal(ref.Maker), Normal(ref.Number))
		if err != nil {
			return err
		}
		for _, r := range older {
			from, err := linkOf(ctx, tx, r.Old)
			if err != nil {
				return err
			}
			if c.seen[from.key()] {
				continue
			}
			if err := c.add(ctx, tx, from, r); err != nil {
				return err
			}
			c.by[len(c.by)-1] = l.key()
		}
	}
	c.links = append(c.links, ChainLink{Ref: l.refs[0], Part: l.part, By: by})
	c.keys, c.by = append(c.keys, l.key()), append(c.by, "")
	return nil
}

// spread marks what still does for what is usable, from the current one back.
func (c *chain) spread() {
	for i := len(c.links) - 1; i >= 0; i-- {
		if c.links[i].By.BothWays && c.usable[c.by[i]] {
			c.usable[c.keys[i]] = true
		}
		c.links[i].Usable = c.usable[c.keys[i]]
	}
}

// Succession is what became of a part that was replaced.
type Succession struct {
	By      Replacement // the first step
	Current Ref
	Part    string // id of the newest of the chain that the shop keeps; empty: none
	Kept    bool   // that newest one is the current one
	// BothWays says that the old part still does for the current one.
	BothWays bool
}

// Old says of the old part that it is an old version, or that it still does.
func (s Succession) Old() fault.Message {
	if s.BothWays {
		return fault.Say("catalog.still_does", s.Current.Name(), s.By.Tail())
	}
	return fault.Say("catalog.old_version", s.By.New.Name(), s.By.Tail())
}

// SuccessionOf gives what became of a part; found is false where it is current.
func SuccessionOf(ctx context.Context, tx *store.Tx, part string) (s Succession, found bool, err error) {
	l, err := linkOfPart(ctx, tx, part)
	if err != nil {
		return s, false, err
	}
	return succession(ctx, tx, l)
}

// SuccessionOfNumber gives what became of a number; found is false where it is
// current, or nothing is known of it.
func SuccessionOfNumber(ctx context.Context, tx *store.Tx, r Ref) (s Succession, found bool, err error) {
	l, err := linkOf(ctx, tx, r)
	if err != nil {
		return s, false, err
	}
	return succession(ctx, tx, l)
}

func succession(ctx context.Context, tx *store.Tx, l link) (s Succession, found bool, err error) {
	steps, links, err := forward(ctx, tx, l)
	if err != nil || len(steps) == 0 {
		return s, false, err
	}
	s = Succession{By: steps[0], Current: links[len(links)-1].refs[0], BothWays: true}
	for i, to := range links {
		s.BothWays = s.BothWays && steps[i].BothWays
		if s.Kept = to.part != ""; s.Kept {
			s.Part = to.part
		}
	}
	return s, true, nil
}

// Replaced gives what became of every part that was replaced, by its id.
func Replaced(ctx context.Context, tx *store.Tx) (map[string]Succession, error) {
	var ids []string
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		ids = append(ids, id)
		return err
	}, `SELECT coalesce(p.merged_into, p.id) FROM replacement r
			JOIN part p ON p.maker_norm = r.maker_norm AND p.number_norm = r.number_norm
		UNION SELECT o.part FROM replacement r JOIN other_number o ON o.maker_norm = r.maker_norm AND o.number_norm = r.number_norm
		ORDER BY 1`)
	if err != nil {
		return nil, err
	}
	all := map[string]Succession{}
	for _, id := range slices.Compact(ids) {
		s, found, err := SuccessionOf(ctx, tx, id)
		if err != nil {
			return nil, err
		}
		if found {
			all[id] = s
		}
	}
	return all, nil
}
