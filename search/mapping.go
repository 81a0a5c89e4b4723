package search

import (
	"context"
	"encoding/hex"
	"strconv"
	"strings"

	"github.com/blevesearch/bleve/v2"
	_ "github.com/blevesearch/bleve/v2/analysis/analyzer/custom"
	"github.com/blevesearch/bleve/v2/analysis/tokenizer/whitespace"
	"github.com/blevesearch/bleve/v2/mapping"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// version is that of the documents below. A change of them raises it, and
// every index is built anew.
const version = "3"

// The fields of a document, with single words in lower case and without
// umlauts, as terms gives them. Neither is stored: an index gives ids only.
const (
	partField = "part" // description, maker, material, elastomer, thread
	roleField = "role" // of a part
	gramField = "gram" // each three characters of a part's number and its numbers at suppliers
	saidField = "said" // lengths in the description of a part whose own say nothing of the leg
	forkField = "fork" // name, layout, note, and the bikes that carry it
)

var fields = []string{partField, roleField, gramField, saidField, forkField}

// grams gives each three characters of a number that stand beside each other.
func grams(norm string) string {
	var all []string
	for r := []rune(norm); len(r) >= 3; r = r[1:] {
		all = append(all, string(r[:3]))
	}
	return strings.Join(all, " ")
}

// said is how a length stands in saidField.
func said(l measure.Length) string { return strconv.FormatInt(int64(l), 10) }

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
	for _, name := range fields {
		doc.AddFieldMappingsAt(name, field)
	}
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

	role, grams, said string // of a part
}

// docID gives the name of a document: the 16 bytes of an id that is a UUID,
// which take half the space of its text.
func docID(id string) string {
	if b, err := hex.DecodeString(strings.ReplaceAll(id, "-", "")); err == nil && len(b) == 16 && len(id) == 36 {
		return string(b)
	}
	return "~" + id
}

// idOf gives the id back.
func idOf(doc string) string {
	if len(doc) != 16 || doc[0] == '~' {
		return doc[1:]
	}
	s := hex.EncodeToString([]byte(doc))
	return s[:8] + "-" + s[8:12] + "-" + s[12:16] + "-" + s[16:20] + "-" + s[20:]
}

// document gives what bleve indexes.
func (c change) document() map[string]any {
	doc := map[string]any{c.kind: c.words}
	if c.kind == partField {
		doc[roleField], doc[gramField], doc[saidField] = c.role, c.grams, c.said
	}
	return doc
}

// changes gives at most n changes after a generation.
func changes(ctx context.Context, tx *store.Tx, after int64, n int) ([]change, error) {
	var all []change
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c change
		var description, maker, material, elastomer, thread, name, layout, note, numbers string
		var loose bool
		err := scan(&c.gen, &c.kind, &c.id, &c.gone, &c.role, &description, &maker, &material, &elastomer, &thread,
			&name, &layout, &note, &numbers, &loose)
		c.words = joined(description, maker, material, elastomer, thread, name, layout, note)
		for n := range strings.FieldsSeq(numbers) {
			c.grams += grams(n) + " "
		}
		if loose {
			lengths, _ := measure.FindLengths(description)
			for _, l := range lengths {
				c.said += said(l) + " "
			}
		}
		all = append(all, c)
		return err
	}, `SELECT c.gen, c.kind, c.id, (p.id IS NULL OR p.merged_into IS NOT NULL) AND f.id IS NULL, coalesce(p.role, ''), coalesce(p.description, ''),
		coalesce(p.maker, ''), coalesce(p.material, ''), coalesce(p.elastomer, ''), coalesce(p.thread, ''),
		coalesce(f.name, ''), coalesce(f.layout, ''), coalesce(f.note, ''),
		coalesce(p.number_norm, '') || ' ' || coalesce((SELECT group_concat(i.number_norm, ' ') FROM supplier_item i WHERE i.part = p.id), ''),
		p.id IS NOT NULL AND (p.inner_um IS NULL OR p.role IN ('spring', 'topout_spring', 'spacer'))
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
