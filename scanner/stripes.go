package scanner

import (
	"image"
	"math"
	"slices"
	"sync"
)

// Bars that no row runs across are found by the direction of their edges: in
// each cell of the picture the sums of gx*gx, gy*gy and gx*gy of the grey
// gradient (the structure tensor) tell how strong the edges are, which way
// they face, and whether they all face that way. Cells that face the same way
// and hang together make a stripe, if they fill it. Print and noise face all
// ways; the rim of a page or a box is long but only a cell or two across.

const (
	leastEnergy    = 60 // mean square of the gradient, grey values
	leastCoherence = .6 // 0: all ways, 1: one way
	sameWay        = 12 // degrees
	leastAcross    = 40 // pixels
	leastFill      = .5
)

// A stripe is a place with bars: one reads across them at so many degrees,
// clockwise from the x axis, -90 to 90.
type stripe struct {
	box           image.Rectangle
	degrees       float64
	across, along float64 // pixels across the bars and along them
	shift         point   // of its middle from that of the box
}

func (s stripe) center() point {
	return point{s.shift.x + float64(s.box.Min.X+s.box.Max.X)/2, s.shift.y + float64(s.box.Min.Y+s.box.Max.Y)/2}
}

// A tensor is the sums over a cell.
type tensor struct{ xx, yy, xy float64 }

func (t tensor) plus(u tensor) tensor { return tensor{t.xx + u.xx, t.yy + u.yy, t.xy + u.xy} }

func (t tensor) coherence() float64 {
	if t.xx+t.yy == 0 {
		return 0
	}
	return math.Hypot(t.xx-t.yy, 2*t.xy) / (t.xx + t.yy)
}

func (t tensor) degrees() float64 {
	return math.Atan2(2*t.xy, t.xx-t.yy) / 2 * 180 / math.Pi
}

// findStripes sets r.stripes to the places with bars of the picture, those of
// the smaller cells first.
func (r *reader) findStripes() {
	r.spend(len(r.picture.pix))
	w, h := r.picture.Width/smallCell, r.picture.Height/smallCell
	r.tensors = slices.Grow(r.tensors[:0], w*h)[:w*h]
	for i := range r.tensors {
		r.tensors[i] = r.picture.tensor(i%w*smallCell, i/w*smallCell)
	}
	r.group(w, h, smallCell)
	for y := range h / 2 {
		for x := range w / 2 {
			i := 2*y*w + 2*x
			r.tensors[y*(w/2)+x] = r.tensors[i].plus(r.tensors[i+1]).plus(r.tensors[i+w]).plus(r.tensors[i+w+1])
		}
	}
	r.group(w/2, h/2, 2*smallCell)
}

// smallCell is the side of the smaller cells, in pixels; the larger ones are
// four of them.
const smallCell = 8

// group adds the stripes of w by h cells of one size.
func (r *reader) group(w, h, cell int) {
	g := &r.mosaic
	g.w, g.cells = w, r.tensors[:w*h]
	g.open = slices.Grow(g.open[:0], w*h)[:w*h]
	g.faces = slices.Grow(g.faces[:0], w*h)[:w*h]
	any := false
	for i, t := range g.cells {
		g.open[i] = t.xx+t.yy >= leastEnergy*float64(cell*cell) && t.coherence() >= leastCoherence
		if g.open[i] {
			any = true
			g.faces[i] = int16(math.Round(t.degrees()))
		}
	}
	if !any {
		return
	}
	g.thin(leastAcross / cell)
	for i := range g.cells {
		if !g.open[i] {
			continue
		}
		sum := g.gather(i)
		s := measure(g.group, w, sum.degrees(), cell)
		if s.across >= leastAcross && s.along >= 8 &&
			float64(len(g.group)*cell*cell) >= leastFill*s.across*s.along {
			r.stripes = append(r.stripes, s)
		}
	}
}

// A mosaic is cells, w in a row: which are open, and which way they face, in
// degrees.
type mosaic struct {
	w      int
	cells  []tensor
	open   []bool
	before []bool
	faces  []int16
	group  []int // cells that hang together
}

