package sample

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// Bare makes picture i without any symbol: things of a workshop that have
// bars, grids and specks like one.
func Bare(seed uint64, i int) Picture {
	s := scenes[i%len(scenes)]
	r := dice(seed, "bare", i)
	w, h := between(r, 400, 900), between(r, 300, 700)
	paper := symbol{w, h, s.scene(r, w, h)}
	shot := shot{
		scale: 1, turn: pickTurn(r), lean: [2]float64{between(r, -0.2, 0.2), between(r, -0.2, 0.2)},
		blur: between(r, 0, 1), noise: between(r, 0, 0.03), dark: between(r, 0, 0.2), bright: between(r, 0.6, 1),
	}
	fall := between(r, -0.4, 0.4)
	shot.light = func(x, _, shade float64) float64 { return shade * (1 - max(fall*x, fall*(x-1))) }
	return Picture{
		Name: fmt.Sprintf("%d-%04d-%s", seed, i, s.name), Kind: "bare", Harm: s.name,
		Grey: shot.take(r, paper),
	}
}

// pickTurn is level, upright or anything.
func pickTurn(r *rand.Rand) float64 {
	return []float64{0, 90, between(r, -5, 5), between(r, 0, 180)}[r.IntN(4)]
}

// A scene gives the shade of a place, in a field of w by h.
var scenes = []struct {
	name  string
	scene func(r *rand.Rand, w, h float64) func(x, y float64) float64
}{
	{"text", text},
	{"hatching", hatching},
	{"comb", comb},
	{"fins", fins},
	{"knurling", knurling},
	{"wood", wood},
	{"noise", noise},
	{"gravel", gravel},
	{"net", net},
	{"bricks", bricks},
	{"tubes", tubes},
	{"slats", slats},
	{"tiles", tiles},
}

// wave is a smooth wave of one turn a unit, from 0 to 1.
func wave(t float64) float64 { return 0.5 - 0.5*math.Cos(2*math.Pi*t) }

// part is what is left of t after whole units.
func part(t float64) float64 { return t - math.Floor(t) }

// hatch is a random number from 0 to 1 for a cell.
func hatch(salt uint64, x, y float64) float64 {
	n := salt ^ uint64(int64(math.Floor(x)))*0x9E3779B97F4A7C15 ^ uint64(int64(math.Floor(y)))*0xC2B2AE3D27D4EB4F
	n ^= n >> 31
	n *= 0xD6E8FEB86659FD93
	n ^= n >> 32
	n *= 0xD6E8FEB86659FD93
	return float64(n>>40) / (1 << 24)
}

func shade(dark bool) float64 {
	if dark {
		return 0
	}
	return 1
}

// hatching is that of a drawing: lines of one pitch, of two, or crossed.
func hatching(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	pitch, other, thick := between(r, 3, 14), between(r, 3, 14), between(r, 0.2, 0.6)
	crossed, shifts := r.IntN(3) == 0, r.IntN(2) == 0
	edge := between(r, 60, 200)
	return func(x, y float64) float64 {
		p := pitch
		if shifts && part(y/edge) > 0.5 {
			p = other
		}
		return shade(part(x/p) < thick || crossed && part(y/other) < thick)
	}
}

// comb is a comb, or the teeth of a rack and a saw.
func comb(r *rand.Rand, w, h float64) func(x, y float64) float64 {
	pitch, thick := between(r, 3, 16), between(r, 0.3, 0.7)
	top, long, bevel := between(r, 0.1, 0.3)*h, between(r, 0.2, 0.5)*h, between(r, 0, 1)
	return func(x, y float64) float64 {
		if x < 0.08*w || x > 0.92*w {
			return 0.9
		}
		switch d := (y - top) / long; {
		case y < top/2 || d > 1:
			return 0.9
		case d < 0:
			return 0.1
		default:
			return 0.9 - 0.8*shade(part(x/pitch) > thick*(1-bevel*d))
		}
	}
}

// fins are those of a radiator: bright edges, dark between, tubes across.
func fins(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	pitch, tube, sharp := between(r, 4, 14), between(r, 50, 160), between(r, 1, 6)
	wobble := folds(r, 60)
	return func(x, y float64) float64 {
		if part(y/tube) < 0.12 {
			return 0.4 + 0.5*wave(part(y/tube)/0.12)
		}
		return math.Pow(wave((x+1.5*wobble(x, y))/pitch), sharp)
	}
}

// knurling is the grip of a tool: lines that cross, each diamond lit.
func knurling(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	pitch, steep := between(r, 5, 18), between(r, 0.4, 1)
	hard := r.IntN(2) == 0
	return func(x, y float64) float64 {
		a, b := part((x+steep*y)/pitch), part((x-steep*y)/pitch)
		if hard {
			return shade(min(a, b) < 0.25)
		}
		return a * (0.3 + 0.7*b)
	}
}

