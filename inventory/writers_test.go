package inventory_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// TestWriters lets eight people post at once, half of them sending every key
// twice: what was acknowledged is there, once, in a sequence without gaps; never
// more is set aside than is there; and the ledger, replayed by hand, gives what
// the books say of now and of the past.
func TestWriters(t *testing.T) { playWriters(t, 400) }

func playWriters(t *testing.T, operations int) {
	const writers = 8
	s := newShelf(t)
	var all sync.WaitGroup
	sums := make([]int64, writers)
	for w := range writers {
		all.Go(func() {
			random := rand.New(rand.NewPCG(7, uint64(w)))
			for i := range operations / writers {
				n, err := s.one(random, fmt.Sprintf("%d/%d", w, i))
				for again := 0; err == nil && w%2 == 0 && again < 1; again++ {
					if m, e := s.one(random, fmt.Sprintf("%d/%d", w, i)); e != nil || m != 0 {
						t.Errorf("writer %d sent %d again: %d pieces, %v", w, i, m, e)
					}
				}
				if err != nil && fault.KindOf(err) != fault.Short {
					t.Errorf("writer %d, %d: %v", w, i, err)
					return
				}
				sums[w] += n
			}
		})
	}
	all.Wait()
	s.clean()
	s.replayed()
	var want int64
	for _, n := range sums {
		want += n
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		got, err := inventory.OnHand(ctx, tx, s.seal.ID)
		if got != want {
			t.Errorf("%d on hand, %d were acknowledged", got, want)
		}
		return err
	})
}

// one posts a random movement of the seal under a key, and gives by how much it
// changed what is on hand: 0 where the key was used before, or too few lie there.
func (s *shelf) one(random *rand.Rand, key string) (change int64, err error) {
	f := inventory.Flow{Part: s.seal.ID, Lot: s.lots[s.seal.ID].ID, Amount: 1 + random.Int64N(4)}
	kind := inventory.Receive
	switch random.IntN(5) {
	case 0, 1:
		f.To, f.Value, change = s.a.ID, known(f.Amount*random.Int64N(900)), f.Amount
	case 2:
		kind, f.From, f.To = inventory.Move, s.a.ID, s.b.ID
	default:
		kind, f.From, change = inventory.Issue, s.a.ID, -f.Amount
	}
	err = s.db.Write(s.t.Context(), func(ctx context.Context, tx *store.Tx) error {
		if _, used, err := inventory.PostingByKey(ctx, tx, key, ""); err != nil || used {
			change = 0
			return err
		}
		if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: kind, Person: s.person, Key: key}, []inventory.Flow{f}); err != nil {
			return err
		}
		return s.keepsSome(ctx, tx, random)
	})
	if err != nil {
		change = 0
	}
	return change, err
}

// keepsSome sets some pieces aside now and then, and looks that no more are than
// there are.
func (s *shelf) keepsSome(ctx context.Context, tx *store.Tx, random *rand.Rand) error {
	if random.IntN(8) == 0 {
		a := inventory.SetAside{Part: s.seal.ID, Job: fmt.Sprint(random.IntN(5)), Amount: 1 + random.Int64N(3)}
		if _, err := inventory.Keep(ctx, tx, a, s.person); err != nil && fault.KindOf(err) != fault.Short {
			return err
		}
	}
	there, kept, err := inventory.Available(ctx, tx, s.seal.ID)
	if kept > there {
		s.t.Errorf("%d set aside of %d", kept, there)
	}
	return err
}

// replayed goes through the ledger of the seal movement by movement, pieces one by
// one, and compares with the books: what is on hand, what it is worth by moving
// average and first in, first out, now and at twenty moments of the past, and
// that what came in cost as much as what went out and what is left.
func (s *shelf) replayed() {
	s.t.Helper()
	type state struct {
		at    time.Time
		worth inventory.Worthing // by the moving average
		fifo  inventory.Worthing
	}
	var past []state
	var pieces []int64 // cost of each, the oldest first
	now := state{worth: inventory.Worthing{Part: s.seal.ID}, fifo: inventory.Worthing{Part: s.seal.ID}}
	var entries []inventory.Entry
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		entries, err = inventory.Ledger(ctx, tx, inventory.LedgerOf{Part: s.seal.ID})
		return err
	})
	for i, e := range entries {
		if e.Seq != int64(i)+1 {
			s.t.Fatalf("movement %d has number %d", i+1, e.Seq)
		}
		now.at = e.At
		now.worth.Known += e.Amount
		now.worth.Minor += e.Value.Minor
		if e.Kind == inventory.Receive {
			pieces = append(pieces, slices.Repeat([]int64{e.Value.Minor / e.Amount}, int(e.Amount))...)
		} else if e.Kind == inventory.Issue {
			pieces = pieces[-e.Amount:]
		}
		now.fifo.Known, now.fifo.Minor = int64(len(pieces)), 0
		for _, cost := range pieces {
			now.fifo.Minor += cost
		}
		if now.worth.Known < 0 || now.worth.Minor < 0 {
			s.t.Fatalf("after movement %d: %+v", e.Seq, now.worth)
		}
		if i+1 == len(entries) || entries[i+1].Posting != e.Posting && i%(len(entries)/20+1) == 0 {
			past = append(past, now)
		}
	}
	for _, then := range past {
		if average, fifo := s.worth(then.at); average != then.worth || fifo != then.fifo {
			s.t.Errorf("at %v the books say %+v and %+v, by hand %+v and %+v", then.at, average, fifo, then.worth, then.fifo)
		}
	}
	if average, fifo := s.worth(time.Time{}); average != now.worth || fifo != now.fifo {
		s.t.Errorf("now the books say %+v and %+v, by hand %+v and %+v", average, fifo, now.worth, now.fifo)
	}
}
