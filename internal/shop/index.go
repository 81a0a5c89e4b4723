package shop

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/search"
)

// kinds are the kinds of process, each with an index in a folder of its own: two
// processes cannot have one open at once.
var kinds = []string{"command", "server"}

const (
	catchUpAfter = 20 * time.Second // how long CatchUp goes on at most
	keepEvery    = time.Second      // how often Keep looks
	keepFor      = 2 * time.Second  // how long it goes on in one transaction
)

// words gives the index, opened at the first search: a program that never
// searches never waits for it.
func (s *Shop) words() *search.Index {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.index == nil {
		s.index = search.Open(s.indexDir(s.opt.Process), s.indexID(s.renewed))
	}
	return s.index
}

func (s *Shop) indexDir(kind string) string { return filepath.Join(s.dir, "index", kind) }

// indexID is the catalog that an index is of: an index that was made before
// somebody last asked for new ones (mark) is as one of another catalog.
func (s *Shop) indexID(mark string) string { return s.settings.Catalog + " " + mark }

// CatchUp goes on with the index for a while, once an answer has been given,
// so that the next search finds it further on. A shop that was not searched
// has nothing to catch up with.
func (s *Shop) CatchUp(ctx context.Context) error {
	s.mu.Lock()
	index := s.index
	s.mu.Unlock()
	if index == nil {
		return nil
	}
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		_, err := index.CatchUp(ctx, tx, catchUpAfter)
		return err
	})
}

// Reindexed is what Reindex has done.
type Reindexed struct {
	Entries int      `json:"entries"` // changes that the index is made from
	Indexes []string `json:"indexes"` // kinds of process whose index is made anew
	Left    []string `json:"left"`    // kinds of process of which one runs, and makes its own anew now
}

// Reindex makes the word index of each kind of process anew, of this one first;
// what has been made is never half there. progress is told, for each, how many of
// how many changes are in; it may be nil. A program that runs on (Keep) and has
// its index open sees that it was asked to, and does it itself. Errors: Busy (a
// process of this kind has its index), Denied, Full.
func (s *Shop) Reindex(ctx context.Context, progress func(done, of int)) (Reindexed, error) {
	out := Reindexed{Indexes: []string{}, Left: []string{}}
	var mark string
	err := s.db.Read(ctx, func(_ context.Context, tx *store.Tx) (err error) {
		mark, err = tx.NewID()
		return err
	})
	renew := func(index *search.Index) error {
		return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
			return index.Renew(ctx, tx, s.indexID(mark), func(done, of int) {
				if out.Entries = of; progress != nil {
					progress(done, of)
				}
			})
		})
	}
	if err == nil {
		err = renew(s.words())
	}
	if err == nil {
		err = s.ask(ctx, mark)
	}
	if err != nil {
		return out, err
	}
	out.Indexes = append(out.Indexes, s.opt.Process)
	for _, kind := range kinds {
		if _, err := os.Stat(s.indexDir(kind)); err != nil || kind == s.opt.Process {
			continue // none that is old
		}
		index := search.Open(s.indexDir(kind), s.indexID(mark))
		err := renew(index)
		_ = index.Close() // always nil
		switch {
		case err == nil:
			out.Indexes = append(out.Indexes, kind)
		case fault.KindOf(err) == fault.Busy && ctx.Err() == nil:
			out.Left = append(out.Left, kind)
		default:
			return out, err
		}
	}
	return out, nil
}

// ask leaves a mark for all programs to make their indexes anew.
func (s *Shop) ask(ctx context.Context, mark string) error {
	s.marked(mark)
	return s.db.Write(ctx, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, `INSERT INTO setting (name, value) VALUES ('index', $1) ON CONFLICT (name) DO UPDATE SET value = excluded.value`, mark)
		return err
	})
}

// marked takes note of a mark, and reports whether it is new.
func (s *Shop) marked(mark string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	before := s.renewed
	s.renewed = mark
	return mark != before
}

// Keep keeps the index of a program that runs on in step with the catalog, and
// makes it anew where another program has asked for that, until ctx ends.
// Trouble with it stops nothing: the next answer says that there is no index. It
// also brings what was committed into the shop's file, see checkpointing.
func (s *Shop) Keep(ctx context.Context) {
	var beside sync.WaitGroup
	defer beside.Wait()
	beside.Go(func() { s.checkpointing(ctx) })
	tick := time.NewTicker(keepEvery)
	defer tick.Stop()
	for {
		_ = s.keep(ctx)
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
	}
}

func (s *Shop) keep(ctx context.Context) error {
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		var mark string
		if _, err := tx.One(ctx, store.Into(&mark), `SELECT value FROM setting WHERE name = 'index'`); err != nil {
			return err
		}
		if s.marked(mark) {
			return s.words().Renew(ctx, tx, s.indexID(mark), nil)
		}
		_, err := s.words().CatchUp(ctx, tx, keepFor)
		return err
	})
}
