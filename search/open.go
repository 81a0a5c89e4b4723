package search

import (
	"encoding/binary"
	"fmt"
	"os"
	"path/filepath"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/index/scorch"
)

// open takes the lock, and opens the index, or one whose making was stopped in
// good order, or begins anew. Where that fails, words stays nil.
func (ix *Index) open() {
	ix.mu.Lock()
	defer ix.mu.Unlock()
	if ix.closed || ix.words != nil {
		return
	}
	if ix.dir != "" {
		if err := ix.acquire(); err != nil {
			return
		}
		for _, name := range []string{asked, unfinished} {
			if ix.sealed(name) && guard(func() error { return ix.load(name) }) == nil {
				if name == asked { // what is beside it came to nothing
					os.RemoveAll(filepath.Join(ix.dir, unfinished))
				}
				return
			}
		}
	}
	if guard(ix.create) != nil {
		ix.words = nil
		ix.release()
	}
}

// load opens the index in one of the two folders.
func (ix *Index) load(name string) error {
	words, err := bleve.OpenUsing(ix.path(name), map[string]any{"bolt_timeout": "50ms"})
	if err != nil {
		return err
	}
	gen, err := words.GetInternal([]byte(genKey))
	if err != nil || len(gen) != 8 {
		words.Close()
		return fmt.Errorf("index without generation: %w", err)
	}
	ix.words, ix.gen, ix.compared = words, int64(binary.BigEndian.Uint64(gen)), false
	ix.making = name == unfinished
	ix.began = ix.began || ix.making
	return nil
}

// create begins an empty index.
func (ix *Index) create() error {
	path := ""
	if ix.dir != "" {
		if err := ix.clear(); err != nil {
			return err
		}
		path = ix.path(unfinished)
	}
	words, err := newWords(path)
	if err != nil {
		return err
	}
	ix.words, ix.gen, ix.compared, ix.began, ix.making = words, 0, true, true, path != ""
	return nil
}

// newWords makes bleve's empty index in a folder, or in memory.
func newWords(path string) (bleve.Index, error) {
	m, err := newMapping()
	if err != nil {
		return nil, err
	}
	return bleve.NewUsing(path, m, scorch.Name, scorch.Name, nil)
}

// finish puts an index that was being made in its place.
func (ix *Index) finish() {
	ix.mu.Lock()
	defer ix.mu.Unlock()
	words := ix.words
	if words == nil || !ix.making {
		return
	}
	ix.words = nil
	if guard(words.Close) != nil || guard(ix.replace) != nil {
		ix.words = nil
		ix.release()
	}
}

// replace seals the index that was made and is closed, puts it in the place of
// the one before, and opens it.
func (ix *Index) replace() error {
	err := ix.seal(unfinished)
	if err == nil {
		err = os.RemoveAll(filepath.Join(ix.dir, asked))
	}
	if err == nil {
		err = os.Rename(filepath.Join(ix.dir, unfinished), filepath.Join(ix.dir, asked))
	}
	if err == nil {
		err = ix.load(asked)
	}
	ix.compared = true
	return err
}

// shut closes and seals the index, and lets go of the lock.
func (ix *Index) shut() {
	if ix.words == nil {
		return
	}
	words := ix.words
	ix.words = nil
	if guard(words.Close) == nil && ix.dir != "" {
		_ = ix.seal(ix.name()) // without it the next one begins anew
	}
	ix.release()
}

// drop throws the index away after trouble with words, unless that is done.
func (ix *Index) drop(words bleve.Index) {
	ix.mu.Lock()
	defer ix.mu.Unlock()
	if words == nil || ix.words != words {
		return
	}
	ix.words = nil
	guard(words.Close)
	if ix.dir != "" {
		os.Remove(ix.sealPath(ix.name()))
	}
	ix.release()
}
