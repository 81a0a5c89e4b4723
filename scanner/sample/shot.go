package sample

import (
	"image"
	"math"
	"math/rand/v2"
)

// A shot is how a piece of paper is photographed. The zero value of each field
// leaves the picture alone, but for scale.
type shot struct {
	scale  float64 // pixels a module
	turn   float64 // degrees, clockwise
	lean   [2]float64
	warp   func(x, y float64) (float64, float64)             // where on the paper a place is seen
	light  func(x, y, shade float64) float64                 // x and y from 0 to 1 over the picture
	fill   float64                                           // share of a pixel's side that sees, so that fine patterns beat; 0 is 1
	blur   float64                                           // standard deviation, pixels
	smear  [2]float64                                        // motion, pixels
	dark   float64                                           // what black and white come out as
	bright float64                                           // 0 is 1
	noise  float64                                           // standard deviation of a pixel
	round  func(x, y float64) (float64, float64, float64)    // bends the paper before the lens: x, y, and how light
	beyond func(r *rand.Rand) func(x, y float64) (v float64) // what lies around the paper
}

const (
	mostPixels = 4200 // of a side of a picture
	looks      = 3    // at a pixel, each way
)

// A matrix maps places through a lens: rows of a projective map.
type matrix [3][3]float64

func (m matrix) at(x, y float64) (float64, float64) {
	w := m[2][0]*x + m[2][1]*y + m[2][2]
	return (m[0][0]*x + m[0][1]*y + m[0][2]) / w, (m[1][0]*x + m[1][1]*y + m[1][2]) / w
}

// inverse is the adjugate; a projective map knows no scale.
func (m matrix) inverse() (n matrix) {
	for i := range 3 {
		for j := range 3 {
			a, b, c, d := (j+1)%3, (j+2)%3, (i+1)%3, (i+2)%3
			n[i][j] = m[a][c]*m[b][d] - m[a][d]*m[b][c]
		}
	}
	return n
}

// lens maps the middle of the paper to the origin, turns and leans it.
func (s shot) lens(size float64) matrix {
	sin, cos := math.Sincos(s.turn * math.Pi / 180)
	return matrix{
		{s.scale * cos, -s.scale * sin, 0},
		{s.scale * sin, s.scale * cos, 0},
		{s.lean[0] / size, s.lean[1] / size, 1},
	}
}

// take photographs the paper.
func (s shot) take(r *rand.Rand, paper symbol) *image.Gray {
	lens := s.lens(max(paper.width, paper.height))
	minX, minY, maxX, maxY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := lens.at(c[0]*paper.width/2, c[1]*paper.height/2)
		minX, minY, maxX, maxY = min(minX, x), min(minY, y), max(maxX, x), max(maxY, y)
	}
	w, h := min(mostPixels, int(maxX-minX)), min(mostPixels, int(maxY-minY))
	c := newCanvas(w, h)
	around := func(x, y float64) float64 { return 1 }
	if s.beyond != nil {
		around = s.beyond(r)
	}
	back := lens.inverse()
	fill := s.fill
	if fill == 0 {
		fill = 1
	}
	look := func(u, v float64) float64 {
		x, y := back.at(u+minX, v+minY)
		x, y = x+paper.width/2, y+paper.height/2
		if x < 0 || y < 0 || x > paper.width || y > paper.height {
			return around(x, y)
		}
		lit := 1.0
		if s.round != nil {
			x, y, lit = s.round(x, y)
		}
		if s.warp != nil {
			x, y = s.warp(x, y)
		}
		return lit * paper.shade(x, y)
	}
	for v := range h {
		for u := range w {
			sum := 0.0
			for i := range looks * looks {
				sum += look(float64(u)+fill*(float64(i%looks)+0.5)/looks, float64(v)+fill*(float64(i/looks)+0.5)/looks)
			}
			shade := sum / (looks * looks)
			if s.light != nil {
				shade = s.light(float64(u)/float64(w), float64(v)/float64(h), shade)
			}
			c.set(u, v, shade)
		}
	}
	return s.develop(r, c)
}

// develop blurs, dims and grains what fell through the lens.
func (s shot) develop(r *rand.Rand, c *canvas) *image.Gray {
	c.smear(s.smear[0], s.smear[1])
	c.blur(s.blur)
	bright := s.bright
	if bright == 0 {
		bright = 1
	}
	pic := image.NewGray(image.Rect(0, 0, c.w, c.h))
	for i, v := range c.pix {
		shade := s.dark + (bright-s.dark)*float64(v)
		if s.noise > 0 {
			shade += s.noise * r.NormFloat64()
		}
		pic.Pix[i] = uint8(min(max(shade, 0), 1)*255 + 0.5)
	}
	return pic
}

// framed puts a margin of white paper around the symbol.
func (s symbol) framed(margin float64) symbol {
	w, h := s.width+2*margin, s.height+2*margin
	return symbol{w, h, func(x, y float64) float64 {
		x, y = x-margin, y-margin
		if x < 0 || y < 0 || x >= s.width || y >= s.height {
			return 1
		}
		return s.shade(x, y)
	}}
}
