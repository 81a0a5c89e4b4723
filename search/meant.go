package search

import (
	"context"
	"regexp"
	"slices"
	"strings"

	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// mostMeant is how many other texts are offered where nothing was found.
const mostMeant = 3

// meant gives texts that may have been meant where nothing was found: each word
// that nothing is known about as a word of the vocabulary or of the catalog that
// is two slips from it at most. Numbers are not guessed at.
func (f *finder) meant() []string {
	nothing := f.hits.Total == 0 && len(f.hits.Forks) == 0 && len(f.hits.Items) == 0
	unknown := slices.ContainsFunc(f.notes, func(m fault.Message) bool { return strings.HasPrefix(m.ID, "search.unknown") })
	if !nothing && !unknown && f.q.Doubt == nil {
		return nil
	}
	var all []string
	words := split(f.q.Text)
	for i, w := range words {
		k := key(w)
		if !slices.Contains(f.q.Words, w) && !slices.Contains(f.q.Doubt, w) {
			continue
		}
		if nothing && inchLike.MatchString(w) {
			all = append(all, strings.Join(slices.Concat(words[:i], []string{w + " in"}, words[i+1:]), " "))
		}
		if len([]rune(k)) < 4 && !slices.Contains(f.q.Doubt, w) || hasDigit(k) || f.v.find(k) != nil || f.v.knows(word{typed: w, key: k}) {
			continue
		}
		others := f.lex.around(wording.Fold(w))
		if len([]rune(k)) >= 4 {
			others = append(f.v.around(k), others...)
		}
		for _, other := range others {
			text := strings.Join(slices.Concat(words[:i], []string{other}, words[i+1:]), " ")
			if !slices.Contains(all, text) && len(all) < mostMeant {
				all = append(all, text)
			}
		}
	}
	return all
}

// inchLike is a number that no part is thick and no leg is wide in millimetres,
// but a leg is in inches: 1.614.
var inchLike = regexp.MustCompile(`^[1-2]?[.,]\d{2,4}$`)

// around gives the names that are two slips from k at most, the nearest first.
func (v *Vocabulary) around(k string) []string {
	var far, near []string
	for longer := -2; longer <= 2; longer++ {
		s := shapeOf(k)
		s.length += longer
		for _, other := range v.alike[s] {
			switch slips(k, other, 2) {
			case 0, 1:
				near = append(near, v.names[other].typed)
			case 2:
				far = append(far, v.names[other].typed)
			}
		}
	}
	return append(near, far...)
}

// mostTerms is how many words of the index are looked at.
const mostTerms = 20_000

// around gives the words of the index that begin like word and are two slips
// from it at most, the nearest first.
func (x *indexed) around(word string) []string {
	var far, near []string
	if word == "" {
		return nil
	}
	_ = guard(func() error { // without it there is nothing to offer
		terms, err := x.words.FieldDictPrefix(partField, []byte(word[:1]))
		if err != nil {
			return err
		}
		defer terms.Close()
		for range mostTerms {
			term, err := terms.Next()
			if err != nil || term == nil {
				return err
			}
			switch n := slips(word, term.Term, 2); {
			case len(word) < 4: // two slips would be most of it
				if strings.HasPrefix(term.Term, word) {
					far = append(far, term.Term)
				}
			case n < 2:
				near = append(near, term.Term)
			case n == 2:
				far = append(far, term.Term)
			}
		}
		return nil
	})
	return append(near, far...)
}

func (p plain) around(string) []string { return nil }

// nearest notes which leg comes nearest to a diameter that nothing was found
// for: 38 mm for 1 1/2 in. They are not the same. Somebody may have measured
// it.
func (f *finder) nearest(ctx context.Context, tx *store.Tx) error {
	if f.hits.Total > 0 || len(f.q.Lengths) != 1 || f.q.Lengths[0] < 20*measure.Millimetre || slices.ContainsFunc(f.q.Roles, ownDiameter) {
		return nil
	}
	var below, above measure.Length
	_, err := tx.One(ctx, store.Into(&below, &above), `SELECT (SELECT coalesce(max(leg_um), 0) FROM fork WHERE leg_um < $1),
		(SELECT coalesce(min(leg_um), 0) FROM fork WHERE leg_um > $1) WHERE NOT EXISTS (SELECT 1 FROM fork WHERE leg_um = $1)`, int64(f.q.Lengths[0]))
	d := f.q.Lengths[0]
	off := min(away(below, d), away(above, d), measure.Millimetre)
	for _, leg := range []measure.Length{below, above} {
		if leg != 0 && away(leg, d) <= off {
			f.notes = append(f.notes, fault.Say("search.nearest", leg, d))
		}
	}
	f.hits.Measured.Diameter = d
	if len(f.q.Roles) == 1 {
		f.hits.Measured.Role = f.q.Roles[0]
	}
	return err
}

// away gives how far two lengths are from each other.
func away(a, b measure.Length) measure.Length { return max(a-b, b-a) }
