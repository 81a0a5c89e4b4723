package inventory_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// TestWriters lets eight people post at once, half of them sending every key
// twice: what was acknowledged is there, once, in a sequence without gaps.
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
		f.To, f.Value, change = s.a.ID, known(random.Int64N(900)), f.Amount
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
		_, err := inventory.Post(ctx, tx, inventory.Posting{Kind: kind, Person: s.person, Key: key}, []inventory.Flow{f})
		return err
	})
	if err != nil {
		change = 0
	}
	return change, err
}
