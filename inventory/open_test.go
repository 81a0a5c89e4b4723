package inventory_test

import (
	"context"
	"fmt"
	"image"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// opened is a shelf with an open delivery.
func opened(t *testing.T, name string) *shelf {
	s := newShelf(t)
	s.open(name)
	s.link("G", s.seal, 2)
	s.link("M", s.seal, 1)
	s.link("W", s.wiper, 1)
	return s
}

func (s *shelf) open(name string) {
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		s.delivery, err = inventory.BeginDelivery(ctx, tx, name)
		return err
	})
}

// record records a scan of the open delivery under its text as key.
func (s *shelf) record(key string, sc inventory.Scan) (out inventory.Scan) {
	sc.Key, sc.Content, sc.Delivery, sc.Person = key, sc.Code+sc.Part, s.delivery.ID, s.person
	if sc.Text == "" {
		sc.Text = sc.Code
	}
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		out, _, err = inventory.Record(ctx, tx, sc)
		return err
	})
	return out
}

func (s *shelf) foresee() (all []inventory.Foreseen) {
	s.must(func(ctx context.Context, tx *store.Tx) error {
		scans, err := inventory.Counting(ctx, tx, s.delivery.ID)
		if err != nil {
			return err
		}
		all, err = inventory.Foresee(ctx, tx, scans)
		return err
	})
	return all
}

func (s *shelf) finish() (wrong []inventory.Claim) {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		s.delivery, wrong, err = s.delivery.Finish(ctx, tx, s.person, strings.ToUpper)
		return err
	})
	return wrong
}

func (s *shelf) say(r inventory.Remark) error {
	return s.try(func(ctx context.Context, tx *store.Tx) error {
		r.Person = s.person
		_, err := s.delivery.Say(ctx, tx, r)
		return err
	})
}

// Nothing that is said of a code posts the scans of an open delivery; finishing
// posts what is known, and what is not waits from then on.
func TestOpenDeliveryPostsNothing(t *testing.T) {
	s := opened(t, "open")
	s.record("1", typed("s", "G", 1))
	s.record("2", typed("s", "NEW", 2))
	s.record("3", typed("s", "NEW2", 3))
	s.must(func(ctx context.Context, tx *store.Tx) error {
		if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: "NEW", Part: s.wiper.ID, Pieces: 1}, s.person, false); err != nil {
			return err
		}
		settled, err := inventory.SettleCode(ctx, tx, "NEW")
		if err != nil || len(settled) != 0 {
			t.Errorf("settled %v, %v", settled, err)
		}
		if again, err := inventory.Resettle(ctx, tx, func(inventory.Scan) bool { return true }); err != nil || len(again) != 0 {
			t.Errorf("settled anew %v, %v", again, err)
		}
		waiting, err := inventory.Waiting(ctx, tx)
		if len(waiting) != 0 {
			t.Errorf("waits: %v", waiting)
		}
		return err
	})
	if n := s.onHand(s.seal) + s.onHand(s.wiper); n != 0 {
		t.Fatalf("%d on hand while the delivery is open", n)
	}
	s.finish()
	if s.onHand(s.seal) != 2 || s.onHand(s.wiper) != 1 {
		t.Errorf("on hand %d seals, %d wipers, want 2 and 1", s.onHand(s.seal), s.onHand(s.wiper))
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		waiting, err := inventory.Waiting(ctx, tx)
		if len(waiting) != 1 || waiting[0].Code != "NEW2" {
			t.Errorf("waits: %v", waiting)
		}
		return err
	})
	s.clean()
}

