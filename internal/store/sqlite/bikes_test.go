package sqlite

import (
	"context"
	"database/sql"
	"path/filepath"
	"slices"
	"testing"

	"forkstock/internal/store"
)

// A shop of the first version keeps its bikes and oil fills, which are made
// anew by the second, and what a change of a bike tells the index.
func TestBikesSurviveTheSecondVersion(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	steps, err := store.Migrations()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := sql.Open("sqlite3", "file:"+path+"?mode=rwc&_foreign_keys=on")
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{
		steps[0], `PRAGMA user_version = 1`,
		`INSERT INTO fork (id, name, name_norm, layout, leg_um) VALUES ('f', 'F', 'F', 'conventional', 39000)`,
		`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, fork, source)
			VALUES ('m', 'Oda', 'ODA', 'B', 'B', 2000, 'f', 'list')`,
		`INSERT INTO oil_fill (id, fork, fitment, leg, chamber, dry_ml, gap_how) VALUES ('o', 'f', 'm', 'both', 'leg', 480, 'out')`,
		`INSERT INTO position (id, fork, seq, role, leg, per_leg, renew, fitted) VALUES
			('p1', 'f', 1, 'oil_seal', 'both', 1, 'always', 'yes'), ('p2', 'f', 2, 'bottom_bolt', 'both', 1, 'opened', 'yes'),
			('p3', 'f', 3, 'wiper', 'both', 1, 'judge', 'yes'), ('p4', 'f', 4, 'clip', 'both', 1, 'always', 'yes')`,
	} {
		if _, err := raw.Exec(q); err != nil {
			t.Fatal(err)
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
	rows := func(query string) (all []string) {
		err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			return tx.Each(ctx, func(scan store.Scan) error {
				var row string
				err := scan(&row)
				all = append(all, row)
				return err
			}, query)
		})
		if err != nil {
			t.Error(err)
		}
		return all
	}
	for query, want := range map[string][]string{
		`SELECT make || model || year_from || coalesce(year_to, '-') || fork || source || variant || code FROM fitment`: {"OdaB2000-flist"},
		`SELECT fork || fitment || leg || chamber || dry_ml || gap_how || coalesce(cst_milli, '-') FROM oil_fill`:       {"fmbothleg480out-"},
		`SELECT id FROM position WHERE renew_told = 1 ORDER BY id`:                                                      {"p2", "p4"},
		`SELECT gen || '' FROM change WHERE kind = 'fork'`:                                                              {"2"},
		`SELECT "table" FROM pragma_foreign_key_list('oil_fill') ORDER BY 1`:                                            {"fitment", "fork"},
		`SELECT "table" FROM pragma_foreign_key_check`:                                                                  nil,
	} {
		if got := rows(query); !slices.Equal(got, want) {
			t.Errorf("%s = %q, want %q", query, got, want)
		}
	}
	for _, q := range []string{
		`DELETE FROM fitment`, // the oil rests on it
		`INSERT INTO fitment (id, make, make_norm, model, model_norm, fork) VALUES ('n', 'A', 'A', 'B', 'B', 'f')`,
	} {
		if exec(t, db, q) == nil {
			t.Errorf("not refused: %s", q)
		}
	}
	for _, q := range []string{
		`INSERT INTO fitment (id, make, make_norm, model, model_norm, frame_to, frame_to_norm, fork)
			VALUES ('n', 'A', 'A', 'B', 'B', 'K1-90', 'K190', 'f')`,
		`UPDATE fitment SET year_from = 2001 WHERE id = 'm'`,
		`DELETE FROM fitment WHERE id = 'n'`,
	} {
		if err := exec(t, db, q); err != nil {
			t.Errorf("%s: %v", q, err)
		}
	}
	if got := rows(`SELECT max(gen) || '' FROM change`); !slices.Equal(got, []string{"6"}) {
		t.Errorf("generation after three changes = %q, want 6: a changed bike counts twice", got)
	}
}
