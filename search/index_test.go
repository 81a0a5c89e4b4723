package search

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// mistyped is found by an index only: "synthetic" stands in one description.
const mistyped = "synthetc"

func numbers(h Hits) (all []string) {
	for _, p := range h.Parts {
		all = append(all, p.Part.Number)
	}
	return all
}

func wantWhole(t *testing.T, db *store.DB, ix *Index) {
	t.Helper()
	h := find(t, db, ix, mistyped, Options{})
	if got := numbers(h); !slices.Equal(got, []string{"OIL-10W"}) || !h.Degraded.IsZero() {
		t.Errorf("found %q, degraded %v", got, h.Degraded)
	}
}

// Where the index cannot be had, whole words are found and it is said.
func wantDegraded(t *testing.T, db *store.DB, ix *Index, id string) {
	t.Helper()
	h := find(t, db, ix, "synthetic", Options{})
	if got := numbers(h); !slices.Equal(got, []string{"OIL-10W"}) || h.Degraded.ID != id {
		t.Errorf("found %q, degraded %v, want %s", got, h.Degraded, id)
	}
}

// Both kinds of index follow the catalog.
func TestFollows(t *testing.T) {
	for name, open := range map[string]func(t *testing.T) *Index{
		"disk":   func(t *testing.T) *Index { return Open(t.TempDir(), "catalog") },
		"memory": func(*testing.T) *Index { return Memory() },
	} {
		t.Run(name, func(t *testing.T) {
			db, ids := shop(t)
			ix := open(t)
			defer ix.Close()
			wantDegraded(t, db, ix, "search.index_behind")
			catchUp(t, db, ix, true)
			wantWhole(t, db, ix)

			inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
				_, err := catalog.AddPart(ctx, tx, catalog.Part{
					Number: "Z-1", Maker: "Gessel", Role: catalog.Other, Description: "quillwort", Unit: catalog.Piece,
				})
				return err
			})
			inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
				_, err := tx.Exec(ctx, `UPDATE part SET description = 'marzipan' WHERE id = $1`, ids["CO-1O4"])
				return err
			})
			wantDegraded(t, db, ix, "search.index_behind")
			catchUp(t, db, ix, true)
			for query, want := range map[string][]string{"quillwrt": {"Z-1"}, "marzpan": {"CO-1O4"}, "soft": nil} {
				if got := numbers(find(t, db, ix, query, Options{})); !slices.Equal(got, want) {
					t.Errorf("%s: got %q, want %q", query, got, want)
				}
			}

			inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
				fork, err := catalog.ForkNamed(ctx, tx, "UD-43")
				if err == nil {
					_, err = catalog.AddFitment(ctx, tx, catalog.Fitment{Make: "Ostra", Model: "1", YearFrom: 1990, Fork: fork.ID})
				}
				return err
			})
			if got := numbers(find(t, db, ix, "Ostra 1 seal", Options{})); !slices.Equal(got, []string{"OS-4355"}) {
				t.Errorf("a new bike: found %q, want OS-4355", got)
			}

			inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
				_, err := tx.Exec(ctx, `DELETE FROM part WHERE number = 'Z-1'`)
				return err
			})
			catchUp(t, db, ix, true)
			if n, _ := ix.words.DocCount(); n != 34+5 {
				t.Errorf("%d documents, want 34 parts and 5 forks", n)
			}
			if got := numbers(find(t, db, ix, "quillwrt", Options{})); got != nil {
				t.Errorf("deleted, but found: %q", got)
			}
		})
	}
}

func TestReopens(t *testing.T) {
	db, _ := shop(t)
	dir := t.TempDir()
	ix := Open(dir, "catalog")
	catchUp(t, db, ix, true)
	gen := ix.gen
	if err := ix.Close(); err != nil {
		t.Fatal(err)
	}
	wantDegraded(t, db, ix, "search.no_index")
	catchUp(t, db, ix, false) // closed is closed

	ix = Open(dir, "catalog")
	defer ix.Close()
	if ix.gen != gen || gen == 0 {
		t.Errorf("generation %d, want %d", ix.gen, gen)
	}
	wantWhole(t, db, ix)
}

