package inventory_test

import (
	"context"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Parts and bins share one row of numbers; what is linked or was scanned
// before is left out, and no number is given twice.
func TestOwnNumbers(t *testing.T) {
	s := newShelf(t)
	linked, scanned := own(t, 2), own(t, 3)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: linked, Part: s.wiper.ID, Pieces: 1}, s.person, false); err != nil {
			return err
		}
		_, _, err := inventory.Record(ctx, tx, inventory.Scan{Key: "k", Delivery: s.delivery.ID, Person: s.person, Code: scanned, Text: scanned})
		return err
	})
	var seal, pair, bin string
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		if seal, err = inventory.NumberPart(ctx, tx, s.seal.ID, 1, s.person); err != nil {
			return err
		}
		if bin, err = inventory.NumberBin(ctx, tx, s.a.ID, s.person); err != nil {
			return err
		}
		pair, err = inventory.NumberPart(ctx, tx, s.seal.ID, 2, s.person)
		return err
	})
	if seal != own(t, 1) || bin != own(t, 4) || pair != own(t, 5) {
		t.Errorf("seal %s, bin %s, pair %s, want the first, fourth and fifth number", seal, bin, pair)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		for pieces, want := range map[int64]string{1: seal, 2: pair, 3: ""} {
			got, err := inventory.OwnNumberOfPart(ctx, tx, s.seal.ID, pieces)
			if err != nil || got != want {
				t.Errorf("number of %d pieces: %q, %v, want %q", pieces, got, err, want)
			}
		}
		got, err := inventory.NumberOfBin(ctx, tx, s.a.ID)
		if err != nil || got != bin {
			t.Errorf("number of the bin: %q, %v, want %q", got, err, bin)
		}
		for _, text := range []string{bin, gs1.Printed(bin), " " + gs1.Printed(bin)[1:]} {
			if b, err := inventory.BinNamed(ctx, tx, text); err != nil || b.Name != s.a.Name {
				t.Errorf("bin of %q: %+v, %v, want %s", text, b, err, s.a.Name)
			}
		}
		if _, err := inventory.BinNamed(ctx, tx, seal); fault.KindOf(err) != fault.NotFound {
			t.Errorf("bin by the code of a part: %v, want notfound", err)
		}
		return nil
	})
	err := s.try(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.NumberBin(ctx, tx, s.a.ID, s.person)
		return err
	})
	if err == nil {
		t.Error("a bin got a second number")
	}
	for _, query := range []string{`DELETE FROM own_number`, `UPDATE own_number SET code = 'x'`} {
		if err := s.try(func(ctx context.Context, tx *store.Tx) error {
			_, err := tx.Exec(ctx, query)
			return err
		}); err == nil {
			t.Errorf("%s: numbers can be taken back", query)
		}
	}
}

// A maker's GTIN for the same pieces does for a label, but a number of the
// shop's own goes first; a code that is no GTIN does not.
func TestOwnNumberOfPart(t *testing.T) {
	s := newShelf(t)
	for _, tt := range []struct {
		code string
		want string
	}{
		{"T-S39", ""},
		{"09520123456788", "09520123456788"},
		{own(t, 9), own(t, 9)},
		{"09520123456795", own(t, 9)},
	} {
		s.must(func(ctx context.Context, tx *store.Tx) error {
			if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: tt.code, Part: s.seal.ID, Pieces: 1}, s.person, false); err != nil {
				return err
			}
			got, err := inventory.OwnNumberOfPart(ctx, tx, s.seal.ID, 1)
			if err != nil || got != tt.want {
				t.Errorf("after %s: %q, %v, want %q", tt.code, got, err, tt.want)
			}
			return nil
		})
	}
}

func own(t *testing.T, n int64) string {
	t.Helper()
	code, ok := gs1.Own(n)
	if !ok {
		t.Fatalf("no own number %d", n)
	}
	return code
}
