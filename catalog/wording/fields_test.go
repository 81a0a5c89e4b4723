package wording

import (
	"slices"
	"strings"
	"testing"

	"forkstock/catalog"
)

// TestFields holds one field of a description each: what the fields of the
// lines in testdata do not show. Common practice, no source.
func TestFields(t *testing.T) {
	for _, c := range []struct {
		field, text string
		want        string // values, with "?" where they are uncertain
	}{
		{"size", "fork seal 41x54x11", "41x54x11"},
		{"size", "fork seal Ø 41 x 54 x 11 mm", "41x54x11"},
		{"size", "fork seal 41x54x11 and 43x55x11", ""}, // which?
		{"size", "fork seal 41x54x11, 41 x 54 x 11 mm", "41x54x11"},
		{"size", "fork seal 12/10/2024", ""},
		{"size", "fork seal 05-12-21", ""},
		{"size", "fork seal AB-39-52-11", ""},
		{"size", "fork seal 54x41x11", "41x54x11?"},
		{"size", "Gabelsimmerring 41x54x110", ""},
		{"size", "fork box 30x20x10 cm", ""},
		{"size", "O-Ring 34x2,4 Gabel", "34x38.8x2.4"},
		{"size", "fork seal 26x54x11", ""}, // no ring is so wide
		{"size", "fork seal 43x54x11,2 pcs", "43x54x11"},
		{"size", "fork seal 43x54x1 1", ""},
		{"size", `fork seal 1.535" x 2.05"`, "38.989x52.07"},
		{"size", `fork seal 1.535 in x 2.05 in x .43 in`, "38.989x52.07x10.922"},
		{"size", "fork seal 1.535 x 2.05 x .43 inch", "38.989x52.07x10.922"},
		{"size", "fork seal 1.535 x 2.05 zoll", "38.989x52.07"},
		{"size", "fork seal 1.535″×2.05″", "38.989x52.07"},
		{"size", "fork seal 1.535'' x 2.05''", "38.989x52.07"},
		{"size", `fork seal 1 1/2" x 2-1/16"`, "38.1x52.388"},
		{"size", `fork seal 41 x 2.05"`, ""}, // mm or inches?
		{"size", "fork seal 41x54x11 in stock", "41x54x11"},
		{"size", "Sprengring Gabel 54x1,5", "?x54x1.5?"},  // bore and wire
		{"size", "Sicherungsring DIN 471 Gabel 54x2", ""}, // for a shaft
		{"size", "Sprengring Außensicherungsring Gabel 54x2", ""},
		{"size", `bottom bolt 5/16-24 UNF x 1-1/4"`, "?x?x31.75"},
		{"thread", `bottom bolt 5/16-24 UNF x 1-1/4"`, "5/16-24 UNF"},
		{"thread", `bottom bolt 5/16" x 24 UNF`, "5/16-24 UNF"},
		{"thread", "bottom bolt UNF 5/16-24", "5/16-24 UNF"},
		{"thread", "bottom bolt UNF", ""},
		{"thread", "bottom bolt M10x1.0", "M10x1"},
		{"size", "bottom bolt M8 x 1.25 x 30", "?x?x30"},
		{"leg", "Kolbenring 35 mm Gabel", ""}, // its own
		{"leg", "Kolbenring Gabel 35 mm", "35"},
		{"role", "bolt, fork bottom", "bottom_bolt?"},
		{"role", "Innensechskantschraube Gabel unten", "bottom_bolt?"},
		{"role", "pinch bolt fork bottom", ""},
		{"role", "Kupferring Ölablass", ""},
		{"role", "drain bolt fork bottom", ""}, // which of two?
		{"thread", "bottom bolt M10 x 1,25 x 30", "M10x1.25"},
		{"thread", "bottom bolt XM10x30", ""},
		{"thread", "bottom bolt M8 or M10", ""},
		{"thread", "Radlager M10", ""},
		{"leg", "dust seal 41,3 mm", "41.3"},
		{"leg", "dust seal 41 mm and 43 mm", ""},
		{"leg", "dust seal 41-43 mm", ""},
		{"leg", "dust seal 47", "47?"},
		{"leg", "dust seal 47 g", ""},
		{"leg", "fork oil 10W 41 mm", ""},
		{"pieces", "fork seal pair (2 pcs)", "2"},
		{"pieces", "fork seal pair, pack of 10", ""}, // which?
		{"pieces", "fork seal 5 pairs", "10"},
		{"pieces", "fork dust seal 48 pr", "2"},
		{"pieces", "fork seal 43x54x11,2 pcs", "2"},
		{"pieces", "fork seal VPE 0", ""},
		{"pieces", "fork seal 99999 pcs", ""},
		{"pieces", "39er Gabel Simmerring", ""},
		{"pieces", "Gabeldichtsatz 2 Stück", ""}, // of what is in it
		{"volume", "fork oil 10W 0,5 l", "500"},
		{"volume", "fork oil 10W 0,0005 l", ""},
		{"elastomer", "fork seal NBR or FKM", ""},
		{"years", "fork seal Kaldrin 99-04", "1999-2004"},
		{"years", "fork seal Kaldrin 1999-04", "1999-2004"},
		{"years", "fork seal Kaldrin 1999 - 2004", "1999-2004"},
		{"years", "fork seal Kaldrin 1999>2004", "1999-2004"},
		{"years", "fork seal Kaldrin 2001-", "2001-"},
		{"years", "fork seal Kaldrin '01", "2001"},
		{"years", "fork seal Kaldrin ab Bj. 2001", "2001-"},
		{"years", "fork seal Kaldrin bis 04", "-2004"},
		{"years", "fork seal Kaldrin MY05", "2005"},
		{"years", "fork seal Kaldrin 2004-1999", ""},
		{"years", "fork seal Kaldrin No. 2004", ""},
		{"years", "fork seal 99-04", ""}, // of what?
		{"years", "fork seal 1999-2004", "1999-2004?"},
		{"model", "Velda 400 seal", "Kaldrin Velda 400"},
		{"model", "Velda 400 X seal", "Kaldrin Velda 400?"},
		{"model", "VELDA400S seal", "Kaldrin Velda 400 S"},
		{"model", "VELDA400SX seal", ""},
		{"model", "XVELDA400 seal", ""},
		{"role", "", ""},
		{"role", "Simmerring 41x54x11", "oil_seal?"},
		{"role", "Simmerring", ""},
		{"role", "Simmerring Gabel", "oil_seal"},
		{"role", "Seal, dust, fork", "wiper"},
		{"role", "fork bushing", ""}, // which of two?
		{"role", "bolt, fork", ""},
		{"role", "fork seal with dust seal", ""},
		{"role", "fork seal and dust seal", "kit?"},
		{"role", "clip for fork seal", "clip"},
		{"role", "fork seal without dust seal", "oil_seal"},
		{"role", "fork seal housing", ""},
		{"role", "Gabel string", ""},
		{"role", "Gabel Deckeldichtung", ""},
		{"role", "Gabel Gabelsimmering", "oil_seal"},
		{"role", "Führungsbuchse Gabel Tauchrohr", ""},
		{"role", "outer fork tube bushing", "lower_bushing"},
		{"role", "Spreizring Gabelsimmerring", ""},
		{"role", "fork seal with spring", "oil_seal"},
		{"role", "Dichtring Dämpferstange Gabel", ""},
		{"role", "fork oil gauge", ""},
		{"role", "Schaltgabel Dichtring", ""},
		{"role", "Gabelschlüssel 17 mm", ""},
	} {
		var got []string
		for _, s := range saidOf(Read(c.text, NewKnown(bikes)))[c.field] {
			if !s.sure {
				s.text += "?"
			}
			got = append(got, s.text)
		}
		if got := strings.Join(got, "+"); got != c.want {
			t.Errorf("%s of %q: got %q, want %q", c.field, c.text, got, c.want)
		}
	}
}

