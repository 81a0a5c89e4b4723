package inventory_test

import (
	"context"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/inventory"
)

// shelf is a shop with a few parts and bins.
type shelf struct {
	t            *testing.T
	db           *store.DB
	now          time.Time
	person       string
	seal, wiper  catalog.Part
	intake, a, b inventory.Bin
	delivery     inventory.Delivery
	lots         map[string]inventory.Lot
}

func newShelf(t *testing.T) *shelf {
	t.Helper()
	s := &shelf{t: t, now: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC), lots: map[string]inventory.Lot{}}
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "db"),
		sqlite.Options{Create: true, Clock: func() time.Time { s.now = s.now.Add(time.Second); return s.now }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	s.db, s.person = db, "p"
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Mika', '')`); err != nil {
			return err
		}
		for _, b := range []struct {
			to         *inventory.Bin
			name, kind string
		}{{&s.intake, inventory.Intake, "intake"}, {&s.a, "A-01-1", "shelf"}, {&s.b, "B-01-1", "shelf"}} {
			if *b.to, err = inventory.AddBin(ctx, tx, inventory.Bin{Name: b.name, Kind: b.kind}); err != nil {
				return err
			}
		}
		for _, p := range []struct {
			to     *catalog.Part
			number string
			role   catalog.Role
		}{{&s.seal, "S-39", catalog.OilSeal}, {&s.wiper, "W-39", catalog.Wiper}} {
			*p.to, err = catalog.AddPart(ctx, tx, catalog.Part{Number: p.number, Maker: "Tolmek", Role: p.role, Unit: catalog.Piece, HomeBin: s.a.ID})
			if err != nil {
				return err
			}
			if s.lots[p.to.ID], err = inventory.LotOf(ctx, tx, inventory.Lot{Part: p.to.ID}); err != nil {
				return err
			}
		}
		s.delivery, err = inventory.DeliveryNamed(ctx, tx, "d1")
		return err
	})
	return s
}

func (s *shelf) try(f func(context.Context, *store.Tx) error) error {
	s.t.Helper()
	return s.db.Write(s.t.Context(), f)
}

func (s *shelf) must(f func(context.Context, *store.Tx) error) {
	s.t.Helper()
	if err := s.try(f); err != nil {
		s.t.Fatal(err)
	}
}

// post enters one flow of the seal, and gives its movements' values.
func (s *shelf) post(kind, from, to string, amount int64, v inventory.Value) (p inventory.Posting, err error) {
	err = s.try(func(ctx context.Context, tx *store.Tx) error {
		p, err = inventory.Post(ctx, tx, inventory.Posting{Kind: kind, Person: s.person},
			[]inventory.Flow{{Part: s.seal.ID, Lot: s.lots[s.seal.ID].ID, From: from, To: to, Amount: amount, Value: v}})
		return err
	})
	return p, err
}

func known(minor int64) inventory.Value { return inventory.Value{Minor: minor, Known: true} }

func values(p inventory.Posting) (all []inventory.Value) {
	for _, m := range p.Movements {
		all = append(all, m.Value)
	}
	return all
}

// clean fails the test where the books do not agree.
func (s *shelf) clean() {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) error {
		findings, err := inventory.Check(ctx, tx)
		for _, f := range findings {
			s.t.Errorf("check: %v", f)
		}
		return err
	})
}

// A moving average worked by hand: 3 for 10.00 and 2 for 20.00 are 5 at 6.00;
// after 2 at 6.00 are out, 3 for 18.00 are left, and the last takes the rest.
// Halves go to the even cent: 1 of 2 for 0.05 is 0.02, the other 0.03.
func TestMovingAverage(t *testing.T) {
	s := newShelf(t)
	for _, step := range []struct {
		kind     string
		from, to string
		amount   int64
		in       inventory.Value
		want     []inventory.Value
	}{
		{inventory.Receive, "", s.a.ID, 3, known(1000), []inventory.Value{known(1000)}},
		{inventory.Receive, "", s.a.ID, 2, known(2000), []inventory.Value{known(2000)}},
		{inventory.Issue, s.a.ID, "", 2, inventory.Value{}, []inventory.Value{known(-1200)}},
		{inventory.Issue, s.a.ID, "", 1, inventory.Value{}, []inventory.Value{known(-600)}},
		{inventory.Move, s.a.ID, s.b.ID, 2, inventory.Value{}, []inventory.Value{known(-1200), known(1200)}},
		{inventory.Issue, s.b.ID, "", 2, inventory.Value{}, []inventory.Value{known(-1200)}},
		{inventory.Receive, "", s.a.ID, 2, known(5), []inventory.Value{known(5)}},
		{inventory.Receive, "", s.a.ID, 3, inventory.Value{}, []inventory.Value{{}}},
		{inventory.Issue, s.a.ID, "", 1, inventory.Value{}, []inventory.Value{known(-2)}},
		// What is above the known pieces goes out with its value not known.
		{inventory.Issue, s.a.ID, "", 3, inventory.Value{}, []inventory.Value{known(-3), {}}},
		{inventory.Issue, s.a.ID, "", 1, inventory.Value{}, []inventory.Value{{}}},
	} {
		p, err := s.post(step.kind, step.from, step.to, step.amount, step.in)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(values(p), step.want); diff != "" {
			t.Errorf("%s %d: values (-got +want)\n%s", step.kind, step.amount, diff)
		}
		s.clean()
	}
	if _, err := s.post(inventory.Issue, s.a.ID, "", 1, inventory.Value{}); fault.KindOf(err) != fault.Short {
		t.Errorf("issue from an empty bin = %v, want short", err)
	}
}

