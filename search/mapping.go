package search

import (
	"context"
	"strings"

	"github.com/blevesearch/bleve/v2"
	_ "github.com/blevesearch/bleve/v2/analysis/analyzer/custom"
	"github.com/blevesearch/bleve/v2/analysis/tokenizer/whitespace"
	"github.com/blevesearch/bleve/v2/mapping"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// version is that of the documents below. A change of them raises it, and
// every index is built anew.
const version = "2"

// The fields of a document, with single words in lower case and without
// umlauts, as terms gives them. Neither is stored: an index gives ids only.
const (
	partField = "part" // description, maker, material, elastomer, thread
	forkField = "fork" // name, layout, note, and the bikes that carry it
)

// newMapping tells bleve to take the words as they are.
func newMapping() (mapping.IndexMapping, error) {
	m := bleve.NewIndexMapping()
	err := m.AddCustomAnalyzer("terms", map[string]any{"type": "custom", "tokenizer": whitespace.Name})
	if err != nil {
		return nil, err
	}
	field := bleve.NewTextFieldMapping()
	field.Analyzer = "terms"
	field.SkipFreqNorm = true // how often a word stands in a text says nothing
	field.Store, field.IncludeTermVectors, field.IncludeInAll, field.DocValues = false, false, false, false
	doc := bleve.NewDocumentStaticMapping()
	doc.AddFieldMappingsAt(partField, field)
	doc.AddFieldMappingsAt(forkField, field)
	m.DefaultMapping = doc
	m.DefaultAnalyzer = "terms"
	m.StoreDynamic, m.IndexDynamic, m.DocValuesDynamic = false, false, false
	return m, nil
}

// A change is a row of the table of that name, with the words to index; gone
// where the part or fork is no more.
type change struct {
	gen      int64
	kind, id string
	words    string
	gone     bool
}

// document gives what bleve indexes.
func (c change) document() map[string]any { return map[string]any{c.kind: c.words} }

// changes gives at most n changes after a generation.
func changes(ctx context.Context, tx *store.Tx, after int64, n int) ([]change, error) {
	var all []change
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c change
		var description, maker, material, elastomer, thread, name, layout, note string
		err := scan(&c.gen, &c.kind, &c.id, &c.gone, &description, &maker, &material, &elastomer, &thread,
			&name, &layout, &note)
		c.words = joined(description, maker, material, elastomer, thread, name, layout, note)
		all = append(all, c)
		return err
	}, `SELECT c.gen, c.kind, c.id, (p.id IS NULL OR p.merged_into IS NOT NULL) AND f.id IS NULL, coalesce(p.description, ''),
		coalesce(p.maker, ''), coalesce(p.material, ''), coalesce(p.elastomer, ''), coalesce(p.thread, ''),
		coalesce(f.name, ''), coalesce(f.layout, ''), coalesce(f.note, '')
		FROM change c LEFT JOIN part p ON c.kind = 'part' AND p.id = c.id
		LEFT JOIN fork f ON c.kind = 'fork' AND f.id = c.id
		WHERE c.gen > $1 ORDER BY c.gen LIMIT $2`, after, n)
	if err != nil {
		return nil, err
	}
	for i := range all {
		if all[i].kind != forkField || all[i].gone {
			continue
		}
		bikes, err := catalog.FitmentsOfFork(ctx, tx, all[i].id)
		if err != nil {
			return nil, err
		}
		for _, b := range bikes {
			all[i].words = joined(all[i].words, b.Make, b.Model)
		}
	}
	return all, nil
}

// joined gives the terms of all texts with spaces between them.
func joined(texts ...string) string { return strings.Join(terms(strings.Join(texts, " ")), " ") }
