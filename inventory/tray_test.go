package inventory_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// trayHistory plays random operations around the trays of two jobs, beside books
// kept by hand.
type trayHistory struct {
	*shelf
	rt    *rapid.T
	trays [2]inventory.Tray
	hand  trayBooks
}

// trayBooks is what lies on the shelf, and in the tray of each job and is set
// aside for it on the shelf.
type trayBooks struct {
	Shelf      int64
	Tray, Kept [2]int64
}

var jobs = [2]string{"7", "8"}

// TestTrayHistory plays random histories: a use for others never takes from a
// tray, one for a job takes from its own tray first and from no other, and of
// what is set aside a job loses what it took from the shelf, no more; others lose
// theirs only where fewer pieces are left.
func TestTrayHistory(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := &trayHistory{shelf: newShelf(t), rt: rt}
		h.must(func(ctx context.Context, tx *store.Tx) (err error) {
			for i, job := range jobs {
				if h.trays[i], err = inventory.GiveTray(ctx, tx, job, "", h.person); err != nil {
					return err
				}
			}
			return nil
		})
		ops := []func(i int, n int64){h.receive, h.receive, h.keep, h.fill, h.use, h.use, h.others}
		for range 15 {
			op := rapid.IntRange(0, len(ops)-1).Draw(rt, "op")
			ops[op](rapid.IntRange(0, 1).Draw(rt, "job"), rapid.Int64Range(1, 6).Draw(rt, "pieces"))
			if diff := cmp.Diff(h.books(), h.hand); diff != "" {
				rt.Fatalf("op %d (-got +by hand)\n%s", op, diff)
			}
		}
		h.clean()
	})
}

func (h *trayHistory) books() (b trayBooks) {
	h.must(func(ctx context.Context, tx *store.Tx) (err error) {
		for i, job := range jobs {
			if b.Tray[i], err = inventory.InTray(ctx, tx, h.seal.ID, job); err != nil {
				return err
			}
			all, err := inventory.SetAsides(ctx, tx, h.seal.ID, job)
			if err != nil {
				return err
			}
			for _, a := range all {
				b.Kept[i] += a.Amount
			}
		}
		b.Shelf, _, err = inventory.Available(ctx, tx, h.seal.ID)
		return err
	})
	return b
}

// post enters what pick chose, and reports whether there was enough.
func (h *trayHistory) post(kind, job, to string, pick func(context.Context, *store.Tx) ([]inventory.Flow, error)) bool {
	err := h.try(func(ctx context.Context, tx *store.Tx) error {
		flows, err := pick(ctx, tx)
		if err != nil {
			return err
		}
		for i := range flows {
			flows[i].To = to
		}
		_, err = inventory.Post(ctx, tx, inventory.Posting{Kind: kind, Job: job, Person: h.person}, flows)
		return err
	})
	if err != nil && fault.KindOf(err) != fault.Short {
		h.rt.Fatal(err)
	}
	return err == nil
}

// picks checks that there was enough exactly where the books say so.
func (h *trayHistory) picks(done bool, n, there int64) bool {
	if done != (n <= there) {
		h.rt.Fatalf("%d of %d: done %v", n, there, done)
	}
	return done
}

func (h *trayHistory) receive(_ int, n int64) {
	h.post(inventory.Receive, "", h.a.ID, func(context.Context, *store.Tx) ([]inventory.Flow, error) {
		return []inventory.Flow{{Part: h.seal.ID, Lot: h.shelf.lots[h.seal.ID].ID, Amount: n}}, nil
	})
	h.hand.Shelf += n
}

func (h *trayHistory) keep(i int, n int64) {
	err := h.try(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Keep(ctx, tx, inventory.SetAside{Part: h.seal.ID, Job: jobs[i], Amount: n}, h.person)
		return err
	})
	if h.picks(err == nil, n, h.hand.Shelf-h.hand.Kept[0]-h.hand.Kept[1]) {
		h.hand.Kept[i] += n
	}
}

// fill puts pieces into the tray of a job: they are set aside no more.
func (h *trayHistory) fill(i int, n int64) {
	done := h.post(inventory.Move, jobs[i], h.trays[i].Bin.ID, h.fromShelf(n))
	if h.picks(done, n, h.hand.Shelf) {
		h.hand.Tray[i] += n
		h.off(i, n)
	}
}

// use takes for a job: its tray first.
func (h *trayHistory) use(i int, n int64) {
	done := h.post(inventory.Issue, jobs[i], "", func(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
		return inventory.PickFor(ctx, tx, h.seal.ID, n, "", jobs[i])
	})
	if h.picks(done, n, h.hand.Tray[i]+h.hand.Shelf) {
		own := min(n, h.hand.Tray[i])
		h.hand.Tray[i] -= own
		h.off(i, n-own)
	}
}

