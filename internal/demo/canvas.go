package demo

import (
	"image"
	"image/color"
	"image/draw"
	"math/rand/v2"

	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"forkstock/scanner"
)

// canvas is a grey picture to draw on.
type canvas struct{ *image.Gray }

func newCanvas(width, height int, shade byte) canvas {
	c := canvas{image.NewGray(image.Rect(0, 0, width, height))}
	for i := range c.Pix {
		c.Pix[i] = shade
	}
	return c
}

// text writes a line; x, y is its top left corner, and a letter is scale times
// 7 by 13 pixels.
func (c canvas) text(x, y, scale int, line string) {
	small := newCanvas(7*len(line), 13, 255)
	d := font.Drawer{Dst: small.Gray, Src: image.Black, Face: basicfont.Face7x13, Dot: fixed.P(0, 11)}
	d.DrawString(line)
	for j := range 13 * scale {
		for i := range small.Rect.Dx() * scale {
			if v := small.GrayAt(i/scale, j/scale); v.Y < 128 {
				c.SetGray(x+i, y+j, v)
			}
		}
	}
}

// symbol draws a barcode with its quiet zone at x, y.
func (c canvas) symbol(x, y int, symbology, text string, moduleWidth, height int) error {
	pic, err := scanner.Draw(symbology, text, moduleWidth, height)
	if err != nil {
		return err
	}
	draw.Draw(c.Gray, pic.Bounds().Add(image.Pt(x, y)), pic, image.Point{}, draw.Src)
	return nil
}

// rule draws a thin line.
func (c canvas) rule(x, y, width int) {
	draw.Draw(c.Gray, image.Rect(x, y, x+width, y+2), image.NewUniform(color.Gray{Y: 120}), image.Point{}, draw.Src)
}

// frame draws a thin frame, so far from the edge.
func (c canvas) frame(inset int) {
	r := c.Rect.Inset(inset)
	for _, edge := range []image.Rectangle{
		{r.Min, image.Pt(r.Max.X, r.Min.Y+2)},
		{image.Pt(r.Min.X, r.Max.Y-2), r.Max},
		{r.Min, image.Pt(r.Min.X+2, r.Max.Y)},
		{image.Pt(r.Max.X-2, r.Min.Y), r.Max},
	} {
		draw.Draw(c.Gray, edge, image.Black, image.Point{}, draw.Src)
	}
}

// taken gives c as a photo on a darker bench: turned by four degrees, each
// pixel the mean of three by three, light falling off to the right, and grain.
// All whole numbers, so that every machine takes the same photo.
func (c canvas) taken(width, height int, rng *rand.Rand) *image.Gray {
	const one, cos, sin = 1 << 16, 65376, 4572 // of 4 degrees
	bench := newCanvas(width, height, 0)
	for y := range height {
		for x := range width {
			dx, dy := x-width/2, y-height/2
			u := (dx*cos+dy*sin)/one + c.Rect.Dx()/2
			v := (dy*cos-dx*sin)/one + c.Rect.Dy()/2
			shade := 92
			if image.Pt(u, v).In(c.Rect) {
				shade = int(c.GrayAt(u, v).Y)
			}
			bench.Pix[y*width+x] = byte(shade * (width*5/2 - x) / (width * 5 / 2))
		}
	}
	shot := newCanvas(width, height, 80)
	for y := 1; y < height-1; y++ {
		for x := 1; x < width-1; x++ {
			sum := 0
			for j := -1; j <= 1; j++ {
				row := (y+j)*width + x
				sum += int(bench.Pix[row-1]) + int(bench.Pix[row]) + int(bench.Pix[row+1])
			}
			shot.Pix[y*width+x] = byte(min(255, max(0, sum/9+rng.IntN(21)-10)))
		}
	}
	return shot.Gray
}
