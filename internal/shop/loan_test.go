package shop_test

import (
	"context"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// byUseBy gives how much of a part is on hand, by use-by day.
func byUseBy(t *testing.T, s *shop.Shop, part string) map[string]int64 {
	t.Helper()
	there := map[string]int64{}
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.PartNamed(ctx, tx, part)
		if err != nil {
			return err
		}
		lines, err := inventory.Stock(ctx, tx, p.ID)
		for _, l := range lines {
			there[l.Lot.UseBy] += l.Amount
		}
		return err
	})
	return there
}

// What comes back from a loan goes to the lots that it was lent from, the latest
// lent first, and brings what it was worth; what was undone, and what is out with
// another, counts for nothing.
func TestLentComesBackToItsLots(t *testing.T) {
	s, _ := newShop(t)
	twoSeals(t, s)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.PartNamed(ctx, tx, "S-39")
		if err != nil {
			return err
		}
		bin, err := inventory.BinNamed(ctx, tx, inventory.Intake)
		if err != nil {
			return err
		}
		for useBy, amount := range map[string]int64{"2027-01-01": 3, "2028-01-01": 3} {
			lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID, UseBy: useBy})
			if err != nil {
				return err
			}
			if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: person(ctx, t, tx)}, []inventory.Flow{
				{Part: p.ID, Lot: lot.ID, To: bin.ID, Amount: amount, Value: inventory.Value{Minor: amount * 333, Known: true}},
			}); err != nil {
				return err
			}
		}
		return nil
	})
	move := func(kind, partner, lot string, amount int64) shop.Posted {
		t.Helper()
		out, err := s.Move(t.Context(), shop.MoveRequest{Kind: kind, Part: "S-39", Amount: amount, Partner: partner, Lot: lot})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	shows := func(step string, want map[string]int64) {
		t.Helper()
		if diff := cmp.Diff(want, byUseBy(t, s, "S-39")); diff != "" {
			t.Errorf("%s, by lot (- want):\n%s", step, diff)
		}
	}
	out := move(inventory.Lend, "Nord", "", 4)
	shows("lent", map[string]int64{"2028-01-01": 2})
	move(inventory.Lend, "Halm", "", 1)
	back := move(inventory.LentBack, "Nord", "", 2)
	shows("the latest first", map[string]int64{"2027-01-01": 1, "2028-01-01": 2})
	if _, err := s.Undo(t.Context(), back.Posting.ID, "", ""); err != nil {
		t.Fatal(err)
	}
	latest := strconv.FormatInt(out.Movements[len(out.Movements)-1].Lot, 10)
	move(inventory.LentBack, "Nord", latest, 1)
	shows("to the lot that is told", map[string]int64{"2028-01-01": 2})
	last := move(inventory.LentBack, "Nord", "", 3)
	shows("the rest", map[string]int64{"2027-01-01": 3, "2028-01-01": 2})
	var worth int64
	for _, m := range last.Movements {
		worth += *m.ValueMinor
	}
	if worth != 3*333 {
		t.Errorf("three came back worth %d, want %d", worth, 3*333)
	}
}

// What is borrowed goes back of the lot that it came into, though older pieces
// lie there; where that is used up, as for any use.
func TestBorrowedGoesBackOfItsLot(t *testing.T) {
	for _, used := range []bool{false, true} {
		s, _ := newShop(t)
		twoSeals(t, s)
		load(t, s, func(ctx context.Context, tx *store.Tx) error {
			p, err := catalog.PartNamed(ctx, tx, "S-39")
			if err != nil {
				return err
			}
			bin, err := inventory.BinNamed(ctx, tx, inventory.Intake)
			if err != nil {
				return err
			}
			lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID, UseBy: "2027-01-01"})
			if err != nil {
				return err
			}
			_, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: person(ctx, t, tx)},
				[]inventory.Flow{{Part: p.ID, Lot: lot.ID, To: bin.ID, Amount: 3}})
			return err
		})
		borrowed, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Borrow, Part: "S-39", Amount: 2, Partner: "Halm"})
		if err != nil {
			t.Fatal(err)
		}
		want := map[string]int64{"2027-01-01": 3}
		if used {
			lot := strconv.FormatInt(borrowed.Movements[0].Lot, 10)
			if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "S-39", Amount: 2, Lot: lot}); err != nil {
				t.Fatal(err)
			}
			want = map[string]int64{"2027-01-01": 1}
		}
		if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.BorrowedBack, Part: "S-39", Amount: 2, Partner: "Halm"}); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, byUseBy(t, s, "S-39")); diff != "" {
			t.Errorf("used %v, by lot (- want):\n%s", used, diff)
		}
	}
}
