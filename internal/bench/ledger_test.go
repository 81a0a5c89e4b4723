package bench

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// A ledger that was filled in one go is as good as one that was posted: the
// books agree, the triggers are back, and it can be scanned into.
func TestFillLedger(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "shop")
	if err := fillLedger(t.Context(), dir, 300, 5001, nil); err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := scan(t.Context(), s, 0, 3); err != nil {
		t.Error(err)
	}
	if err := take(t.Context(), s, 0, 1); err != nil {
		t.Error(err)
	}
	checked, err := s.Check(t.Context())
	if err != nil || len(checked.Findings) > 0 || checked.Movements != 5001+4 || checked.Parts != 300 {
		t.Errorf("check: %+v, %v", checked, err)
	}
	worth, err := s.Worth(t.Context(), "", false)
	if err != nil || len(worth.Lines) != 300 || worth.Unvalued != 3 {
		t.Errorf("worth: %d lines, %d with pieces of unknown value, %v", len(worth.Lines), worth.Unvalued, err)
	}
	number, _ := partName(0)
	if hot, err := s.Stock(t.Context(), number, ""); err != nil || hot.Lines[0].Amount < 100 {
		t.Errorf("the part in great demand: %+v, %v", hot.Lines, err)
	}
}

// What was recorded of scans and takes leaves, repeated on a copy of the shop, the
// same ledger.
func TestRepeat(t *testing.T) {
	l := &ledgerBench{opt: LedgerOptions{Dir: t.TempDir(), Movements: smallest}}
	dirs, err := l.copies(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	bare, err := shop.Open(t.Context(), dirs[1], shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer bare.Close()
	for _, do := range []act{scan, take} {
		all, err := record(t.Context(), dirs[0], do, 5, 2)
		if err != nil {
			t.Fatal(err)
		}
		for _, one := range all {
			if err := repeat(t.Context(), bare, one); err != nil {
				t.Fatal(err)
			}
		}
	}
	recorded, err := shop.Open(t.Context(), dirs[0], shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer recorded.Close()
	var ledgers [2][]string
	for i, s := range []*shop.Shop{recorded, bare} {
		err := s.Load(t.Context(), func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
			return tx.Each(ctx, func(scan store.Scan) error {
				var row string
				err := scan(&row)
				ledgers[i] = append(ledgers[i], row)
				return err
			}, `SELECT seq || ' ' || posting || ' ' || part || ' ' || amount FROM movement WHERE seq > $1 ORDER BY seq`, paceMoves)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(ledgers[0]) != 5*2+5 || !slices.Equal(ledgers[0], ledgers[1]) {
		t.Errorf("recorded %q, repeated %q", ledgers[0], ledgers[1])
	}
}

// The run with the smallest share of its baseline counts, and is held against a
// multiple of that.
func TestAgainst(t *testing.T) {
	l := &ledgerBench{out: &Result{}}
	ms := time.Millisecond
	l.against("a", "ns", 2, []pair{{9 * ms, 4 * ms}, {5 * ms, 3 * ms}, {3 * ms, 1 * ms}})
	l.against("b", "ns", 1.5, []pair{{9 * ms, 4 * ms}})
	want := []Row{{"a", "ns", int64(6 * ms), int64(5 * ms), int64(3 * ms), true}, {"b", "ns", int64(6 * ms), int64(9 * ms), int64(4 * ms), false}}
	if !slices.Equal(l.out.Rows, want) || !l.out.Over() {
		t.Errorf("%+v, want %+v", l.out.Rows, want)
	}
	if _, err := RunLedger(t.Context(), LedgerOptions{Movements: 1, Runs: 1}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("of one movement: %v", err)
	}
}
