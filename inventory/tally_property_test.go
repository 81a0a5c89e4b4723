package inventory_test

import (
	"context"
	"errors"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// place is a part in a bin.
type place struct{ bin, part string }

// numbered is what somebody counted at a place, and what moved there since.
type numbered struct {
	amount, since  int64
	touched, moved bool // something moved since; and between two scans
}

// counting plays a count while the shop goes on, and keeps it by hand.
type counting struct {
	*shelf
	ctx   context.Context
	tx    *store.Tx
	rt    *rapid.T
	tally inventory.Tally
	book  map[place]int64
	said  map[place]*numbered
	done  map[string]map[string]int64 // bin: what moved there since it was looked through, by part
	scans int
}

// TestTallyProperty: whatever moves while bins are counted, posting the count
// makes the book what was counted and what moved since; places that nobody
// counted stay as they were; each difference is one posting; a scan under its old
// key counts nothing; what moved between two scans has to be counted again.
func TestTallyProperty(t *testing.T) {
	s, undone := newShelf(t), errors.New("played, and undone")
	rapid.Check(t, func(rt *rapid.T) {
		err := s.try(func(ctx context.Context, tx *store.Tx) error {
			c := &counting{
				shelf: s, ctx: ctx, tx: tx, rt: rt, book: map[place]int64{}, said: map[place]*numbered{}, done: map[string]map[string]int64{},
			}
			c.play()
			return undone
		})
		if !errors.Is(err, undone) {
			rt.Fatal(err)
		}
	})
}

func (c *counting) play() {
	var err error
	c.tally, err = inventory.BeginTally(c.ctx, c.tx, "spring", c.person)
	c.ok(err)
	ops := []func(){c.comes, c.comes, c.goes, c.moves, c.set, c.scan, c.scan, c.scanAgain, c.through}
	for range rapid.IntRange(5, 30).Draw(c.rt, "steps") {
		ops[rapid.IntRange(0, len(ops)-1).Draw(c.rt, "op")]()
	}
	c.post()
	findings, err := inventory.Check(c.ctx, c.tx)
	c.ok(err)
	if len(findings) > 0 {
		c.rt.Fatalf("check: %v", findings)
	}
}

func (c *counting) ok(err error) {
	if err != nil {
		c.rt.Fatal(err)
	}
}

func (c *counting) place() place {
	return place{
		rapid.SampledFrom([]string{c.a.ID, c.b.ID}).Draw(c.rt, "bin"),
		rapid.SampledFrom([]string{c.seal.ID, c.wiper.ID}).Draw(c.rt, "part"),
	}
}

func (c *counting) amount() int64 { return rapid.Int64Range(0, 6).Draw(c.rt, "amount") }

// flow moves pieces of a part, in the ledger and by hand.
func (c *counting) flow(kind, part, from, to string, n int64) {
	_, err := inventory.Post(c.ctx, c.tx, inventory.Posting{Kind: kind, Person: c.person},
		[]inventory.Flow{{Part: part, Lot: c.lots[part].ID, From: from, To: to, Amount: n, Value: known(n)}})
	c.ok(err)
	for bin, signed := range map[string]int64{from: -n, to: n} {
		at := place{bin, part}
		c.book[at] += signed
		if s := c.said[at]; s != nil {
			s.since, s.touched = s.since+signed, true
		}
		if since := c.done[bin]; since != nil {
			since[part] += signed
		}
	}
}

func (c *counting) comes() {
	at := c.place()
	c.flow(inventory.Receive, at.part, "", at.bin, c.amount()+1)
}

func (c *counting) goes() {
	at := c.place()
	if n := min(c.amount()+1, c.book[at]); n > 0 {
		c.flow(inventory.Issue, at.part, at.bin, "", n)
	}
}

func (c *counting) moves() {
	at := c.place()
	to := c.a.ID
	if at.bin == to {
		to = c.b.ID
	}
	if n := min(c.amount()+1, c.book[at]); n > 0 {
		c.flow(inventory.Move, at.part, at.bin, to, n)
	}
}

func (c *counting) set() {
	at, n := c.place(), c.amount()
	c.ok(c.tally.Open(c.ctx, c.tx, at.bin, false))
	c.ok(c.tally.Set(c.ctx, c.tx, at.bin, at.part, c.person, n))
	c.said[at] = &numbered{amount: n}
}

func (c *counting) scan() {
	at, n := c.place(), c.amount()+1
	c.scans++
	c.add(at, "scan "+strconv.Itoa(c.scans), n, true)
	s := c.said[at]
	if s == nil {
		s = &numbered{}
		c.said[at] = s
	}
	s.moved = s.moved || s.touched
	s.amount, s.since, s.touched = s.amount+n, 0, false
}

func (c *counting) scanAgain() {
	if c.scans > 0 {
		c.add(c.place(), "scan "+strconv.Itoa(rapid.IntRange(1, c.scans).Draw(c.rt, "again")), 1, false)
	}
}

func (c *counting) add(at place, key string, n int64, want bool) {
	counted, err := c.tally.Add(c.ctx, c.tx, at.bin, at.part, c.person, key, n)
	c.ok(err)
	if counted != want {
		c.rt.Fatalf("key %q counted %v, want %v", key, counted, want)
	}
}

func (c *counting) through() {
	bin := c.place().bin
	c.ok(c.tally.Open(c.ctx, c.tx, bin, true))
	c.done[bin] = map[string]int64{}
}

// post counts again what moved, posts, and compares the book with what it has
// to be by hand.
func (c *counting) post() {
	want, differ := map[place]int64{}, 0
	var again []place
	for _, bin := range []string{c.a.ID, c.b.ID} {
		for _, part := range []string{c.seal.ID, c.wiper.ID} {
			at := place{bin, part}
			want[at] = c.book[at]
			switch s := c.said[at]; {
			case s != nil && s.moved:
				again = append(again, at)
			case s != nil:
				want[at] = max(0, s.amount+s.since)
			case c.done[bin] != nil:
				want[at] = max(0, c.done[bin][part])
			}
		}
	}
	var posted []inventory.Posting
	post := func() error {
		return c.tx.Try(c.ctx, func() (err error) {
			posted, err = c.tally.Post(c.ctx, c.tx, c.person, func(l inventory.TallyLine) string { return "why " + l.BinName })
			return err
		})
	}
	if len(again) > 0 {
		if err := post(); fault.KindOf(err) != fault.Conflict {
			c.rt.Fatalf("posted though something moved between two scans: %v", err)
		}
	}
	for _, at := range again {
		want[at] = c.amount()
		c.ok(c.tally.Set(c.ctx, c.tx, at.bin, at.part, c.person, want[at]))
	}
	c.ok(post())
	for at, n := range want {
		if n != c.book[at] {
			differ++
		}
		var there int64
		_, err := c.tx.One(c.ctx, store.Into(&there), `SELECT coalesce(sum(amount), 0) FROM balance WHERE bin = $1 AND part = $2`, at.bin, at.part)
		c.ok(err)
		if there != n {
			c.rt.Fatalf("the book has %d, want %d (counted %+v, looked through %v)", there, n, c.said[at], c.done[at.bin])
		}
	}
	if len(posted) != differ {
		c.rt.Fatalf("%d postings for %d differences", len(posted), differ)
	}
	for _, p := range posted {
		if p.Kind != inventory.Count || p.Tally != c.tally.ID || p.Reason == "" {
			c.rt.Fatalf("posting %+v names no count, or no reason", p)
		}
	}
}
