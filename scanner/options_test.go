package scanner

import (
	"context"
	"image"
	"slices"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"

	"forkstock/internal/fault"
)

// barred draws a linear symbol with a writer of gozxing, four pixels a module,
// on white.
func barred(t testing.TB, w gozxing.Writer, format gozxing.BarcodeFormat, text string) *image.Gray {
	t.Helper()
	m, err := w.Encode(text, format, 0, 1, noMargin)
	if err != nil {
		t.Fatal(err)
	}
	const module, quiet, height = 4, 44, 80
	pic := image.NewGray(image.Rect(0, 0, m.GetWidth()*module+2*quiet, height+20))
	for i := range pic.Pix {
		x, y := i%pic.Stride-quiet, i/pic.Stride-10
		if x < 0 || x >= m.GetWidth()*module || y < 0 || y >= height || !m.Get(x/module, 0) {
			pic.Pix[i] = 255
		}
	}
	return pic
}

func look(t testing.TB, pic image.Image, o Options) Picture {
	t.Helper()
	p, err := Look(context.Background(), pic, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Lengths are told as a person writes them; one that no symbol has is refused.
func TestParseITFLengths(t *testing.T) {
	for text, want := range map[string][]int{
		"6, 10": {6, 10}, "10;6 10": {6, 10}, "14": {}, "none": {}, "keine": {}, "": {}, "4,80": {4, 80},
	} {
		if got, err := ParseITFLengths(text); err != nil || got == nil || !slices.Equal(got, want) {
			t.Errorf("%q: %v, %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"7", "2", "82", "ten", "none, 6", "-6"} {
		if got, err := ParseITFLengths(text); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%q: %v, %v, want a refusal", text, got, err)
		}
	}
}

// The AIM identifiers are those of the GS1 General Specifications, table of
// clause 5.1.2, and for Code 39 and Code 128 of ISO/IEC 15424 (from memory).
func TestAIM(t *testing.T) {
	for _, tt := range []struct {
		w         gozxing.Writer
		format    gozxing.BarcodeFormat
		text, aim string
	}{
		{oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "9520123456788", "]E0"},
		{oned.NewUPCAWriter(), gozxing.BarcodeFormat_UPC_A, "012345678905", "]E0"},
		{oned.NewUPCEWriter(), gozxing.BarcodeFormat_UPC_E, "00123457", "]E0"},
		{oned.NewEAN8Writer(), gozxing.BarcodeFormat_EAN_8, "95012346", "]E4"},
		{oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "BIN-A-03-2", "]C0"},
		{oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "\u00f100395201234560000123", "]C1"},
		{oned.NewCode39Writer(), gozxing.BarcodeFormat_CODE_39, "FS-39-52-11", "]A0"},
		{oned.NewITFWriter(), gozxing.BarcodeFormat_ITF, "19520123456785", "]I1"},
	} {
		p := look(t, barred(t, tt.w, tt.format, tt.text), Options{})
		if len(p.Symbols) != 1 || p.Symbols[0].AIM != tt.aim || p.Symbols[0].Orientation() != 0 {
			t.Errorf("%s: %+v, want %s", tt.text, p.Symbols, tt.aim)
		}
	}
}

// What is not asked for is not told; what breaks a rule is refused.
func TestOptions(t *testing.T) {
	ean := barred(t, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "9520123456788")
	itf := barred(t, oned.NewITFWriter(), gozxing.BarcodeFormat_ITF, "1234567895")
	bad := barred(t, oned.NewITFWriter(), gozxing.BarcodeFormat_ITF, "19520123456784")
	code39 := barred(t, oned.NewCode39Writer(), gozxing.BarcodeFormat_CODE_39, "ABC12340")
	wrong39 := barred(t, oned.NewCode39Writer(), gozxing.BarcodeFormat_CODE_39, "ABC12341")
	for _, tt := range []struct {
		name string
		pic  *image.Gray
		o    Options
		text string // read
		why  string // refused
	}{
		{"all", ean, Options{}, "9520123456788", ""},
		{"wanted", ean, Options{Symbologies: []string{EAN13}}, "9520123456788", ""},
		{"not wanted", ean, Options{Symbologies: []string{Code128, QR}}, "", ""},
		{"upright", ean, Options{Upright: true}, "9520123456788", ""},
		{"ten digits", itf, Options{}, "", "scanner.itf_length"},
		{"ten digits asked for", itf, Options{ITFLengths: []int{10}}, "1234567895", ""},
		{"check digit", bad, Options{}, "", "scanner.check_digit"},
		{"check character", code39, Options{Code39Check: true}, "ABC12340", ""}, // as zint prints it
		{"wrong check character", wrong39, Options{Code39Check: true}, "", "scanner.check_character"},
		{"check character not asked for", wrong39, Options{}, "ABC12341", ""},
	} {
		p := look(t, tt.pic, tt.o)
		text, why := "", ""
		if len(p.Symbols) == 1 {
			text = p.Symbols[0].Text
		}
		if len(p.Refused) == 1 {
			why = p.Refused[0].Why.ID
		}
		if text != tt.text || why != tt.why || len(p.Symbols)+len(p.Refused) > 1 {
			t.Errorf("%s: %+v, refused %+v; want %q, %q", tt.name, p.Symbols, p.Refused, tt.text, tt.why)
		}
	}
}

// A symbol upright in the picture is found by turning, and not without.
func TestUpright(t *testing.T) {
	pl := grey(barred(t, oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "A-03-2")).turned(1)
	pic, err := Frame(pl.Width, pl.Height, pl.Width, pl.pix)
	if err != nil {
		t.Fatal(err)
	}
	if p := look(t, pic, Options{}); len(p.Symbols) != 1 || p.Symbols[0].Orientation() != 90 {
		t.Errorf("%+v, want one at 90 degrees", p.Symbols)
	}
	if p := look(t, pic, Options{Upright: true}); len(p.Symbols) != 0 {
		t.Errorf("upright: %+v, want none", p.Symbols)
	}
}

func TestFrame(t *testing.T) {
	src := barred(t, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "9520123456788")
	w, h := src.Rect.Dx(), src.Rect.Dy()
	stride := w + 24
	wide := make([]byte, stride*h)
	for y := range h {
		copy(wide[y*stride:], src.Pix[y*src.Stride:y*src.Stride+w])
	}
	frame, err := Frame(w, h, stride, wide)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Decode(context.Background(), frame, Options{})
	if err != nil || !slices.ContainsFunc(got, func(s Symbol) bool { return s.Text == "9520123456788" }) {
		t.Errorf("Decode = %+v, %v", got, err)
	}
	for _, tt := range [][4]int{{0, 5, 5, 25}, {5, 0, 5, 25}, {5, 5, 4, 25}, {5, 5, 5, 24}, {1 << 40, 1 << 40, 1 << 40, 9}} {
		if _, err := Frame(tt[0], tt[1], tt[2], make([]byte, tt[3])); fault.KindOf(err) != fault.Invalid {
			t.Errorf("Frame of %v: %v, want kind invalid", tt, err)
		}
	}
	if _, err := Decode(context.Background(), image.NewGray(image.Rect(3, 3, 3, 9)), Options{}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("empty picture: %v, want kind invalid", err)
	}
}
