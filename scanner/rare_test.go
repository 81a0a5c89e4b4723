package scanner

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"forkstock/scanner/pages"
)

// Symbols made by zint (testdata/rare/make.sh); texts as given to it, for
// Codabar between A and B or C and D.
var rareFiles = map[string][2]string{
	"code93.png":         {Code93, "OB-39.5 X"},
	"code93_ascii.png":   {Code93, "Seal/39x52?"},
	"code93_turned.jpg":  {Code93, "OB-39.5 X"},
	"codabar.png":        {Codabar, "31117-206.5"},
	"codabar_c.png":      {Codabar, "294/586+1:2$"},
	"codabar_turned.jpg": {Codabar, "31117-206.5"},
	"codabar_noise.jpg":  {Codabar, "294/586+1:2$"},
	"databar.png":        {GS1DataBar, "0195201234567880"},
	"databar_low.png":    {GS1DataBar, "0110033988701123"},
	"databar_turned.jpg": {GS1DataBar, "0195201234567880"},
}

// What is seldom met is read, and told by its AIM identifier (of gozxing's own
// tests; ISO/IEC 15424, from memory).
func TestRare(t *testing.T) {
	for file, want := range rareFiles {
		data, err := os.ReadFile(filepath.Join("testdata/rare", file))
		if err != nil {
			t.Fatal(err)
		}
		aim := map[string]string{Code93: "]G0", Codabar: "]F0", GS1DataBar: "]e0"}[want[0]]
		for name, o := range map[string]Options{"all": {}, "alone": {Symbologies: want[:1]}} {
			p, err := Read(context.Background(), data, o)
			if err != nil || len(p.Symbols) != 1 || p.Symbols[0].Symbology != want[0] || p.Symbols[0].Text != want[1] ||
				p.Symbols[0].AIM != aim || len(p.Unread) > 0 {
				t.Errorf("%s, %s: %+v, %v, want %q", file, name, p, err, want)
			}
		}
		if p, err := Read(context.Background(), data, Options{Symbologies: linears}); err != nil || len(p.Symbols) > 0 {
			t.Errorf("%s: read %+v, %v as something else", file, p.Symbols, err)
		}
	}
}

// rareWidths gives the bars and spaces of a symbol made by zint, two points a
// module.
func rareWidths(t *testing.T, file string) []int {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata/rare", file))
	if err != nil {
		t.Fatal(err)
	}
	var r reader
	err = pages.Each(context.Background(), data, func(page pages.Page) error {
		r.picture = grey(page.Image)
		r.bars(r.sample(band{point{0, 24}, point{1, 0}, point{0, 1}, r.picture.Width}, 0, 1), 0, false)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return r.row.widths[1 : len(r.row.widths)-1]
}

// A character that is another one makes the check characters wrong; what ends
// in the middle, or is shifted to nothing, is no symbol.
func TestCode93Checks(t *testing.T) {
	good := rareWidths(t, "code93.png")
	var r reader
	if s, ok := r.readCode93(good); !ok || s.wrong || string(s.text) != "OB-39.5 X" {
		t.Fatalf("%q, %v, %v", s.text, s.wrong, ok)
	}
	other := slices.Clone(good)
	copy(other[12:18], good[6:12])
	if s, ok := r.readCode93(other); !ok || !s.wrong {
		t.Errorf("with another character: %q, wrong %v, read %v", s.text, s.wrong, ok)
	}
	for n := range good {
		if s, ok := r.readCode93(good[:n]); ok {
			t.Errorf("%d bars and spaces of %d: read %q", n, len(good), s.text)
		}
	}
	for _, values := range [][]int{{dollar93, 1, 0, 0}, {10, dollar93, 0, 0}, {dollar93, dollar93, 0, 0}, {dollar93 + 2, 25, 0, 0}} {
		s, ok := r.text93(decoded{}, values)
		if ok {
			t.Errorf("%v: read %q", values, s.text)
		}
	}
}

// ASCII of the shifts (AIM USS-93, table of full ASCII).
func TestShifted93(t *testing.T) {
	for want, told := range map[byte]string{
		1: "$A", 26: "$Z", 27: "%A", 31: "%E", ';': "%F", '?': "%J", '[': "%K", '_': "%O", '{': "%P", 127: "%T", 0: "%U",
		'@': "%V", '`': "%W", '!': "/A", '/': "/O", ':': "/Z", 'a': "+A", 'z': "+Z",
	} {
		shift := dollar93 + slices.Index([]byte("$%/+"), told[0])
		if got, ok := shifted93(shift, told[1]); !ok || got != want {
			t.Errorf("%s: %q, %v, want %q", told, got, ok, want)
		}
	}
}

// Codabar has no check: a symbol that is cut, or too short, is none.
func TestCodabarEnds(t *testing.T) {
	good := rareWidths(t, "codabar.png")
	var r reader
	if s, ok := r.readCodabar(good); !ok || string(s.text) != "31117-206.5" || s.runs != len(good) {
		t.Fatalf("%q, %v", s.text, ok)
	}
	for n := range good {
		if s, ok := r.readCodabar(good[:n]); ok {
			t.Errorf("%d bars and spaces of %d: read %q", n, len(good), s.text)
		}
	}
	if s, ok := r.readCodabar(good[8:]); ok {
		t.Errorf("without its begin: read %q", s.text)
	}
	short := slices.Concat(good[:8+8*(fewestCodabar-1)], good[len(good)-7:])
	if s, ok := r.readCodabar(short); ok {
		t.Errorf("of %d characters: read %q", fewestCodabar-1, s.text)
	}
}

// A bar that is moved, or half a symbol, is none; neither is one whose halves
// are those of two symbols.
func TestDataBarChecks(t *testing.T) {
	good, other := rareWidths(t, "databar.png"), rareWidths(t, "databar_low.png")
	var r reader
	if s, ok := r.readDataBar(good); !ok || string(s.text) != "0195201234567880" || s.runs != len(good) {
		t.Fatalf("%q, %v", s.text, ok)
	}
	for n := range good {
		if s, ok := r.readDataBar(good[:n]); ok {
			t.Errorf("%d bars and spaces of %d: read %q", n, len(good), s.text)
		}
	}
	for i := range len(good) - 1 {
		moved := slices.Clone(good)
		if moved[i]--; moved[i] < 2*fine {
			moved[i] += 1 + 2*fine // a module from the one beside it
			moved[i+1] -= 2 * fine
		} else {
			moved[i] += 1 - 2*fine
			moved[i+1] += 2 * fine
		}
		if s, ok := r.readDataBar(moved); ok {
			t.Errorf("bar or space %d moved: read %q", i, s.text)
		}
	}
	if s, ok := r.readDataBar(slices.Concat(good[:22], other[22:])); ok {
		t.Errorf("of two halves: read %q", s.text)
	}
}

// A GTIN in GS1 DataBar is filed as any other.
func TestDataBarKey(t *testing.T) {
	text := "0195201234567880"
	s := Symbol{Symbology: GS1DataBar, Text: text, Elements: elementsOf(GS1DataBar, text)}
	if key, gtin := s.Key(); !gtin || key != "95201234567880" {
		t.Errorf("%s, %v", key, gtin)
	}
}
