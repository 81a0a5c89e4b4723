package shop_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// took is what matters of a scan.
type took struct {
	State     string
	Amount    int64
	Undone    bool
	OnHand    int64
	Available int64
}

func tookOf(l shop.TakeLine) took { return took{l.State, l.Amount, l.Undone, l.OnHand, l.Available} }

// Every state that a scan can end in, and the one answer that settles it. The
// washer has 3 on hand, 2 of them set aside for job 9.
func TestTake(t *testing.T) {
	for _, tt := range []struct {
		name   string
		q      shop.TakeRequest
		answer shop.TakeAnswer
		want   []took // before the answer, after it, after it was given again
	}{
		{
			"one out, and one less",
			shop.TakeRequest{Text: "W-10"},
			shop.TakeAnswer{Does: "less"},
			[]took{{"taken", 1, false, 2, 0}, {"taken", 1, true, 3, 1}, {"taken", 1, true, 3, 1}},
		},
		{
			"set aside for another job",
			shop.TakeRequest{Text: "=2\nW-10"},
			shop.TakeAnswer{Does: "kept"},
			[]took{{"kept", 2, false, 3, 1}, {"taken", 2, false, 1, 0}, {"taken", 2, false, 1, 0}},
		},
		{
			"set aside for this job",
			shop.TakeRequest{Text: "W-10", Amount: 3, Job: "9"},
			shop.TakeAnswer{Does: "less"},
			[]took{{"taken", 3, false, 0, 0}, {"taken", 3, true, 3, 3}, {"taken", 3, true, 3, 3}},
		},
		{
			"more than there is: found",
			shop.TakeRequest{Text: "=5\nW-10"},
			shop.TakeAnswer{Does: "found"},
			[]took{{"short", 5, false, 3, 1}, {"taken", 5, false, 0, 0}, {"taken", 5, false, 0, 0}},
		},
		{
			"more than there is: the bin is empty",
			shop.TakeRequest{Text: "=5\nW-10"},
			shop.TakeAnswer{Does: "empty"},
			[]took{{"short", 5, false, 3, 1}, {"dropped", 5, false, 0, 0}, {"dropped", 5, false, 0, 0}},
		},
		{
			"the last one out of an empty bin",
			shop.TakeRequest{Text: "W-10"},
			shop.TakeAnswer{Does: "empty"},
			[]took{{"taken", 1, false, 2, 0}, {"taken", 1, false, 0, 0}, {"taken", 1, false, 0, 0}},
		},
		{
			"nobody knows it",
			shop.TakeRequest{Text: "PARCEL-7"},
			shop.TakeAnswer{Does: "is", Part: "W-10", Learn: true},
			[]took{{"unknown", 0, false, 0, 0}, {"taken", 1, false, 2, 0}, {"taken", 1, false, 2, 0}},
		},
		{
			"it was nothing",
			shop.TakeRequest{Text: "PARCEL-7"},
			shop.TakeAnswer{Does: "drop"},
			[]took{{"unknown", 0, false, 0, 0}, {"dropped", 0, false, 0, 0}, {"dropped", 0, false, 0, 0}},
		},
		{
			"not counted: the bag is empty",
			shop.TakeRequest{Text: "CW-1"},
			shop.TakeAnswer{Does: "less"},
			[]took{{"noted", 1, false, 0, 0}, {"dropped", 1, false, 0, 0}, {"dropped", 1, false, 0, 0}},
		},
		{
			"oil asks how much",
			shop.TakeRequest{Text: "O-5"},
			shop.TakeAnswer{Does: "much", Amount: 480},
			[]took{{"how_much", 0, false, 1000, 1000}, {"taken", 480, false, 520, 520}, {"taken", 480, false, 520, 520}},
		},
		{
			"the label of a bin in which one part lives",
			shop.TakeRequest{Text: "A-1"},
			shop.TakeAnswer{Does: "less"},
			[]took{{"taken", 1, false, 999, 999}, {"taken", 1, true, 1000, 1000}, {"taken", 1, true, 1000, 1000}},
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := takeShop(t)
			tt.q.Key = "k1"
			l, err := s.Take(t.Context(), tt.q)
			if err != nil {
				t.Fatal(err)
			}
			got := []took{tookOf(l)}
			if again, err := s.Take(t.Context(), tt.q); err != nil || !again.Repeated || tookOf(again) != got[0] {
				t.Errorf("the same key again: %+v, %v", tookOf(again), err)
			}
			tt.answer.Scan = l.Scan
			for range 2 {
				if l, err = s.AnswerTake(t.Context(), tt.answer); err != nil {
					t.Fatal(err)
				}
				got = append(got, tookOf(l))
			}
			if diff := cmp.Diff(got, tt.want); diff != "" {
				t.Errorf("(-got +want)\n%s", diff)
			}
		})
	}
}