// An index of another catalog, of another version, and one that holds more
// than the catalog is built anew.
func TestOutdated(t *testing.T) {
	db, _ := shop(t)
	older, _ := shop(t)
	inTx(t, older, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `DELETE FROM change WHERE gen > 20`)
		return err
	})
	dir := t.TempDir()
	ix := Open(dir, "catalog")
	catchUp(t, db, ix, true)
	ix.Close()

	ix = Open(dir, "another")
	if ix.gen != 0 {
		t.Error("an index of another catalog was taken")
	}
	catchUp(t, db, ix, true)
	ix.Close()

	seal, err := os.ReadFile(filepath.Join(dir, asked, "seal"))
	if err != nil || !strings.HasPrefix(string(seal), "forkstock index "+version+" ") {
		t.Fatalf("seal %.30q, %v", seal, err)
	}
	other := strings.Replace(string(seal), "index "+version, "index 0", 1)
	if err := os.WriteFile(filepath.Join(dir, asked, "seal"), []byte(other), 0o644); err != nil {
		t.Fatal(err)
	}
	ix = Open(dir, "another")
	if ix.gen != 0 {
		t.Error("an index of another version was taken")
	}
	catchUp(t, db, ix, true)
	ix.Close()

	ix = Open(dir, "another")
	defer ix.Close()
	catchUp(t, older, ix, true)
	if n, _ := ix.words.DocCount(); n != 19 || ix.gen != 20 {
		t.Errorf("%d documents at %d of an older catalog, want 19 at 20: one part was changed by its offer", n, ix.gen)
	}
	// A transaction that sees less is no older catalog once the two have met.
	catchUp(t, db, ix, true)
	gen := ix.gen
	catchUp(t, older, ix, true)
	if ix.gen != gen {
		t.Errorf("generation %d, want %d still", ix.gen, gen)
	}
}

// Whatever happens to its files, the index is built anew and nothing dies.
func TestDamaged(t *testing.T) {
	db, _ := shop(t)
	whole := t.TempDir()
	ix := Open(whole, "catalog")
	catchUp(t, db, ix, true)
	if err := ix.Close(); err != nil {
		t.Fatal(err)
	}
	damages := map[string]func(path string, b []byte) error{
		"removed": func(path string, _ []byte) error { return os.Remove(path) },
		"emptied": func(path string, _ []byte) error { return os.WriteFile(path, nil, 0o600) },
		"cut":     func(path string, b []byte) error { return os.WriteFile(path, b[:len(b)/2], 0o600) },
		"garbage": func(path string, b []byte) error {
			return os.WriteFile(path, slices.Repeat([]byte{0xa5}, len(b)), 0o600)
		},
		"one bit":  func(path string, b []byte) error { b[len(b)/3] ^= 4; return os.WriteFile(path, b, 0o600) },
		"a folder": func(path string, _ []byte) error { return errors.Join(os.Remove(path), os.Mkdir(path, 0o700)) },
	}
	files := 0
	err := filepath.WalkDir(whole, func(path string, d os.DirEntry, err error) error {
		name, _ := filepath.Rel(whole, path)
		if err != nil || d.IsDir() || name == "lock" {
			return err
		}
		files++
		for what, damage := range damages {
			t.Run(name+" "+what, func(t *testing.T) {
				dir := t.TempDir()
				if err := os.CopyFS(dir, os.DirFS(whole)); err != nil {
					t.Fatal(err)
				}
				b, err := os.ReadFile(path)
				if err != nil {
					t.Fatal(err)
				}
				if err := damage(filepath.Join(dir, name), b); err != nil {
					t.Fatal(err)
				}
				ix := Open(dir, "catalog")
				defer ix.Close()
				if ix.gen != 0 && filepath.Base(name) != rootName { // of which there are two
					t.Error("a damaged index was taken")
				}
				catchUp(t, db, ix, true)
				wantWhole(t, db, ix)
			})
		}
		return nil
	})
	if err != nil || files < 4 {
		t.Errorf("%d files, %v; want the seal and bleve's own", files, err)
	}
}

func TestLocked(t *testing.T) {
	db, _ := shop(t)
	dir := t.TempDir()
	first := Open(dir, "catalog")
	catchUp(t, db, first, true)
	second := Open(dir, "catalog")
	defer second.Close()
	catchUp(t, db, second, false)
	wantDegraded(t, db, second, "search.no_index")
	wantWhole(t, db, first)
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	catchUp(t, db, second, true)
	wantWhole(t, db, second)
}

func TestUnwritable(t *testing.T) {
	db, _ := shop(t)
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	ix := Open(filepath.Join(file, "index"), "catalog")
	catchUp(t, db, ix, false)
	wantDegraded(t, db, ix, "search.no_index")
	if err := ix.Close(); err != nil {
		t.Error(err)
	}
}

// An index that breaks while it is asked or written is thrown away.
func TestBreaks(t *testing.T) {
	db, _ := shop(t)
	ix := Open(t.TempDir(), "catalog")
	defer ix.Close()
	catchUp(t, db, ix, true)
	ix.words.Close()
	wantDegraded(t, db, ix, "search.no_index")
	catchUp(t, db, ix, true)
	wantWhole(t, db, ix)

	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `UPDATE part SET material = 'brass'`)
		return err
	})
	ix.words.Close()
	catchUp(t, db, ix, false)
	catchUp(t, db, ix, true)
	wantWhole(t, db, ix)
}

