package demo

import (
	"context"
	"testing"

	"forkstock/internal/store"
)

// Large enters what Fill enters of a further copy: as many rows of each kind
// but for those that it leaves out, and the same words of each part.
func TestLarge(t *testing.T) {
	one, two := filled(t, Options{Seed: 1, End: wednesday}), filled(t, Options{Seed: 1, End: wednesday, Scale: 2})
	err := one.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		parts, err := NewLarge(1).Enter(ctx, tx, "p", 500)
		if parts < 500 || parts > 1000 {
			t.Errorf("%d parts, want one copy", parts)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, query := range []string{
		`SELECT count(*), group_concat(number || maker || role || description || coalesce(inner_um, '') || thread || material, '|') FROM (SELECT * FROM part ORDER BY maker_norm, number_norm)`,
		`SELECT count(*), group_concat(name || leg_um || note, '|') FROM (SELECT * FROM fork ORDER BY name_norm)`,
		`SELECT count(*), group_concat(make || model || variant || code || coalesce(year_from, '') || coalesce(year_to, '') || frame_from, '|') FROM (SELECT * FROM fitment ORDER BY make_norm, model_norm, year_from)`,
		`SELECT count(*), group_concat(role || seq || coalesce(outer_um, '') || note || renew, '|') FROM (SELECT * FROM position ORDER BY role, seq, outer_um, note)`,
		`SELECT count(*), sum(pieces) FROM kit_content`, `SELECT count(*), sum(pieces) FROM code_link`,
		`SELECT count(*), group_concat(number, '|') FROM (SELECT * FROM supplier_item ORDER BY number_norm)`,
		`SELECT count(*), count(DISTINCT position) FROM position_part`, `SELECT count(*), count(DISTINCT part) FROM still_usable`,
		`SELECT count(*), group_concat(number, '|') FROM (SELECT * FROM replacement ORDER BY number_norm)`,
		`SELECT count(*), group_concat(number, '|') FROM (SELECT * FROM other_number ORDER BY number_norm)`,
		`SELECT count(*), count(DISTINCT word) FROM item_word`,
		`SELECT count(*), group_concat(value, '|') FROM (SELECT * FROM claim WHERE about = 'part' AND field = 'size' ORDER BY value)`,
	} {
		var got, want [2]string
		if a, b := only(t, one, query, &got), only(t, two, query, &want); a != b || got != want {
			t.Errorf("%.60s: %s rows, want %s; %.200s", query, got[0], want[0], got[1])
		}
	}
}

// only reads the one row of a query.
func only(t *testing.T, db *store.DB, query string, to *[2]string) (found bool) {
	t.Helper()
	err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) (err error) {
		found, err = tx.One(ctx, store.Into(&to[0], &to[1]), query)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}