func (s *shelf) undo(p inventory.Posting) (out inventory.Posting, err error) {
	err = s.try(func(ctx context.Context, tx *store.Tx) error {
		out, err = inventory.Reverse(ctx, tx, p, inventory.Posting{Person: s.person})
		return err
	})
	return out, err
}

func TestUndo(t *testing.T) {
	s := newShelf(t)
	in, err := s.post(inventory.Receive, "", s.a.ID, 2, known(700))
	if err != nil {
		t.Fatal(err)
	}
	out, err := s.post(inventory.Issue, s.a.ID, "", 1, inventory.Value{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.undo(in); fault.KindOf(err) != fault.Short {
		t.Errorf("undo of what is half gone = %v, want short", err)
	}
	back, err := s.undo(out)
	if diff := cmp.Diff(values(back), []inventory.Value{known(350)}); err != nil || diff != "" {
		t.Errorf("undo of an issue: %v\n%s", err, diff)
	}
	if _, err := s.undo(out); fault.KindOf(err) != fault.Conflict {
		t.Errorf("undo twice = %v, want conflict", err)
	}
	again, err := s.undo(back) // the undo was the mistake
	if diff := cmp.Diff(values(again), []inventory.Value{known(-350)}); err != nil || diff != "" {
		t.Errorf("undo of the undo: %v\n%s", err, diff)
	}
	s.clean()
}

// Any order of receipts, issues, moves and undos leaves the books in order:
// every balance is the sum of its movements, no value goes below zero, an
// empty shelf is worth nothing. A tenth of the runs; all of them in the
// trials.
func TestBooksAlwaysAgree(t *testing.T) {
	runs := 3
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		runs = 30
	}
	for seed := range runs {
		s := newShelf(t)
		r := rand.New(rand.NewPCG(uint64(seed), 1))
		var done []inventory.Posting
		for range 120 {
			var p inventory.Posting
			var err error
			bins := []string{s.a.ID, s.b.ID}
			from, to := bins[r.IntN(2)], bins[r.IntN(2)]
			n := r.Int64N(4) + 1
			switch r.IntN(6) {
			case 0:
				p, err = s.post(inventory.Receive, "", to, n, known(r.Int64N(1000)))
			case 1:
				p, err = s.post(inventory.Receive, "", to, n, inventory.Value{})
			case 2, 3:
				p, err = s.post(inventory.Issue, from, "", n, inventory.Value{})
			case 4:
				p, err = s.post(inventory.Move, s.a.ID, s.b.ID, n, inventory.Value{})
			case 5:
				if len(done) > 0 {
					p, err = s.undo(done[r.IntN(len(done))])
				}
			}
			if kind := fault.KindOf(err); err != nil && kind != fault.Short && kind != fault.Conflict {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if err == nil && p.ID != "" {
				done = append(done, p)
			}
		}
		s.clean()
	}
}

// scan records and settles scans, given as sheet, code and box, and gives what
// became of them.
// at gives a scan from a picture, its box 100 wide and 40 high.
// element makes a scan one of an element string with its code and a batch.
// The rules of "Counting a pack once": which scans are counted, and which
// wait.
// A code that is learnt later must not count its bag a second time.
// Eight digits that can be an EAN-8 or a UPC-E wait until one of the two is
// known. GS1 General Specifications: 01234565 is valid as both.
func TestBinNames(t *testing.T) {
	s := newShelf(t)
	for _, tt := range []struct {
		name string
		want fault.Kind
	}{
		{"A-03-2", ""},
		{"a-03-2", fault.Conflict},
		{"Ölschrank", ""},
		{"", fault.Invalid},
		{"../x", fault.Invalid},
		{"a/b", fault.Invalid},
		{"a b", fault.Invalid},
		{"-a", fault.Invalid},
		{"intake", fault.Conflict},
		{"a-name-that-no-label-can-carry", fault.Invalid},
		{"a\nb", fault.Invalid},
	} {
		err := s.try(func(ctx context.Context, tx *store.Tx) error {
			_, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: tt.name, Kind: "shelf"})
			return err
		})
		if got := fault.KindOf(err); got != tt.want {
			t.Errorf("AddBin(%q) = %v, want kind %q", tt.name, err, tt.want)
		}
	}
}

