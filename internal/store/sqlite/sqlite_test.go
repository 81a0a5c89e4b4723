package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/iotest"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

func open(t *testing.T) (*store.DB, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a ? shop%20.db") // characters that a data source name must escape
	db, err := Open(t.Context(), path, Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	if _, err := os.Stat(path); err != nil {
		t.Fatalf("the file is not where it was asked for: %v", err)
	}
	return db, path
}

func exec(t *testing.T, db *store.DB, query string, args ...any) error {
	t.Helper()
	return db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, query, args...)
		return err
	})
}

// seed puts in one of everything that a movement refers to.
func seed(t *testing.T, db *store.DB) {
	t.Helper()
	for _, q := range []string{
		`INSERT INTO person VALUES ('p', 'Nora', 'now')`,
		`INSERT INTO bin VALUES ('b', 'A', 'A', 'shelf')`,
		`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit)
		 VALUES ('x', '1', '1', 'M', 'M', 'wiper', '', 'piece')`,
		`INSERT INTO lot (id, short, part, since) VALUES ('l', 1, 'x', 'now')`,
		`INSERT INTO posting (id, key, content, kind, person, at) VALUES ('q', 'k', '', 'receive', 'p', 'now')`,
	} {
		if err := exec(t, db, q); err != nil {
			t.Fatal(err)
		}
	}
}

const move = `INSERT INTO movement (seq, posting, part, bin, lot, amount, value_minor) VALUES ($1, 'q', 'x', 'b', 'l', $2, $3)`

func TestLedgerIsAppendOnly(t *testing.T) {
	db, _ := open(t)
	seed(t, db)
	if err := exec(t, db, move, 1, 2, 100); err != nil {
		t.Fatal(err)
	}
	for name, q := range map[string]string{
		"update":         `UPDATE movement SET amount = 5`,
		"delete":         `DELETE FROM movement`,
		"replace":        `INSERT OR REPLACE INTO movement VALUES (1, 'q', 'x', 'b', 'l', 9, 9)`,
		"gap":            `INSERT INTO movement VALUES (3, 'q', 'x', 'b', 'l', 1, 1)`,
		"nothing":        `INSERT INTO movement VALUES (2, 'q', 'x', 'b', 'l', 0, 1)`,
		"below zero":     `INSERT INTO movement VALUES (2, 'q', 'x', 'b', 'l', -3, -100)`,
		"value below":    `INSERT INTO movement VALUES (2, 'q', 'x', 'b', 'l', -1, -101)`,
		"value left":     `INSERT INTO movement VALUES (2, 'q', 'x', 'b', 'l', -2, -99)`,
		"wrong sign":     `INSERT INTO movement VALUES (2, 'q', 'x', 'b', 'l', 1, -1)`,
		"unknown bin":    `INSERT INTO movement VALUES (2, 'q', 'x', 'nobin', 'l', 1, 1)`,
		"posting update": `UPDATE posting SET key = 'z'`,
		"posting delete": `DELETE FROM posting`,
	} {
		if err := exec(t, db, q); err == nil {
			t.Errorf("%s: the ledger took %s", name, q)
		}
	}
	var amount, known, value, unknown int
	err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.One(ctx, store.Into(&amount), `SELECT sum(amount) FROM balance`)
		_, err2 := tx.One(ctx, store.Into(&known, &value, &unknown), `SELECT known, value_minor, unknown FROM holding`)
		return errors.Join(err, err2)
	})
	if got := []int{amount, known, value, unknown}; err != nil || !slices.Equal(got, []int{2, 2, 100, 0}) {
		t.Errorf("balance, known, value, unknown = %v, %v", got, err)
	}
}

func TestWriteIsWholeOrNothing(t *testing.T) {
	db, _ := open(t)
	seed(t, db)
	stop := errors.New("stop")
	err := db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		if _, err := tx.Exec(ctx, move, 1, 1, nil); err != nil {
			t.Fatal(err)
		}
		return stop
	})
	if !errors.Is(err, stop) {
		t.Fatalf("Write = %v, want the error of its function", err)
	}
	func() {
		defer func() { _ = recover() }()
		_ = db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			_, _ = tx.Exec(ctx, move, 1, 1, nil)
			panic("half way")
		})
	}()
	var n int
	err = db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.One(ctx, store.Into(&n), `SELECT count(*) FROM movement`)
		return err
	})
	if n != 0 || err != nil {
		t.Errorf("%d movements after two failed transactions, %v", n, err)
	}
}

