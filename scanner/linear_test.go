package scanner

import (
	"context"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"

	"forkstock/scanner/sample"
)

// linearCodes are symbols as gozxing's writers draw them, which share no table
// with the readers of this package.
var linearCodes = []struct {
	symbology string
	writer    gozxing.Writer
	format    gozxing.BarcodeFormat
	text      string
}{
	{EAN13, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "9520123456788"},
	{EAN13, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "5901234123457"},
	{UPCA, oned.NewUPCAWriter(), gozxing.BarcodeFormat_UPC_A, "036000291452"},
	{EAN8, oned.NewEAN8Writer(), gozxing.BarcodeFormat_EAN_8, "95012346"},
	{UPCE, oned.NewUPCEWriter(), gozxing.BarcodeFormat_UPC_E, "01234565"},
	{UPCE, oned.NewUPCEWriter(), gozxing.BarcodeFormat_UPC_E, "10098769"},
	{Code128, oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "KB-39-52-11"},
	{Code128, oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "Seal 39x52\tB"},
	{Code128, oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "0123456789"},
	{GS1128, oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "\u00f101095201234567881731120010L7\u00f13012"},
	{Code39, oned.NewCode39Writer(), gozxing.BarcodeFormat_CODE_39, "KB-39.52 $/+%"},
	{ITF, oned.NewITFWriter(), gozxing.BarcodeFormat_ITF, "19520123456785"},
}

// widthsOf gives the bars and spaces of a symbol, each so many steps a module.
func widthsOf(t testing.TB, w gozxing.Writer, format gozxing.BarcodeFormat, text string, module int) (widths []int) {
	t.Helper()
	m, err := w.Encode(text, format, 0, 1, noMargin)
	if err != nil {
		t.Fatal(err)
	}
	last := false
	for x := range m.GetWidth() {
		if dark := m.Get(x, 0); dark != last {
			widths = append(widths, 0)
			last = dark
		}
		widths[len(widths)-1] += module
	}
	return widths
}

// readWidths gives what a row of the widths between two quiet zones says.
func readWidths(widths []int, module int) string {
	r := &reader{}
	all := slices.Concat([]int{12 * module}, widths, []int{12 * module})
	at := 0
	for _, w := range all {
		r.row.widths, r.row.places = append(r.row.widths, w), append(r.row.places, at)
		at += w
	}
	var said []string
	for _, h := range r.readRow(nil, 0) {
		if h.wrong {
			h.symbology = "wrong"
		}
		said = append(said, fmt.Sprintf("%s %s %d", h.symbology, h.text, h.votes))
	}
	return strings.Join(said, ", ")
}

// Every symbology is read as drawn, upside down, with ink that has spread by
// half a module or fallen short of it, on a bottle whose ends lie
// further away, and with edges a sixth of a module off their place.
func TestReadWidths(t *testing.T) {
	const module = 48
	for _, c := range linearCodes {
		plain := widthsOf(t, c.writer, c.format, c.text, module)
		text := strings.ReplaceAll(strings.TrimPrefix(c.text, "\u00f1"), "\u00f1", "\x1d")
		want := fmt.Sprintf("%s %s 4", c.symbology, text)
		for name, change := range map[string]func(i, w int) int{
			"plain": func(_, w int) int { return w },
			"spread": func(i, w int) int {
				return w + (1-2*(i%2))*module/2
			},
			"thin": func(i, w int) int {
				return w - (1-2*(i%2))*module/2
			},
			"bottle": func(i, w int) int {
				x := 2*float64(i)/float64(len(plain)) - 1
				return int(float64(w) * (1 - .2*x*x))
			},
		} {
			widths := make([]int, len(plain))
			for i, w := range plain {
				widths[i] = change(i, w)
			}
			if got := readWidths(widths, module); got != want {
				t.Errorf("%s: %q, want %q", name, got, want)
			}
			slices.Reverse(widths)
			if got := readWidths(widths, module); got != want {
				t.Errorf("%s, upside down: %q, want %q", name, got, want)
			}
		}
		lot := rand.New(rand.NewPCG(6, 6))
		widths := slices.Clone(plain)
		for i := range len(widths) - 1 {
			d := lot.IntN(module/3+1) - module/6
			widths[i] += d
			widths[i+1] -= d
		}
		if got := readWidths(widths, module); got != want {
			t.Errorf("shaken: %q, want %q", got, want)
		}
	}
}

