package sample

import (
	"bytes"
	"image"
	"image/draw"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// A harm is one way to take a bad picture. How bad is drawn by lot, between
// what a phone does on a good day and what one would take again.
type harm struct {
	name  string
	shoot func(*rand.Rand, symbol) *image.Gray
}

var harms = []harm{
	{"clean", func(r *rand.Rand, p symbol) *image.Gray { return hand(r).take(r, p) }},
	{"turned", func(r *rand.Rand, p symbol) *image.Gray {
		s := hand(r)
		s.turn = between(r, 0, 360)
		return s.take(r, p)
	}},
	{"perspective", perspective},
	{"shadow", shadow},
	{"crumple", crumple},
	{"curl", curl},
	{"motion", motion},
	{"halftone", halftone},
	{"moire", moire},
	{"foil", foil},
	{"small", func(r *rand.Rand, p symbol) *image.Gray {
		s := hand(r)
		s.scale = between(r, 1.7, 2.2)
		s.blur = between(r, 0, 0.4)
		return s.take(r, p)
	}},
	{"camera", camera},
}

// hand holds a good camera: 2.5 to 4 pixels a module, a little out of true.
func hand(r *rand.Rand) shot {
	return shot{
		scale: between(r, 2.5, 4), turn: between(r, -4, 4), blur: between(r, 0.2, 0.6),
		dark: between(r, 0.05, 0.2), bright: between(r, 0.75, 1), noise: 0.01,
	}
}

func perspective(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	s.turn = between(r, -10, 10)
	s.scale = between(r, 3, 4.5)
	s.lean = [2]float64{between(r, -0.35, 0.35), between(r, -0.35, 0.35)}
	return s.take(r, p)
}

// shadow has an edge of a shadow across, and light that falls off.
func shadow(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	sin, cos := math.Sincos(between(r, 0, 2*math.Pi))
	at, soft, depth := between(r, -0.2, 0.2), between(r, 0.01, 0.15), between(r, 0.25, 0.5)
	s.light = func(x, y, shade float64) float64 {
		d := (x-0.5)*cos + (y-0.5)*sin
		lit := depth + (1-depth)/(1+math.Exp(-(d-at)/soft))
		return shade * lit * (1 - 0.2*(d+0.5))
	}
	return s.take(r, p)
}

// A field of folds is a smooth field of random heights, about -1 to 1.
func folds(r *rand.Rand, size float64) func(x, y float64) float64 {
	type wave struct{ fx, fy, phase, height float64 }
	waves := make([]wave, 7)
	for i := range waves {
		sin, cos := math.Sincos(between(r, 0, 2*math.Pi))
		f := 2 * math.Pi / (size * between(r, 0.6, 2))
		waves[i] = wave{f * cos, f * sin, between(r, 0, 2*math.Pi), between(r, 0.2, 0.5)}
	}
	return func(x, y float64) (v float64) {
		for _, w := range waves {
			v += w.height * math.Sin(w.fx*x+w.fy*y+w.phase)
		}
		return v
	}
}

// crumple is paper that was folded and smoothed: places are off by up to half
// a module or so, slopes catch the light.
func crumple(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	s.scale = between(r, 3, 4.5)
	size := between(r, 18, 40)
	dx, dy := folds(r, size), folds(r, size)
	by := between(r, 0.3, 0.7)
	slope := between(r, 0.1, 0.25)
	s.warp = func(x, y float64) (float64, float64) { return x + by*dx(x, y), y + by*dy(x, y) }
	s.round = func(x, y float64) (float64, float64, float64) {
		return x, y, min(1, 0.85+slope*(dx(x+2, y)-dx(x, y+2)))
	}
	return s.take(r, p)
}

// curl is a label around a tube or a can, axis along either side.
func curl(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	s.scale = between(r, 3, 4.5)
	across := r.IntN(2) == 0
	half := between(r, 0.5, 0.85) // radians to either side that the paper goes round
	bend := func(x, size float64) (float64, float64) {
		// What is seen at f of the width lies at the angle whose sine it is.
		f := (2*x/size - 1) * math.Sin(half)
		angle := math.Asin(min(max(f, -1), 1))
		return (angle/half + 1) / 2 * size, 0.35 + 0.65*math.Cos(angle)
	}
	s.round = func(x, y float64) (float64, float64, float64) {
		var lit float64
		if across {
			x, lit = bend(x, p.width)
		} else {
			y, lit = bend(y, p.height)
		}
		return x, y, lit
	}
	return s.take(r, p)
}

// motion smears by up to a module and a half, in any direction.
func motion(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	sin, cos := math.Sincos(between(r, 0, 2*math.Pi))
	by := s.scale * between(r, 0.5, 1.5)
	s.smear = [2]float64{by * cos, by * sin}
	return s.take(r, p)
}

// halftone prints shades as dots of a screen at 45 degrees: bars that are not
// quite black on paper that is not quite white.
func halftone(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	s.scale = between(r, 3, 4.5)
	pitch := between(r, 0.4, 0.7)
	bar, paper := between(r, 0.7, 0.95), between(r, 0.05, 0.2) // of the surface under ink
	printed := p
	printed.shade = func(x, y float64) float64 {
		cover := paper
		if p.shade(x, y) == 0 {
			cover = bar
		}
		u, v := (x+y)/pitch, (x-y)/pitch
		screen := (2 + math.Cos(2*math.Pi*u/math.Sqrt2) + math.Cos(2*math.Pi*v/math.Sqrt2)) / 4
		if screen < cover {
			return 0.1
		}
		return 1
	}
	return s.take(r, printed)
}

// moire is a symbol on a screen, whose pixels have gaps between them and are
// about as large as those of the camera.
func moire(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	dots := float64(3 + r.IntN(3)) // a module on the screen
	s.scale = dots * between(r, 0.75, 1.2)
	s.fill = 0.6
	gap := between(r, 0.15, 0.3)
	lit := p
	lit.shade = func(x, y float64) float64 {
		u, v := x*dots, y*dots
		u, v = u-math.Floor(u), v-math.Floor(v)
		glow := 1.0
		if u < gap || v < gap {
			glow = 0.45
		}
		return glow * max(0.04, p.shade(x, y))
	}
	return s.take(r, lit)
}

// foil is a shiny bag: streaks of glare where its folds face the light.
func foil(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	f := folds(r, between(r, 0.5, 1))
	width, full := between(r, 0.02, 0.06), between(r, 0.7, 0.92)
	at := between(r, -0.5, 0.5)
	grain := folds(r, 0.08)
	s.light = func(x, y, shade float64) float64 {
		shade = shade * (0.65 + 0.1*f(y, x) + 0.02*grain(x, y))
		d := (f(x, y) - at) / width
		glare := full * math.Exp(-d*d)
		return shade + (1-shade)*glare
	}
	return s.take(r, p)
}

// camera is a bit of everything, and kept as JPEG.
func camera(r *rand.Rand, p symbol) *image.Gray {
	s := hand(r)
	s.turn = between(r, -25, 25)
	s.lean = [2]float64{between(r, -0.15, 0.15), between(r, -0.15, 0.15)}
	s.blur = between(r, 0.5, 0.9)
	s.noise = between(r, 0.01, 0.04)
	shade := between(r, 0.15, 0.45)
	s.beyond = func(r *rand.Rand) func(x, y float64) float64 {
		f := folds(r, 30)
		return func(x, y float64) float64 { return shade + 0.05*f(x, y) }
	}
	fall := between(r, 0.1, 0.4)
	s.light = func(x, y, v float64) float64 { return v * (1 - fall*x) }
	return throughJPEG(s.take(r, p), 60+r.IntN(30))
}

func throughJPEG(pic *image.Gray, quality int) *image.Gray {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, pic, &jpeg.Options{Quality: quality}); err != nil {
		panic(err) // a buffer takes everything
	}
	back, err := jpeg.Decode(&b)
	if err != nil {
		panic(err) // it was just made
	}
	grey := image.NewGray(pic.Rect) // without the room that the decoder leaves at the right
	draw.Draw(grey, grey.Rect, back, image.Point{}, draw.Src)
	return grey
}
