package search

import (
	"slices"
	"strings"
	"testing"

	"forkstock/internal/words"
)

// Where nothing is found, what may have been meant is offered; it finds
// something.
func TestMeant(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	for text, want := range map[string][]string{
		"sintetc":         nil, // three slips
		"synthteci":       {"synthetic"},
		"orvlekk":         {"orvelk"},
		"staupkapppe":     {"Staubkappe"},
		"Brammwick":       {"brammwig"},
		"OS-3592":         nil, // numbers are not guessed at
		"blorpish":        nil,
		"wiper":           nil, // something is found
		"xx wiper 99 mm":  nil,
		"stoper rinnng 9": {"stoper ring 9"},
	} {
		got := find(t, db, ix, text, Options{}).Meant
		if !slices.Equal(got, want) {
			t.Errorf("%q: got %q, want %q", text, got, want)
		}
		for _, m := range got {
			if h := find(t, db, ix, m, Options{}); len(h.Parts) == 0 {
				t.Errorf("%q: nothing is found for %q", text, m)
			}
		}
	}
}

// A diameter that no leg has names the legs that come nearest.
func TestNearest(t *testing.T) {
	db, _ := shop(t)
	for text, want := range map[string]string{
		"seal 38.5 mm": "legs of 39 mm: NOT the same as 38.5 mm",
		"seal 42 mm":   "legs of 41.3 mm: NOT the same as 42 mm",
		"seal 46 mm":   "",
		"seal 39 mm":   "",
	} {
		got := words.For("en").Text(all(find(t, db, nil, text, Options{})))
		if (want == "") == strings.Contains(got, "NOT the same") || !strings.Contains(got, want) {
			t.Errorf("%s: understood %q, want %q in it", text, got, want)
		}
	}
}
