package search

import (
	"context"
	"slices"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// offered gives the numbers of the items that a text finds, and how it was
// understood.
func offered(t *testing.T, db *store.DB, text string) (numbers []string, understood string) {
	t.Helper()
	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		var ix *Index
		hits, err := ix.Find(ctx, tx, text, Options{})
		for _, i := range hits.Items {
			numbers = append(numbers, i.Item.Number)
		}
		understood = words.For("en").Text(all(hits))
		return err
	})
	return numbers, understood
}

// TestOfferedByKind looks for kinds of parts by one word, in a shop that has
// none of them. Items invented.
func TestOfferedByKind(t *testing.T) {
	db, _ := shop(t)
	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		s, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: "Grosso", LeadDays: 2})
		if err != nil {
			return err
		}
		for line := range strings.SplitSeq("A1 Gabelöl SAE 10W 1 Liter,A2 Gabelöl SAE 15W 1 Liter,A3 Sprengring,A4 Werkzeug Simmerringtreiber 41 mm,A5 Staubkappe Gabel 41x54.5,A6 Stützring 41x54x2", ",") {
			number, text, _ := strings.Cut(line, " ")
			if err := addItem(ctx, tx, catalog.Item{Supplier: s.ID, Number: number, Description: text, Pack: 1}); err != nil {
				return err
			}
		}
		return nil
	})
	for text, want := range map[string]string{
		"Gabelöl": "A1 A2", "Gabelöl 10W": "A1", "SAE 10W": "A1", "Gabelöl 5W": "", "Sprengring": "A3", "Werkzeug": "A4",
		"Staubkappe 41": "A5 A4 A6",
	} {
		got, said := offered(t, db, text)
		if !slices.Equal(got, strings.Fields(want)) {
			t.Errorf("%q: %v, wanted %s", text, got, want)
		}
		if denied := strings.Contains(said, "nothing"); denied != (want == "") {
			t.Errorf("%q: understood as %q", text, said)
		}
	}
}
