package shop

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Suggested is what a text that is being typed may become.
type Suggested struct {
	Suggestions []Suggestion `json:"suggestions"`
}

// Suggestion is a whole text, as it can be looked for.
type Suggestion struct {
	Text string        `json:"text"`
	Kind string        `json:"kind"` // part, fork, bike, make, or kind (of part)
	Note fault.Message `json:"note"` // what it is
}

// Suggest gives at most ten texts that typed may become: numbers of parts,
// forks, motorcycles, makes, kinds of parts. It never waits for the index.
func (s *Shop) Suggest(ctx context.Context, typed string) (Suggested, error) {
	out := Suggested{Suggestions: []Suggestion{}}
	index := s.words()
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		all, err := index.Suggest(ctx, tx, typed)
		for _, one := range all {
			out.Suggestions = append(out.Suggestions, Suggestion{one.Text, one.Kind, one.Note})
		}
		return err
	})
	return out, err
}
