package search

import (
	"context"
	"slices"
	"testing"

	"forkstock/internal/store"
	"forkstock/internal/words"
)

func TestSuggest(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	for typed, want := range map[string][]string{
		"":             nil,
		"t":            nil,
		"os39":         {"part OS-3952", "part OS-3952S", "part OS-3952T"},
		"OS-3952t":     {"part OS-3952T"},
		"3900":         {"part 3900-77"},
		"tal":          {"make Talvi", "bike Talvi 600", "bike Talvi Lumi 900", "bike Talvi Lumi 900 S"},
		"wiper talvi ": {"make wiper Talvi", "bike wiper Talvi 600", "bike wiper Talvi Lumi 900", "bike wiper Talvi Lumi 900 S"},
		"seal lumi 9":  {"bike seal Talvi Lumi 900", "bike seal Talvi Lumi 900 S"},
		"kuru 3":       {"fork Kuru 39 DR"},
		"staubk":       {"kind Staubkappe"},
		"39 mm gabeld": {"kind 39 mm Gabeldichtring", "kind 39 mm Gabeldichtsatz"},
		"zzz":          nil,
		"stanch":       {"kind stanchion bush", "kind stanchion guard"},
	} {
		var got []string
		read(t, db, func(ctx context.Context, tx *store.Tx) error {
			all, err := ix.Suggest(ctx, tx, typed)
			for _, s := range all {
				got = append(got, s.Kind+" "+s.Text)
				if words.For("de").Text(s.Note) == "" {
					t.Errorf("%q: no note for %q", typed, s.Text)
				}
			}
			return err
		})
		if !slices.Equal(got, want) {
			t.Errorf("%q: got %q, want %q", typed, got, want)
		}
	}
}

// What is suggested finds something when it is looked for.
func TestSuggestedIsFound(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	for _, typed := range []string{"os", "wp-4", "ta", "ku", "ud", "t41", "lu", "sea", "dri", "boden", "staub", "cop", "oi", "spri"} {
		read(t, db, func(ctx context.Context, tx *store.Tx) error {
			all, err := ix.Suggest(ctx, tx, typed)
			if len(all) == 0 || len(all) > mostSuggestions {
				t.Errorf("%q: %d suggestions", typed, len(all))
			}
			for _, s := range all {
				if s.Kind == "kind" {
					continue // the shop may have none
				}
				h, err := ix.Find(ctx, tx, s.Text, Options{})
				if err != nil || len(h.Parts)+len(h.Forks) == 0 {
					t.Errorf("%q: nothing is found for %q, %v", typed, s.Text, err)
				}
			}
			return err
		})
	}
}
