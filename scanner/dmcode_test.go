package scanner

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing/common/reedsolomon"
	"github.com/makiuchi-d/gozxing/datamatrix/decoder"
	"github.com/makiuchi-d/gozxing/datamatrix/encoder"
)

// Every size has room for its codewords, each bit a module of its own, and in
// the sizes of ISO/IEC 16022 they lie where the library's encoder puts them
// (which those of ISO/IEC 21471 are too much for; pictures of them are read in
// TestMatrixPictures).
func TestPlacement(t *testing.T) {
	for i := range dmSizes {
		s := &dmSizes[i]
		name := fmt.Sprintf("%d x %d", s.rows, s.cols)
		p := new(matrixReader).plan(s)
		rows, cols := s.rows/(s.regionRows+2)*s.regionRows, s.cols/(s.regionCols+2)*s.regionCols
		if n := s.data + s.checks; n != rows*cols/8 || s.data%s.blocks != 0 && s.rows != 144 || s.checks%s.blocks != 0 {
			t.Errorf("%s: %d codewords in %d modules, %d blocks", name, n, rows*cols, s.blocks)
			continue
		}
		if own := slices.Compact(slices.Sorted(slices.Values(p.bits))); len(own) != len(p.bits) {
			t.Errorf("%s: %d of %d bits have a module of their own", name, len(own), len(p.bits))
		}
		if i >= 30 {
			continue
		}
		r := rand.New(rand.NewPCG(7, uint64(i)))
		words := make([]byte, s.data+s.checks)
		for i := range words {
			words[i] = byte(r.Uint32())
		}
		theirs := encoder.NewDefaultPlacement(words, cols, rows)
		theirs.Place()
		inside := map[int32]bool{} // dark, by place in the field
		for y := range rows {
			for x := range cols {
				at := int32((y/s.regionRows*2+1+y)*s.cols + x/s.regionCols*2 + 1 + x)
				inside[at] = theirs.GetBit(x, y)
			}
		}
		for i, w := range words {
			for b := range 8 {
				dark, ok := inside[p.bits[8*i+b]]
				if !ok || dark != (w>>(7-b)&1 == 1) {
					t.Fatalf("%s: bit %d of codeword %d is not where it belongs", name, b, i)
				}
			}
		}
	}
}

// As many errors are corrected as table 7 of ISO/IEC 16022 allows, half the
// check words, and not one more; the frame is as the standard has it.
func TestDecodeDataMatrix(t *testing.T) {
	const text = "KB-39-52-11;41 x 54 x 11"
	words, err := encoder.EncodeHighLevel(text, encoder.SymbolShapeHint_FORCE_SQUARE, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := new(matrixReader).plan(&dmSizes[slices.IndexFunc(dmSizes, func(s dmSize) bool { return s.rows == s.cols && s.data >= len(words) })])
	if len(words) != p.data {
		t.Fatalf("%d codewords, want %d", len(words), p.data)
	}
	all := make([]int, p.data+p.checks)
	for i, w := range words {
		all[i] = int(w)
	}
	if err := reedsolomon.NewReedSolomonEncoder(reedsolomon.GenericGF_DATA_MATRIX_FIELD_256).Encode(all, p.checks); err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(3, 4))
	for errors := range p.checks/2 + 2 {
		dark := make([]bool, p.rows*p.cols)
		for _, m := range p.frame {
			if m.u > 0 && m.v > 0 && int(m.u) < p.cols && int(m.v) < p.rows {
				dark[int(m.v)*p.cols+int(m.u)] = !m.light
			}
		}
		for i, at := range p.bits {
			dark[at] = all[i/8]>>(7-i%8)&1 == 1
		}
		for _, word := range r.Perm(len(all))[:errors] {
			at := p.bits[8*word+r.IntN(8)]
			dark[at] = !dark[at]
		}
		c, load, ok := p.decode(dark)
		if want := errors <= p.checks/2; ok != want || ok && (c.text != text || load != float64(errors)/float64(p.checks/2)) {
			t.Errorf("%d errors: %q, load %.2f, %v", errors, c.text, load, ok)
		}
		f := &field{cols: p.cols, rows: p.rows, dark: dark}
		if w := f.wrong(p.frame); w != 0 {
			t.Errorf("%.2f of the frame is wrong", w)
		}
	}
	blank := make([]bool, p.rows*p.cols)
	if c, _, ok := p.decode(blank); ok {
		t.Errorf("a blank field holds %q", c.text)
	}
}