// A symbol with one character changed is not read, or read as wrong: check
// digits, check characters and the sets of UPC-E are compared.
func TestWidthsChecked(t *testing.T) {
	const module = 48
	for _, c := range linearCodes {
		if c.symbology == Code39 {
			continue // has no check character
		}
		widths := widthsOf(t, c.writer, c.format, c.text, module)
		at := 3 // of the first digit or character behind the start
		size := 4
		switch c.symbology {
		case Code128, GS1128:
			at, size = 6, 6
		case ITF:
			continue // the check digit is no part of the symbology; see TestOptions
		}
		first := slices.Clone(widths[at : at+size])
		next := widths[at+size : at+2*size]
		if slices.Equal(first, next) {
			continue
		}
		copy(widths[at:], next) // the second one twice
		if got := readWidths(widths, module); strings.Contains(got, c.symbology) {
			t.Errorf("%s %q with its first character changed: %q", c.symbology, c.text, got)
		}
	}
}

// What has a wrong check digit is refused with the reason, not dropped: here an
// EAN-13 drawn by hand from one with two digits exchanged.
func TestWrongCheckDigit(t *testing.T) {
	widths := widthsOf(t, oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13, "9520123456788", 3)
	for i := range 4 { // the first two digits to the right of the middle
		a, b := 3+24+5+i, 3+24+5+4+i
		widths[a], widths[b] = widths[b], widths[a]
	}
	pic := image.NewGray(image.Rect(0, 0, 95*3+80, 80))
	for y := range 80 {
		row := pic.Pix[y*pic.Stride:][:pic.Stride]
		for x := range row {
			row[x] = 255
		}
		x := 40
		for i, w := range widths {
			if i%2 == 0 && y >= 10 && y < 70 {
				clear(row[x : x+w])
			}
			x += w
		}
	}
	p := look(t, pic, Options{})
	if len(p.Symbols) != 0 || len(p.Refused) != 1 || p.Refused[0].Why.ID != "scanner.check_digit" || p.Refused[0].Text != "9520123546788" {
		t.Errorf("%+v, refused %+v; want 9520123546788 refused", p.Symbols, p.Refused)
	}
}

// Values of Code 128 by hand (ISO/IEC 15417): sets, shift, FNC4 for the upper
// half of Latin-1 (here in the middle of set B), FNC1 between elements.
func TestText128(t *testing.T) {
	checked := func(values ...int) []int {
		sum := values[0]
		for i, v := range values[1:] {
			sum += (i + 1) * v
		}
		return append(values, sum%103)
	}
	for _, tt := range []struct {
		name      string
		values    []int
		symbology string
		text      string
	}{
		{"set B", checked(startB, 'K'-32, 'b'-32), Code128, "Kb"},
		{"set A", checked(startA, 'K'-32, 64+9), Code128, "K\t"},
		{"set C", checked(startC, 12, 3), Code128, "1203"},
		{"C to B and back", checked(startC, 12, toB, 'x'-32, toC, 34), Code128, "12x34"},
		{"shift", checked(startB, 'a'-32, shift128, 64+9, 'b'-32), Code128, "a\tb"},
		{"FNC4 once", checked(startB, 'D'-32, toB, 0xe4-128-32, 'm'-32), Code128, "D\xe4m"},
		{"FNC4 twice", checked(startB, toB, toB, 0xe4-128-32, 0xf6-128-32), Code128, "\xe4\xf6"},
		{"GS1", checked(startC, fnc1, 10, 12, fnc1, 37, 4), GS1128, "1012\x1d3704"},
		{"wrong check", append(checked(startC, 12, 3), 1), "", ""},
	} {
		s, ok := new(reader).text128(decoded{}, tt.values)
		if !ok || s.wrong {
			s = decoded{}
		}
		if s.symbology != tt.symbology || string(s.text) != tt.text {
			t.Errorf("%s: %s %q, want %s %q", tt.name, s.symbology, s.text, tt.symbology, tt.text)
		}
	}
}

// The add-ons were drawn by zint (testdata/pictures/make.sh). They stand
// apart from the text and make another AIM identifier.
func TestAddOns(t *testing.T) {
	for file, want := range map[string]string{
		"ean13.png":      "9520123456788 ]E0 ",
		"ean13-two.png":  "9520123456788 ]E3 12",
		"ean13-five.png": "9520123456788 ]E3 54321",
		"upce.png":       "01234565 ]E0 ",
		"upce-five.png":  "01234565 ]E3 51234",
	} {
		p := readFile(t, file)
		if len(p.Symbols) != 1 {
			t.Errorf("%s: %+v", file, p.Symbols)
			continue
		}
		s := p.Symbols[0]
		if got := s.Text + " " + s.AIM + " " + s.AddOn; got != want {
			t.Errorf("%s: %q, want %q", file, got, want)
		}
		if key, gtin := s.Key(); !gtin || strings.Contains(key, "54321") {
			t.Errorf("%s: key %s, %v", file, key, gtin)
		}
	}
}

