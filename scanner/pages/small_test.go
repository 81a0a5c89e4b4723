package pages

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"testing"

	"forkstock/internal/fault"
)

// A picture of 3 by 2 points, each of its own shade, turned as the EXIF
// orientation says. The table is that of the standard (tag 0x0112), from memory:
// where the first row and the first column of the file stand when it is looked at.
func TestTurned(t *testing.T) {
	from := image.NewRGBA(image.Rect(0, 0, 3, 2))
	for i, shade := range []byte("abcdef") {
		from.SetRGBA(i%3, i/3, color.RGBA{shade, shade, shade, 255})
	}
	for turn, want := range map[int]string{
		0: "abc def", 1: "abc def", 2: "cba fed", 3: "fed cba", 4: "def abc", 5: "ad be cf", 6: "da eb fc", 7: "fc eb da", 8: "cf be ad",
	} {
		to, got := turned(from, turn), ""
		for y := range to.Rect.Dy() {
			if y > 0 {
				got += " "
			}
			for x := range to.Rect.Dx() {
				got += string(rune(to.RGBAAt(x, y).R))
			}
		}
		if got != want {
			t.Errorf("orientation %d: %q, want %q", turn, got, want)
		}
	}
}

// Small keeps what is small, makes what is large small, and refuses what is none.
func TestSmall(t *testing.T) {
	for _, tt := range []struct{ w, h, most, wantW, wantH int }{
		{40, 20, 100, 40, 20}, {400, 200, 100, 100, 50}, {200, 400, 100, 50, 100}, {1000, 2, 100, 100, 1},
	} {
		pic := image.NewRGBA(image.Rect(0, 0, tt.w, tt.h))
		for i := range pic.Pix {
			pic.Pix[i] = 200
		}
		var b bytes.Buffer
		if err := png.Encode(&b, pic); err != nil {
			t.Fatal(err)
		}
		small, err := Small(t.Context(), b.Bytes(), tt.most)
		if err != nil || small.Bounds().Size() != image.Pt(tt.wantW, tt.wantH) {
			t.Errorf("%dx%d: %v, %v, want %dx%d", tt.w, tt.h, small.Bounds(), err, tt.wantW, tt.wantH)
		}
	}
	if _, err := Small(t.Context(), []byte("no picture"), 100); fault.KindOf(err) != fault.Invalid {
		t.Errorf("no picture: %v", err)
	}
}
