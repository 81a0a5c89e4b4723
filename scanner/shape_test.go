package scanner

import (
	"testing"
)

// The smallest Data Matrix symbols are not believed at once where much had to
// be corrected and the frame is not whole; what is no text only without doubt.
func TestAddMatrix(t *testing.T) {
	for _, tt := range []struct {
		name        string
		codewords   int
		load, wrong float64
		text        string
		need        int // 0: not taken
	}{
		{"10 x 10, whole", 3, 0, 0, "A1", 1},
		{"10 x 10, corrected", 3, 1, 0, "A1", 1},
		{"10 x 10, frame broken", 3, .5, .1, "A1", 1},
		{"10 x 10, both", 3, 1, .1, "A1", 2},
		{"18 x 18, both", 18, .6, .06, "KB-39-52-11", 2},
		{"20 x 20, both", 22, 1, .1, "KB-39-52-11", 1},
		{"control character", 22, 0, 0, "\f65\x18", 1},
		{"control character, in doubt", 22, .6, 0, "\f65\x18", 0},
		{"control character, 10 x 10 corrected", 3, .5, 0, "\f\x18", 0},
		{"GS", 22, 0, 0, "\x1d10A", 1},
		{"no text", 22, 0, 0, "", 0},
	} {
		r := &reader{}
		c := content{text: tt.text, modifier: 1, words: tt.codewords}
		r.addMatrix(matrixFound{DataMatrix, c, tt.load, tt.wrong, quad{}}, square(0, 0, 8))
		need := 0
		if len(r.seen) > 0 {
			need = r.seen[0].need
		}
		if need != tt.need {
			t.Errorf("%s: needs %d, want %d", tt.name, need, tt.need)
		}
	}
}

// barsOn puts an EAN-13, 190 wide and high as said, on a white plane.
func barsOn(t *testing.T, w, h, x, y, height int) *plane {
	t.Helper()
	p := newPlane(w, h)
	for i := range p.pix {
		p.pix[i] = 255
	}
	pic, err := Draw(EAN13, "9520123456788", 2, height)
	if err != nil {
		t.Fatal(err)
	}
	symbol := grey(pic)
	for dy := range height {
		copy(p.pix[(y+dy)*w+x:], symbol.pix[dy*symbol.Width+22:(dy+1)*symbol.Width-14])
	}
	return p
}

// Two readings are of one symbol if bars stand between them, also with a
// scratch across, and of two if there is a gap as between stickers.
func TestGoesOn(t *testing.T) {
	top := quad{{10, 12}, {199, 12}, {199, 16}, {10, 16}}
	low := quad{{10, 80}, {199, 80}, {199, 84}, {10, 84}}
	for _, tt := range []struct {
		name     string
		from, to int // rows painted white
		want     bool
	}{
		{"bars all the way", 0, 0, true},
		{"scratch", 40, 45, true},
		{"gap", 40, 60, false},
	} {
		p := barsOn(t, 220, 100, 10, 10, 80)
		for i := tt.from * p.Width; i < tt.to*p.Width; i++ {
			p.pix[i] = 255
		}
		r := &reader{picture: p}
		if got := r.goesOn(top, low); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
	aside := quad{{230, 12}, {300, 12}, {300, 16}, {230, 16}}
	r := &reader{picture: barsOn(t, 320, 100, 10, 10, 80)}
	if r.goesOn(top, aside) {
		t.Error("bars go on sideways")
	}
}

// Two readings of one symbol count once.
func TestSettleBroken(t *testing.T) {
	r := &reader{picture: barsOn(t, 220, 100, 10, 10, 80)}
	for _, y := range []float64{12, 80} {
		at := quad{{10, y}, {199, y}, {199, y + 1}, {10, y + 1}}
		r.seen = append(r.seen, sighting{symbology: EAN13, text: "9520123456788", votes: 12, need: 16, at: at})
	}
	symbols, refused := r.settle()
	if len(symbols) != 1 || len(refused) != 0 {
		t.Errorf("%+v, refused %+v, want one symbol", symbols, refused)
	}
}

// A symbol is as high as its bars, wherever it was read.
func TestExtended(t *testing.T) {
	p := barsOn(t, 220, 100, 10, 10, 60)
	r := &reader{picture: p}
	got := r.extended(quad{{10, 30}, {199, 30}, {199, 30}, {10, 30}})
	if got[0] != (point{10, 10}) || got[2] != (point{199, 69}) {
		t.Errorf("extended to %v, want rows 10 to 69", got)
	}
}

// Bars are found beside the long rim of the page, which runs the same way.
func TestStripes(t *testing.T) {
	p := barsOn(t, 260, 800, 20, 300, 64)
	for y := range p.Height {
		for x := 212; x < p.Width; x++ {
			p.pix[y*p.Width+x] = 60
		}
	}
	r := &reader{picture: p}
	r.findStripes()
	if len(r.stripes) != 2 {
		t.Fatalf("%d stripes, want one for each size of cell: %+v", len(r.stripes), r.stripes)
	}
	for _, s := range r.stripes {
		if c := s.center(); s.degrees > 1 || s.degrees < -1 || s.along > 80 || c.y < 316 || c.y > 348 {
			t.Errorf("stripe %+v, want the bars at 20, 300", s)
		}
	}
}
