package search

import (
	"context"
	"slices"
	"strings"

	"github.com/blevesearch/bleve/v2"
	"github.com/blevesearch/bleve/v2/search/query"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// A lexicon finds parts or forks by words. There are two: the index, and
// SQLite alone where the index cannot be had.
type lexicon interface {
	// having gives what has all of the words, with how well it does: 2 where
	// they stand as they are, else 1. Field is partField or forkField. Where
	// only (sorted) is not nil, nothing else is given.
	having(ctx context.Context, field string, words, only []string) (map[string]int, error)
	// among gives the lexicon that finds parts of some roles alone.
	among(roles []catalog.Role) lexicon
	// holding gives the parts of whose number, or number at a supplier, all
	// three characters that stand beside each other in norm stand so; ok is
	// false where it cannot tell.
	holding(ctx context.Context, norm string) (parts []string, ok bool)
	// naming gives the parts whose description names a length, or has all words
	// of one of some names; ok is false where it cannot tell.
	naming(ctx context.Context, l measure.Length, names []string) (parts []string, ok bool)
	// knows reports whether a folded word stands anywhere as it is.
	knows(word string) bool
	// around gives words that stand somewhere and are two slips from a folded
	// word at most.
	around(word string) []string
	// trouble says why it is not the index that answers, if so.
	trouble() fault.Message
}

// mostHits bounds the answer to words alone, without any other condition.
const mostHits = 5000

// indexed is the lexicon of the index. Where that breaks while it is asked, it
// is thrown away, and SQLite answers.
type indexed struct {
	ix     *Index
	words  bleve.Index
	tx     *store.Tx
	roles  []catalog.Role // that alone are asked for; nil for all
	known  map[string]bool
	broken *bool
}

func (x *indexed) among(roles []catalog.Role) lexicon {
	y := *x
	y.roles = roles
	return &y
}

// having finds words as they stand and begun ones; where there are none,
// mistyped ones too. So what is well typed is never answered with its
// neighbours.
func (x *indexed) having(ctx context.Context, field string, words, only []string) (map[string]int, error) {
	found := map[string]int{}
	for level := exact; level <= near && (level < near || len(found) == 0); level++ {
		ids, err := x.ask(ctx, field, words, only, level)
		if err != nil {
			*x.broken = true
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
		docs := make([]string, len(only))
		for i, id := range only {
			docs[i] = docID(id)
		}
		each = append(each, bleve.NewDocIDQuery(docs))
	}
	if x.roles != nil && field == partField {
		each = append(each, anyOf(roleField, x.roles))
	}
	return x.search(ctx, bleve.NewConjunctionQuery(each...), size)
}

// search gives the ids of what a query finds, the first of them by id.
func (x *indexed) search(ctx context.Context, q query.Query, size int) (ids []string, err error) {
	request := bleve.NewSearchRequestOptions(q, size, 0, false)
	request.Score = "none" // documents hold neither how often nor among how many a word stands
	request.SortBy([]string{"_id"})
	err = guard(func() error {
		result, err := x.words.SearchInContext(ctx, request)
		if err != nil {
			return err
		}
		for _, hit := range result.Hits {
			ids = append(ids, idOf(hit.ID))
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
	either := []query.Query{termIn(field, term)}
	if level == exact || hasDigit(term) {
		return bleve.NewDisjunctionQuery(either...)
	}
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

func termIn(field, term string) query.Query {
	q := bleve.NewTermQuery(term)
	q.SetField(field)
	return q
}

// anyOf finds what has any of some terms.
func anyOf[T ~string](field string, terms []T) query.Query {
	var each []query.Query
	for _, t := range terms {
		each = append(each, termIn(field, string(t)))
	}
	return bleve.NewDisjunctionQuery(each...)
}

func (x *indexed) holding(ctx context.Context, norm string) (parts []string, ok bool) {
	var each []query.Query
	for _, g := range strings.Fields(grams(norm)) {
		each = append(each, termIn(gramField, g))
	}
	parts, err := x.search(ctx, bleve.NewConjunctionQuery(each...), mostHits)
	return parts, err == nil && ctx.Err() == nil
}

func (x *indexed) naming(ctx context.Context, l measure.Length, names []string) (parts []string, ok bool) {
	either := []query.Query{termIn(saidField, said(l))}
	for _, name := range names {
		var each []query.Query
		for _, term := range terms(name) {
			each = append(each, termIn(partField, term))
		}
		if len(each) > 0 {
			either = append(either, bleve.NewConjunctionQuery(each...))
		}
	}
	parts, err := x.search(ctx, bleve.NewDisjunctionQuery(either...), mostHits)
	return parts, err == nil && ctx.Err() == nil
}

func (x *indexed) knows(word string) bool {
	known, asked := x.known[word]
	if !asked {
		known = x.stands(word)
		x.known[word] = known
	}
	return known
}

// stands asks the index whether a word stands anywhere.
func (x *indexed) stands(word string) bool {
	var each []query.Query
	for _, term := range terms(word) {
		each = append(each, termQuery(partField, term, exact), termIn(forkField, term))
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
	if *x.broken {
		return fault.Say("search.no_index")
	}
	return fault.Message{}
}

// plain is the lexicon of SQLite alone. It does not find mistyped words.
type plain struct {
	tx    *store.Tx
	why   fault.Message
	roles []catalog.Role
}

func (p plain) among(roles []catalog.Role) lexicon {
	p.roles = roles
	return p
}

func (p plain) holding(context.Context, string) ([]string, bool) { return nil, false }

func (p plain) naming(context.Context, measure.Length, []string) ([]string, bool) { return nil, false }

var likeMarks = strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`)

func (p plain) having(ctx context.Context, field string, words, only []string) (map[string]int, error) {
	query := `SELECT id FROM part WHERE merged_into IS NULL AND description || ' ' || maker || ' ' || material || ' ' || elastomer || ' ' || thread
		LIKE $1 ESCAPE '\' AND ($2 = 'null' OR role IN (SELECT value FROM json_each($2))) ORDER BY id`
	if field == forkField {
		query = `SELECT id FROM fork WHERE name || ' ' || layout || ' ' || note LIKE $1 ESCAPE '\' AND $2 <> '' ORDER BY id`
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
			}, query, "%"+likeMarks.Replace(spelling)+"%", jsonList(p.roles))
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
		return &indexed{ix: ix, words: words, tx: tx, known: map[string]bool{}, broken: new(bool)}
	}
	if ix.there() {
		return plain{tx: tx, why: fault.Say("search.index_behind")}
	}
	return plain{tx: tx, why: fault.Say("search.no_index")}
}
