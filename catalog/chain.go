package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

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
