package bench

import (
	"context"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// A small catalog, with an answer for every question of a kind that has one.
func TestQuestions(t *testing.T) {
	dir := t.TempDir()
	have, err := Build(t.Context(), dir, 700, nil)
	if err != nil || have < 700 || have > 1500 {
		t.Fatalf("%d parts, %v; want two copies", have, err)
	}
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var all map[string][]Question
	var docs []document
	err = s.Load(t.Context(), func(ctx context.Context, tx *store.Tx, _ shop.Actor) (err error) {
		if all, err = questions(ctx, tx, 10); err == nil {
			docs, err = documents(ctx, tx)
		}
		return err
	})
	if err != nil || len(docs) != have {
		t.Fatalf("%d documents, want %d; %v", len(docs), have, err)
	}
	for _, class := range classes {
		found := 0
		for _, q := range all[class] {
			f, err := s.Find(t.Context(), q.Text, 20)
			if err != nil {
				t.Errorf("%s: %q: %v", class, q.Text, err)
			}
			if class == "suggestion" {
				if s, err := s.Suggest(t.Context(), q.Text); err != nil || len(s.Suggestions) == 0 {
					t.Errorf("nothing is suggested for %q: %v", q.Text, err)
				}
			}
			if len(f.Parts) > 0 {
				found++
			}
			if n := look(class, q, docs); (class == "number" || class == "model-year") && n == 0 {
				t.Errorf("%s: %q: a look at all finds nothing", class, q.Terms)
			}
		}
		if want := len(all[class]); class != "no answer" && found < want/2 {
			t.Errorf("%s: %d of %d are answered", class, found, want)
		} else if class == "no answer" && found > 1 {
			t.Errorf("%s: %d are answered", class, found)
		}
	}
}

// What nobody should type gives an answer or a clear error.
func TestStrange(t *testing.T) {
	dir := t.TempDir()
	if _, err := Build(t.Context(), dir, 1, nil); err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	for _, text := range strange() {
		if _, err := s.Find(t.Context(), text, 20); err != nil && fault.KindOf(err) != fault.Invalid {
			t.Errorf("%.20q: %v", text, err)
		}
	}
}

// A change of stock gives the index nothing to do.
func TestStockLeavesTheIndex(t *testing.T) {
	dir := t.TempDir()
	if _, err := Build(t.Context(), dir, 1, nil); err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	f, err := s.Find(t.Context(), "39x52x11 in stock", 1)
	if err != nil || len(f.Parts) == 0 || f.Index.IsZero() {
		t.Fatalf("%d parts, index %v, %v; want one and an index made anew", len(f.Parts), f.Index, err)
	}
	had := f.Parts[0].OnHand
	if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: f.Parts[0].Name(), Amount: 1}); err != nil {
		t.Fatal(err)
	}
	f, err = s.Find(t.Context(), f.Parts[0].Name(), 1)
	if err != nil || len(f.Parts) == 0 || f.Parts[0].OnHand != had-1 || !f.Index.IsZero() {
		t.Errorf("%v, index %v, %v; want %d on hand and nothing to do", f.Parts, f.Index, err, had-1)
	}
}