// A delivery ends once: finished, it is not finished again, dropped, scanned
// into or remarked on; without scans it is not finished at all.
func TestOpenDeliveryEnds(t *testing.T) {
	s := opened(t, "open")
	refused := func(what string, do func(context.Context, *store.Tx) error) {
		t.Helper()
		if err := s.try(do); fault.KindOf(err) != fault.Conflict {
			t.Errorf("%s: %v, want a conflict", what, err)
		}
	}
	finish := func(ctx context.Context, tx *store.Tx) error {
		_, _, err := s.delivery.Finish(ctx, tx, s.person, strings.ToUpper)
		return err
	}
	begin := func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.BeginDelivery(ctx, tx, "OPEN")
		return err
	}
	refused("an empty one was finished", finish)
	refused("it was begun twice", begin)
	back := s.record("1", typed("s", "G", 1))
	takeBack := func(ctx context.Context, tx *store.Tx) error {
		_, err := s.delivery.TakeBack(ctx, tx, back.Seq)
		return err
	}
	s.must(takeBack)
	s.must(takeBack) // again changes nothing
	refused("one was finished of which all was taken back", finish)
	s.record("2", typed("s", "G", 2))
	s.finish()
	for what, do := range map[string]func(context.Context, *store.Tx) error{
		"finished twice": finish, "begun again": begin, "taken back after": takeBack,
		"dropped after": func(ctx context.Context, tx *store.Tx) error { _, err := s.delivery.Drop(ctx, tx); return err },
	} {
		refused(what, do)
	}
	if err := s.say(inventory.Remark{Key: "k", Part: s.seal.ID, Kind: inventory.RemarkDamaged, Amount: 1}); fault.KindOf(err) != fault.Conflict {
		t.Errorf("a remark after the end: %v", err)
	}
	if got := s.onHand(s.seal); got != 2 {
		t.Errorf("%d on hand, want 2", got)
	}

	s.open("second")
	s.record("3", typed("t", "G", 1))
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		s.delivery, err = s.delivery.Drop(ctx, tx)
		return err
	})
	refused("a dropped one was finished", finish)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		kept, err := inventory.ScansOf(ctx, tx, s.delivery.ID)
		if len(kept) != 1 {
			t.Errorf("of a dropped delivery %d scans are kept, want 1", len(kept))
		}
		return err
	})
	if got := s.onHand(s.seal); got != 2 {
		t.Errorf("%d on hand after dropping, want 2", got)
	}
}

// What came damaged or wrong goes to the blocked place, with its reason, the last
// that came first; less than the delivery note says is told.
func TestFinishBlocks(t *testing.T) {
	s := opened(t, "open")
	s.record("1", typed("s", "G", 1))
	s.record("2", typed("s", "G", 2))
	s.record("3", inventory.Scan{Part: s.wiper.ID, Pieces: 3, Sheet: "tick"})
	for _, r := range []inventory.Remark{
		{Key: "a", Part: s.seal.ID, Kind: inventory.RemarkDamaged, Amount: 4},
		{Key: "b", Part: s.seal.ID, Kind: inventory.RemarkDamaged, Amount: 3, Reason: "crushed"}, // in the place of a
		{Key: "c", Part: s.seal.ID, Kind: inventory.RemarkWrong, Amount: 1},
		{Key: "d", Part: s.wiper.ID, Kind: inventory.RemarkNoted, Amount: 5},
	} {
		if err := s.say(r); err != nil {
			t.Fatal(err)
		}
		if err := s.say(r); err != nil {
			t.Errorf("%s again: %v", r.Key, err)
		}
	}
	if err := s.say(inventory.Remark{Key: "a", Part: s.seal.ID, Kind: inventory.RemarkDamaged, Amount: 2}); fault.KindOf(err) != fault.Conflict {
		t.Errorf("the key with something else: %v", err)
	}
	wrong := s.finish()
	var got []string
	for _, g := range wrong {
		got = append(got, fmt.Sprint(g.What, " ", g.Amount, " ", g.Reason))
	}
	if diff := cmp.Diff(got, []string{"damaged 3 crushed", "wrong 1 ", "short 2 "}); diff != "" {
		t.Error(diff)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		lines, err := inventory.Stock(ctx, tx, s.seal.ID)
		if len(lines) != 1 || lines[0].Bin.Kind != "blocked" || lines[0].Amount != 4 {
			t.Errorf("the seals lie in %+v, want 4 in a blocked bin", lines)
		}
		var reasons string
		if _, err := tx.One(ctx, store.Into(&reasons), `SELECT group_concat(reason, ', ') FROM posting WHERE kind = 'move'`); err != nil {
			return err
		}
		if reasons != "DAMAGED: crushed, WRONG" {
			t.Errorf("the ledger says %q", reasons)
		}
		if _, err := inventory.Pick(ctx, tx, s.seal.ID, 1, "", ""); fault.KindOf(err) != fault.Short {
			t.Errorf("a blocked seal was picked: %v", err)
		}
		return err
	})
	s.clean()
}

