package inventory_test

import (
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// lying is so many pieces of a lot in a bin.
type lying struct {
	lot    inventory.Lot
	amount int64
}

// laid puts lots of a part on shelf A, and gives what each is called by id.
func (s *shelf) laid(part catalog.Part, all ...lying) map[string]string {
	s.t.Helper()
	names := map[string]string{}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		for _, l := range all {
			name := l.lot.Since // what the test calls it
			l.lot.Part, l.lot.Since = part.ID, name+"T00:00:00.000Z"
			lot, err := inventory.LotOf(ctx, tx, l.lot)
			if err != nil {
				return err
			}
			names[lot.ID] = name
			if _, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: s.person},
				[]inventory.Flow{{Part: part.ID, Lot: lot.ID, To: s.a.ID, Amount: l.amount}}); err != nil {
				return err
			}
		}
		return nil
	})
	return names
}

// The clock of the shelf stands at 2026-03-02. Rubber of NBR keeps 7 years
// (ISO 2230:2002, table 1, group B: 7 and 3 more; from memory).
func TestTurn(t *testing.T) {
	batch := func(since, text string) inventory.Lot { return inventory.Lot{Since: since, Batch: text} }
	for _, tt := range []struct {
		name   string
		lies   []lying
		amount int64
		want   string
	}{
		{"one piece uses the older single up", []lying{{batch("2025-01-01", "L1"), 1}, {batch("2025-02-01", "L2"), 4}}, 1, "2025-01-01:1"},
		{"a pair is of the one batch that holds two", []lying{{batch("2025-01-01", "L1"), 1}, {batch("2025-02-01", "L2"), 4}}, 2, "2025-02-01:2"},
		{"of two batches that hold a pair, the older", []lying{{batch("2025-01-01", "L1"), 2}, {batch("2025-02-01", "L2"), 2}}, 2, "2025-01-01:2"},
		{"where none holds two, the oldest go", []lying{{batch("2025-01-01", "L1"), 1}, {batch("2025-02-01", "L2"), 1}}, 2, "2025-01-01:1 2025-02-01:1"},
		{"lots of one batch are one", []lying{
			{batch("2025-01-01", "L1"), 1},
			{batch("2025-02-01", "L2"), 1},
			{inventory.Lot{Since: "2025-03-01", Batch: "L2", Cure: "2026-Q1"}, 1},
			{batch("2025-04-01", "L3"), 2},
		}, 2, "2025-02-01:1 2025-03-01:1"},
		{"three pieces are no pair", []lying{{batch("2025-01-01", "L1"), 1}, {batch("2025-02-01", "L2"), 4}}, 3, "2025-01-01:1 2025-02-01:2"},
		{"the day on the pack goes before age", []lying{{batch("2025-01-01", ""), 1}, {inventory.Lot{Since: "2025-02-01", UseBy: "2027-01-01"}, 1}}, 1, "2025-02-01:1"},
		{"what is past its day goes last", []lying{{inventory.Lot{Since: "2025-01-01", UseBy: "2026-03-01"}, 5}, {batch("2025-02-01", ""), 1}}, 1, "2025-02-01:1"},
		{"on its last day it is good", []lying{{inventory.Lot{Since: "2025-01-01", UseBy: "2026-03-02"}, 5}, {batch("2025-02-01", ""), 1}}, 1, "2025-01-01:1"},
		{"age never blocks", []lying{{inventory.Lot{Since: "2025-01-01", UseBy: "2026-03-01"}, 5}, {batch("2025-02-01", ""), 1}}, 3, "2025-02-01:1 2025-01-01:2"},
		{"a pair is of what is good", []lying{{inventory.Lot{Since: "2025-01-01", UseBy: "2026-03-01"}, 2}, {batch("2025-02-01", "L2"), 2}}, 2, "2025-02-01:2"},
		{"rubber past its time goes last", []lying{{inventory.Lot{Since: "2025-01-01", Cure: "2018-Q4"}, 2}, {inventory.Lot{Since: "2025-02-01", Cure: "2020-Q1"}, 2}}, 2, "2025-02-01:2"},
		{"made earlier goes first", []lying{
			{batch("2025-02-01", "L1"), 1},
			{inventory.Lot{Since: "2025-03-01", Batch: "L2", Printed: inventory.Printed{Made: "2024-05-01"}}, 1},
		}, 1, "2025-03-01:1"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := newShelf(t)
			s.must(func(ctx context.Context, tx *store.Tx) error {
				_, err := tx.Exec(ctx, `UPDATE part SET elastomer = 'NBR' WHERE id = $1`, s.seal.ID)
				return err
			})
			names := s.laid(s.seal, tt.lies...)
			if got := s.picked(names, tt.amount, ""); got != tt.want {
				t.Errorf("took %s, want %s", got, tt.want)
			}
		})
	}
}

