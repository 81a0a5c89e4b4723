package cli_test

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// What the tests of kills, power cuts and failing disks have in common: several
// hands that post at once, each deed under a key of its own that says what it
// is, so that anybody can tell later what has to be in the ledger, and do the
// same again.

const (
	handPart = "SW-3156"
	handCode = "9523952501131" // a pack of one piece of it
	handBin  = "B-02-3"
)

// A deed is the nth thing that hand w does in a run.
type deed struct {
	run  string
	w, n int
}

func (d deed) key() string { return fmt.Sprintf("%s.%d.%d", d.run, d.w, d.n) }

// before gives the key of the deed that is the third before.
func (d deed) before() string { return deed{d.run, d.w, d.n - 3}.key() }

func (d deed) amount() int64 { return 1 + int64(d.w+d.n)%3 }

// does is what a deed posts: kind and sum of each of its postings, by key.
func (d deed) does() map[string]string {
	one := func(kind string, n int64) string { return fmt.Sprint(kind, " ", n) }
	switch d.n % 5 {
	case 0:
		scan := "scan:session/" + d.key() + "/"
		return map[string]string{scan + "1": one(inventory.Receive, 1), scan + "2": one(inventory.Receive, 1), scan + "3": one(inventory.Receive, 1)}
	case 1:
		return map[string]string{d.key(): one(inventory.Issue, -d.amount())}
	case 2:
		return map[string]string{d.key(): one(inventory.Move, 0)}
	case 3:
		return map[string]string{d.key(): one(inventory.Scrap, -d.amount())}
	default: // the issue is taken back
		return map[string]string{d.key(): one(inventory.Undo, deed{d.run, d.w, d.n - 3}.amount())}
	}
}

// A till is where deeds are done: a shop, its pages or its command line.
type till interface {
	Receive(ctx context.Context, session, lines string) (repeated bool, err error)
	Move(ctx context.Context, q shop.MoveRequest) (repeated bool, err error)
	Undo(ctx context.Context, posting, key string) (repeated bool, err error)
}

// do does a deed, and reports whether it had been done before.
func (d deed) do(ctx context.Context, t till) (repeated bool, err error) {
	q := shop.MoveRequest{Part: handPart, Amount: d.amount(), Key: d.key(), Bin: handBin, Found: true}
	switch d.n % 5 {
	case 0:
		return t.Receive(ctx, d.key(), strings.Repeat(handCode+"\n", 3))
	case 1:
		q.Kind = inventory.Issue
	case 2:
		q.Kind, q.To = inventory.Move, inventory.Intake
	case 3:
		q.Kind, q.Reason = inventory.Scrap, "torn"
	default:
		return t.Undo(ctx, d.before(), d.key())
	}
	return t.Move(ctx, q)
}

// counter is the till of an open shop.
type counter struct{ *shop.Shop }

func (c counter) Receive(ctx context.Context, session, lines string) (bool, error) {
	out, err := c.Shop.Receive(ctx, shop.Intake{Delivery: session, Session: session, Lines: strings.NewReader(lines)})
	return out.Repeated == 3, err
}

func (c counter) Move(ctx context.Context, q shop.MoveRequest) (bool, error) {
	out, err := c.Shop.Move(ctx, q)
	return out.Repeated, err
}

func (c counter) Undo(ctx context.Context, posting, key string) (bool, error) {
	out, err := c.Shop.Undo(ctx, posting, key, "")
	return out.Repeated, err
}

// hands is a program of its own: SHOP RUN FIRST HANDS DEEDS SYNCHRONOUS. So many
// hands, counted from FIRST, do DEEDS deeds each (0: for ever). For each one it
// says "ack HAND DEED" once the shop has acknowledged it; what is refused it
// says with its kind, "no HAND DEED KIND ...", and tries again.
func hands(args []string, stdout io.Writer) int {
	number := func(i int) int {
		n, err := strconv.Atoi(args[i])
		if err != nil {
			panic(err)
		}
		return n
	}
	s, err := shop.Open(context.Background(), args[0], shop.Options{Synchronous: args[5]})
	if err != nil {
		fmt.Fprintln(stdout, "no shop", fault.KindOf(err), err)
		return 3
	}
	defer s.Close()
	var all sync.WaitGroup
	for w := number(2); w < number(2)+number(3); w++ {
		all.Go(func() {
			for n := 0; n < cmp.Or(number(4), 1<<30); n++ {
				for again := true; again; {
					_, err := deed{args[1], w, n}.do(context.Background(), counter{s})
					if again = err != nil; again {
						fmt.Fprintln(stdout, "no", w, n, fault.KindOf(err), err)
						time.Sleep(5 * time.Millisecond)
					}
				}
				fmt.Fprintln(stdout, "ack", w, n)
			}
		})
	}
	all.Wait()
	return 0
}

