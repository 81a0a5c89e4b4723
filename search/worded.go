package search

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// worded keeps of met what has the words that are left; without any other
// condition, it gives what has them. Words narrow an answer down where they
// can: one that nothing is known about is left out, and where nothing has them
// all, what has any of them is given; either is noted. Where the text was
// answered by name, words are not looked for on their own.
func (f *finder) worded(ctx context.Context, tx *store.Tx, met set, answered bool) (set, error) {
	met, err := f.narrowed(ctx, tx, met, answered)
	if err != nil || f.q.Leg == "" {
		return met, err
	}
	// What is described as for the leg comes first.
	leg, err := f.lex.having(ctx, partField, []string{f.q.Leg}, met.ids())
	for id, n := range leg {
		c := met[id]
		c.score += n
		met[id] = c
	}
	return met, err
}

func (f *finder) narrowed(ctx context.Context, tx *store.Tx, met set, answered bool) (set, error) {
	if len(f.rest) == 0 || met == nil && answered {
		return met, nil
	}
	scores, err := f.scores(ctx, met.ids())
	f.hits.Degraded = f.lex.trouble()
	if err != nil || len(scores) == 0 && met != nil {
		return met, err
	}
	if met == nil {
		return partsScored(ctx, tx, scores, fault.Say("search.why_words", strings.Join(f.rest, " ")))
	}
	met.keep(func(c candidate) bool { return scores[c.part.ID] > 0 })
	for id, c := range met {
		c.score = scores[id]
		met[id] = c
	}
	return met, nil
}

// scores says how well parts, of only unless that is nil, have the words that
// are left: all of them, or where nothing has, any.
func (f *finder) scores(ctx context.Context, only []string) (map[string]int, error) {
	scores, err := f.lex.having(ctx, partField, f.rest, only)
	if err != nil || len(scores) > 0 || only != nil && len(only) == 0 {
		return scores, err
	}
	unknown := "search.unknown"
	if only != nil && f.q.Roles == nil {
		unknown = "search.unknown_kind" // it may have been one
	}
	known, err := f.known(ctx, unknown)
	if err != nil || len(known) == 0 {
		return nil, err
	}
	if len(known) < len(f.rest) {
		f.rest = known
		scores, err = f.lex.having(ctx, partField, known, only)
		if err != nil || len(scores) > 0 {
			return scores, err
		}
	}
	scores = map[string]int{}
	for _, w := range known {
		some, err := f.lex.having(ctx, partField, []string{w}, only)
		if err != nil {
			return nil, err
		}
		for id, n := range some {
			scores[id] += n
		}
	}
	switch {
	case len(scores) > 0:
		f.notes = append(f.notes, fault.Say("search.not_all", strings.Join(known, " ")))
	case only != nil:
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
func partsScored(ctx context.Context, tx *store.Tx, scores map[string]int, why fault.Message) (set, error) {
	ids := make([]string, 0, len(scores))
	for id := range scores {
		ids = append(ids, id)
	}
	all, err := partsWhere(ctx, tx, meets, func(catalog.Part) (fault.Message, bool) { return why, false },
		`p.id IN (SELECT value FROM json_each($1))`, jsonList(ids))
	for id, c := range all {
		c.score = scores[id]
		all[id] = c
	}
	return all, err
}
