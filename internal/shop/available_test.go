package shop_test

import (
	"context"
	"testing"
	"time"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Available is one figure wherever a part is shown: on hand, less what lies in
// a blocked place or a tray, less what is set aside until its last day.
func TestAvailable(t *testing.T) {
	s, c := newShop(t)
	day := c.now
	stockWasher(t, s, 10)
	for _, bin := range [][2]string{{"Q-1", "blocked"}, {"T-1", "tray"}} {
		if err := s.AddBin(t.Context(), bin[0], bin[1]); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Move, Part: "W-10", Amount: 1, Bin: "INTAKE", To: bin[0]}); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.SetAside(t.Context(), "W-10", 3, "12", "2026-01-07"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SetAside(t.Context(), "W-10", 1, "13", ""); err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct {
		day             time.Time
		available, kept int64
	}{{day, 4, 4}, {day.AddDate(0, 0, 2), 4, 4}, {day.AddDate(0, 0, 3), 7, 1}} {
		c.now = want.day
		found, err := s.Find(t.Context(), "W-10", 5)
		if err != nil || len(found.Parts) != 1 {
			t.Fatal(found.Parts, err)
		}
		page, err := s.PartPage(t.Context(), "W-10")
		if err != nil {
			t.Fatal(err)
		}
		for where, p := range map[string]shop.Part{"find": found.Parts[0], "part": page.Part} {
			if p.OnHand != 10 || p.Available != want.available || p.SetAside != want.kept {
				t.Errorf("%s on %s: %d on hand, %d available, %d set aside; want 10, %d, %d", where, want.day.Format(time.DateOnly),
					p.OnHand, p.Available, p.SetAside, want.available, want.kept)
			}
		}
	}
}

// stockWasher puts pieces of a washer W-10 into INTAKE.
func stockWasher(t *testing.T, s *shop.Shop, pieces int64) {
	t.Helper()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := addPart(ctx, tx, "W-10", catalog.BottomWasher, washerSize)
		if err != nil {
			return err
		}
		bin, err := inventory.BinNamed(ctx, tx, inventory.Intake)
		if err != nil {
			return err
		}
		lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID})
		if err != nil {
			return err
		}
		_, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: person(ctx, t, tx)},
			[]inventory.Flow{{Part: p.ID, Lot: lot.ID, To: bin.ID, Amount: pieces}})
		return err
	})
}
