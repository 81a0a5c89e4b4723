package shop_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// many is more rows than one transaction takes in.
const many = 21_000

func manyRows(price int) string {
	var b strings.Builder
	b.WriteString("part no,description,net price\n")
	for i := range many {
		fmt.Fprintf(&b, "M-%05d,Wiper %dx%d,%d.%02d\n", i, 30+i%20, 42+i%20, price, i%100)
	}
	return b.String()
}

func count(t *testing.T, s *shop.Shop, query string) (n int) {
	t.Helper()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.One(ctx, store.Into(&n), query)
		return err
	})
	return n
}

// A run that is stopped while it stages, or while it switches in, goes on with
// the same command and counts what both runs did; nothing staged is left.
func TestImportGoesOn(t *testing.T) {
	for _, stop := range []int{5_000, many + 6_000} { // of twice the rows: staged, then switched in
		t.Run(fmt.Sprint(stop), func(t *testing.T) {
			s, _ := newShop(t)
			addSupplier(t, s, "Wesselmoor")
			q := shop.ImportRequest{Files: []string{file(t, "list.csv", manyRows(1))}, Supplier: "Wesselmoor"}
			ctx, cancel := context.WithCancel(t.Context())
			q.Progress = func(done, _ int) {
				if done >= stop {
					cancel()
				}
			}
			if _, err := s.Import(ctx, q); fault.KindOf(err) != fault.Busy && ctx.Err() == nil || err == nil {
				t.Fatalf("stopped: %v", err)
			}
			if n := count(t, s, `SELECT count(*) FROM import_row`); n == 0 {
				t.Error("nothing is staged")
			}
			before := count(t, s, `SELECT count(*) FROM supplier_item`)
			if (before > 0) != (stop > many) {
				t.Errorf("%d items are in", before)
			}
			q.Progress = nil
			out, err := s.Import(t.Context(), q)
			if err != nil || out.Added != many || !out.Files[0].Resumed {
				t.Errorf("again: %d added, %d unchanged, resumed %v, %v", out.Added, out.Unchanged, out.Files[0].Resumed, err)
			}
			if n := count(t, s, `SELECT count(*) FROM supplier_item`); n != many {
				t.Errorf("%d items, want %d", n, many)
			}
			if n := count(t, s, `SELECT count(*) FROM import_row`); n != 0 {
				t.Errorf("%d rows are left staged", n)
			}
			if out, err := s.Import(t.Context(), q); err != nil || out.Unchanged != many || out.Files[0].Resumed {
				t.Errorf("once more: %+v, %v", out.Files[0], err)
			}
		})
	}
}

// A newer list goes before one that was left: what was staged of that is
// given up.
func TestImportGivesUpTheOlder(t *testing.T) {
	s, _ := newShop(t)
	addSupplier(t, s, "Wesselmoor")
	ctx, cancel := context.WithCancel(t.Context())
	q := shop.ImportRequest{Files: []string{file(t, "old.csv", manyRows(1))}, Supplier: "Wesselmoor", Progress: func(done, _ int) { cancel() }}
	if _, err := s.Import(ctx, q); err == nil {
		t.Fatal("not stopped")
	}
	q.Files, q.Progress = []string{file(t, "new.csv", manyRows(2))}, nil
	out, err := s.Import(t.Context(), q)
	if err != nil || out.Added != many || out.Files[0].Resumed {
		t.Errorf("the newer list: %+v, %v", out.Added, err)
	}
	if n := count(t, s, `SELECT count(*) FROM import_row`); n != 0 {
		t.Errorf("%d rows are left staged", n)
	}
	if n := count(t, s, `SELECT count(*) FROM supplier_item WHERE pack_price_minor < 200`); n != 0 {
		t.Errorf("%d items of the older list", n)
	}
}

// Large lists can be tried and be strict like others, and packs are scanned
// while one goes in.
func TestImportLarge(t *testing.T) {
	s, _ := newShop(t)
	addSupplier(t, s, "Wesselmoor")
	text := manyRows(1) + "M-00001,Wiper,9.00\nX-1,Wiper,some\n"
	q := shop.ImportRequest{Files: []string{file(t, "list.csv", text)}, Supplier: "Wesselmoor", DryRun: true}
	out, err := s.Import(t.Context(), q)
	if err != nil || out.Added != many || out.RejectedCount != 2 || out.CellsLeftOut != 1 {
		t.Errorf("dry run: %d added, %d rejected, %v; want the two that contradict and one bad price", out.Added, out.RejectedCount, err)
	}
	q.DryRun, q.Strict = false, true
	if out, err := s.Import(t.Context(), q); err != nil || !out.Refused || out.Added != 0 {
		t.Errorf("strict: %+v, %v", out.Added, err)
	}
	if n := count(t, s, `SELECT (SELECT count(*) FROM supplier_item) + (SELECT count(*) FROM import_row)`); n != 0 {
		t.Errorf("%d rows went in", n)
	}
	q.Strict = false
	var wg sync.WaitGroup
	var once sync.Once
	q.Progress = func(int, int) {
		once.Do(func() {
			wg.Go(func() {
				if got := receive(t, s, "A\nB\nC"); len(got.Unknown) != 3 {
					t.Errorf("scanned meanwhile: %+v", got)
				}
			})
		})
	}
	out, err = s.Import(t.Context(), q)
	wg.Wait()
	if err != nil || out.Added != many || out.RejectedCount != 2 || out.CellsLeftOut != 1 {
		t.Errorf("%d added, %d rejected, %v", out.Added, out.RejectedCount, err)
	}
}

// A file in several sheets or by an unknown name is found out by its content.
func TestImportFolderAndAbsent(t *testing.T) {
	s, _ := newShop(t)
	for _, path := range []string{t.TempDir(), filepath.Join(t.TempDir(), "absent.csv")} {
		_, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{path}, Kind: "parts"})
		if k := fault.KindOf(err); k != fault.Invalid && k != fault.NotFound {
			t.Errorf("Import(%s) = %v", path, err)
		}
	}
	if _, err := os.Stat("list.csv"); err == nil {
		t.Error("a file was left")
	}
}