// More damaged than came is refused, and nothing is posted.
func TestFinishRefusesMoreThanCame(t *testing.T) {
	s := opened(t, "open")
	s.record("1", typed("s", "G", 1))
	for _, r := range []inventory.Remark{
		{Key: "a", Part: s.seal.ID, Kind: inventory.RemarkDamaged, Amount: 1},
		{Key: "b", Part: s.seal.ID, Kind: inventory.RemarkWrong, Amount: 2},
	} {
		if err := s.say(r); err != nil {
			t.Fatal(err)
		}
	}
	err := s.try(func(ctx context.Context, tx *store.Tx) error {
		_, _, err := s.delivery.Finish(ctx, tx, s.person, strings.ToUpper)
		return err
	})
	if fault.KindOf(err) != fault.Conflict || s.onHand(s.seal) != 0 {
		t.Errorf("3 of 2 are bad: %v, %d on hand", err, s.onHand(s.seal))
	}
}

// What is foreseen of an open delivery is what finishing makes of it, for any
// scans in any order, with answers of "one pack or two?" and scans taken back.
func TestForeseeIsWhatFinishDoes(t *testing.T) {
	s := opened(t, "d0")
	n := 0
	rapid.Check(t, func(rt *rapid.T) {
		n++
		s.open(fmt.Sprint("open ", n))
		answer := rapid.SampledFrom([]int{0, 1, 2}).Draw(rt, "packs")
		s.must(func(ctx context.Context, tx *store.Tx) error {
			if answer == 0 {
				_, err := tx.Exec(ctx, `DELETE FROM code_pair`)
				return err
			}
			return catalog.SetPacks(ctx, tx, "G", "M", answer)
		})
		scans := rapid.IntRange(1, 9).Draw(rt, "scans")
		for i := range scans {
			code := rapid.SampledFrom([]string{"G", "G", "M", "M", "W", "NOBODY"}).Draw(rt, "code")
			sc := typed(fmt.Sprint("session ", n, rapid.SampledFrom([]string{"a", "b"}).Draw(rt, "phone")), code, i+1)
			if rapid.Bool().Draw(rt, "picture") {
				sc = at(fmt.Sprint("picture ", n), code, 60*rapid.IntRange(0, 9).Draw(rt, "x"), 0)
			}
			if rapid.IntRange(0, 4).Draw(rt, "dated") == 0 {
				sc.Batch = "B1"
			}
			if rapid.IntRange(0, 6).Draw(rt, "tick") == 0 {
				sc = inventory.Scan{Part: s.wiper.ID, Pieces: 3, Sheet: "tick", Box: image.Rectangle{}}
			}
			got := s.record(fmt.Sprint(n, "/", i), sc)
			if rapid.IntRange(0, 5).Draw(rt, "back") == 0 && i+1 < scans {
				s.must(func(ctx context.Context, tx *store.Tx) error {
					_, err := s.delivery.TakeBack(ctx, tx, got.Seq)
					return err
				})
			}
		}
		before := s.onHand(s.seal)*1000 + s.onHand(s.wiper)
		want, brings := map[int64]string{}, int64(0)
		for _, f := range s.foresee() {
			want[f.Seq] = f.State
			if f.Counts() {
				want[f.Seq] = inventory.ScanPosted
				brings += f.Amount() * map[string]int64{s.seal.ID: 1000, s.wiper.ID: 1}[f.Link.Part]
			}
		}
		s.finish()
		s.must(func(ctx context.Context, tx *store.Tx) error {
			all, err := inventory.Counting(ctx, tx, s.delivery.ID)
			for _, sc := range all {
				if sc.State != want[sc.Seq] {
					rt.Errorf("scan of %s: %s, was foreseen as %s", sc.Code, sc.State, want[sc.Seq])
				}
			}
			return err
		})
		if got := s.onHand(s.seal)*1000 + s.onHand(s.wiper) - before; got != brings {
			rt.Errorf("brought %d, was foreseen as %d", got, brings)
		}
	})
	s.clean()
}

// What tells a batch or a date is settled first, the rest in its order.
func TestDatedFirst(t *testing.T) {
	got := inventory.DatedFirst([]inventory.Scan{{Code: "a"}, {Code: "b", Batch: "7"}, {Code: "c"}, {Code: "d", UseBy: "2030-01-01"}})
	if diff := cmp.Diff(got, []int{1, 3, 0, 2}); diff != "" {
		t.Error(diff)
	}
}
