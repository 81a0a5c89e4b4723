package search

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Suggestion is what a text that is being typed may become.
type Suggestion struct {
	Kind string // "part", "fork", "bike", "make" or "kind" (of part)
	Text string // the whole text, as it can be looked for
	Note fault.Message
}

const (
	mostSuggestions = 10
	mostOfAKind     = 4
)

// Suggest gives at most ten texts that typed may become: makes, forks, bikes and
// words for parts, then numbers of parts. The last words of typed are completed;
// those before them stay. Nothing is suggested for one character.
func (ix *Index) Suggest(ctx context.Context, tx *store.Tx, typed string) ([]Suggestion, error) {
	typed = strings.Join(strings.Fields(typed), " ")
	if len([]rune(catalog.Normal(typed))) < 2 || len(typed) > mostText {
		return nil, nil
	}
	newest, err := newestChange(ctx, tx)
	if err != nil {
		return nil, err
	}
	v, err := ix.vocabularyOf(ctx, tx, newest, plain{tx: tx})
	if err != nil {
		return nil, err
	}
	parts, err := numbersBegun(ctx, tx, typed)
	if err != nil {
		return nil, err
	}
	all := append(v.complete(typed), parts...)
	return all[:min(len(all), mostSuggestions)], nil
}

// numbersBegun gives the parts whose number begins as typed.
func numbersBegun(ctx context.Context, tx *store.Tx, typed string) (all []Suggestion, err error) {
	norm := catalog.Normal(typed)
	err = tx.Each(ctx, func(scan store.Scan) error {
		var number, maker, role, thread string
		var s measure.Size
		err := scan(&number, &maker, &role, &thread, &s.Inner, &s.Outer, &s.Height, &s.Overall)
		note := list([]fault.Message{fault.Say("role." + role), fault.Plain(maker)})
		if s.Inner != 0 || s.Outer != 0 {
			note = list([]fault.Message{fault.Say("role." + role), fault.Say("search.suggest_size", s), fault.Plain(maker)})
		}
		all = append(all, Suggestion{"part", number, note})
		return err
	}, `SELECT number, maker, role, thread, coalesce(inner_um, 0), coalesce(outer_um, 0), coalesce(height_um, 0), coalesce(overall_um, 0)
		FROM part WHERE merged_into IS NULL AND number_norm >= $1 AND number_norm < $2 ORDER BY number_norm, maker_norm LIMIT $3`,
		norm, norm+beyond, mostSuggestions)
	return all, err
}

// complete gives what the last words of typed may become, the longest run of
// words first that begins a name.
func (v *Vocabulary) complete(typed string) []Suggestion {
	words := strings.Fields(typed)
	for from := max(0, len(words)-longest); from < len(words); from++ {
		k := ""
		for _, w := range words[from:] {
			k += key(w)
		}
		if len([]rune(k)) < 2 {
			continue
		}
		if found := v.begun(k); len(found) > 0 {
			before := strings.Join(words[:from], " ")
			for i := range found {
				found[i].Text = strings.TrimSpace(before + " " + found[i].Text)
			}
			return found
		}
	}
	return nil
}

// most names are looked at for one suggestion.
const mostNames = 2000

// begun gives the names whose key begins with k: forks, bikes, makes, kinds of
// parts, a few of each, the shortest first. Of words that name the same kinds
// one is enough.
func (v *Vocabulary) begun(k string) []Suggestion {
	byKind := map[string][]Suggestion{}
	seen := map[string]bool{}
	add := func(kind, text string, note fault.Message) {
		if !seen[kind+text] {
			seen[kind+text] = true
			byKind[kind] = append(byKind[kind], Suggestion{kind, text, note})
		}
	}
	from, _ := slices.BinarySearch(v.keys, k)
	for i, other := range v.keys[from:] {
		if !strings.HasPrefix(other, k) || i == mostNames {
			break
		}
		n := v.names[other]
		if n.fork != "" {
			add("fork", n.fork, fault.Say("search.suggest_fork"))
		}
		for _, b := range n.bikes {
			add("bike", b.Make+" "+b.Model, fault.Say("search.suggest_bike"))
		}
		if n.make != "" {
			add("make", n.make, fault.Say("search.suggest_make"))
		}
		if n.roles != nil && !seen[string(n.roles[0])] {
			seen[string(n.roles[0])] = true
			add("kind", n.typed, fault.Say("role."+string(n.roles[0])))
		}
	}
	var all []Suggestion
	for _, kind := range []string{"make", "fork", "bike", "kind"} {
		some := byKind[kind]
		slices.SortStableFunc(some, func(a, b Suggestion) int { return cmp.Compare(len(a.Text), len(b.Text)) })
		all = append(all, some[:min(len(some), mostOfAKind)]...)
	}
	return all
}
