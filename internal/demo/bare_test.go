package demo

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

// A catalog that is entered without its indexes is the same, row by row and
// statement by statement, as one that kept them; that it is sound says SQLite's
// own check.
func TestBare(t *testing.T) {
	kept, bare := filled(t, Options{Seed: 1, End: wednesday}), filled(t, Options{Seed: 1, End: wednesday})
	large := NewLarge(1)
	write(t, bare, func(ctx context.Context, tx *store.Tx) error { return large.Begin(ctx, tx) })
	if left := list(t, bare, `SELECT name FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL`); left != nil {
		t.Errorf("%q are still there", left)
	}
	for db, l := range map[*store.DB]*Large{kept: NewLarge(1), bare: large} {
		for range 2 {
			write(t, db, func(ctx context.Context, tx *store.Tx) error {
				_, err := l.Enter(ctx, tx, "p", 500)
				return err
			})
		}
	}
	write(t, kept, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `ANALYZE`)
		return err
	})
	write(t, bare, func(ctx context.Context, tx *store.Tx) error { return large.End(ctx, tx) })

	for _, query := range []string{
		`SELECT type || ' ' || name || ' ' || tbl_name || ' ' || coalesce(sql, '') FROM sqlite_schema ORDER BY type, name`,
		`SELECT name FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL ORDER BY rowid`, // the planner heeds the order
	} {
		if d := cmp.Diff(list(t, kept, query), list(t, bare, query)); d != "" {
			t.Errorf("schema (-kept +bare):\n%s", d)
		}
	}
	tables := list(t, kept, `SELECT name FROM sqlite_schema WHERE type = 'table'`)
	want, rows := dump(t, kept, tables...), 0
	for table, got := range dump(t, bare, tables...) {
		if d := cmp.Diff(want[table], got); d != "" {
			t.Errorf("%s (-kept +bare):\n%.2000s", table, d)
		}
		rows += len(got)
	}
	if rows < 10_000 {
		t.Errorf("%d rows, want two copies and more", rows)
	}
	for query, want := range map[string]string{`PRAGMA integrity_check`: "ok", `SELECT count(*) FROM pragma_foreign_key_check`: "0"} {
		if got := list(t, bare, query); len(got) != 1 || got[0] != want {
			t.Errorf("%s: %q, want %s", query, got, want)
		}
	}
}

func write(t *testing.T, db *store.DB, f func(context.Context, *store.Tx) error) {
	t.Helper()
	if err := db.Write(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

// A fresh file without journal is as any other once it is opened again.
func TestBareFresh(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.db")
	opt := sqlite.Options{Create: true, Fresh: true, Clock: func() time.Time { return wednesday }, Random: Random(1)}
	db, err := sqlite.Open(t.Context(), path, opt)
	if err != nil {
		t.Fatal(err)
	}
	write(t, db, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Nora', 'then')`)
		if err == nil {
			err = Fill(ctx, tx, "p", Options{Seed: 1, End: wednesday})
		}
		return err
	})
	if mode := list(t, db, `SELECT * FROM pragma_journal_mode`); mode[0] == "wal" {
		t.Error("the file is journalled")
	}
	parts := list(t, db, `SELECT id FROM part ORDER BY id`)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	again, err := sqlite.Open(t.Context(), path, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if d := cmp.Diff(parts, list(t, again, `SELECT id FROM part ORDER BY id`)); d != "" || len(parts) < 500 {
		t.Errorf("%d parts; opened again (-before +now):\n%.500s", len(parts), d)
	}
	if mode := list(t, again, `SELECT * FROM pragma_journal_mode`); mode[0] != "wal" {
		t.Errorf("journal %s, want wal", mode[0])
	}
}
