package search

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// What is narrowed down is part of the whole answer, and all of it that is so.
func TestOnly(t *testing.T) {
	db, ids := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	for _, tt := range []struct {
		text string
		only Only
		want []string // in any order
	}{
		{"seal", Only{Leg: 39 * mm}, []string{"OS-3952", "BG 39 52", "OS-3952T", "OS-3952S"}},
		{"seal", Only{Leg: 39 * mm, Maker: "brammwig"}, []string{"BG 39 52"}},
		{"seal", Only{InStock: true}, []string{"OS-3952"}},
		{"seal", Only{Role: catalog.Wiper}, nil},
		{"drain bolt", Only{Role: catalog.DrainScrew}, []string{"DR-6"}},
		{"Talvi 600", Only{Role: catalog.Wiper}, []string{"WP-39", "WP-41"}},
		{"Talvi 600", Only{Role: catalog.Wiper, Leg: 41 * mm}, []string{"WP-41"}},
		{"os", Only{Role: catalog.Wiper}, nil},
		{"orvelk", Only{Role: catalog.Wiper}, []string{"WP-39"}},
		{"orvelk", Only{Leg: 41_300}, []string{"OS-41353"}},
		{"orvelk", Only{Role: catalog.Kit, Leg: 41 * mm}, []string{"KIT-41"}},
		{"blorpish", Only{Leg: 39 * mm}, nil},
		{"bolt", Only{Leg: 36 * mm}, []string{"BB-8", "BB-10"}},
		{"39x52x11", Only{Role: catalog.OilSeal}, []string{"OS-3952", "BG 39 52"}},
		{"39x52x11", Only{Role: catalog.OilSeal, Leg: 41 * mm}, nil},
	} {
		got := map[bool][]string{}
		for _, narrowed := range []bool{false, true} {
			opt := Options{OnHand: onHand(ids["OS-3952"]), Limit: 100}
			if narrowed {
				opt.Only = tt.only
			}
			for _, p := range find(t, db, ix, tt.text, opt).Parts {
				got[narrowed] = append(got[narrowed], p.Part.Number)
			}
		}
		slices.Sort(got[true])
		slices.Sort(tt.want)
		if !slices.Equal(got[true], tt.want) {
			t.Errorf("%s, only %v: got %q, want %q", tt.text, tt.only, got[true], tt.want)
		}
		for _, n := range got[true] {
			if !slices.Contains(got[false], n) {
				t.Errorf("%s, only %v: %s is not in the whole answer", tt.text, tt.only, n)
			}
		}
	}
}

func TestTally(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	for text, want := range map[string]Tally{
		"wiper":   {Legs: []Count[measure.Length]{{39 * mm, 1}, {41 * mm, 1}, {43 * mm, 1}}, Makers: []Count[string]{{"Brammwig", 2}, {"Orvelk", 1}}},
		"OS-4154": {},
		"drain bolt": {
			Roles: []Count[catalog.Role]{{catalog.BottomBolt, 3}, {catalog.DrainScrew, 1}},
		},
	} {
		if diff := cmp.Diff(want, find(t, db, ix, text, Options{Tally: true, Limit: 1}).Tally); diff != "" {
			t.Errorf("%s (-want +got):\n%s", text, diff)
		}
		if got := find(t, db, ix, text, Options{}).Tally; !cmp.Equal(got, Tally{}) {
			t.Errorf("%s: counted though nobody asked: %v", text, got)
		}
	}
}