// picked gives what would be taken of the seal, in its turn.
func (s *shelf) picked(names map[string]string, amount int64, job string) string {
	s.t.Helper()
	var took []string
	s.must(func(ctx context.Context, tx *store.Tx) error {
		flows, err := inventory.PickFor(ctx, tx, s.seal.ID, amount, "", job)
		sum := map[string]int64{}
		for _, f := range flows {
			if sum[names[f.Lot]] == 0 {
				took = append(took, names[f.Lot])
			}
			sum[names[f.Lot]] += f.Amount
		}
		for i, name := range took {
			took[i] = name + ":" + string(rune('0'+sum[name]))
		}
		return err
	})
	return strings.Join(took, " ")
}

// A job that has one piece of a batch gets its pair of the same, though there is
// an older single; the next job gets that.
func TestTurnOfTheOtherLeg(t *testing.T) {
	s := newShelf(t)
	names := s.laid(s.seal, lying{inventory.Lot{Since: "2025-01-01", Batch: "L1"}, 3}, lying{inventory.Lot{Since: "2025-02-01", Batch: "L2"}, 4})
	take := func(lot string) inventory.Posting {
		var p inventory.Posting
		s.must(func(ctx context.Context, tx *store.Tx) (err error) {
			p, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Issue, Person: s.person, Job: "12"},
				[]inventory.Flow{{Part: s.seal.ID, Lot: lot, From: s.a.ID, Amount: 1}})
			return err
		})
		return p
	}
	var second string
	for id, name := range names {
		if name == "2025-02-01" {
			second = id
		}
	}
	p := take(second)
	if diff := cmp.Diff([]string{s.picked(names, 1, "12"), s.picked(names, 1, "13"), s.picked(names, 1, "")},
		[]string{"2025-02-01:1", "2025-01-01:1", "2025-01-01:1"}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Reverse(ctx, tx, p, inventory.Posting{Person: s.person})
		return err
	})
	if got := s.picked(names, 1, "12"); got != "2025-01-01:1" {
		t.Errorf("after the first was taken back: %s, want the oldest", got)
	}
}

// Of an oil the open bottle goes first, though a full one is older.
func TestTurnOfBottles(t *testing.T) {
	s := newShelf(t)
	var oil catalog.Part
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		oil, err = catalog.AddPart(ctx, tx, catalog.Part{Number: "O-5", Maker: "Tolmek", Role: catalog.Oil, Unit: "mL"})
		if err == nil {
			_, err = tx.Exec(ctx, `UPDATE part SET bottle_ml = 1000 WHERE id = $1`, oil.ID)
		}
		return err
	})
	s.seal = oil
	names := s.laid(oil, lying{inventory.Lot{Since: "2025-01-01"}, 2000}, lying{inventory.Lot{Since: "2025-02-01", Batch: "B"}, 1420})
	var lots []string
	s.must(func(ctx context.Context, tx *store.Tx) error {
		flows, err := inventory.Pick(ctx, tx, oil.ID, 500, "", "")
		for _, f := range flows {
			lots = append(lots, names[f.Lot])
		}
		return err
	})
	if diff := cmp.Diff(lots, []string{"2025-02-01"}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// What is printed on the packs of a lot is kept; made is the oldest of them.
func TestPrinted(t *testing.T) {
	s := newShelf(t)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		for _, made := range []string{"", "2025-03-01", "2025-01-01", "2025-05-01", ""} {
			l := inventory.Lot{Part: s.seal.ID, Delivery: s.delivery.ID, Batch: "L7", Printed: inventory.Printed{Made: made, BestBefore: "2030-01-01"}}
			if _, err := inventory.LotOf(ctx, tx, l); err != nil {
				return err
			}
		}
		l, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: s.seal.ID, Delivery: s.delivery.ID, Batch: "L7"})
		if err != nil {
			return err
		}
		got, err := inventory.LotNumbered(ctx, tx, l.Short)
		if diff := cmp.Diff(got.Printed, inventory.Printed{Made: "2025-01-01", BestBefore: "2030-01-01"}); diff != "" {
			t.Errorf("(-got +want)\n%s", diff)
		}
		return err
	})
}
