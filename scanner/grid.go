package scanner

import "math"

// A mark is a module whose colour the standard fixes, by its middle.
type mark struct {
	u, v  float32
	light bool
}

// A grid is the field of modules of a symbol as it lies in a plane.
type grid struct {
	quad       // outer corners, in points of the plane
	cols, rows int
}

// module gives the mean length of a module's side, in points.
func (g *grid) module() float64 {
	return math.Sqrt(g.area() / float64(g.cols*g.rows))
}

// match says how well the marks agree with what is seen: 1 if all light ones
// are lighter than all dark ones by as much as the local contrast, about 0 for
// anything else.
func (k *ink) match(g *grid, marks []mark) float64 {
	k.looked += len(marks)
	w := fieldWarp(g.quad, g.cols, g.rows)
	var sum, all float64
	for _, m := range marks {
		p := w.at(float64(m.u), float64(m.v))
		d := float64(k.between(p.x-.5, p.y-.5)) - k.middle(p.x-.5, p.y-.5)
		all += math.Abs(d)
		if m.light {
			sum += d
		} else {
			sum -= d
		}
	}
	if all == 0 {
		return 0
	}
	return sum / all
}

// signal is the sum that grows until the marks are met in the middle: each
// counts by how far it is on its side of the local middle, so that a gradient
// of light draws nothing.
func (k *ink) signal(g *grid, marks []mark) (sum float64) {
	k.looked += len(marks)
	w := fieldWarp(g.quad, g.cols, g.rows)
	for _, m := range marks {
		if d := k.sided(w.at(float64(m.u), float64(m.v))); m.light {
			sum += d
		} else {
			sum -= d
		}
	}
	return sum
}

// settle moves the corners of g, a step at a time, to where the marks are met
// best; steps are in modules, the coarse ones first.
func (k *ink) settle(g *grid, marks []mark, steps ...float64) {
	module := g.module()
	best := k.signal(g, marks)
	for _, step := range steps {
		step = max(step*module, .08)
		for range 3 {
			moved := false
			for c := range g.quad {
				for _, d := range [4]point{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
					was := g.quad[c]
					g.quad[c] = point{was.x + d.x, was.y + d.y}
					if s := k.signal(g, marks); s > best {
						best, moved = s, true
					} else {
						g.quad[c] = was
					}
				}
			}
			if !moved {
				break
			}
		}
	}
}

// search puts one corner of g where the marks are met best, looking reach
// modules around.
func (k *ink) search(g *grid, corner int, marks []mark, reach, step float64) {
	module := g.module()
	from := g.quad[corner]
	at, best := from, math.Inf(-1)
	n := int(math.Ceil(reach / step))
	for j := -n; j <= n; j++ {
		for i := -n; i <= n; i++ {
			g.quad[corner] = point{from.x + float64(i)*step*module, from.y + float64(j)*step*module}
			// of two as good the nearer one
			if s := k.signal(g, marks) - .0002*float64(i*i+j*j); s > best {
				at, best = g.quad[corner], s
			}
		}
	}
	g.quad[corner] = at
}

// A field is the grey values of modules, and what they are taken for.
type field struct {
	cols, rows int
	grey       []float32
	dark       []bool
	lo, hi     []float32
	spare      []float32
}

// take reads the modules of g, each as the mean of nine places within.
func (f *field) take(k *ink, g *grid) {
	w := fieldWarp(g.quad, g.cols, g.rows)
	f.takeAt(k, g, w.at)
}

// takeAt reads the modules where at says that they lie.
func (f *field) takeAt(k *ink, g *grid, at func(u, v float64) point) {
	f.cols, f.rows = g.cols, g.rows
	f.grey, f.dark = room(f.grey, f.cols*f.rows), room(f.dark, f.cols*f.rows)
	places := []float64{.25, .5, .75}
	if g.module() < 2.2 {
		places = []float64{.5}
	}
	k.looked += f.cols * f.rows * len(places) * len(places)
	part := 1 / float32(len(places)*len(places))
	for y := range f.rows {
		for x := range f.cols {
			sum := 0
			for _, dv := range places {
				for _, du := range places {
					p := at(float64(x)+du, float64(y)+dv)
					sum += int(k.between(p.x-.5, p.y-.5))
				}
			}
			f.grey[y*f.cols+x] = float32(sum) * part
		}
	}
}

