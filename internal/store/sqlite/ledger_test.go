package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forkstock/internal/store"
)

// A ledger that was there before postings knew more kinds keeps every posting
// and movement, what names them, and its guards.
func TestWiderPostingsKeepTheLedger(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	steps, err := store.Migrations()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := sql.Open("sqlite3", "file:"+path+"?mode=rwc&_foreign_keys=on&_recursive_triggers=on")
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range append(slices.Clone(steps[:4]),
		`PRAGMA user_version = 4`,
		`INSERT INTO person (id, name, since) VALUES ('p', 'Mika', '')`,
		`INSERT INTO bin (id, name, name_norm, kind) VALUES ('b', 'A-1', 'A-1', 'shelf')`,
		`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit)
			VALUES ('s', '1', '1', 'T', 'T', 'oil_seal', '', 'piece')`,
		`INSERT INTO lot (id, short, part, since) VALUES ('l', 1, 's', '')`,
		`INSERT INTO posting (id, key, content, kind, person, at, reason, corrects)
			VALUES ('1', 'k1', 'c', 'receive', 'p', '2026-01-01', 'r', NULL), ('2', 'k2', 'c', 'undo', 'p', '2026-01-02', '', '1')`,
		`INSERT INTO movement VALUES (1, '1', 's', 'b', 'l', 4, 400), (2, '2', 's', 'b', 'l', -4, -400)`,
	) {
		if _, err := raw.Exec(q); err != nil {
			t.Fatalf("%v\n%s", err, q)
		}
	}
	if err := raw.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var got []string
	err = db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var line string
			err := scan(&line)
			got = append(got, line)
			return err
		}, `SELECT p.id || p.key || p.content || p.kind || p.at || p.reason || coalesce(p.corrects, '') || m.seq || m.amount
			FROM posting p JOIN movement m ON m.posting = p.id ORDER BY m.seq`)
	})
	want := []string{"1k1creceive2026-01-01r14", "2k2cundo2026-01-02" + "12-4"}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("kept %q, %v; want %q", got, err, want)
	}
	for what, q := range map[string]string{
		"append only":  `DELETE FROM posting WHERE id = '2'`,
		"FOREIGN KEY":  `INSERT INTO movement VALUES (3, 'none', 's', 'b', 'l', 4, 400)`,
		"kind IN":      `INSERT INTO posting (id, key, content, kind, person, at) VALUES ('3', 'k3', '', 'gift', 'p', '')`,
		"sequence wit": `INSERT INTO movement VALUES (4, '1', 's', 'b', 'l', 4, 400)`,
	} {
		if err := exec(t, db, q); err == nil || !strings.Contains(errors.Unwrap(err).Error(), what) {
			t.Errorf("%s: %v, want %q", q, err, what)
		}
	}
}