// A crew is what hands of one run have had acknowledged: how many deeds, by hand.
type crew struct {
	run string
	mu  sync.Mutex
	did map[int]int
}

func (c *crew) ack(w, n int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.did[w] = max(c.did[w], n+1)
}

func (c *crew) acks() (n int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, k := range c.did {
		n += k
	}
	return n
}

func newCrew(run string, hands int) *crew {
	c := &crew{run: run, did: map[int]int{}}
	for w := range hands {
		c.did[w] = 0
	}
	return c
}

// hear takes in what the program says, whole lines only, and gives what was refused.
func (c *crew) hear(said string) (refused []string) {
	for line := range strings.Lines(said) {
		var w, n int
		if _, err := fmt.Sscanf(line, "ack %d %d\n", &w, &n); err == nil && strings.HasSuffix(line, "\n") {
			c.ack(w, n)
		} else if strings.HasPrefix(line, "no ") {
			refused = append(refused, strings.TrimSpace(line))
		}
	}
	return refused
}

// handsCommand gives the program of hands, ready to start.
func handsCommand(shopDir, run string, first, hands, deeds int, synchronous string) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		panic(err)
	}
	cmd := exec.Command(self)
	cmd.Args = []string{"hands", shopDir, run, strconv.Itoa(first), strconv.Itoa(hands), strconv.Itoa(deeds), synchronous}
	cmd.Env = append(os.Environ(), "LANG=C", "TZ=UTC")
	return cmd
}

// ledgerOf gives kind and sum of each posting of a run, by key. What was found on
// the way is left out; it is an error without the posting that needed it.
func ledgerOf(ctx context.Context, s *shop.Shop, run string) (map[string]string, error) {
	all := map[string]string{}
	var found []string
	err := s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var key, kind string
			var moved, sum int64
			err := scan(&key, &kind, &moved, &sum)
			if use, ok := strings.CutSuffix(key, "/found"); ok {
				found = append(found, use)
				return err
			}
			if all[key] != "" {
				err = errors.Join(err, fmt.Errorf("%s is there twice", key))
			}
			all[key] = fmt.Sprint(kind, " ", sum)
			if moved == 0 || kind == inventory.Move && moved%2 != 0 {
				all[key] += " half"
			}
			return err
		}, `SELECT p.key, p.kind, count(m.seq), coalesce(sum(m.amount), 0) FROM posting p LEFT JOIN movement m ON m.posting = p.id
			WHERE (p.key > $1 || '.' AND p.key < $1 || '/' OR p.key > 'scan:session/' || $1 || '.' AND p.key < 'scan:session/' || $1 || '/')
			GROUP BY p.id`, run)
	})
	for _, use := range found {
		if all[use] == "" {
			err = errors.Join(err, fmt.Errorf("found for %s, which is not there", use))
		}
	}
	return all, err
}

// lost gives the keys that were acknowledged and are not in a ledger as they
// should be, and of what else is there what is half.
func (c *crew) lost(ledger map[string]string) (keys []string) {
	for w, n := range c.did {
		for i := range n + 1 { // the last one was under way
			there, whole := 0, 0
			does := deed{c.run, w, i}.does()
			for key, what := range does {
				if ledger[key] != "" {
					there++
				}
				if ledger[key] == what {
					whole++
				}
			}
			if i < n && whole < len(does) || whole != there || there > 0 && there < len(does) {
				keys = append(keys, deed{c.run, w, i}.key())
			}
		}
	}
	slices.Sort(keys)
	return keys
}

// proves holds a shop against what was acknowledged: everything is there, whole;
// the same deeds again change nothing but finish those under way; then all of
// them are there once.
func (c *crew) proves(t *testing.T, dir string) {
	t.Helper()
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	ledger, err := ledgerOf(t.Context(), s, c.run)
	if lost := c.lost(ledger); err != nil || len(lost) > 0 {
		t.Errorf("run %s: acknowledged and not there, or half: %v, %v", c.run, lost, err)
	}
	want := 0
	for w, n := range c.did {
		for i := range n + 1 {
			d := deed{c.run, w, i}
			repeated, err := d.do(t.Context(), counter{s})
			if err != nil || i < n && !repeated {
				t.Errorf("%s again: repeated %v, %v", d.key(), repeated, err)
			}
			want += len(d.does())
		}
		c.did[w] = n + 1
	}
	ledger, err = ledgerOf(t.Context(), s, c.run)
	if lost := c.lost(ledger); err != nil || len(lost) > 0 || len(ledger) != want {
		t.Errorf("run %s, all done again: %d postings, want %d; not as they should be: %v, %v", c.run, len(ledger), want, lost, err)
	}
}
