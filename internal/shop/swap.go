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
}

// addSwaps tells which single bikes are remembered to carry the fork, and by
// which of them it was found.
func (out *Fork) addSwaps(ctx context.Context, tx *store.Tx, c choice) error {
	all, err := catalog.SwapsTo(ctx, tx, c.fork.ID)
	for _, s := range all {
		out.Swaps = append(out.Swaps, Swap{s.Bike, c.fork.Name, s.Note, s.Person, s.At})
	}
	if c.swap != nil {
		out.Swap = &Swap{c.swap.Bike, c.fork.Name, c.swap.Note, c.swap.Person, c.swap.At}
	}
	return err
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
	return out, err
}

func addSwap(ctx context.Context, tx *store.Tx, s Swap, who Actor) (Swap, error) {
	f, err := catalog.ForkNamed(ctx, tx, s.Fork)
	if err != nil {
		return s, err
	}
	s = Swap{s.Bike, f.Name, s.Note, who.Name, tx.Now}
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
		out = Swap{old.Bike, f.Name, old.Note, who.Name, tx.Now}
		if c.Own {
			return nil
		}
		set(&out.Fork, c.Fork)
		set(&out.Note, c.Note)
		out, err = addSwap(ctx, tx, out, who)
		return err
	})
	return out, err
}
