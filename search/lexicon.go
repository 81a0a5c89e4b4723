package search

import (
	"context"
	"strings"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A lexicon finds parts or forks by words. There are two: the index, and
// SQLite alone where the index cannot be had.
type lexicon interface {
	// score gives what has all of the words, or any of them, with how well it
	// does, by id. Field is partField or forkField. Where only is not nil,
	// nothing else is given.
	score(ctx context.Context, field string, words []string, any bool, only []string) (map[string]float64, error)
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

func (x *indexed) score(ctx context.Context, field string, words []string, any bool, only []string) (map[string]float64, error) {
	var each []query.Query
	for _, w := range words {
		for _, term := range terms(w) {
			each = append(each, termQuery(field, term))
		}
	}
	if len(each) == 0 || only != nil && len(only) == 0 {
		return nil, nil
	}
	var q query.Query = bleve.NewConjunctionQuery(each...)
	if any {
		q = bleve.NewDisjunctionQuery(each...)
	}
	size := mostHits
	if only != nil {
		size = len(only)
		ids := bleve.NewDocIDQuery(only)
		ids.SetBoost(0)
		q = bleve.NewConjunctionQuery(q, ids)
	}
	request := bleve.NewSearchRequestOptions(q, size, 0, false)
	scores := map[string]float64{}
	err := guard(func() error {
		result, err := x.words.SearchInContext(ctx, request)
		if err != nil {
			return err
		}
		for _, hit := range result.Hits {
			scores[hit.ID] = hit.Score
		}
		return nil
	})
	if err != nil && ctx.Err() == nil {
		x.broken = true
		x.ix.drop(x.words)
		return plain{tx: x.tx}.score(ctx, field, words, any, only)
	}
	return scores, err
}

// termQuery finds a term: best as it stands, then begun, then mistyped. A term
// with digits has to stand as it is.
func termQuery(field, term string) query.Query {
	exact := bleve.NewTermQuery(term)
	exact.SetField(field)
	exact.SetBoost(8)
	if hasDigit(term) {
		return exact
	}
	either := []query.Query{exact}
	if len(term) > 2 {
		begun := bleve.NewPrefixQuery(term)
		begun.SetField(field)
		begun.SetBoost(2)
		either = append(either, begun)
	}
	if n := edits(term); n > 0 {
		near := bleve.NewFuzzyQuery(term)
		near.SetField(field)
		near.SetFuzziness(n)
		either = append(either, near)
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

func (p plain) score(ctx context.Context, field string, words []string, any bool, only []string) (map[string]float64, error) {
	query := `SELECT id FROM part WHERE description || ' ' || maker || ' ' || material || ' ' || elastomer || ' ' || thread
		LIKE $1 ESCAPE '\' ORDER BY id`
	if field == forkField {
		query = `SELECT id FROM fork WHERE name || ' ' || layout || ' ' || note LIKE $1 ESCAPE '\' ORDER BY id`
	}
	scores := map[string]float64{}
	for _, w := range words {
		err := p.tx.Each(ctx, func(scan store.Scan) error {
			var id string
			err := scan(&id)
			scores[id]++
			return err
		}, query, "%"+likeMarks.Replace(w)+"%")
		if err != nil {
			return nil, err
		}
	}
	wanted := map[string]bool{}
	for _, id := range only {
		wanted[id] = true
	}
	for id, n := range scores {
		if !any && int(n) < len(words) || only != nil && !wanted[id] {
			delete(scores, id)
		}
	}
	return scores, nil
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
