package inventory_test

import (
	"context"
	"maps"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// spot is where pieces of the seal lie.
type spot struct{ bin, lot string }

// byHand is a ledger kept by hand: pieces one by one, each with its cost.
type byHand struct {
	lie  map[spot]int64
	fifo []int64 // cost of each piece, the oldest first
}

func (b *byHand) sum() (n int64) {
	for _, k := range b.lie {
		n += k
	}
	return n
}

// history plays random operations on a shelf and on the books kept by hand.
type history struct {
	*shelf
	rt    *rapid.T
	hand  byHand
	lots  []inventory.Lot
	moves []inventory.Posting // that can be undone
	past  []snapshot
	keys  int
}

type snapshot struct {
	at     time.Time
	amount int64
	minor  int64
}

// TestHistory plays random histories: on hand is never below zero and equals
// what was counted by hand, the books agree with themselves, no value is lost,
// first in, first out is what piece by piece gives, the past stays what it was,
// a repeated key posts nothing, and never more is set aside than is there.
func TestHistory(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) { playHistory(t, rt, 20) })
}

func playHistory(t *testing.T, rt *rapid.T, steps int) {
	h := &history{shelf: newShelf(t), rt: rt, hand: byHand{lie: map[spot]int64{}}}
	h.must(func(ctx context.Context, tx *store.Tx) error {
		for _, batch := range []string{"", "A7", "B2"} {
			l, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: h.seal.ID, Batch: batch})
			h.lots = append(h.lots, l)
			if err != nil {
				return err
			}
		}
		return nil
	})
	ops := []func(){h.receive, h.receive, h.take, h.take, h.move, h.repeat, h.undo, h.keep}
	for range steps {
		ops[rapid.IntRange(0, len(ops)-1).Draw(rt, "op")]()
		h.agrees()
	}
	h.clean()
	for _, then := range h.past {
		average, fifo := h.worth(then.at)
		if average.Known != then.amount || average.Minor != then.minor || fifo.Known != then.amount {
			rt.Fatalf("at %v: %+v, first in first out %+v, were %+v", then.at, average, fifo, then)
		}
	}
}

func (h *history) draw(from, to int64, what string) int64 {
	return rapid.Int64Range(from, to).Draw(h.rt, what)
}

func (h *history) spot() spot {
	bin := rapid.SampledFrom([]string{h.a.ID, h.b.ID, h.intake.ID}).Draw(h.rt, "bin")
	return spot{bin, rapid.SampledFrom(h.lots).Draw(h.rt, "lot").ID}
}

// enter posts a flow under a key of its own, and reports whether it was taken.
func (h *history) enter(kind string, f inventory.Flow) bool {
	h.keys++
	var p inventory.Posting
	f.Part = h.seal.ID
	err := h.try(func(ctx context.Context, tx *store.Tx) (err error) {
		key := "key " + strconv.Itoa(h.keys)
		p, err = inventory.Post(ctx, tx, inventory.Posting{Kind: kind, Person: h.person, Key: key, Content: kind}, []inventory.Flow{f})
		return err
	})
	there := h.hand.lie[spot{f.From, f.Lot}]
	if short := f.From != "" && there < f.Amount; short != (fault.KindOf(err) == fault.Short) || !short && err != nil {
		h.rt.Fatalf("%s of %d where %d lie: %v", kind, f.Amount, there, err)
	}
	if err == nil {
		h.moves = append(h.moves, p)
	}
	return err == nil
}

func (h *history) receive() {
	s, n, each := h.spot(), h.draw(1, 9, "pieces"), h.draw(0, 2000, "cost of one")
	if h.enter(inventory.Receive, inventory.Flow{Lot: s.lot, To: s.bin, Amount: n, Value: known(n * each)}) {
		h.hand.lie[s] += n
		h.hand.fifo = append(h.hand.fifo, slices.Repeat([]int64{each}, int(n))...)
	}
}

func (h *history) take() {
	s, n := h.spot(), h.draw(1, 12, "pieces")
	kind := rapid.SampledFrom([]string{inventory.Issue, inventory.Sale, inventory.Scrap, inventory.SendBack, inventory.Lend}).Draw(h.rt, "kind")
	if h.enter(kind, inventory.Flow{Lot: s.lot, From: s.bin, Amount: n}) {
		h.hand.lie[s] -= n
		h.hand.fifo = h.hand.fifo[n:]
	}
}

