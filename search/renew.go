package search

import (
	"context"
	"os"
	"path/filepath"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Renew makes the whole index anew, as one of catalogID, beside the one that is
// there, and puts it in its place; one who is stopped half way has the old one
// still. progress is told how many of how many changes are in; it may be nil.
// Errors: Busy (another process has the folder), Denied (it cannot be written),
// Full, and those of the database.
func (ix *Index) Renew(ctx context.Context, tx *store.Tx, catalogID string, progress func(done, of int)) error {
	ix.turn <- struct{}{}
	defer func() { <-ix.turn }()
	ix.open()
	if !ix.there() {
		return fault.New(fault.Busy, "search.index_taken", ix.dir).WithHint("search.index_taken.hint")
	}
	ix.abandon()
	err := fill(ctx, tx, ix.path(unfinished), progress)
	ix.mu.Lock()
	defer ix.mu.Unlock()
	if err != nil {
		_ = os.RemoveAll(filepath.Join(ix.dir, unfinished))
		if ix.words == nil {
			ix.release()
		}
		return err
	}
	if ix.words != nil {
		_ = guard(ix.words.Close)
	}
	ix.words, ix.catalog = nil, catalogID
	if err := guard(ix.replace); err != nil {
		ix.words = nil
		ix.release()
		return fault.New(fault.Denied, "search.index_unwritable", ix.dir).WithCause(err)
	}
	ix.began, ix.caught = true, 0
	return nil
}

// abandon closes an index that is being made, to make another in its folder. The
// lock stays.
func (ix *Index) abandon() {
	ix.mu.Lock()
	defer ix.mu.Unlock()
	if ix.words != nil && ix.making {
		_ = guard(ix.words.Close)
		ix.words = nil
	}
}

// fill makes an index of all changes in a folder, and closes it.
func fill(ctx context.Context, tx *store.Tx, dir string, progress func(done, of int)) (err error) {
	var of int
	if _, err := tx.One(ctx, store.Into(&of), `SELECT count(*) FROM change`); err != nil {
		return err
	}
	if err := os.RemoveAll(filepath.Dir(dir)); err != nil {
		return fault.New(fault.Denied, "search.index_unwritable", dir).WithCause(err)
	}
	words, err := newWords(dir)
	if err != nil {
		return fault.New(fault.Denied, "search.index_unwritable", dir).WithCause(err)
	}
	defer func() {
		if broken := guard(words.Close); err == nil && broken != nil {
			err = fault.New(fault.Full, "search.index_unwritable", dir).WithCause(broken)
		}
	}()
	gen := int64(0)
	for done := 0; ; {
		all, err := changes(ctx, tx, gen, batchSize)
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			return err
		}
		if len(all) > 0 {
			gen = all[len(all)-1].gen
		}
		if err := guard(func() error { return write(words, all, gen) }); err != nil {
			return fault.New(fault.Full, "search.index_unwritable", dir).WithCause(err)
		}
		if done += len(all); progress != nil {
			progress(done, of)
		}
		if len(all) < batchSize {
			return ctx.Err()
		}
	}
}