// wood is grain along rings, with pores.
func wood(r *rand.Rand, w, h float64) func(x, y float64) float64 {
	cx, cy := between(r, -w, 2*w), between(r, -h, 2*h)
	pitch, stretch := between(r, 4, 20), between(r, 3, 15)
	bend, salt := folds(r, 150), r.Uint64()
	return func(x, y float64) float64 {
		rings := math.Hypot((x-cx)/stretch, y-cy)/pitch + bend(x, y)
		v := 0.4 + 0.5*math.Sqrt(part(rings))
		if hatch(salt, x/12, y/1.5) > 0.93 {
			v -= 0.3
		}
		return v
	}
}

// noise is cells of any size and shade, or of two.
func noise(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	cell, salt, two := between(r, 1, 10), r.Uint64(), r.IntN(2) == 0
	tall := cell * []float64{1, 1, 2, 40}[r.IntN(4)]
	return func(x, y float64) float64 {
		v := hatch(salt, x/cell, y/tall)
		if two {
			return math.Round(v)
		}
		return v
	}
}

// gravel is stones in cells, each lit from one side.
func gravel(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	size, salt := between(r, 6, 40), r.Uint64()
	return func(x, y float64) float64 {
		u, v := x/size, y/size
		near, next, lit := 9.0, 9.0, 0.0
		for i := -1.0; i <= 1; i++ {
			for j := -1.0; j <= 1; j++ {
				cx, cy := math.Floor(u)+i, math.Floor(v)+j
				dx, dy := cx+hatch(salt, cx, cy)-u, cy+hatch(salt+1, cx, cy)-v
				switch d := math.Hypot(dx, dy); {
				case d < near:
					near, next = d, near
					lit = 0.3 + 0.5*hatch(salt+2, cx, cy) - 0.3*dx - 0.2*dy
				case d < next:
					next = d
				}
			}
		}
		if next-near < 0.08 {
			return 0.05
		}
		return lit
	}
}

// net is a mesh that sags, dark on light or light on dark.
func net(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	mesh, thick := between(r, 5, 30), between(r, 0.1, 0.4)
	sag, dark := folds(r, 120), r.IntN(2) == 0
	return func(x, y float64) float64 {
		f := 0.3 * mesh * sag(x, y)
		cord := part((x+f)/mesh) < thick || part((y+f)/mesh) < thick
		return shade(cord == dark)
	}
}

// bricks are a wall.
func bricks(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	long, high, joint := between(r, 15, 90), between(r, 6, 35), between(r, 1, 5)
	salt := r.Uint64()
	mortar := between(r, 0, 1)
	return func(x, y float64) float64 {
		row := math.Floor(y / high)
		u := x + 0.5*long*(row-2*math.Floor(row/2))
		if part(y/high)*high < joint || part(u/long)*long < joint {
			return mortar
		}
		return 0.25 + 0.3*hatch(salt, u/long, row)
	}
}

// tubes are those of forks, side by side, with highlights, rings and seals.
func tubes(r *rand.Rand, _, h float64) func(x, y float64) float64 {
	wide, gap := between(r, 20, 120), between(r, 0, 40)
	line, salt := between(r, 0.2, 0.8), r.Uint64()
	glint := between(r, 0.01, 0.06)
	return func(x, y float64) float64 {
		u := part(x/(wide+gap)) * (wide + gap) / wide
		if u > 1 {
			return 0.7
		}
		if ring := hatch(salt, x/(wide+gap), y/(h/25)); ring > 0.8 {
			u = 0.5 + (u-0.5)*0.9
			return 0.15 + 0.3*wave(u) + 0.2*ring*wave(y/5)
		}
		d, e := (u-line)/glint, (u-line+0.2)/(2*glint)
		return min(1, 0.1+0.4*math.Sin(math.Pi*u)+0.7*math.Exp(-d*d)+0.3*math.Exp(-e*e))
	}
}

// slats are boards of any width with gaps of any width, nearest to bars.
func slats(r *rand.Rand, w, h float64) func(x, y float64) float64 {
	var edges []float64
	unit := between(r, 2, 5)
	for x := 0.0; x < w; {
		step := unit * between(r, 0.8, 4.5)
		if r.IntN(2) == 0 {
			step = unit * float64(1+r.IntN(4)) // as bars are
		}
		x += step
		edges = append(edges, x)
	}
	top := between(r, 0, 0.4) * h
	return func(x, y float64) float64 {
		if y < top {
			return 0.95
		}
		lo, hi := 0, len(edges)
		for lo < hi {
			if mid := (lo + hi) / 2; edges[mid] <= x {
				lo = mid + 1
			} else {
				hi = mid
			}
		}
		return 0.95 - 0.9*shade(lo%2 == 0)
	}
}

// tiles are a floor of two shades, with squares inside squares here and there.
func tiles(r *rand.Rand, _, _ float64) func(x, y float64) float64 {
	size, salt := between(r, 8, 60), r.Uint64()
	return func(x, y float64) float64 {
		u, v := 2*part(x/size)-1, 2*part(y/size)-1
		d := max(math.Abs(u), math.Abs(v))
		dark := hatch(salt, x/size, y/size) < 0.5
		if hatch(salt+1, x/size, y/size) < 0.3 {
			dark = dark == (d > 0.4 && d < 0.75)
		}
		return shade(dark)
	}
}