// tensor sums up the small cell at x, y. The gradient is Scharr's (3, 10, 3),
// which errs least about the direction of fine bars; the outermost pixels of
// the plane have none. Every second row stands for two.
func (p *plane) tensor(x, y int) tensor {
	w := p.Width
	var xx, yy, xy int
	for py := max(y, 1); py < min(y+smallCell, p.Height-1); py += 2 {
		x0, x1 := max(x, 1), min(x+smallCell, w-1)
		up, at, down := p.pix[(py-1)*w:][x0-1:x1+1], p.pix[py*w:][x0-1:x1+1], p.pix[(py+1)*w:][x0-1:x1+1]
		for i := 1; i < len(at)-1; i++ {
			nw, ne, sw, se := int(up[i-1]), int(up[i+1]), int(down[i-1]), int(down[i+1])
			gx := 3*(ne-nw+se-sw) + 10*(int(at[i+1])-int(at[i-1]))
			gy := 3*(sw-nw+se-ne) + 10*(int(down[i])-int(up[i]))
			xx += gx * gx
			yy += gy * gy
			xy += gx * gy
		}
	}
	const scale = 2. / (16 * 16)
	return tensor{scale * float64(xx), scale * float64(yy), scale * float64(xy)}
}

// thin closes the cells that have fewer than least open ones that face their
// way in a line across, so that the rim of a page does not hang on to the bars
// beside it.
func (g *mosaic) thin(least int) {
	g.before = append(g.before[:0], g.open...)
	for i := range g.cells {
		if g.before[i] {
			g.open[i] = g.run(i, least) >= least
		}
	}
}

// run counts the cells in a line across the bars of cell i, at most most.
func (g *mosaic) run(i, most int) int {
	face := g.faces[i]
	d := &directions()[face+90]
	run := 1
	for _, way := range [2]float64{-1, 1} {
		for n := way; run < most; n += way {
			x, y := i%g.w+int(math.Round(n*d.x)), i/g.w+int(math.Round(n*d.y))
			j := y*g.w + x
			if x < 0 || x >= g.w || j < 0 || j >= len(g.before) || !g.before[j] || !near(face, g.faces[j]) {
				break
			}
			run++
		}
	}
	return run
}

// directions are the points one away at -90 to 90 degrees.
var directions = sync.OnceValue(func() *[181]point {
	var all [181]point
	for i := range all {
		sin, cos := math.Sincos(float64(i-90) * math.Pi / 180)
		all[i] = point{cos, sin}
	}
	return &all
})

// near reports whether two ways are the same but for sameWay degrees.
func near(a, b int16) bool {
	d := max(a-b, b-a)
	return min(d, 180-d) <= sameWay
}

// gather sets g.group to the cells that hang together with cell i and face the
// same way, closes them, and sums them up.
func (g *mosaic) gather(i int) (sum tensor) {
	g.open[i] = false
	g.group = append(g.group[:0], i)
	for next := 0; next < len(g.group); next++ {
		i = g.group[next]
		x := i % g.w
		sum = sum.plus(g.cells[i])
		for dy := -g.w; dy <= g.w; dy += g.w {
			for dx := -1; dx <= 1; dx++ {
				j := i + dy + dx
				if x+dx < 0 || x+dx >= g.w || j < 0 || j >= len(g.open) || !g.open[j] {
					continue
				}
				if near(g.faces[i], g.faces[j]) {
					g.open[j] = false
					g.group = append(g.group, j)
				}
			}
		}
	}
	return sum
}

// measure makes the stripe of a group of cells.
func measure(group []int, w int, degrees float64, cell int) stripe {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	s := stripe{degrees: degrees}
	var u0, u1, v0, v1 float64
	for n, i := range group {
		x, y := i%w, i/w
		s.box = s.box.Union(image.Rect(x*cell, y*cell, (x+1)*cell, (y+1)*cell))
		u, v := float64(x)*cos+float64(y)*sin, float64(y)*cos-float64(x)*sin
		if n == 0 {
			u0, u1, v0, v1 = u, u, v, v
		}
		u0, u1, v0, v1 = min(u0, u), max(u1, u), min(v0, v), max(v1, v)
	}
	s.across, s.along = (u1-u0+1)*float64(cell), (v1-v0+1)*float64(cell)
	return s
}

// turnBetween gives the angle between two directions, 0 to 90 degrees.
func turnBetween(a, b float64) float64 {
	d := math.Mod(math.Abs(a-b), 180)
	return min(d, 180-d)
}
