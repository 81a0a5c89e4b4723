package scanner

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// fieldOf gives the modules of a symbol of the library's encoder.
func fieldOf(m *gozxing.BitMatrix) *field {
	f := &field{cols: m.GetWidth(), rows: m.GetHeight()}
	for y := range f.rows {
		for x := range f.cols {
			f.dark = append(f.dark, m.Get(x, y))
		}
	}
	return f
}

// qrField is a symbol of the library's encoder.
func qrField(t *testing.T, text string, level decoder.ErrorCorrectionLevel) *field {
	t.Helper()
	hints := map[gozxing.EncodeHintType]any{
		gozxing.EncodeHintType_MARGIN: 0, gozxing.EncodeHintType_ERROR_CORRECTION: level,
	}
	m, err := qrcode.NewQRCodeWriter().Encode(text, gozxing.BarcodeFormat_QR_CODE, 0, 0, hints)
	if err != nil {
		t.Fatal(err)
	}
	return fieldOf(m)
}

// The fixed modules of the plans are those of the library's symbols, in sizes
// without, with one, with many alignment patterns.
func TestQRPlan(t *testing.T) {
	seen := map[int]bool{}
	for n := 1; n < 2900; n += 1 + n/4 {
		f := qrField(t, strings.Repeat("a", n), decoder.ErrorCorrectionLevel_L)
		p := new(matrixReader).qrPlan(f.cols)
		if w := f.wrong(p.marks); w != 0 || len(p.marks) == 0 {
			t.Errorf("%d modules: %.3f of %d marks are wrong", f.cols, w, len(p.marks))
		}
		if (p.align == nil) != (f.cols == 21) {
			t.Errorf("%d modules: alignment pattern %v", f.cols, p.align)
		}
		seen[f.cols] = true
	}
	if len(seen) < 15 {
		t.Errorf("%d sizes, want 15", len(seen))
	}
}

// As many codewords are corrected as table 9 of ISO/IEC 18004 allows, which in
// the smallest versions is less than the check words could, and not one more;
// seen in a mirror a symbol says the same. Values of r of the table, by hand.
func TestDecodeQR(t *testing.T) {
	const text = "KB-39-52"
	for _, tt := range []struct {
		level decoder.ErrorCorrectionLevel
		most  int
	}{
		{decoder.ErrorCorrectionLevel_L, 2},
		{decoder.ErrorCorrectionLevel_M, 4},
		{decoder.ErrorCorrectionLevel_Q, 6},
		{decoder.ErrorCorrectionLevel_H, 8},
	} {
		f := qrField(t, text, tt.level)
		if f.cols != 21 {
			t.Fatalf("%d modules, want version 1", f.cols)
		}
		// The first codewords go up from the lower right corner, two modules
		// wide and four high each, three in a pair of columns below the finder
		// pattern.
		spoil := func(n int) {
			for word := range n {
				pair, up := word/3, word%3
				y := 20 - 4*up
				if pair%2 == 1 {
					y = 9 + 4*up
				}
				f.dark[y*f.cols+20-2*pair] = !f.dark[y*f.cols+20-2*pair]
			}
		}
		for errors := range tt.most + 2 {
			spoil(errors)
			result, load, mirrored := qrDecode(f)
			if errors > tt.most {
				if result != nil {
					t.Errorf("%v, %d errors: %q, want nothing", tt.level, errors, result.GetText())
				}
			} else if result == nil || result.GetText() != text || mirrored || load != float64(errors)/float64(tt.most) {
				t.Errorf("%v, %d errors: %v, load %.2f", tt.level, errors, result, load)
			}
			spoil(errors) // and back
		}
		turned := &field{cols: f.cols, rows: f.rows, dark: make([]bool, len(f.dark))}
		for i, d := range f.dark {
			turned.dark[i%f.cols*f.cols+i/f.cols] = d
		}
		if result, _, mirrored := qrDecode(turned); result == nil || result.GetText() != text || !mirrored {
			t.Errorf("%v in a mirror: %v, %v", tt.level, result, mirrored)
		}
	}
}

// Neither a blank field nor noise says anything.
func TestDecodeQRNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	for n := range 300 {
		size := 21 + 4*(n%5)
		f := &field{cols: size, rows: size, dark: make([]bool, size*size)}
		for i := range f.dark {
			f.dark[i] = n >= 5 && r.IntN(2) == 0
		}
		if result, _, _ := qrDecode(f); result != nil {
			t.Errorf("%s: %q", fmt.Sprint(size, " modules"), result.GetText())
		}
	}
}