func (h *history) move() {
	s, to, n := h.spot(), h.spot(), h.draw(1, 5, "pieces")
	if s.bin != to.bin && h.enter(inventory.Move, inventory.Flow{Lot: s.lot, From: s.bin, To: to.bin, Amount: n}) {
		h.hand.lie[s] -= n
		h.hand.lie[spot{to.bin, s.lot}] += n
	}
}

// repeat sends a key again: it answers as before, and with other content not at all.
func (h *history) repeat() {
	if len(h.moves) == 0 {
		return
	}
	old := rapid.SampledFrom(h.moves).Draw(h.rt, "again")
	h.must(func(ctx context.Context, tx *store.Tx) error {
		p, ok, err := inventory.PostingByKey(ctx, tx, old.Key, old.Content)
		if err != nil || !ok || !cmp.Equal(p.Movements, old.Movements) {
			h.rt.Fatalf("key %q again: %v %v %v", old.Key, ok, err, cmp.Diff(p.Movements, old.Movements))
		}
		if _, _, err := inventory.PostingByKey(ctx, tx, old.Key, "other"); fault.KindOf(err) != fault.Conflict {
			h.rt.Fatalf("key %q with other content: %v", old.Key, err)
		}
		return nil
	})
}

// undo takes the last posting back, so that the books kept by hand can follow.
func (h *history) undo() {
	if len(h.moves) == 0 {
		return
	}
	wrong := h.moves[len(h.moves)-1]
	h.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Reverse(ctx, tx, wrong, inventory.Posting{Person: h.person})
		return err
	})
	h.moves = h.moves[:len(h.moves)-1]
	before := h.hand.sum()
	for _, m := range wrong.Movements {
		h.hand.lie[spot{m.Bin, m.Lot}] -= m.Amount
	}
	switch after := h.hand.sum(); {
	case after < before: // it had come in, as the newest
		h.hand.fifo = h.hand.fifo[:after]
	case after > before:
		h.hand.fifo = nil // as if it had never gone out: told by what stands, below
	}
	if h.hand.fifo == nil {
		h.hand.fifo = h.standing()
	}
}

// standing plays what was not undone piece by piece.
func (h *history) standing() (pieces []int64) {
	pieces = []int64{}
	for _, p := range h.moves {
		if p.Kind == inventory.Move {
			continue
		}
		for _, m := range p.Movements {
			if m.Amount > 0 {
				pieces = append(pieces, slices.Repeat([]int64{m.Value.Minor / m.Amount}, int(m.Amount))...)
			} else {
				pieces = pieces[-m.Amount:]
			}
		}
	}
	return pieces
}

func (h *history) keep() {
	err := h.try(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Keep(ctx, tx, inventory.SetAside{Part: h.seal.ID, Job: "7", Amount: h.draw(1, 6, "kept")}, h.person)
		return err
	})
	if err != nil && fault.KindOf(err) != fault.Short {
		h.rt.Fatal(err)
	}
}

// agrees compares the books with those kept by hand.
func (h *history) agrees() {
	lie := map[spot]int64{}
	h.must(func(ctx context.Context, tx *store.Tx) error {
		lines, err := inventory.Stock(ctx, tx, h.seal.ID)
		for _, l := range lines {
			lie[spot{l.Bin.ID, l.Lot.ID}] = l.Amount
		}
		if err != nil {
			return err
		}
		there, kept, err := inventory.Available(ctx, tx, h.seal.ID)
		if kept > there {
			h.rt.Fatalf("%d set aside of %d", kept, there)
		}
		return err
	})
	maps.DeleteFunc(h.hand.lie, func(_ spot, n int64) bool { return n == 0 })
	if diff := cmp.Diff(h.hand.lie, lie); diff != "" {
		h.rt.Fatalf("on hand (-by hand +in the book):\n%s", diff)
	}
	average, fifo := h.worth(time.Time{})
	var cost int64
	for _, c := range h.hand.fifo {
		cost += c
	}
	if fifo.Minor != cost || fifo.Known != h.hand.sum() || average.Known != h.hand.sum() {
		h.rt.Fatalf("first in, first out %+v, by hand %d for %d; moving average %+v", fifo, h.hand.sum(), cost, average)
	}
	h.past = append(h.past, snapshot{h.now, average.Known, average.Minor})
}
