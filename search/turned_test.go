package search

import (
	"reflect"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/words"
)

// The words are those of the trade: common practice, no source. 1 in is 25.4 mm
// exactly, so 1 9/16 in are 39.6875 mm, nearest 39.7; 9/16 in 14.2875.
func TestUnderstandMore(t *testing.T) {
	seal := []catalog.Role{catalog.OilSeal}
	leg := func(l measure.Length) []measure.Length { return []measure.Length{l} }
	inch := []Reading{{"1 9/16 in", measure.Length(39_700)}}
	for _, tt := range []struct {
		text string
		want Query
	}{
		{"seals not in stock", Query{Roles: seal, Out: true}},
		{"seals that are not on hand", Query{Roles: seal, Out: true}},
		{"out of stock seals", Query{Roles: seal, Out: true}},
		{"no seals in stock", Query{Without: seal, InStock: true}},
		{"Dichtringe nicht auf Lager", Query{Roles: seal, Out: true}},
		{"Dichtringe nicht vorrätig", Query{Roles: seal, Out: true}},
		{"seals not wipers", Query{Roles: seal, Without: []catalog.Role{catalog.Wiper}}},
		{"seals not Orvelk", Query{Roles: seal, Not: []string{"Orvelk"}}},
		{"Dichtring nicht von Orvelk", Query{Roles: seal, Not: []string{"Orvelk"}}},
		{"seals not Talvi", Query{Roles: seal, Lost: []string{"not Talvi"}}},
		{"seal not 39 mm", Query{Roles: seal, Lengths: leg(39 * mm), Lost: []string{"not"}}},
		{"no 12", Query{Words: []string{"no", "12"}}}, // a number
		{"in stock", Query{InStock: true}},
		{"1 9/16 seal", Query{Roles: seal, Lengths: leg(39_700), Read: inch}},
		{"seal 1 9/16", Query{Roles: seal, Lengths: leg(39_700), Read: inch}},
		{"1-9/16", Query{Lengths: leg(39_700), Read: []Reading{{"1-9/16 in", measure.Length(39_700)}}}},
		{`1 9/16" seal`, Query{Roles: seal, Lengths: leg(39_700), Read: []Reading{{`1 9/16"`, measure.Length(39_700)}}}},
		{"washer 9/16", Query{
			Roles:   []catalog.Role{catalog.BottomWasher, catalog.DrainWasher, catalog.BackupWasher},
			Lengths: leg(14_300), Read: []Reading{{"9/16 in", measure.Length(14_300)}},
		}},
		{"98/04", Query{Words: []string{"98/04"}}}, // years
		{"2/4", Query{Words: []string{"2/4"}}},
		{"3/8 UNF", Query{Words: []string{"3/8", "UNF"}}},
		{"39mm sel", Query{Roles: seal, Lengths: leg(39 * mm), Read: []Reading{{"sel", "seal"}}, Doubt: []string{"sel"}}},
		{"SAE 10W", Query{Words: []string{"SAE", "10W"}}},
		{"Federring", Query{Roles: []catalog.Role{catalog.Clip}}},
		{"Telegabelrohr 39", Query{Tube: "inner", Lengths: leg(39 * mm)}},
		{"Simmerring Telegabel", Query{Roles: seal}},
		{"53x1.8", Query{
			Sizes: []measure.Size{{Inner: 53 * mm, Outer: 56_600, Height: 1_800}}, Cross: measure.Size{Inner: 53 * mm, Height: 1_800},
		}},
		{"53x1.8 clip", Query{Roles: []catalog.Role{catalog.Clip}, Partly: measure.Size{Outer: 53 * mm, Height: 1_800}}},
	} {
		tt.want.Text = tt.text
		if got := Understand(tt.text, vocabulary()); !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%q:\n got %+v\nwant %+v", tt.text, got, tt.want)
		}
	}
}

// Of two numbers, all that has them so is found, and the answer says what was
// looked for.
func TestTwoNumbers(t *testing.T) {
	db, _ := shop(t)
	h := find(t, db, nil, "54x1.8", Options{})
	if len(h.Parts) != 1 || h.Parts[0].Part.Number != "CL-52" {
		t.Errorf("got %v, want the clip for bore 54 with a wire of 1.8", h.Parts)
	}
	if want := "54×1.8: O-ring (inside × section), clip (diameter × wire), washer or bushing (hole or outside × height)"; len(h.Read) != 1 ||
		words.For("en").Text(h.Read[0].Says) != want {
		t.Errorf("understood %v, want %s", h.Read, want)
	}
}

// What is not in stock, a make that nobody knows, a diameter that no leg has.
func TestSaid(t *testing.T) {
	db, ids := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	opt := Options{OnHand: onHand(ids["OS-3952"]), Stocked: "SELECT '" + ids["OS-3952"] + "'"}
	has := func(h Hits, number string) bool {
		for _, p := range h.Parts {
			if p.Part.Number == number {
				return true
			}
		}
		return false
	}
	if h := find(t, db, ix, "39 mm seals not in stock", opt); has(h, "OS-3952") || !has(h, "BG 39 52") {
		t.Errorf("not in stock: %v", h.Parts)
	}
	if h := find(t, db, ix, "in stock", opt); len(h.Parts) != 1 || !has(h, "OS-3952") || !says(all(h), "search.stock_list") {
		t.Errorf("in stock: %v, %v", h.Parts, all(h))
	}
	if h := find(t, db, ix, "39 mm seals not Brammwig", opt); has(h, "BG 39 52") || !has(h, "OS-3952") {
		t.Errorf("not Brammwig: %v", h.Parts)
	}
	if h := find(t, db, ix, "Vossrik seal", opt); len(h.Parts) == 0 || len(h.Warnings) != 1 || h.Warnings[0].ID != "search.unknown_shown" {
		t.Errorf("a make that nobody knows: %d parts, warnings %v", len(h.Parts), h.Warnings)
	}
	if h := find(t, db, ix, "39,1 mm seal", opt); h.Measured != (Measured{39_100, catalog.OilSeal}) {
		t.Errorf("measured %v", h.Measured)
	}
	if h := find(t, db, ix, "1.614", opt); len(h.Meant) != 1 || h.Meant[0] != "1.614 in" {
		t.Errorf("meant %q, want inches", h.Meant)
	}
}

// A short word is read as a kind of part before it begins a maker's name, and
// that name is offered.
func TestShort(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	h := find(t, db, ix, "39 mm bra", Options{}) // Brammwig; no kind of part is near
	if len(h.Parts) == 0 || h.Parts[0].Part.Maker != "Brammwig" {
		t.Errorf("bra: %v, want what Brammwig makes", h.Parts)
	}
	if got := Understand("41 sel", vocabulary()); got.Make != "" || len(got.Roles) != 1 || len(got.Doubt) != 1 {
		t.Errorf("sel: %+v, want a seal, in doubt", got)
	}
}