func TestReadersCannotWrite(t *testing.T) {
	db, _ := open(t)
	err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `INSERT INTO setting VALUES ('a', 'b')`)
		return err
	})
	if err == nil {
		t.Error("a reader wrote")
	}
}

// Placeholders bind by number, not in order of appearance.
func TestPlaceholders(t *testing.T) {
	db, _ := open(t)
	var a, b string
	err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.One(ctx, store.Into(&a, &b), `SELECT $2, $1`, "one", "two")
		return err
	})
	if err != nil || a != "two" || b != "one" {
		t.Errorf("SELECT $2, $1 = %q, %q, %v", a, b, err)
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	garbage := filepath.Join(dir, "garbage")
	if err := os.WriteFile(garbage, []byte("this is no database, only some text that is long enough"), 0o600); err != nil {
		t.Fatal(err)
	}
	db, newer := open(t)
	db.Close()
	raw, err := sql.Open("sqlite3", name(newer, map[string][]string{}))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := raw.Exec("PRAGMA user_version = 999"); err != nil {
		t.Fatal(err)
	}
	raw.Close()
	for _, tt := range []struct {
		path   string
		create bool
		want   fault.Kind
	}{
		{filepath.Join(dir, "absent"), false, fault.NotFound},
		{filepath.Join(dir, "no", "folder"), true, fault.NotFound},
		{garbage, true, fault.Conflict},
		{garbage, false, fault.Damaged},
		{newer, false, fault.Damaged},
	} {
		_, err := Open(t.Context(), tt.path, Options{Create: tt.create})
		if got := fault.KindOf(err); got != tt.want {
			t.Errorf("Open(%s, create %v) = %v, kind %q, want %q", filepath.Base(tt.path), tt.create, err, got, tt.want)
		}
	}
}

func TestReopenKeepsAndMigratesOnce(t *testing.T) {
	db, path := open(t)
	if err := exec(t, db, `INSERT INTO setting VALUES ('zone', 'Europe/Vienna')`); err != nil {
		t.Fatal(err)
	}
	db.Close()
	db, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var zone string
	err = db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.One(ctx, store.Into(&zone), `SELECT value FROM setting`)
		return err
	})
	if zone != "Europe/Vienna" || err != nil {
		t.Errorf("after reopening: %q, %v", zone, err)
	}
}

// Every change of a part or fork, by hand-run SQL too, gets a generation of
// its own above all earlier ones.
func TestChangesHaveRisingGenerations(t *testing.T) {
	db, _ := open(t)
	seed(t, db)
	for _, q := range []string{
		`UPDATE part SET description = 'new'`,
		`INSERT INTO fork (id, name, name_norm, layout, leg_um) VALUES ('f', 'F', 'F', 'conventional', 39000)`,
		`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, fork) VALUES ('m', 'A', 'A', 'B', 'B', 2000, 'f')`,
		`DELETE FROM fitment`, `DELETE FROM fork`,
	} {
		if err := exec(t, db, q); err != nil {
			t.Fatal(err)
		}
	}
	var got []string
	err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var row string
			err := scan(&row)
			got = append(got, row)
			return err
		}, `SELECT kind || id || gen FROM change ORDER BY gen`)
	})
	if want := []string{"partx2", "forkf6"}; err != nil || !slices.Equal(got, want) {
		t.Errorf("changes = %v, %v, want %v", got, err, want)
	}
}

func TestIDs(t *testing.T) {
	db, _ := open(t)
	var ids []string
	err := db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		for range 5000 { // more than the counter of one millisecond holds
			id, err := tx.NewID()
			if err != nil {
				return err
			}
			ids = append(ids, id)
		}
		return nil
	})
	if err != nil || !slices.IsSorted(ids) || len(slices.Compact(slices.Clone(ids))) != len(ids) {
		t.Errorf("ids are not rising and distinct: %v", err)
	}
	// RFC 9562, section 5.7: version 7 in the third group, variant 10 in the fourth.
	for _, id := range ids {
		if len(id) != 36 || id[14] != '7' || id[19] < '8' || id[19] > 'b' {
			t.Fatalf("%s is no UUID of version 7", id)
		}
	}
}

func TestIDsNeedRandom(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	db, err := Open(t.Context(), path, Options{Create: true, Random: iotest.ErrReader(io.EOF)})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	err = db.Write(t.Context(), func(_ context.Context, tx *store.Tx) error {
		_, err := tx.NewID()
		return err
	})
	if fault.KindOf(err) != fault.Internal {
		t.Errorf("NewID without random bytes = %v", err)
	}
}
