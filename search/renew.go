package search

import (
	"context"
	"os"
	"path/filepath"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/index/scorch"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Renew makes the whole index anew beside the one that is there and puts it in
// its place, so that one who is stopped half way has the old one still.
// progress is told how many of how many changes are in; it may be nil. Errors:
// Busy (another process has the folder), Denied (it cannot be written), and
// those of the database.
func (ix *Index) Renew(ctx context.Context, tx *store.Tx, progress func(done, of int)) error {
	ix.turn <- struct{}{}
	defer func() { <-ix.turn }()
	ix.open()
	if ix.upTo(0) == nil {
		return fault.New(fault.Busy, "search.index_taken", ix.dir).WithHint("search.index_taken.hint")
	}
	unfinished := filepath.Join(ix.dir, "words.new")
	defer os.RemoveAll(unfinished)
	gen, err := fill(ctx, tx, unfinished, progress)
	if err != nil {
		return err
	}
	ix.mu.Lock()
	defer ix.mu.Unlock()
	_ = guard(ix.words.Close)
	ix.words = nil
	os.Remove(ix.sealPath())
	if err = os.RemoveAll(ix.path()); err == nil {
		err = os.Rename(unfinished, ix.path())
	}
	if err != nil || guard(ix.load) != nil {
		ix.release()
		return fault.New(fault.Denied, "search.index_unwritable", ix.dir).WithCause(err)
	}
	ix.gen, ix.compared = gen, true
	return nil
}

// fill makes an index of all changes in a folder, and closes it.
func fill(ctx context.Context, tx *store.Tx, dir string, progress func(done, of int)) (gen int64, err error) {
	var of int
	if _, err := tx.One(ctx, store.Into(&of), `SELECT count(*) FROM change`); err != nil {
		return 0, err
	}
	m, err := newMapping()
	if err == nil {
		err = os.RemoveAll(dir)
	}
	if err != nil {
		return 0, fault.New(fault.Denied, "search.index_unwritable", dir).WithCause(err)
	}
	words, err := bleve.NewUsing(dir, m, scorch.Name, scorch.Name, nil)
	if err != nil {
		return 0, fault.New(fault.Denied, "search.index_unwritable", dir).WithCause(err)
	}
	defer words.Close()
	for done := 0; ; {
		all, err := changes(ctx, tx, gen, batchSize)
		if err != nil {
			return 0, err
		}
		if len(all) == 0 {
			return gen, ctx.Err()
		}
		gen = all[len(all)-1].gen
		if err := guard(func() error { return write(words, all, gen) }); err != nil {
			return 0, fault.New(fault.Full, "search.index_unwritable", dir).WithCause(err)
		}
		if done += len(all); progress != nil {
			progress(done, of)
		}
	}
}
