package demo

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

var day = time.Date(2026, time.March, 4, 0, 0, 0, 0, time.UTC)

// fill makes a demo shop in a new database.
func fill(t testing.TB, opt Options) *store.DB {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.db")
	if testing.Verbose() {
		path = "/tmp/demo-shop.db"
	}
	db, err := sqlite.Open(t.Context(), path, sqlite.Options{
		Create: true, Clock: func() time.Time { return opt.End }, Random: Random(opt.Seed),
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	err = db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Nora', $1)`, store.Stamp(tx.Now)); err != nil {
			return err
		}
		return Fill(ctx, tx, "p", opt)
	})
	if err != nil {
		t.Fatal(err)
	}
	return db
}

func TestTmp(t *testing.T) {
	start := time.Now()
	fill(t, Options{Seed: 1, End: day})
	fmt.Println(time.Since(start))
}
