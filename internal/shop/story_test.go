package shop_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// What was on hand after a movement is the same whichever way its story is cut
// out of the ledger, and as the movements add up.
func TestStoryCutOut(t *testing.T) {
	s, c := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		for _, number := range []string{"A-1", "A-2", "A-3"} {
			p, err := addPart(ctx, tx, number, catalog.BottomWasher, washerSize)
			if err != nil {
				return err
			}
			if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: number + "C", Part: p.ID, Pieces: 3}, person(ctx, t, tx), false); err != nil {
				return err
			}
		}
		return nil
	})
	random := rand.New(rand.NewPCG(7, 41))
	days := []string{}
	for n := range 60 {
		c.now = c.now.Add(11 * time.Hour)
		if day := c.now.Format(time.DateOnly); len(days) == 0 || days[len(days)-1] != day {
			days = append(days, day)
		}
		number := fmt.Sprintf("A-%d", 1+random.IntN(3))
		if random.IntN(2) == 0 {
			receive(t, s, number+"C")
			continue
		}
		_, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: number, Amount: 1, Job: fmt.Sprint(n % 2), Found: true})
		if err != nil {
			t.Fatal(err)
		}
	}
	all, err := s.Ledger(t.Context(), shop.LedgerRequest{})
	if err != nil {
		t.Fatal(err)
	}
	want, sum := map[int64]int64{}, map[string]int64{}
	for _, e := range all.Movements {
		sum[e.Number] += e.Amount
		want[e.Seq] = sum[e.Number]
	}
	cuts := []shop.LedgerRequest{{}, {Last: 7}, {Before: 20}, {Before: 33, Last: 5}, {Job: "1"}, {Job: "0", Last: 3}, {Part: "A-2"}, {Bin: "INTAKE", Before: 9}}
	for _, day := range days {
		cuts = append(cuts, shop.LedgerRequest{Day: day}, shop.LedgerRequest{AsOf: day}, shop.LedgerRequest{AsOf: day, Part: "A-1"})
	}
	for _, cut := range cuts {
		got, err := s.Ledger(t.Context(), cut)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range got.Movements {
			if e.OnHand != want[e.Seq] {
				t.Errorf("%+v: %d on hand after %d, want %d", cut, e.OnHand, e.Seq, want[e.Seq])
			}
		}
	}
	last, err := s.Ledger(t.Context(), shop.LedgerRequest{Last: 5, Before: 31})
	if err != nil {
		t.Fatal(err)
	}
	var seqs []int64
	for _, e := range last.Movements {
		seqs = append(seqs, e.Seq)
	}
	if diff := cmp.Diff(seqs, []int64{26, 27, 28, 29, 30}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// As it stood at the end of a day: the stock is what the ledger until then adds up
// to, and later days change nothing of it.
func TestStoryAsItStood(t *testing.T) {
	s, c := newShop(t)
	stockWasher(t, s, 9)
	first := c.now.Format(time.DateOnly)
	c.now = c.now.AddDate(0, 0, 3)
	if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "W-10", Amount: 4}); err != nil {
		t.Fatal(err)
	}
	for day, want := range map[string]int64{first: 9, c.now.AddDate(0, 0, -1).Format(time.DateOnly): 9, c.now.Format(time.DateOnly): 5} {
		stock, err := s.Stock(t.Context(), "W-10", day)
		if err != nil || len(stock.Lines) != 1 || stock.Lines[0].Amount != want {
			t.Errorf("%s: %+v, %v; want %d", day, stock.Lines, err, want)
		}
		ledger, err := s.Ledger(t.Context(), shop.LedgerRequest{AsOf: day})
		if err != nil {
			t.Fatal(err)
		}
		if e := ledger.Movements[len(ledger.Movements)-1]; e.OnHand != want {
			t.Errorf("%s: the story ends at %d, want %d", day, e.OnHand, want)
		}
	}
}
