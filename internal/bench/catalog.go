// Package bench measures. The search: it makes a catalog of a given size, asks
// it each class of question, and holds the figures against what is promised
// and against what plainer means need in the same run: SQLite's full-text index
// FTS5 alone, and a look at every part in memory. The ledger: the pace of scans
// beside a bare loop, what many clients wait, what a long ledger costs.
//
// Times hold for the machine that runs it, so no test asserts one; what a user
// is promised stands in limits. Functions measure and give figures; the caller
// prints them.
package bench

import (
	"context"
	"errors"
	"fmt"
	"time"

	"forkstock/internal/demo"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// seed is that of the catalog and of the choice of questions.
const seed = 1

// chunk is how many parts are entered in one transaction.
const chunk = 20_000

// Build makes a demo shop of at least so many parts in the folder dir, and
// gives how many it has. progress is told how many of how many are in; it may be
// nil.
func Build(ctx context.Context, dir string, parts int, progress func(done, of int)) (have int, err error) {
	random := demo.Random(seed)
	err = shop.Init(ctx, dir, shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Mika", Demo: true}, shop.Options{Random: random})
	if err != nil {
		return 0, err
	}
	s, err := shop.Open(ctx, dir, shop.Options{Random: random, Fresh: true})
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	err = s.Load(ctx, func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		if err := demo.Fill(ctx, tx, who.ID, demo.Options{Seed: seed, End: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)}); err != nil {
			return err
		}
		_, err := tx.One(ctx, store.Into(&have), `SELECT count(*) FROM part`)
		return err
	})
	if err != nil {
		return have, err
	}
	large := demo.NewLarge(seed)
	if err := s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error { return large.Begin(ctx, tx) }); err != nil {
		return have, err
	}
	for have < parts {
		err := s.Load(ctx, func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
			n, err := large.Enter(ctx, tx, who.ID, min(parts-have, chunk))
			have += n
			return err
		})
		if err != nil {
			return have, fmt.Errorf("at %d parts: %w", have, err)
		}
		if progress != nil {
			progress(min(have, parts), parts)
		}
	}
	return have, s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error { return large.End(ctx, tx) })
}
