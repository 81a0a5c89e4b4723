package scanner

import (
	"image"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
)

// blurredLine is a line with a symbol of so many pixels a module, blurred by
// sigma pixels.
func blurredLine(t testing.TB, w gozxing.Writer, format gozxing.BarcodeFormat, text string, pixels int, sigma float64) []int32 {
	t.Helper()
	quiet := slices.Repeat([]int32{230 * depth}, 12*pixels)
	line := slices.Clone(quiet)
	for i, w := range widthsOf(t, w, format, text, pixels) {
		line = append(line, slices.Repeat([]int32{int32(30+i%2*200) * depth}, w)...)
	}
	return bell(append(line, quiet...), sigma)
}

// The curve of a symbol tells its text where no narrow bar is left, also with
// its ends a third of a module off, upside down, and with the middle moved as
// on a bottle; the curve of another kind of symbol tells nothing.
func TestFit(t *testing.T) {
	const pixels = 3
	ean13 := blurredLine(t, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "5901234123457", pixels, 2.7)
	ean8 := blurredLine(t, oned.NewEAN8Writer(), gozxing.BarcodeFormat_EAN_8, "95012346", pixels, 2.7)
	code39 := blurredLine(t, oned.NewCode39Writer(), gozxing.BarcodeFormat_CODE_39, "KB-39", pixels, 2.7)
	turned := slices.Clone(ean13)
	slices.Reverse(turned)
	begin, end := 36., 36.+95*pixels
	for _, tt := range []struct {
		name   string
		line   []int32
		x0, x1 float64
		shape  eanShape
		want   string
	}{
		{"EAN-13", ean13, begin, end, shape13, "5901234123457"},
		{"ends off", ean13, begin + 1, end + 1, shape13, "5901234123457"},
		{"upside down", turned, end, begin, shape13, "5901234123457"},
		{"the wrong way round", ean13, end, begin, shape13, ""},
		{"EAN-8", ean8, begin, begin + 67*pixels, shape8, "95012346"},
		{"EAN-8 for a part", ean13, begin, begin + 67*pixels, shape8, ""},
		{"Code 39", code39, begin, float64(len(code39)) - 36, shape13, ""},
		{"nothing", slices.Repeat([]int32{99}, 300), begin, end, shape13, ""},
		{"too small", ean13, begin, begin + 90, shape13, ""},
	} {
		s, ok := new(reader).fit(tt.line, tt.x0, tt.x1, tt.shape)
		if got := string(s.text); ok != (tt.want != "") || ok && got != tt.want {
			t.Errorf("%s: %q, %v, want %q", tt.name, got, ok, tt.want)
		}
	}
	r := &reader{}
	r.bars(ean13, 0, true)
	if hits := r.readRow(nil, 0); len(hits) > 0 {
		t.Errorf("%+v is read by its widths: no test of the curve", hits)
	}
	if hits := r.fits(nil, ean13, 0, 0, false); len(hits) != 1 || hits[0].text != "5901234123457" || hits[0].fit != 1 {
		t.Errorf("fits = %+v", hits)
	}
}

// Blurred pictures of invented numbers, some too blurred for anybody: none is
// read wrong.
func TestFitNeverWrong(t *testing.T) {
	lot := rand.New(rand.NewPCG(39, 52))
	right := 0
	for i := range 40 {
		text := "952"
		for range 9 {
			text += string(rune('0' + lot.IntN(10)))
		}
		sigma := 1.5 + .06*float64(i)
		line := blurredLine(t, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, text, 3, sigma)
		pic := image.NewGray(image.Rect(0, 0, len(line), 90))
		for y := range 90 {
			for x, v := range line {
				if y < 15 || y >= 75 {
					v = 230 * depth
				}
				pic.Pix[y*len(line)+x] = byte(float64(v)/depth + 2*lot.NormFloat64())
			}
		}
		for _, s := range look(t, pic, Options{Symbologies: linears}).Symbols {
			if s.Symbology != EAN13 || s.Text[:12] != text {
				t.Errorf("%s blurred by %.2f: %s %s", text, sigma, s.Symbology, s.Text)
			}
			right++
		}
	}
	if right < 10 {
		t.Errorf("%d read, want 10", right)
	}
}
