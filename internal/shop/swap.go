package shop

import (
	"context"
	"time"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// Swap is one bike that is remembered to carry another fork than its model.
type Swap struct {
	Bike   string    `json:"bike"` // its frame number, or the shop's name for it
	Fork   string    `json:"fork"`
	Note   string    `json:"note,omitempty"`
	Person string    `json:"person,omitempty"`
	At     time.Time `json:"at,omitzero"`
	Day    string    `json:"day"` // of At, in the shop's zone
}

// addSwaps tells which single bikes are remembered to carry the fork, and by
// which of them it was found.
func (out *Fork) addSwaps(ctx context.Context, tx *store.Tx, c choice) error {
	all, err := catalog.SwapsTo(ctx, tx, c.fork.ID)
	for _, s := range all {
		out.Swaps = append(out.Swaps, swapView(s, c.fork.Name))
	}
	if c.swap != nil {
		s := swapView(*c.swap, c.fork.Name)
		out.Swap = &s
	}
	return err
}

func swapView(s catalog.Swap, fork string) Swap {
	return Swap{Bike: s.Bike, Fork: fork, Note: s.Note, Person: s.Person, At: s.At}
}

// date gives s with its day.
func (s *Shop) date(w Swap) Swap {
	w.Day = s.day(w.At)
	return w
}

// AddSwap remembers that one bike, by its frame number or a name of the
// shop's, carries a fork. Errors: Invalid, NotFound, Conflict.
func (s *Shop) AddSwap(ctx context.Context, bike, fork, note string) (Swap, error) {
	var out Swap
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		var err error
		out, err = addSwap(ctx, tx, Swap{Bike: tidied(bike), Fork: fork, Note: tidied(note)}, who)
		return err
	})
	return s.date(out), err
}

func addSwap(ctx context.Context, tx *store.Tx, s Swap, who Actor) (Swap, error) {
	f, err := catalog.ForkNamed(ctx, tx, s.Fork)
	if err != nil {
		return s, err
	}
	s.Fork, s.Person, s.At = f.Name, who.Name, tx.Now
	return s, catalog.AddSwap(ctx, tx, catalog.Swap{Bike: s.Bike, Fork: f.ID, Note: s.Note}, who.ID)
}

// SwapChange is what to change of a remembered bike; nil stays as it is.
type SwapChange struct {
	Fork, Note *string
	Own        bool // it has the fork of its model again: nothing is remembered any more
}

// ChangeSwap corrects what is remembered of a bike. What was said before is
// kept in the shop's file. Errors: Invalid, NotFound.
func (s *Shop) ChangeSwap(ctx context.Context, bike string, c SwapChange) (Swap, error) {
	if c == (SwapChange{}) {
		return Swap{}, noChange()
	}
	var out Swap
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		old, ok, err := catalog.SwapOf(ctx, tx, bike)
		if err != nil {
			return err
		}
		if !ok {
			return catalog.NoSwap(bike)
		}
		f, _, err := catalog.ForkByID(ctx, tx, old.Fork)
		if err != nil {
			return err
		}
		if err := catalog.EndSwap(ctx, tx, bike, who.ID); err != nil {
			return err
		}
		out = Swap{Bike: old.Bike, Fork: f.Name, Note: old.Note, Person: who.Name, At: tx.Now}
		if c.Own {
			return nil
		}
		set(&out.Fork, c.Fork)
		set(&out.Note, c.Note)
		out, err = addSwap(ctx, tx, out, who)
		return err
	})
	return s.date(out), err
}