// The same lines read again are no more votes; a matrix symbol decoded again
// is.
func TestAddAgain(t *testing.T) {
	for symbology, want := range map[string]int{EAN13: 12, DataMatrix: 24} {
		r := &reader{}
		for range 2 {
			r.add(sighting{symbology: symbology, text: "9520123456788", votes: 12, need: 16, at: square(0, 0, 50)})
		}
		if len(r.seen) != 1 || r.seen[0].votes != want {
			t.Errorf("%s: %+v, want %d votes", symbology, r.seen, want)
		}
	}
}

// bell blurs a line of bars as a bell curve does.
func bell(line []int32, sigma float64) []int32 {
	out := make([]int32, len(line))
	for x := range line {
		sum, weights := 0., 0.
		for d := -12; d <= 12; d++ {
			w := math.Exp(-float64(d*d) / (2 * sigma * sigma))
			sum += w * float64(line[min(max(x+d, 0), len(line)-1)])
			weights += w
		}
		out[x] = int32(sum / weights)
	}
	return out
}

// A line that is blurred so that its narrow bars are gone says its text again
// with the blur undone.
func TestRefocused(t *testing.T) {
	const pixels = 3
	line := slices.Repeat([]int32{255 * depth}, 40)
	for i, w := range widthsOf(t, oned.NewCode128Writer(), gozxing.BarcodeFormat_CODE_128, "KB-39-52-11", pixels) {
		line = append(line, slices.Repeat([]int32{int32(i%2) * 255 * depth}, w)...)
	}
	line = bell(append(line, slices.Repeat([]int32{255 * depth}, 40)...), 2.9)
	says := func(line []int32) bool {
		r := &reader{}
		for method := range 2 {
			r.bars(line, method, false)
			for _, h := range r.readRow(nil, 0) {
				if h.text == "KB-39-52-11" && h.votes > 1 {
					return true
				}
			}
		}
		return false
	}
	r := &reader{}
	r.span(line)
	clipped := slices.Clone(line)
	for x, v := range line {
		cut := (r.high[x/block] - r.low[x/block]) / cutOff
		clipped[x] = min(max(v, r.low[x/block]+cut), r.high[x/block]-cut)
	}
	if says(line) || says(clipped) {
		t.Error("the blurred line says its text: no test of undoing blur")
	}
	found := false
	for focus := range focuses {
		found = found || says(new(reader).refocused(line, focus+1))
	}
	if !found {
		t.Error("no focus makes the line say its text")
	}
}

// Bars printed in dots are read at half the size, and their place is that of
// the whole picture.
func TestDots(t *testing.T) {
	for _, i := range []int{88, 228} {
		p := sample.Made(1, i)
		got := look(t, p.Grey, Options{Symbologies: linears}).Symbols
		if len(got) != 1 || got[0].Text != p.Want[0] {
			t.Errorf("%s: %+v, want %q", p.Name, got, p.Want)
			continue
		}
		if box := got[0].Bounds(); 2*box.Dx() < p.Grey.Rect.Dx() {
			t.Errorf("%s lies at %v in %v", p.Name, box, p.Grey.Rect)
		}
	}
}

// Between points, lines are sampled as plane.between does.
func TestSample(t *testing.T) {
	p := newPlane(40, 30)
	for i := range p.pix {
		p.pix[i] = byte(i * 31)
	}
	r := &reader{picture: p}
	for _, b := range []band{
		{point{0, 3}, point{1, 0}, point{0, 1}, 40},
		{point{39, 0}, point{0, 1}, point{-1, 0}, 30},
		{point{4.5, 3.25}, point{.8, .6}, point{-.6, .8}, 30},
	} {
		for x, v := range r.sample(b, 2, 1) {
			at := b.at(float64(x), 2)
			if want := int32(p.between(at.x, at.y)) * depth; abs(int(v-want)) > 2*depth {
				t.Fatalf("%+v at %d: %d, want %d", b, x, v, want)
			}
		}
	}
}

// tiled gives a picture that a scene is repeated in.
func tiled(scene *image.Gray, w, h int) *image.Gray {
	pic := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		row := scene.Pix[y%scene.Rect.Dy()*scene.Stride:][:scene.Rect.Dx()]
		for x := 0; x < w; x += len(row) {
			copy(pic.Pix[y*w+x:(y+1)*w], row)
		}
	}
	return pic
}

