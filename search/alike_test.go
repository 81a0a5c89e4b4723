package search_test

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/search"
)

// Of a size alone, only what will be shown is read: it is the beginning of the
// whole answer, and as many are counted, by kinds and makers too.
func TestFewOfASize(t *testing.T) {
	c := newCounter(t, "queries.tsv")
	ask := func(text string, limit int) (numbers []string, hits search.Hits) {
		c.read(t, func(ctx context.Context, tx *store.Tx) (err error) {
			hits, err = c.ix.Find(ctx, tx, text, search.Options{Limit: limit, OnHand: c.onHand, Tally: true})
			return err
		})
		for _, p := range hits.Parts {
			numbers = append(numbers, p.Part.Maker+"/"+p.Part.Number)
		}
		return numbers, hits
	}
	more := 0
	for _, size := range sizesOf(t, c) {
		for _, text := range []string{size.String(), (measure.Size{Inner: size.Inner, Outer: size.Outer}).String(), size.String() + " seal"} {
			whole, all := ask(text, 1000)
			few, some := ask(text, 2)
			if some.Total != all.Total || len(whole) != all.Total || !slices.Equal(few, whole[:min(2, len(whole))]) {
				t.Errorf("%s: %q of %d, want the first of %q", text, few, some.Total, whole)
			}
			if fmt.Sprint(some.Tally) != fmt.Sprint(all.Tally) {
				t.Errorf("%s: counted %v, want %v", text, some.Tally, all.Tally)
			}
			makers := map[string]int{}
			for _, p := range all.Parts {
				makers[p.Part.Maker]++
			}
			for _, m := range all.Tally.Makers {
				if makers[m.Of] != m.Parts {
					t.Errorf("%s: %d parts of %s counted, want %d", text, m.Parts, m.Of, makers[m.Of])
				}
			}
			if len(whole) > 2 {
				more++
			}
		}
	}
	if more < 50 {
		t.Errorf("only %d sizes have more parts than are shown", more)
	}
}

// sizesOf gives the sizes of the catalog's parts.
func sizesOf(t *testing.T, c *counter) (all []measure.Size) {
	t.Helper()
	c.read(t, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var s measure.Size
			err := scan(&s.Inner, &s.Outer, &s.Height)
			all = append(all, s)
			return err
		}, `SELECT DISTINCT inner_um, outer_um, coalesce(height_um, 0) FROM part WHERE inner_um IS NOT NULL AND outer_um IS NOT NULL ORDER BY 1, 2, 3`)
	})
	return all
}