// others takes for nobody's job.
func (h *trayHistory) others(i int, n int64) {
	if done := h.post(inventory.Issue, "", "", h.fromShelf(n)); h.picks(done, n, h.hand.Shelf) {
		h.hand.Shelf -= n
		h.squeeze()
	}
}

func (h *trayHistory) fromShelf(n int64) func(context.Context, *store.Tx) ([]inventory.Flow, error) {
	return func(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
		return inventory.Pick(ctx, tx, h.seal.ID, n, "", "")
	}
}

// off notes by hand that a job took pieces off the shelf.
func (h *trayHistory) off(i int, n int64) {
	h.hand.Shelf -= n
	h.hand.Kept[i] -= min(n, h.hand.Kept[i])
	h.squeeze()
}

// squeeze follows the books where more is set aside than is left: whose it was is
// for the rule of the newest, which TestSetAsides holds; here only the sum.
func (h *trayHistory) squeeze() {
	if h.hand.Kept[0]+h.hand.Kept[1] <= h.hand.Shelf {
		return
	}
	got := h.books().Kept
	if got[0]+got[1] != h.hand.Shelf || got[0] > h.hand.Kept[0] || got[1] > h.hand.Kept[1] {
		h.rt.Fatalf("%v set aside of %d, were %v", got, h.hand.Shelf, h.hand.Kept)
	}
	h.hand.Kept = got
}

// A tray is one job's: it is not given twice, not freed while something lies in
// it, and goes to the next job after.
func TestGiveTray(t *testing.T) {
	s := newShelf(t)
	give := func(job, bin string) (tray inventory.Tray, err error) {
		err = s.try(func(ctx context.Context, tx *store.Tx) error {
			tray, err = inventory.GiveTray(ctx, tx, job, bin, s.person)
			return err
		})
		return tray, err
	}
	seven, err := give("7", "")
	if err != nil || seven.Bin.Name != "TRAY-1" {
		t.Fatalf("%+v, %v", seven, err)
	}
	if again, err := give("7", "tray-1"); err != nil || again.ID != seven.ID {
		t.Errorf("the same job again: %+v, %v", again, err)
	}
	for _, tt := range []struct {
		job, bin string
		want     fault.Kind
	}{
		{"7", "T-9", fault.Conflict}, {"8", "TRAY-1", fault.Conflict}, {"8", "A-01-1", fault.Invalid}, {"8", "a b", fault.Invalid},
	} {
		if _, err := give(tt.job, tt.bin); fault.KindOf(err) != tt.want {
			t.Errorf("job %s, bin %q: %v, want %v", tt.job, tt.bin, err, tt.want)
		}
	}
	if eight, err := give("8", "T-9"); err != nil || eight.Bin.Kind != "tray" {
		t.Errorf("a tray with a name of its own: %+v, %v", eight, err)
	}
	if _, err := s.post(inventory.Receive, "", seven.Bin.ID, 1, known(100)); err != nil {
		t.Fatal(err)
	}
	end := func() error {
		return s.try(func(ctx context.Context, tx *store.Tx) error { return seven.End(ctx, tx) })
	}
	if err := end(); fault.KindOf(err) != fault.Conflict {
		t.Errorf("freed with something in it: %v", err)
	}
	if _, err := s.post(inventory.Scrap, seven.Bin.ID, "", 1, inventory.Value{}); err != nil {
		t.Fatal(err)
	}
	if err := end(); err != nil {
		t.Fatal(err)
	}
	if nine, err := give("9", ""); err != nil || nine.Bin.ID != seven.Bin.ID {
		t.Errorf("a free tray goes to the next job: %+v, %v", nine, err)
	}
}

// What is ordered for a job is not stock to come.
func TestOnOrderIsForTheShelf(t *testing.T) {
	s := newShelf(t)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO supplier (id, name, name_norm, lead_days) VALUES ('s', 'Halm', 'HALM', 2)`); err != nil {
			return err
		}
		p, err := inventory.DraftFor(ctx, tx, "s", s.person)
		if err != nil {
			return err
		}
		for packs, job := range map[int64]string{3: "", 2: "7"} {
			if err := p.SetLine(ctx, tx, inventory.PurchaseLine{Part: s.seal.ID, Pack: 2, Packs: packs, Job: job}); err != nil {
				return err
			}
		}
		if err := p.Place(ctx, tx, "2026-03-02", "2026-03-05"); err != nil {
			return err
		}
		coming, err := inventory.OnOrder(ctx, tx)
		if coming[s.seal.ID] != 6 {
			t.Errorf("to come for the shelf: %d, want 6", coming[s.seal.ID])
		}
		return err
	})
}