// The library decodes what it encoded itself, and so do we, in every
// encodation that its encoder chooses.
func TestDataMatrixText(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	alphabets := []string{
		"0123456789", "ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789", "abcdefghijklmnopqrstuvwxyz 0123456789",
		"ABC*>\r 0123456789", "!\"#$%&'()*+,-./:;<=>?@[\\]^_ABCD012", "abcXYZ019äöüß", "äöüßÄÖÜéèñ", "aB3-~{}|`",
	}
	for n := range 4000 {
		from := []rune(alphabets[n%len(alphabets)])
		var b strings.Builder
		for range 1 + r.IntN(40) {
			b.WriteRune(from[r.IntN(len(from))])
		}
		words, err := encoder.EncodeHighLevel(b.String(), encoder.SymbolShapeHint_FORCE_NONE, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		theirs, err := decoder.DecodedBitStreamParser_decode(words)
		if err != nil || valid(theirs.GetText()) != b.String() {
			continue // its encoder and decoder do not agree
		}
		if c, ok := dmContent(words); !ok || c.text != b.String() || c.modifier != 1 || c.raw != nil {
			t.Errorf("%q from % d: %q, %v", b.String(), words, c.text, ok)
		}
	}
}

// By hand from ISO/IEC 16022: FNC1 is 232 (5.2.3, 11.2), macros 236 and 237
// (5.2.4.7), character sets 241 (5.2.4.7), upper shift 235; numbers of
// character sets are those of the AIM list of extended channel
// interpretations. 899 is bytes.
func TestDataMatrixControls(t *testing.T) {
	for _, tt := range []struct {
		name     string
		words    []byte
		text     string
		modifier int
		raw      string
	}{
		{"GS1", []byte{232, 131, 151, 66, 67, 232, 147, 131, 129, 5}, "0121AB\x1d1701", 2, ""},
		{"industry", []byte{66, 232, 67, 68}, "ABC", 3, ""},
		{"separator", []byte{66, 67, 232, 68}, "AB\x1dC", 1, ""},
		{"macro 05", []byte{236, 66, 67}, "[)>\x1e05\x1dAB\x1e\x04", 1, ""},
		{"macro 06", []byte{237, 66}, "[)>\x1e06\x1dA\x1e\x04", 1, ""},
		{"Latin-1 without a name", []byte{235, 101, 66}, "äA", 1, ""},
		{"broken UTF-8", []byte{241, 27, 235, 101, 66}, "", 0, ""},
		{"Latin-1 named", []byte{241, 4, 235, 101, 66}, "äA", 4, ""},
		{"Cyrillic named", []byte{241, 8, 235, 0xd6 - 127}, "ж", 4, ""},
		{"two sets", []byte{241, 4, 235, 101, 241, 8, 235, 0xd6 - 127}, "äж", 4, ""},
		{"bytes", []byte{241, 132, 15, 235, 128, 2}, "ÿ\x01", 4, "\xff\x01"},
		{"part of several", []byte{233, 24, 1, 1, 66}, "A", 1, ""},
		{"GS1 in a named set", []byte{241, 4, 232, 131, 151}, "0121", 5, ""},
	} {
		c, ok := dmContent(tt.words)
		if tt.modifier == 0 { // broken UTF-8 is bytes
			if !ok || c.raw == nil {
				t.Errorf("%s: %+v, %v, want bytes", tt.name, c, ok)
			}
			continue
		}
		if !ok || c.text != tt.text || c.modifier != tt.modifier || string(c.raw) != tt.raw {
			t.Errorf("%s: %+v, %v", tt.name, c, ok)
		}
	}
	for _, words := range [][]byte{{0}, {255}, {66, 242}, {241}, {241, 200, 1}, {231, 200}, {66, 233}} {
		if c, ok := dmContent(words); ok {
			t.Errorf("% d holds %q, want nothing", words, c.text)
		}
	}
}

// Nothing that a symbol may hold makes the reader panic.
func FuzzDataMatrixText(f *testing.F) {
	f.Add([]byte{232, 131, 151, 66, 67, 232, 147, 131, 129, 5})
	f.Add([]byte{231, 44, 108, 59, 226})
	f.Add([]byte{240, 16, 84, 203, 124})
	f.Fuzz(func(t *testing.T, words []byte) {
		c, ok := dmContent(words)
		if ok && valid(c.text) != c.text {
			t.Errorf("% d: %q is no UTF-8", words, c.text)
		}
	})
}
