package search

import (
	"context"
	"maps"
	"regexp"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// worded keeps of met what has the words that are left; without any other
// condition, it gives what has them. Words narrow an answer down where they
// can: one that nothing is known about is left out, and where nothing has them
// all, what has any of them is given; either is noted. Where the text was
// answered by name, words are not looked for on their own.
func (f *finder) worded(ctx context.Context, tx *store.Tx, met set, answered bool) (set, error) {
	met, err := f.narrowed(ctx, tx, met, answered)
	if err != nil {
		return nil, err
	}
	// What is described as for the leg, as of the material, or as it was called,
	// comes first.
	first := slices.Clone(f.q.Prefer)
	for _, name := range f.q.Named {
		first = append(first, split(name)...)
	}
	if f.q.Leg != "" {
		first = append(first, f.q.Leg)
	}
	for _, w := range first {
		if err := described(ctx, tx, met, w); err != nil {
			return nil, err
		}
	}
	return met, nil
}

// described raises the score of what a word, or what says the same, stands in
// the description or the material of.
func described(ctx context.Context, tx *store.Tx, met set, word string) error {
	return tx.Each(ctx, func(scan store.Scan) error {
		var id, text string
		err := scan(&id, &text)
		has := terms(text)
		lacks := func(w string) bool { return !slices.Contains(has, w) }
		for _, w := range append([]string{word}, other[key(word)]...) {
			if !slices.ContainsFunc(terms(w), lacks) {
				c := met[id]
				c.score++
				met[id] = c
				break
			}
		}
		return err
	}, `SELECT id, description || ' ' || material FROM part WHERE id IN (SELECT value FROM json_each($1)) ORDER BY id`, jsonList(met.ids()))
}

// words gives the lexicon to ask for parts: where a kind of part is the only
// other condition, for such parts alone.
func (f *finder) words() lexicon {
	if f.roleAlone {
		return f.lex.among(f.q.Roles)
	}
	return f.lex
}

// itsRole says of a part that it is of its kind.
func itsRole(p catalog.Part) (fault.Message, bool) {
	return fault.Say("search.why_role", fault.Say("role."+string(p.Role))), false
}

func (f *finder) narrowed(ctx context.Context, tx *store.Tx, met set, answered bool) (set, error) {
	if len(f.rest) == 0 || met == nil && answered && !f.roleAlone {
		return met, nil
	}
	if whole, err := f.spoken(ctx, tx, met); err != nil || whole != nil {
		return whole, err
	}
	scores, err := f.scores(ctx, met.ids())
	f.hits.Degraded = f.lex.trouble()
	if err != nil {
		return nil, err
	}
	f.cut = f.cut || met == nil && len(scores) >= mostHits
	if stray, err := f.stray(ctx, met); err != nil || stray != "" {
		f.notes = append(f.notes, fault.Say("search.none_number", stray))
		return set{}, err
	}
	if len(scores) == 0 && (met != nil || f.roleAlone) {
		return met, nil
	}
	if met == nil && f.roleAlone {
		return partsScored(ctx, tx, scores, itsRole)
	}
	if met == nil {
		return partsScored(ctx, tx, scores, because("search.why_words", strings.Join(f.rest, " ")))
	}
	met.keep(func(c candidate) bool { return scores[c.part.ID] > 0 })
	for id, c := range met {
		c.score = scores[id]
		met[id] = c
	}
	return met, nil
}

// distinct gives words in their order, each once: asking for one again tells
// nothing new.
func distinct(words []string) (each []string) {
	for _, w := range words {
		if !slices.Contains(each, w) {
			each = append(each, w)
		}
	}
	return each
}

// stray gives a number among the words that nothing of met has: numbers are
// never left out, for what is asked for then is something else. How many are
// wanted (2x), and a year where no bike is named, say nothing of a part.
func (f *finder) stray(ctx context.Context, met set) (string, error) {
	if len(met) == 0 && !f.roleAlone {
		return "", nil
	}
	for _, w := range f.q.Words {
		if !hasDigit(w) || pieces.MatchString(w) || yearForm.MatchString(w) || f.q.Bin == w {
			continue
		}
		found, err := f.words().having(ctx, partField, []string{w}, met.ids())
		if err != nil || len(found) == 0 && !f.numbers[w] {
			return w, err
		}
	}
	return "", nil
}

var pieces = regexp.MustCompile(`^(?i)(?:[x×]?\d|\d[x×]?)$`)

// spoken gives what has all words of a text, those for kinds of parts too,
// where it asks for kinds of parts and words alone, and none of those kinds has
// the words: a "spring compressor" is no spring. It is nil where nothing does.
func (f *finder) spoken(ctx context.Context, tx *store.Tx, met set) (set, error) {
	if !f.q.kindsAlone() || met == nil && !f.roleAlone {
		return nil, nil
	}
	narrow, err := f.words().having(ctx, partField, f.rest, met.ids())
	if err != nil || len(narrow) > 0 {
		return nil, err
	}
	var words []string
	for _, w := range split(f.q.Text) {
		if n := f.v.names[key(w)]; n == nil || !n.idle {
			words = append(words, w)
		}
	}
	scores, err := f.lex.having(ctx, partField, words, nil)
	if err != nil || len(scores) == 0 {
		return nil, err
	}
	f.roleAlone = false
	f.q.Roles, f.q.Prefer, f.q.Read, f.q.Words, f.rest = nil, nil, nil, words, words
	return partsScored(ctx, tx, scores, because("search.why_words", strings.Join(words, " ")))
}

// kindsAlone reports whether a text asks for kinds of parts by words alone.
func (q Query) kindsAlone() bool {
	return len(q.Roles) > 0 && q.Sizes == nil && q.Lengths == nil && q.Partly == measure.Size{} && q.Threads == nil && q.Long == 0 &&
		q.Make == "" && q.Bikes == nil && q.Fork == "" && q.Layout == "" && q.Leg == "" && q.Bin == "" && !q.InStock && !q.Out &&
		!slices.Contains(q.Roles, catalog.Kit)
}

// scores says how well parts, of only unless that is nil, have the words that
// are left: all of them, or where nothing has, any.
func (f *finder) scores(ctx context.Context, only []string) (map[string]int, error) {
	lex := f.words()
	scores, err := lex.having(ctx, partField, f.rest, only)
	if err != nil || len(scores) > 0 || only != nil && len(only) == 0 {
		return scores, err
	}
	unknown := "search.unknown"
	switch {
	case only != nil && f.q.Roles == nil:
		unknown = "search.unknown_kind" // it may have been one
	case f.q.Roles != nil && f.wide:
		unknown = "search.unknown_shown" // a make that nobody knows
	}
	known, err := f.known(ctx, unknown)
	if err != nil || len(known) == 0 {
		return nil, err
	}
	typed := len(f.rest)
	if len(known) < len(f.rest) && (only != nil || f.roleAlone || 2*len(known) > typed) {
		f.rest = known
		scores, err = lex.having(ctx, partField, known, only)
		if err != nil || len(scores) > 0 {
			return scores, err
		}
	}
	scores = map[string]int{}
	words := map[string]int{}
	for _, w := range known {
		some, err := lex.having(ctx, partField, []string{w}, only)
		if err != nil {
			return nil, err
		}
		for id, n := range some {
			scores[id] += n
			words[id]++
		}
	}
	if only == nil && !f.roleAlone { // brake pads: a brake cleaner is none
		maps.DeleteFunc(scores, func(id string, _ int) bool { return 2*words[id] <= typed })
	}
	switch {
	case len(scores) > 0:
		f.notes = append(f.notes, fault.Say("search.not_all", strings.Join(known, " ")))
	case only != nil || f.roleAlone:
		f.notes = append(f.notes, fault.Say("search.none_has", strings.Join(known, " ")))
	}
	return scores, nil
}

// known gives the words that are left and that any part or fork has, and notes
// the others with that message.
func (f *finder) known(ctx context.Context, unknown string) ([]string, error) {
	var known []string
	for _, w := range f.rest {
		some := 0
		for _, field := range []string{partField, forkField} {
			found, err := f.lex.having(ctx, field, []string{w}, nil)
			if err != nil {
				return nil, err
			}
			some += len(found)
		}
		if some > 0 {
			known = append(known, w)
		} else {
			f.notes = append(f.notes, fault.Say(unknown, w))
		}
	}
	return known, nil
}

// partsScored gives the parts of scores.
func partsScored(ctx context.Context, tx *store.Tx, scores map[string]int, says judge) (set, error) {
	ids := make([]string, 0, len(scores))
	for id := range scores {
		ids = append(ids, id)
	}
	all, err := partsWhere(ctx, tx, meets, says,
		`p.id IN (SELECT value FROM json_each($1))`, jsonList(ids))
	for id, c := range all {
		c.score = scores[id]
		all[id] = c
	}
	return all, err
}
