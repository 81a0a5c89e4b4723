package sample

import (
	"fmt"
	"image"
	"math/rand/v2"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// A sheet is what is printed in letters: dark is 255.
type sheet struct{ ink *image.Alpha }

func newSheet(w, h int) sheet { return sheet{image.NewAlpha(image.Rect(0, 0, w, h))} }

// face loads a font that comes with the Go project, size in pixels.
func face(mono bool, size float64) font.Face {
	data := goregular.TTF
	if mono {
		data = gomono.TTF
	}
	f, err := opentype.Parse(data)
	if err != nil {
		panic(err) // it is part of the library
	}
	face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72})
	if err != nil {
		panic(err)
	}
	return face
}

func (s sheet) write(f font.Face, x, y int, line string) {
	d := font.Drawer{Dst: s.ink, Src: image.Opaque, Face: f, Dot: fixed.P(x, y)}
	d.DrawString(line)
}

// at gives the shade of a place.
func (s sheet) at(x, y float64) float64 {
	return 1 - float64(s.ink.AlphaAt(int(x), int(y)).A)/255
}

// text is a page of words and figures, and of the letters that look like bars.
func text(r *rand.Rand, w, h float64) func(x, y float64) float64 {
	s := newSheet(int(w), int(h))
	size := between(r, 7, 26)
	f := face(r.IntN(2) == 0, size)
	words := []string{
		"seal", "bush", "spring", "oil 10W", "Wellendichtring", "||||||||", "IlIlI1lI", "lIIlI|lI", "HHHIIIHH",
		"41x54x11", "0123456789", "EAN", "------", "======", "#####", "mm", "[][][]", "MNWNM",
	}
	for y := size; y < h; y += size * 1.2 {
		line := ""
		for len(line) < int(2*w/size) {
			line += pick(r, words...) + pick(r, " ", "", "  ") + pick(r, "", "", fmt.Sprint(r.IntN(1e6)))
		}
		s.write(f, int(size), int(y), line)
	}
	return s.at
}
