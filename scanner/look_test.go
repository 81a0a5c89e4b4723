package scanner

import (
	"context"
	"image"
	"testing"
)

// A look shows the symbol, small where the picture is large, and only where
// Options ask for it.
func TestLooks(t *testing.T) {
	symbol := draw(t, Code128, "A-03-2").(*image.Gray)
	sheet := image.NewGray(image.Rect(0, 0, 900, 300))
	for i := range sheet.Pix {
		sheet.Pix[i] = 255
	}
	for y := range 60 {
		copy(sheet.Pix[sheet.PixOffset(500, 100+y):], symbol.Pix[y*symbol.Stride:y*symbol.Stride+symbol.Rect.Dx()])
	}
	data := pngOf(t, sheet)
	p, err := Read(context.Background(), data, Options{Looks: true})
	if err != nil || len(p.Symbols) != 1 || len(p.Looks.Symbols) != 1 {
		t.Fatalf("%+v, %v", p, err)
	}
	look := p.Looks.Symbols[0]
	if b, box := look.Bounds(), p.Symbols[0].Bounds(); b.Dx() < box.Dx() || b.Dx() > box.Dx()*3/2+24 || b.Dy() < box.Dy() {
		t.Errorf("a symbol of %v looks like %v", box, b)
	}
	if again, err := Look(context.Background(), look, Options{}); err != nil || len(again.Symbols) != 1 || again.Symbols[0].Text != "A-03-2" {
		t.Errorf("the look does not read: %+v, %v", again, err)
	}
	if p, err = Read(context.Background(), data, Options{}); err != nil || len(p.Looks.Symbols) != 0 {
		t.Errorf("looks that nobody asked for: %v, %v", p.Looks, err)
	}
	large := newPlane(3000, 3000)
	for box, want := range map[image.Rectangle]image.Point{
		image.Rect(0, 0, 3000, 3000):       {428, 428},
		image.Rect(-50, -50, -20, -20):     {},
		image.Rect(100, 100, 100, 100):     {24, 24},
		image.Rect(2990, 10, 3040, 20):     {28, 37},
		image.Rect(0, 1000, 3000, 1010):    {428, 6},
		image.Rect(1000, 2000, 2000, 2004): {424, 10},
	} {
		got := large.look(box)
		switch {
		case got == nil && want != image.Point{}:
			t.Errorf("no look of %v", box)
		case got != nil && got.Bounds().Size() != want:
			t.Errorf("a look of %v is %v, want %v", box, got.Bounds().Size(), want)
		}
	}
}
