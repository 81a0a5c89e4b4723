package search

import (
	"context"
	"encoding/binary"
	"fmt"
	"os"
	"sync"
	"time"

	"github.com/blevesearch/bleve/v2"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Index is an index of the words of one catalog, on disk or in memory. It is
// safe for concurrent use. A nil Index holds nothing.
type Index struct {
	dir  string        // empty in memory
	turn chan struct{} // held by the one who writes

	mu       sync.RWMutex // guards the rest; held for writing to replace words
	catalog  string
	words    bleve.Index // nil where it could not be had
	making   bool        // words is one that is being made, and not asked yet
	lock     *os.File
	gen      int64 // of the catalog, as far as it is indexed
	compared bool  // gen has been compared with the catalog's
	closed   bool
	began    bool // anew, and not yet said
	caught   int  // changes taken in, and not yet said

	vocabulary    *Vocabulary // of the catalog at vocabularyGen
	vocabularyGen int64
}

const (
	batchSize = 1000 // documents
	genKey    = "gen"
)

// Open opens the index in folder dir, which it makes where it is absent, and
// which belongs to it alone. An index of another catalog or version, and one
// that is damaged in any way, is thrown away; CatchUp makes another beside it,
// which is asked once it is whole. Give a catalog that came out of a backup a
// new catalogID. Open never fails: an Index that could not be had (another
// process has it, the folder is not writable) answers from SQLite alone, and
// tries again at each CatchUp.
func Open(dir, catalogID string) *Index {
	ix := &Index{dir: dir, catalog: catalogID, turn: make(chan struct{}, 1)}
	ix.open()
	return ix
}

// Memory makes an empty index that lives as long as the program.
func Memory() *Index {
	ix := &Index{turn: make(chan struct{}, 1)}
	ix.open()
	return ix
}

// Close ends the use of the index. Find then answers from SQLite alone. It
// returns nil, as an io.Closer: what goes wrong costs a new index, no more.
func (ix *Index) Close() error {
	if ix == nil {
		return nil
	}
	ix.turn <- struct{}{} // waits for a writer
	defer func() { <-ix.turn }()
	ix.mu.Lock()
	defer ix.mu.Unlock()
	ix.closed = true
	ix.shut()
	return nil
}

// CatchUp brings the index up to what tx sees, for about budget, and reports
// whether it is all there. Trouble with the index is no error: done is false
// then. Errors: those of the database.
func (ix *Index) CatchUp(ctx context.Context, tx *store.Tx, budget time.Duration) (done bool, err error) {
	if ix == nil {
		return false, nil
	}
	until := time.Now().Add(budget)
	if !ix.wait(ctx, budget) {
		return false, nil
	}
	defer func() { <-ix.turn }()
	ix.open()
	newest, err := newestChange(ctx, tx)
	if err != nil {
		return false, err
	}
	if words := ix.ahead(newest); words != nil {
		ix.drop(words)
		ix.open()
	}
	if ix.upTo(newest) != nil {
		return true, nil
	}
	for {
		more, err := ix.step(ctx, tx)
		if err == nil && !more {
			ix.finish()
		}
		if err != nil || !more {
			return err == nil && ix.upTo(newest) != nil, err
		}
		if time.Now().After(until) || ctx.Err() != nil {
			return ix.upTo(newest) != nil, nil
		}
	}
}

// wait takes the turn, and reports false where that does not come in time.
func (ix *Index) wait(ctx context.Context, budget time.Duration) bool {
	select {
	case ix.turn <- struct{}{}:
		return true
	default:
	}
	select {
	case ix.turn <- struct{}{}:
		return true
	case <-time.After(budget):
	case <-ctx.Done():
	}
	return false
}

// step indexes one batch and reports whether there may be more.
func (ix *Index) step(ctx context.Context, tx *store.Tx) (more bool, err error) {
	ix.mu.RLock()
	words, gen := ix.words, ix.gen
	ix.mu.RUnlock()
	if words == nil {
		return false, nil
	}
	all, err := changes(ctx, tx, gen, batchSize)
	if err != nil || len(all) == 0 {
		return false, err
	}
	gen = all[len(all)-1].gen
	if guard(func() error { return write(words, all, gen) }) != nil {
		ix.drop(words)
		return false, nil
	}
	ix.mu.Lock()
	ix.gen = gen
	ix.caught += len(all)
	ix.mu.Unlock()
	return len(all) == batchSize, nil
}

// write puts changes into the index, and their generation with them.
func write(words bleve.Index, all []change, gen int64) error {
	batch := words.NewBatch()
	for _, c := range all {
		if c.gone {
			batch.Delete(docID(c.id))
		} else if err := batch.Index(docID(c.id), c.document()); err != nil {
			return err
		}
	}
	batch.SetInternal([]byte(genKey), binary.BigEndian.AppendUint64(nil, uint64(gen)))
	return words.Batch(batch)
}

// newestChange gives the generation of the newest change that tx sees.
func newestChange(ctx context.Context, tx *store.Tx) (gen int64, err error) {
	_, err = tx.One(ctx, store.Into(&gen), `SELECT coalesce(max(gen), 0) FROM change`)
	return gen, err
}

// ahead gives the index, once after it was opened, if it holds what the
// catalog does not: then the catalog is an older one. Later it only means that
// another transaction, which saw more, was quicker.
func (ix *Index) ahead(newest int64) bleve.Index {
	ix.mu.Lock()
	defer ix.mu.Unlock()
	compared := ix.compared
	ix.compared = true
	if compared || ix.gen <= newest {
		return nil
	}
	return ix.words
}

// upTo gives the index if it can be asked and all changes up to newest are in it,
// else nil.
func (ix *Index) upTo(newest int64) bleve.Index {
	if ix == nil {
		return nil
	}
	ix.mu.RLock()
	defer ix.mu.RUnlock()
	if ix.making || ix.gen < newest {
		return nil
	}
	return ix.words
}

// there reports whether the index could be had, if only to be made.
func (ix *Index) there() bool {
	if ix == nil {
		return false
	}
	ix.mu.RLock()
	defer ix.mu.RUnlock()
	return ix.words != nil
}

// Did says once what had to be done to the index since it was last asked: made
// anew, or caught up with changes; the zero Message says nothing.
func (ix *Index) Did() fault.Message {
	if ix == nil {
		return fault.Message{}
	}
	ix.mu.Lock()
	defer ix.mu.Unlock()
	if ix.words == nil || ix.making {
		return fault.Message{}
	}
	began, caught := ix.began, ix.caught
	ix.began, ix.caught = false, 0
	if entries, err := ix.words.DocCount(); began && err == nil && entries > 0 {
		return fault.Say("search.made_anew", int(entries))
	}
	if began || caught == 0 {
		return fault.Message{}
	}
	return fault.Say("search.caught_up", caught)
}

// guard turns a panic of f, as bleve has some over broken files, into an error.
func guard(f func() error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("index: %v", r)
		}
	}()
	return f()
}