// takeShop has a washer (3, of them 2 set aside), a washer that is not counted,
// oil, and a bin in which only screws live.
func takeShop(t *testing.T) *shop.Shop {
	t.Helper()
	s, _ := newShop(t)
	stockWasher(t, s, 3)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		bin, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: "A-1", Kind: "shelf"})
		if err != nil {
			return err
		}
		for _, p := range []catalog.Part{
			{Number: "CW-1", Maker: "Tolmek", Role: catalog.BottomWasher, Unit: catalog.Piece},
			{Number: "O-5", Maker: "Tolmek", Role: catalog.Oil, Unit: catalog.Millilitre},
			{Number: "SC-4", Maker: "Tolmek", Role: catalog.DrainScrew, Unit: catalog.Piece, HomeBin: bin.ID},
		} {
			if p, err = catalog.AddPart(ctx, tx, p); err != nil {
				return err
			}
			if p.Number == "CW-1" {
				continue
			}
			to := bin
			if p.HomeBin == "" {
				if to, err = inventory.BinNamed(ctx, tx, inventory.Intake); err != nil {
					return err
				}
			}
			lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID})
			if err != nil {
				return err
			}
			if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: person(ctx, t, tx)},
				[]inventory.Flow{{Part: p.ID, Lot: lot.ID, To: to.ID, Amount: 1000}}); err != nil {
				return err
			}
		}
		return nil
	})
	uncounted := false
	if _, err := s.SetShelf(t.Context(), "CW-1", shop.ShelfFacts{Counted: &uncounted}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SetAside(t.Context(), "W-10", 2, "9", ""); err != nil {
		t.Fatal(err)
	}
	return s
}

// The batch on the label of the pack in the hand is the batch that is taken.
func TestTakeTheBatchInTheHand(t *testing.T) {
	s := takeShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.PartNamed(ctx, tx, "SC-4")
		if err != nil {
			return err
		}
		lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID, Batch: "L9"})
		if err != nil {
			return err
		}
		if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: person(ctx, t, tx)},
			[]inventory.Flow{{Part: p.ID, Lot: lot.ID, To: p.HomeBin, Amount: 1}}); err != nil {
			return err
		}
		return catalog.LinkCode(ctx, tx, catalog.Link{Code: "09521101530001", Part: p.ID, Pieces: 1}, person(ctx, t, tx), false)
	})
	var batches []string
	for _, text := range []string{"(01)09521101530001(10)L9", "(01)09521101530001(10)L9", "(01)09521101530001(10)L0"} {
		l, err := s.Take(t.Context(), shop.TakeRequest{Text: text})
		if err != nil || l.State != "taken" {
			t.Fatal(l.State, err)
		}
		batches = append(batches, l.Batch)
	}
	if diff := cmp.Diff(batches, []string{"L9", "", ""}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// Eight people scan at once, every scan sent twice: each piece goes out once, the
// rest waits, and nothing is lost.
func TestTakeAtOnce(t *testing.T) {
	s := takeShop(t)
	const people, scans, there = 8, 20, 1000
	var wait sync.WaitGroup
	var mu sync.Mutex
	var failed error
	states := map[string]int{}
	for who := range people {
		wait.Go(func() {
			for n := range scans {
				q := shop.TakeRequest{Key: fmt.Sprintf("p%d-%d", who, n), Session: fmt.Sprint(who), Text: "=10\nSC-4"}
				for range 2 {
					l, err := s.Take(t.Context(), q)
					mu.Lock()
					failed = errors.Join(failed, err)
					if !l.Repeated {
						states[l.State]++
					}
					mu.Unlock()
				}
			}
		})
	}
	wait.Wait()
	if failed != nil {
		t.Fatal(failed)
	}
	if diff := cmp.Diff(states, map[string]int{"taken": there / 10, "short": people*scans - there/10}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
	all, err := s.Takes(t.Context(), "")
	if err != nil || len(all.Waits) != people*scans-there/10 {
		t.Errorf("%d wait, %v", len(all.Waits), err)
	}
}

func TestTakeRefuses(t *testing.T) {
	s := takeShop(t)
	if _, err := s.Take(t.Context(), shop.TakeRequest{Key: "k", Job: "12", Text: "W-10"}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		q    shop.TakeRequest
		want fault.Kind
	}{
		{shop.TakeRequest{Text: ""}, fault.Invalid},
		{shop.TakeRequest{Text: "W-10\nW-10"}, fault.Invalid},
		{shop.TakeRequest{Text: "=12"}, fault.Invalid},
		{shop.TakeRequest{Text: "W-10", Amount: -1}, fault.Invalid},
		{shop.TakeRequest{Text: "W-10", Key: "12"}, fault.Invalid},
		{shop.TakeRequest{Text: "W-10", Job: strings.Repeat("j", 200)}, fault.Invalid},
		{shop.TakeRequest{Text: "W-10", Job: "13", Key: "k"}, fault.Conflict},
		{shop.TakeRequest{Text: "CW-1", Job: "12", Key: "k"}, fault.Conflict},
	} {
		if _, err := s.Take(t.Context(), tt.q); fault.KindOf(err) != tt.want {
			t.Errorf("%+v: %v, want %v", tt.q, err, tt.want)
		}
	}
	for _, a := range []shop.TakeAnswer{{Scan: 1, Does: "dance"}, {Scan: 1, Does: "less", Amount: -1}} {
		if _, err := s.AnswerTake(t.Context(), a); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%+v: %v", a, err)
		}
	}
	if _, err := s.AnswerTake(t.Context(), shop.TakeAnswer{Scan: 99, Does: "less"}); fault.KindOf(err) != fault.NotFound {
		t.Error(err)
	}
}