// addFiller adds n parts that all say the same.
func addFiller(t *testing.T, db *store.DB, n int) {
	t.Helper()
	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < $1)
			INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit)
			SELECT 'n' || i, 'N' || i, 'N' || i, 'Gessel', 'GESSEL', 'other', 'filler', 'piece' FROM n`, n)
		return err
	})
}

// Catching up keeps to its budget, and goes on where it stopped.
func TestBudget(t *testing.T) {
	db, _ := shop(t)
	addFiller(t, db, 2500)
	ix := Memory()
	defer ix.Close()
	steps := 0
	for done := false; !done; steps++ {
		read(t, db, func(ctx context.Context, tx *store.Tx) (err error) {
			done, err = ix.CatchUp(ctx, tx, time.Nanosecond)
			return err
		})
		if steps > 9 {
			t.Fatal("it does not end")
		}
	}
	if steps != 3 {
		t.Errorf("%d steps, want 3 of 1000 each at most", steps)
	}
	if h := find(t, db, ix, "filler", Options{}); h.Total != 2500 {
		t.Errorf("found %d, want 2500", h.Total)
	}
}

func TestTogether(t *testing.T) {
	db, _ := shop(t)
	ix := Open(t.TempDir(), "catalog")
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for range 5 {
				inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
					_, err := tx.Exec(ctx, `UPDATE part SET source = source || '.' WHERE role = 'oil'`)
					return err
				})
				read(t, db, func(ctx context.Context, tx *store.Tx) error {
					_, err := ix.CatchUp(ctx, tx, time.Second)
					return err
				})
				if got := numbers(find(t, db, ix, "synthetic", Options{})); !slices.Equal(got, []string{"OIL-10W"}) {
					t.Errorf("found %q", got)
				}
			}
		})
	}
	all.Wait()
	if err := ix.Close(); err != nil {
		t.Error(err)
	}
}

// An index whose making is stopped in good order is gone on with, and is asked
// once it is whole.
func TestMaking(t *testing.T) {
	db, _ := shop(t)
	addFiller(t, db, 2500)
	dir := t.TempDir()
	for _, gen := range []int64{0, 1009, 2009} { // three batches: nine parts have changed since they were added
		ix := Open(dir, "catalog")
		if !ix.making || ix.gen != gen {
			t.Fatalf("at %d, being made: %v; want %d", ix.gen, ix.making, gen)
		}
		read(t, db, func(ctx context.Context, tx *store.Tx) error {
			_, err := ix.CatchUp(ctx, tx, time.Nanosecond)
			return err
		})
		if gen < 2009 {
			wantDegraded(t, db, ix, "search.index_behind")
			if m := ix.Did(); !m.IsZero() {
				t.Errorf("did %v, want nothing yet", m)
			}
		} else {
			wantWhole(t, db, ix)
			if m := ix.Did(); m.ID != "search.made_anew" || m.Args[0] != 34+5+2500 {
				t.Errorf("did %v, want all made anew", m)
			}
		}
		ix.Close()
	}
}

// What a process left that was killed while it replaced the index, or that an
// older program left, is put right.
func TestLeft(t *testing.T) {
	db, _ := shop(t)
	for name, leave := range map[string]func(dir string) error{
		"made, and the old one gone": func(dir string) error { return os.Rename(filepath.Join(dir, asked), filepath.Join(dir, unfinished)) },
		"made, and the old one going": func(dir string) error {
			err := os.CopyFS(filepath.Join(dir, unfinished), os.DirFS(filepath.Join(dir, asked)))
			return errors.Join(err, os.Remove(filepath.Join(dir, asked, "bleve", "index_meta.json")))
		},
		"a seal that is not whole": func(dir string) error {
			return errors.Join(os.Rename(filepath.Join(dir, asked), filepath.Join(dir, unfinished)), os.Truncate(filepath.Join(dir, unfinished, "seal"), 20))
		},
		"a layout of before": func(dir string) error {
			return os.Rename(filepath.Join(dir, asked, "seal"), filepath.Join(dir, "seal"))
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			ix := Open(dir, "catalog")
			catchUp(t, db, ix, true)
			ix.Close()
			if err := leave(dir); err != nil {
				t.Fatal(err)
			}
			ix = Open(dir, "catalog")
			defer ix.Close()
			if !ix.making {
				t.Error("it was taken as it lay")
			}
			catchUp(t, db, ix, true)
			wantWhole(t, db, ix)
			if m := ix.Did(); m.ID != "search.made_anew" {
				t.Errorf("did %v, want made anew", m)
			}
			if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) != 2 {
				t.Errorf("%q are left, want the lock and the words", left)
			}
		})
	}
}
