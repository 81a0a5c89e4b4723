package sqlite

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/store"
)

// What is bound arrives as it is, whatever kind of value it is, also where a
// statement uses it twice or not in order.
func TestBoundValues(t *testing.T) {
	db, _ := open(t)
	err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		for _, v := range []any{"", "text", "39", "-0.5", "$1", "x'00'", int64(0), int64(-7), int64(math.MaxInt64), []byte{0, 255}, nil, true} {
			var kind string
			var got any
			if _, err := tx.One(ctx, store.Into(&kind, &got), `SELECT typeof($2), $2 WHERE $1 = 1 AND -$3 = -2 AND $2 IS $2`, 1, v, 2); err != nil {
				return err
			}
			want := map[string]string{"string": "text", "int64": "integer", "[]uint8": "blob", "<nil>": "null", "bool": "integer"}[fmt.Sprintf("%T", v)]
			if v == true {
				v = int64(1) // SQLite has no other
			}
			if kind != want || !cmp.Equal(got, v) {
				t.Errorf("%#v came back as %s %#v", v, kind, got)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// BenchmarkBound runs statements with a limit, and with a condition that no
// index answers, again and again with other values. Where SQLite plans such a
// statement anew for each value, that is most of the time: "bare" binds without
// the sign that store writes before a placeholder.
func BenchmarkBound(b *testing.B) {
	db, err := Open(b.Context(), b.TempDir()+"/shop.db", Options{Create: true})
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	for _, q := range []struct{ name, query string }{
		{"limit", `SELECT id FROM part WHERE number_norm >= $1 AND unit = $2 ORDER BY number_norm LIMIT $3`},
		{"limit bare", `SELECT id FROM part WHERE number_norm >= ?1 AND unit = ?2 ORDER BY number_norm LIMIT ?3`},
	} {
		b.Run(q.name, func(b *testing.B) {
			err := db.Read(b.Context(), func(ctx context.Context, tx *store.Tx) error {
				for i := 0; b.Loop(); i++ {
					if err := tx.Each(ctx, func(store.Scan) error { return nil }, q.query, fmt.Sprint(i), "piece", i); err != nil {
						return err
					}
				}
				return nil
			})
			if err != nil {
				b.Fatal(err)
			}
		})
	}
}
