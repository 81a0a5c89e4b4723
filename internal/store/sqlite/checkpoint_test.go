package sqlite

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"forkstock/internal/store"
)

// A checkpoint brings what was committed into the file itself, beside a reader
// and by a program whose commits leave that alone; and a copy of the file alone
// has it then.
func TestCheckpoint(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	db, err := Open(t.Context(), path, Options{Create: true, Checkpoints: true})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	names := func() (n int) {
		t.Helper()
		b, err := os.ReadFile(path)
		alone := filepath.Join(t.TempDir(), "db")
		if err == nil {
			err = os.WriteFile(alone, b, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
		c, err := Open(t.Context(), alone, Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		err = c.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			_, err := tx.One(ctx, store.Into(&n), `SELECT count(*) FROM bin`)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return n
	}
	if err := db.Checkpoint(t.Context()); err != nil {
		t.Fatal(err)
	}
	if err := exec(t, db, `WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 60000)
		INSERT INTO bin (id, name, name_norm, kind) SELECT i, i, i, 'shelf' FROM n`); err != nil { // more than 1000 pages
		t.Fatal(err)
	}
	if n := names(); n != 0 {
		t.Errorf("%d rows stand in the file before a checkpoint: the commit made one", n)
	}
	err = db.Read(t.Context(), func(context.Context, *store.Tx) error { return db.Checkpoint(t.Context()) })
	if n := names(); err != nil || n != 60000 {
		t.Errorf("%d rows stand in the file after a checkpoint, want 60000; %v", n, err)
	}
}

// Two programs that write at once wait for each other, however long that is for
// SQLite's own patience of a few milliseconds.
func TestWritersWait(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	first, err := Open(t.Context(), path, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	defer first.Close()
	second, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close()
	begun, ended := make(chan struct{}), make(chan error)
	go func() {
		<-begun
		ended <- exec(t, second, `INSERT INTO person (id, name, since) SELECT 'b', max(name) || ', then B', '' FROM person`)
	}()
	err = first.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		close(begun)
		for i := range 60_000 { // far more than those milliseconds
			if _, err := tx.Exec(ctx, `INSERT INTO setting (name, value) VALUES ($1, '')`, i); err != nil {
				return err
			}
		}
		_, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('a', 'A', '')`)
		return err
	})
	if err != nil {
		t.Error(err)
	}
	if err := <-ended; err != nil {
		t.Errorf("the second: %v", err)
	}
	err = first.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		found, err := tx.One(ctx, store.Into(new(string)), `SELECT id FROM person WHERE name = 'A, then B'`)
		if !found {
			t.Error("the second did not wait for the first")
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}