// TestTerms holds what is shared with search: roles of the contract, and each
// name in one term.
func TestTerms(t *testing.T) {
	seen := map[string]int{}
	for i, term := range Terms {
		for _, role := range term.Roles {
			if !slices.Contains(catalog.Roles, role) {
				t.Errorf("%s: no role %q", term.Words, role)
			}
		}
		for w := range strings.SplitSeq(term.Words, ", ") {
			key := strings.Map(alphanumeric, Fold(w))
			if before, ok := seen[key]; ok && before != i {
				t.Errorf("%q stands in two terms", w)
			}
			seen[key] = i
		}
	}
}

// TestElastomers holds the names of rubber against the groups of ISO 2230 that
// the catalog has: each of them ages.
func TestElastomers(t *testing.T) {
	for w, name := range materials[elastomerWord] {
		if _, ok := catalog.GroupOf(name); !ok {
			t.Errorf("%q is %q, which no group of ISO 2230 has", w, name)
		}
	}
}

func TestFold(t *testing.T) {
	for word, want := range map[string]string{
		"GABELÖL": "gabeloel", "Größe": "groesse", "o\u0308l": "oel", "é": "e", "Ø": "o", "Ünïon": "uenion", "ﬁ": "ﬁ",
	} {
		if got := Fold(word); got != want {
			t.Errorf("Fold(%q) = %q, want %q", word, got, want)
		}
		if got := string(appendFolded([]byte("x"), word)); got != "x"+want {
			t.Errorf("appendFolded(%q) = %q, want %q", word, got, "x"+want)
		}
	}
}