// The search ends by a count of points. The pictures are 12 megapixels of
// fins and of gravel, with nothing to be found.
func TestEffort(t *testing.T) {
	for _, i := range []int{3, 7} {
		testEffort(t, tiled(sample.Bare(1, i).Grey, 4000, 3000))
	}
}

func testEffort(t *testing.T, pic *image.Gray) {
	t.Helper()
	spent := func(o Options) int {
		r := newReader(o)
		defer r.release()
		var p Picture
		r.climb(context.Background(), wholeView(grey(pic)), &p)
		if len(p.Symbols) > 0 {
			t.Errorf("read %+v", p.Symbols)
		}
		return r.spent
	}
	if n := spent(Options{}); n > UsualEffort*12/10 {
		t.Errorf("%d points looked at, at most %d are wanted", n, UsualEffort*12/10)
	}
	few := Options{Effort: 2_000_000}
	if a, b := spent(few), spent(Options{Symbologies: linears}); a >= b {
		t.Errorf("an effort of %d looked at %d points, no effort at %d", few.Effort, a, b)
	}
}

// What is looked at for each candidate of a matrix symbol counts too, and none
// is looked at when all is spent.
func TestCandidatesCount(t *testing.T) {
	const side = 1200
	pic := tiled(sample.Bare(1, 3).Grey, side, side)
	looked := func(most int) int {
		var m matrixReader
		m.ink.of(grey(pic))
		m.ink.most = most
		m.qrCodes(context.Background(), func(matrixFound) {})
		m.dataMatrices(context.Background(), func(matrixFound) {}, func(point) bool { return false })
		return m.ink.looked
	}
	all, few, none := looked(UsualEffort), looked(2*side*side), looked(0)
	if points := side * side; all < 4*points || few > 3*points || none != points {
		t.Errorf("looked at %d points with the usual effort, %d with little and %d with none", all, few, none)
	}
}

// Fewer than 2,000 allocations a picture, as the issue asks; a frame is not
// copied.
func TestAllocations(t *testing.T) {
	for _, symbology := range []string{EAN13, Code128} {
		text := "9520123456788"
		small := draw(t, symbology, text).(*image.Gray)
		pic := on(desk(1600, 1200), small)
		n := testing.AllocsPerRun(3, func() {
			if p := look(t, pic, Options{}); len(p.Symbols) != 1 {
				t.Fatalf("%s: %+v", symbology, p.Symbols)
			}
		})
		if n >= 2000 {
			t.Errorf("%s: %.0f allocations", symbology, n)
		}
	}
	frame, err := Frame(64, 48, 64, make([]byte, 64*48))
	if err != nil {
		t.Fatal(err)
	}
	if p := grey(frame); &p.pix[0] != &frame.Pix[0] {
		t.Error("the frame was copied")
	}
}

// Several pictures at once do not disturb one another.
func TestSideBySide(t *testing.T) {
	for _, c := range linearCodes {
		t.Run(c.symbology, func(t *testing.T) {
			t.Parallel()
			pic := barred(t, c.writer, c.format, c.text)
			for range 2 {
				p := look(t, pic, Options{})
				if len(p.Symbols) != 1 || p.Symbols[0].Symbology != c.symbology {
					t.Errorf("%q: %+v", c.text, p.Symbols)
				}
			}
		})
	}
}

// Of Code 128 the text is without the check character: a line that misreads
// only that says the same text, and does not spoil those that read it right.
func TestWrongBesideRight(t *testing.T) {
	bad := hit{symbology: Code128, text: "SK364-LQ67", x0: 10, x1: 226, y: 0, votes: 4, wrong: true}
	good := bad
	good.wrong = false
	p := probe{band: band{point{0, 0}, point{1, 0}, point{0, 1}, 300}}
	p.note(bad, 1)
	for y := 1.; y <= 3; y++ {
		good.y = y
		p.note(good, 1)
	}
	r := reader{picture: newPlane(300, 100)}
	for i := range p.tracks {
		r.sight(&p, &p.tracks[i])
	}
	symbols, refused := r.settle()
	if len(symbols) != 1 || symbols[0].Text != good.text || len(refused) != 0 {
		t.Errorf("read %+v, refused %+v", symbols, refused)
	}
	if !r.seenAt(good, point{100, 2}) || !r.seenAt(bad, point{100, 0}) || r.seenAt(hit{text: "other"}, point{100, 2}) {
		t.Error("what was seen is not known")
	}
}
