package sqlite

import (
	"context"
	"database/sql"
	"path/filepath"
	"slices"
	"testing"

	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// What a shop of the first version knew is claimed by the person who was there
// first, with the values printed as package measure prints them.
func TestSecondVersionClaimsWhatWasKnown(t *testing.T) {
	path := filepath.Join(t.TempDir(), "db")
	steps, err := store.Migrations()
	if err != nil {
		t.Fatal(err)
	}
	raw, err := sql.Open("sqlite3", "file:"+path+"?mode=rwc&_foreign_keys=on")
	if err != nil {
		t.Fatal(err)
	}
	sizes := map[string]measure.Size{
		"a": {Inner: 39000, Outer: 52000, Height: 11000, Overall: 12500}, "b": {Inner: 41275, Outer: 54000},
		"c": {Outer: 53000, Height: 1500}, "d": {Height: 30000}, "e": {Inner: 100000, Overall: 5},
	}
	for _, q := range []string{
		steps[0], `PRAGMA user_version = 1`,
		`INSERT INTO person VALUES ('q', 'Nora', '2026-02'), ('p', 'Mika', '2025-01')`,
		`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit, inner_um, outer_um, height_um, overall_um, thread, elastomer, source)
			VALUES ('a', '1', '1', 'T', 'T', 'oil_seal', '', 'piece', 39000, 52000, 11000, 12500, '', 'NBR', 'list 3'),
			('b', '2', '2', 'T', 'T', 'wiper', '', 'piece', 41275, 54000, NULL, NULL, '', '', ''),
			('c', '3', '3', 'T', 'T', 'clip', '', 'piece', NULL, 53000, 1500, NULL, '', '', ''),
			('d', '4', '4', 'T', 'T', 'bottom_bolt', '', 'piece', NULL, NULL, 30000, NULL, 'M10x1.25', '', ''),
			('e', '5', '5', 'T', 'T', 'other', '', 'piece', 100000, NULL, NULL, 5, '', '', ''),
			('n', '6', '6', 'T', 'T', 'other', '', 'piece', NULL, NULL, NULL, NULL, '', '', '')`,
		`INSERT INTO fork (id, name, name_norm, layout, leg_um, source) VALUES ('f', 'Corva 39', 'CORVA39', 'conventional', 39500, 'bench')`,
		`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork, source)
			VALUES ('m', 'Oda', 'ODA', 'B', 'B', 2000, 2004, 'f', 'list'), ('o', 'Oda', 'ODA', 'C', 'C', 2000, NULL, 'f', ''),
			('s', 'Oda', 'ODA', 'D', 'D', 2000, 2000, 'f', '')`,
		`INSERT INTO position (id, fork, seq, role, leg, per_leg, renew, fitted, inner_um, outer_um, thread)
			VALUES ('x', 'f', 1, 'oil_seal', 'both', 1, 'always', 'yes', 39000, 52000, ''), ('y', 'f', 2, 'bottom_bolt', 'both', 1, 'damage', 'yes', NULL, NULL, 'M8')`,
		`INSERT INTO position_part VALUES ('x', 'a', 'list 3')`,
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
	got := map[string]string{}
	err = db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var what, value string
			err := scan(&what, &value)
			got[what] = value
			return err
		}, `SELECT about || ' ' || subject || ' ' || field, value || '|' || how || '|' || source || '|' || person || '|' || decided FROM claim ORDER BY number`)
	})
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"part a elastomer": "NBR|told|list 3|p|1", "part d thread": "M10x1.25|told||p|1", "place x size": "39x52|told||p|1",
		"place y thread": "M8|told||p|1", "place_part x a fits": "yes|told|list 3|p|1", "fork f leg": "39.5|told|bench|p|1",
		"fitment m bike": "Oda B 2000-2004: Corva 39|told|list|p|1", "fitment o bike": "Oda C 2000-: Corva 39|told||p|1",
		"fitment s bike": "Oda D 2000: Corva 39|told||p|1",
	}
	for id, size := range sizes {
		source := ""
		if id == "a" {
			source = "list 3"
		}
		want["part "+id+" size"] = size.String() + "|told|" + source + "|p|1"
		if read, err := measure.ParseSize(size.String()); err != nil || read != size {
			t.Errorf("%s reads back as %v, %v", size, read, err)
		}
	}
	for what, value := range want {
		if got[what] != value {
			t.Errorf("%s: %q, want %q", what, got[what], value)
		}
	}
	if len(got) != len(want) {
		var others []string
		for what := range got {
			if want[what] == "" {
				others = append(others, what)
			}
		}
		slices.Sort(others)
		t.Errorf("%d claims, want %d; others: %q", len(got), len(want), others)
	}
}
