package search

import (
	"context"
	"slices"
	"strings"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A lexicon finds parts or forks by words. There are two: the index, and
// SQLite alone where the index cannot be had.
type lexicon interface {
	// having gives what has all of the words, with how well it does: 2 where
	// they stand as they are, else 1. Field is partField or forkField. Where
	// only (sorted) is not nil, nothing else is given.
	having(ctx context.Context, field string, words, only []string) (map[string]int, error)
	// knows reports whether a folded word stands anywhere as it is.
	knows(word string) bool
	// trouble says why it is not the index that answers, if so.
	trouble() fault.Message
}

// mostHits bounds the answer to words alone, without any other condition.
const mostHits = 10_000

// indexed is the lexicon of the index. Where that breaks while it is asked, it
// is thrown away, and SQLite answers.
type indexed struct {
	ix     *Index
	words  bleve.Index
	tx     *store.Tx
	broken bool
}

// having finds words as they stand and begun ones; where there are none,
// mistyped ones too. So what is well typed is never answered with its
// neighbours.
func (x *indexed) having(ctx context.Context, field string, words, only []string) (map[string]int, error) {
	found := map[string]int{}
	for level := exact; level <= near && (level < near || len(found) == 0); level++ {
		ids, err := x.ask(ctx, field, words, only, level)
		if err != nil {
			x.broken = true
			x.ix.drop(x.words)
			return plain{tx: x.tx}.having(ctx, field, words, only)
		}
		for _, id := range ids {
			found[id] = max(found[id], 1)
			if level == exact {
				found[id] = 2
			}
		}
	}
	return found, ctx.Err()
}

// How a word may stand in a document.
const (
	exact = iota // as it is
	begun        // or as the beginning of one
	near         // or mistyped
)

// ask gives the ids of what has all words.
func (x *indexed) ask(ctx context.Context, field string, words, only []string, level int) (ids []string, err error) {
	var each []query.Query
	for _, w := range words {
		if q := wordQuery(field, w, level); q != nil {
			each = append(each, q)
		}
	}
	if len(each) == 0 || only != nil && len(only) == 0 {
		return nil, nil
	}
	size := mostHits
	if only != nil {
		size = len(only)
		each = append(each, bleve.NewDocIDQuery(only))
	}
	request := bleve.NewSearchRequestOptions(bleve.NewConjunctionQuery(each...), size, 0, false)
	request.Score = "none" // documents hold neither how often nor among how many a word stands
	request.SortBy([]string{"_id"})
	err = guard(func() error {
		result, err := x.words.SearchInContext(ctx, request)
		if err != nil {
			return err
		}
		for _, hit := range result.Hits {
			ids = append(ids, hit.ID)
		}
		return nil
	})
	if ctx.Err() != nil {
		return nil, nil // having tells
	}
	return ids, err
}

// wordQuery finds a word, or what says the same; nil for no word at all.
func wordQuery(field, word string, level int) query.Query {
	all := func(text string, level int) query.Query {
		var each []query.Query
		for _, term := range terms(text) {
			each = append(each, termQuery(field, term, level))
		}
		if len(each) == 0 {
			return nil
		}
		return bleve.NewConjunctionQuery(each...)
	}
	as := all(word, level)
	if as == nil || other[key(word)] == nil {
		return as
	}
	either := []query.Query{as}
	for _, o := range other[key(word)] {
		either = append(either, all(o, exact))
	}
	return bleve.NewDisjunctionQuery(either...)
}

// termQuery finds a term at a level. One with digits has to stand as it is.
func termQuery(field, term string, level int) query.Query {
	as := bleve.NewTermQuery(term)
	as.SetField(field)
	if level == exact || hasDigit(term) {
		return as
	}
	either := []query.Query{as}
	if len(term) > 2 {
		begins := bleve.NewPrefixQuery(term)
		begins.SetField(field)
		either = append(either, begins)
	}
	if n := edits(term); n > 0 && level == near {
		fuzzy := bleve.NewFuzzyQuery(term)
		fuzzy.SetField(field)
		fuzzy.SetFuzziness(n)
		fuzzy.SetPrefix(1) // words begin as they are typed
		either = append(either, fuzzy)
	}
	return bleve.NewDisjunctionQuery(either...)
}

func (x *indexed) knows(word string) bool {
	var each []query.Query
	for _, term := range terms(word) {
		for _, field := range []string{partField, forkField} {
			q := bleve.NewTermQuery(term)
			q.SetField(field)
			each = append(each, q)
		}
	}
	request := bleve.NewSearchRequestOptions(bleve.NewDisjunctionQuery(each...), 0, 0, false)
	found := false
	err := guard(func() error {
		result, err := x.words.Search(request)
		found = err == nil && result.Total > 0
		return err
	})
	return err == nil && found
}

func (x *indexed) trouble() fault.Message {
	if x.broken {
		return fault.Say("search.no_index")
	}
	return fault.Message{}
}

// plain is the lexicon of SQLite alone. It does not find mistyped words.
type plain struct {
	tx  *store.Tx
	why fault.Message
}

var likeMarks = strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`)

func (p plain) having(ctx context.Context, field string, words, only []string) (map[string]int, error) {
	query := `SELECT id FROM part WHERE merged_into IS NULL AND description || ' ' || maker || ' ' || material || ' ' || elastomer || ' ' || thread
		LIKE $1 ESCAPE '\' ORDER BY id`
	if field == forkField {
		query = `SELECT id FROM fork WHERE name || ' ' || layout || ' ' || note LIKE $1 ESCAPE '\' ORDER BY id`
	}
	times := map[string]int{}
	for _, w := range words {
		has := map[string]bool{}
		for _, spelling := range append([]string{w}, other[key(w)]...) {
			err := p.tx.Each(ctx, func(scan store.Scan) error {
				var id string
				err := scan(&id)
				has[id] = true
				return err
			}, query, "%"+likeMarks.Replace(spelling)+"%")
			if err != nil {
				return nil, err
			}
		}
		for id := range has {
			times[id]++
		}
	}
	found := map[string]int{}
	for id, n := range times {
		if _, in := slices.BinarySearch(only, id); n == len(words) && (in || only == nil) {
			found[id] = 1
		}
	}
	return found, nil
}

func (p plain) knows(string) bool { return false }

func (p plain) trouble() fault.Message { return p.why }

// lexicon gives the index as far as it holds what tx sees, else SQLite alone.
func (ix *Index) lexicon(tx *store.Tx, newest int64) lexicon {
	if words := ix.upTo(newest); words != nil {
		return &indexed{ix: ix, words: words, tx: tx}
	}
	if ix != nil && ix.upTo(0) != nil {
		return plain{tx, fault.Say("search.index_behind")}
	}
	return plain{tx, fault.Say("search.no_index")}
}
