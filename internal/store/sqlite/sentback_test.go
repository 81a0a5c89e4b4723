package sqlite

import (
	"context"
	"database/sql"
	"path/filepath"
	"slices"
	"testing"

	"forkstock/internal/store"
)

// What was sent back before claims were kept is claimed as well, once for each
// posting, with the credit that was expected.
func TestSentBackIsClaimed(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	steps, err := store.Migrations()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := sql.Open("sqlite3", "file:"+path+"?mode=rwc&_foreign_keys=on&_recursive_triggers=on")
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range append(slices.Clone(steps[:5]),
		`PRAGMA user_version = 5`,
		`INSERT INTO person (id, name, since) VALUES ('p', 'Mika', '')`,
		`INSERT INTO supplier (id, name, name_norm, lead_days) VALUES ('x', 'Halm', 'HALM', 2)`,
		`INSERT INTO bin (id, name, name_norm, kind) VALUES ('b', 'A-1', 'A-1', 'shelf')`,
		`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit)
			VALUES ('s', '1', '1', 'T', 'T', 'oil_seal', '', 'piece')`,
		`INSERT INTO lot (id, short, part, batch, since) VALUES ('l', 1, 's', 'B1', ''), ('m', 2, 's', 'B2', '')`,
		`INSERT INTO posting (id, key, content, kind, person, at, partner, price_minor) VALUES ('1', 'k1', 'c', 'opening', 'p', '2026-01-01', '', NULL),
			('2', 'k2', 'c', 'send_back', 'p', '2026-01-03', 'Halm', 980), ('3', 'k3', 'c', 'send_back', 'p', '2026-01-02', 'Halm', NULL)`,
		`INSERT INTO movement VALUES (1, '1', 's', 'b', 'l', 4, 400), (2, '1', 's', 'b', 'm', 4, 400), (3, '2', 's', 'b', 'l', -2, -200),
			(4, '2', 's', 'b', 'm', -1, -100), (5, '3', 's', 'b', 'm', -1, -100)`,
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
		}, `SELECT c.number || ' ' || c.what || ' ' || c.amount || ' ' || coalesce(c.expected_minor, 'null') || ' ' || c.supplier || ' ' || g.posting
			FROM supplier_claim c JOIN claim_posting g ON g.claim = c.id ORDER BY c.number`)
	})
	want := []string{"1 sent_back 1 null x 3", "2 sent_back 3 980 x 2"}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("claimed %q, %v; want %q", got, err, want)
	}
	for _, q := range []string{`DELETE FROM supplier_claim`, `INSERT INTO credit (key, content, claim, amount_minor, day, person, at) VALUES ('k', '', '2', 0, '', 'p', '')`} {
		if err := exec(t, db, q); err == nil {
			t.Errorf("%s: went through", q)
		}
	}
}
