package search

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// An index made anew is whole, and says how far it is; one that is stopped, or
// that another process has, leaves what was there.
func TestRenew(t *testing.T) {
	db, _ := shop(t)
	dir := t.TempDir()
	ix := Open(dir, "catalog")
	catchUp(t, db, ix, true)
	if m := ix.Did(); m.ID != "search.made_anew" {
		t.Errorf("did %v, want made anew", m)
	}
	last, all := 0, 0
	read(t, db, func(ctx context.Context, tx *store.Tx) error {
		return ix.Renew(ctx, tx, "catalog", func(done, of int) { last, all = done, of })
	})
	if last != all || all != 39 {
		t.Errorf("at %d of %d, want 39 of 39", last, all)
	}
	wantWhole(t, db, ix)

	stopped, stop := context.WithCancel(t.Context())
	err := db.Read(t.Context(), func(_ context.Context, tx *store.Tx) error {
		return ix.Renew(stopped, tx, "catalog", func(int, int) { stop() })
	})
	if err == nil {
		t.Error("a stopped renewal is no error")
	}
	wantWhole(t, db, ix)
	if _, err := os.Stat(filepath.Join(dir, unfinished)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the unfinished index is still there: %v", err)
	}

	other := Open(dir, "catalog")
	defer other.Close()
	err = db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error { return other.Renew(ctx, tx, "catalog", nil) })
	if fault.KindOf(err) != fault.Busy {
		t.Errorf("another process: %v, want busy", err)
	}
	if err := ix.Close(); err != nil {
		t.Error(err)
	}
	again := Open(dir, "catalog")
	defer again.Close()
	catchUp(t, db, again, true)
	wantWhole(t, db, again)
	if m := again.Did(); !m.IsZero() {
		t.Errorf("did %v, want nothing: it was whole", m)
	}
}

// An index that is made anew for another id of the catalog is that of the other
// id from then on, also where one was being made.
func TestRenewAsAnother(t *testing.T) {
	db, _ := shop(t)
	addFiller(t, db, 2500)
	dir := t.TempDir()
	ix := Open(dir, "catalog")
	read(t, db, func(ctx context.Context, tx *store.Tx) error {
		if _, err := ix.CatchUp(ctx, tx, 0); err != nil {
			return err
		}
		if !ix.making {
			t.Error("it is made already")
		}
		return ix.Renew(ctx, tx, "another", nil)
	})
	wantWhole(t, db, ix)
	if m := ix.Did(); m.ID != "search.made_anew" {
		t.Errorf("did %v, want made anew", m)
	}
	ix.Close()
	ix = Open(dir, "another")
	wantWhole(t, db, ix)
	ix.Close()
	ix = Open(dir, "catalog")
	defer ix.Close()
	if !ix.making {
		t.Error("an index of another id was taken")
	}
}