// Use counts what jobs took in each week before a day, less what came back,
// without what was undone, thrown away or moved.
func TestUse(t *testing.T) {
	s := newShelf(t)
	start := s.now
	enter := func(day int, kind, from, to string, n int64) inventory.Posting {
		t.Helper()
		s.now = start.AddDate(0, 0, day)
		p, err := s.post(kind, from, to, n, inventory.Value{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	enter(0, inventory.Receive, "", s.a.ID, 50)
	enter(1, inventory.Issue, s.a.ID, "", 9) // before the three weeks
	enter(8, inventory.Issue, s.a.ID, "", 4)
	enter(16, inventory.Issue, s.a.ID, "", 3)
	enter(17, inventory.Return, "", s.a.ID, 1)
	enter(22, inventory.Return, "", s.a.ID, 3) // more than its week took: set off against the one before
	enter(18, inventory.Scrap, s.a.ID, "", 5)
	enter(19, inventory.Move, s.a.ID, s.b.ID, 5)
	wrong := enter(20, inventory.Issue, s.a.ID, "", 7)
	if _, err := s.undo(wrong); err != nil {
		t.Fatal(err)
	}
	enter(25, inventory.Issue, s.a.ID, "", 2)
	var use map[string][]int64
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		use, err = inventory.Use(ctx, tx, start.AddDate(0, 0, 28), 3)
		return err
	})
	if diff := cmp.Diff(use, map[string][]int64{s.seal.ID: {4, 1, 0}}); diff != "" {
		t.Errorf("use (-got +want)\n%s", diff)
	}
}

// Undoing a move puts back what is there now, and makes no value out of
// nothing: by then the money may have gone with other pieces.
func TestUndoOfAMoveMakesNoMoney(t *testing.T) {
	s := newShelf(t)
	post := func(kind, from, to string, n int64, v inventory.Value) inventory.Posting {
		t.Helper()
		p, err := s.post(kind, from, to, n, v)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	post(inventory.Opening, "", s.a.ID, 10, known(1000))
	move := post(inventory.Move, s.a.ID, s.b.ID, 2, inventory.Value{})
	post(inventory.Issue, s.a.ID, "", 8, inventory.Value{})
	post(inventory.Receive, "", s.a.ID, 5, inventory.Value{})
	post(inventory.Issue, s.a.ID, "", 5, inventory.Value{})
	back, err := s.undo(move)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(values(back), []inventory.Value{{}, {}}); diff != "" {
		t.Errorf("values (-got +want)\n%s", diff)
	}
	s.clean()
}

// What was undone does not count as use; an undo that was undone leaves the
// use as it was, and pieces that came back are worth what they went out for.
func TestUseAfterUndoneUndo(t *testing.T) {
	s := newShelf(t)
	if _, err := s.post(inventory.Receive, "", s.a.ID, 5, known(500)); err != nil {
		t.Fatal(err)
	}
	p, err := s.post(inventory.Issue, s.a.ID, "", 5, inventory.Value{})
	for i, want := range []int64{5, 0, 5} {
		if err != nil {
			t.Fatal(err)
		}
		var use map[string][]int64
		var taken int64
		var worth inventory.Value
		s.must(func(ctx context.Context, tx *store.Tx) (err error) {
			use, err = inventory.Use(ctx, tx, s.now.Add(time.Hour), 1)
			if err == nil {
				taken, err = inventory.Taken(ctx, tx, s.seal.ID)
			}
			if err == nil {
				worth, err = inventory.Worth(ctx, tx, s.seal.ID, 2)
			}
			return err
		})
		var got int64
		if weeks := use[s.seal.ID]; weeks != nil {
			got = weeks[0]
		}
		if got != want || taken != want || worth != known(200) {
			t.Errorf("after %d undos: use %d, taken %d, want %d; two are worth %v", i, got, taken, want, worth)
		}
		p, err = s.undo(p)
	}
}