// local tells dark from light by the middle between the darkest and the
// lightest module at most reach away.
func (f *field) local(reach int) {
	n := f.cols * f.rows
	f.lo, f.hi, f.spare = room(f.lo, n), room(f.hi, n), room(f.spare, 2*n)
	lo, hi := f.spare[:n], f.spare[n:2*n]
	for y := range f.rows {
		for x := range f.cols {
			i := y*f.cols + x
			lo[i], hi[i] = f.grey[i], f.grey[i]
			for j := max(x-reach, 0); j <= min(x+reach, f.cols-1); j++ {
				lo[i], hi[i] = min(lo[i], f.grey[y*f.cols+j]), max(hi[i], f.grey[y*f.cols+j])
			}
		}
	}
	for y := range f.rows {
		for x := range f.cols {
			i := y*f.cols + x
			f.lo[i], f.hi[i] = lo[i], hi[i]
			for j := max(y-reach, 0); j <= min(y+reach, f.rows-1); j++ {
				f.lo[i], f.hi[i] = min(f.lo[i], lo[j*f.cols+x]), max(f.hi[i], hi[j*f.cols+x])
			}
			f.dark[i] = f.grey[i]*2 < f.lo[i]+f.hi[i]
		}
	}
}

// deblur undoes what a lens out of focus did to the modules, spill being the
// share of a module's light that went to each neighbour in its row: the
// values between 0 and 1 are looked for that, blurred again, give what was
// seen. It needs lo and hi of local and tells dark from light.
func (f *field) deblur(spill float32) {
	n := f.cols * f.rows
	seen, now, soft := make([]float32, n), make([]float32, n), make([]float32, n)
	for i, v := range f.grey {
		seen[i] = .5
		if d := f.hi[i] - f.lo[i]; d > 0 {
			seen[i] = (v - f.lo[i]) / d
		}
		now[i] = seen[i]
	}
	for range 12 {
		f.blurred(soft, now, spill)
		for i := range now {
			now[i] = min(max(now[i]+1.5*(seen[i]-soft[i]), 0), 1)
		}
	}
	for i, v := range now {
		f.dark[i] = v < .5
	}
}

// blurred spreads from to the neighbours; what is around a symbol is light.
func (f *field) blurred(to, from []float32, spill float32) {
	at := func(x, y int) float32 {
		if x < 0 || y < 0 || x >= f.cols || y >= f.rows {
			return 1
		}
		return from[y*f.cols+x]
	}
	keep := 1 - 2*spill
	row := func(x, y int) float32 { return keep*at(x, y) + spill*(at(x-1, y)+at(x+1, y)) }
	for y := range f.rows {
		for x := range f.cols {
			to[y*f.cols+x] = keep*row(x, y) + spill*(row(x, y-1)+row(x, y+1))
		}
	}
}

// tellings are the ways in which dark is told from light, one after the other.
var tellings = []func(*field){
	func(f *field) { f.local(4) },
	func(f *field) { f.deblur(.2) },
	func(f *field) { f.deblur(.27) },
}

// wrong gives the share of marks inside the field that are seen in the other
// colour.
func (f *field) wrong(marks []mark) float64 {
	n, bad := 0, 0
	for _, m := range marks {
		if m.u < 0 || m.v < 0 || int(m.u) >= f.cols || int(m.v) >= f.rows {
			continue
		}
		n++
		if f.dark[int(m.v)*f.cols+int(m.u)] == m.light {
			bad++
		}
	}
	return float64(bad) / float64(max(n, 1))
}
