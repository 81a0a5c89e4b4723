package search

import (
	"slices"
	"testing"
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
