package scanner

import "math"

// Paper that is crumpled or wrapped around a bottle does not lie in one plane.
// A bend says how far the modules lie from where the corners would put them,
// at nodes that are nodeEvery modules apart; between nodes it changes evenly.
type bend struct {
	nx, ny int // nodes
	cols   float64
	rows   float64
	moved  []point // at each node, in modules
	colour []int8  // of each module: 1 light, -1 dark, 0 not known
	warp   warp    // of the grid
}

const (
	nodeEvery = 5
	mostMoved = 1.6 // modules
)

// lay begins with a flat grid and the modules whose colour is known.
func (b *bend) lay(g *grid, marks []mark) {
	b.nx, b.ny = max(g.cols/nodeEvery, 2)+1, max(g.rows/nodeEvery, 2)+1
	b.cols, b.rows = float64(g.cols), float64(g.rows)
	b.moved, b.colour = room(b.moved, b.nx*b.ny), room(b.colour, g.cols*g.rows)
	clear(b.moved)
	clear(b.colour)
	for _, m := range marks {
		if m.u < 0 || m.v < 0 || int(m.u) >= g.cols || int(m.v) >= g.rows {
			continue
		}
		at := int(m.v)*g.cols + int(m.u)
		b.colour[at] = -1
		if m.light {
			b.colour[at] = 1
		}
	}
	b.warp = fieldWarp(g.quad, g.cols, g.rows)
}

// at gives where (u, v) of the field lies in the plane.
func (b *bend) at(u, v float64) point {
	x := min(max(u/b.cols, 0), 1) * float64(b.nx-1)
	y := min(max(v/b.rows, 0), 1) * float64(b.ny-1)
	i, j := min(int(x), b.nx-2), min(int(y), b.ny-2)
	x, y = x-float64(i), y-float64(j)
	n := b.moved[j*b.nx+i:]
	p, q, r, s := n[0], n[1], n[b.nx], n[b.nx+1]
	return b.warp.at(
		u+(p.x*(1-x)+q.x*x)*(1-y)+(r.x*(1-x)+s.x*x)*y,
		v+(p.y*(1-x)+q.y*x)*(1-y)+(r.y*(1-x)+s.y*x)*y,
	)
}

// fit moves the nodes to where the modules around them are met in the middle:
// those of known colour show it, the others are clearly dark or light. The
// nodes of the rim, where most is known, go first and take the others along.
func (b *bend) fit(k *ink) {
	rim := func(i, j int) bool { return i == 0 || j == 0 || i == b.nx-1 || j == b.ny-1 }
	for round, step := range []float64{.4, .2, .4, .4, .2, .1} {
		for j := range b.ny {
			for i := range b.nx {
				if round >= 2 || rim(i, j) {
					b.nudge(k, i, j, step)
				}
			}
		}
		if round == 1 {
			b.span()
		}
	}
}

// span moves the inner nodes as a sheet would that is held at its rim.
func (b *bend) span() {
	at := func(i, j int) point { return b.moved[j*b.nx+i] }
	r, l := b.nx-1, b.ny-1
	for j := 1; j < l; j++ {
		for i := 1; i < r; i++ {
			x, y := float64(i)/float64(r), float64(j)/float64(l)
			mix := func(f func(point) float64) float64 {
				return (1-x)*f(at(0, j)) + x*f(at(r, j)) + (1-y)*f(at(i, 0)) + y*f(at(i, l)) -
					(1-x)*(1-y)*f(at(0, 0)) - x*(1-y)*f(at(r, 0)) - (1-x)*y*f(at(0, l)) - x*y*f(at(r, l))
			}
			b.moved[j*b.nx+i] = point{mix(func(p point) float64 { return p.x }), mix(func(p point) float64 { return p.y })}
		}
	}
}

// nudge moves one node by a step if that is better.
func (b *bend) nudge(k *ink, i, j int, step float64) {
	at := &b.moved[j*b.nx+i]
	best := b.clear(k, i, j)
	for _, d := range [4]point{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
		was := *at
		*at = point{was.x + d.x, was.y + d.y}
		if math.Abs(at.x) > mostMoved || math.Abs(at.y) > mostMoved {
			*at = was
			continue
		}
		if c := b.clear(k, i, j); c > best {
			best = c
		} else {
			*at = was
		}
	}
}

// clear says how clearly the modules around a node are dark or light, less
// what the node is moved against its neighbours.
func (b *bend) clear(k *ink, i, j int) float64 {
	const known, stiff = 2, 1.5
	du, dv := b.cols/float64(b.nx-1), b.rows/float64(b.ny-1)
	cols, rows := int(b.cols), int(b.rows)
	u0, u1 := max(int(float64(i-1)*du), 0), min(int(float64(i+1)*du)+1, cols)
	v0, v1 := max(int(float64(j-1)*dv), 0), min(int(float64(j+1)*dv)+1, rows)
	k.looked += (u1 - u0) * (v1 - v0)
	sum := 0.0
	for v := v0; v < v1; v++ {
		for u := u0; u < u1; u++ {
			p := b.at(float64(u)+.5, float64(v)+.5)
			d := k.sided(p)
			switch b.colour[v*cols+u] {
			case 0:
				sum += math.Abs(d)
			case 1:
				sum += known * d
			case -1:
				sum -= known * d
			}
		}
	}
	here := b.moved[j*b.nx+i]
	for _, n := range [4][2]int{{i - 1, j}, {i + 1, j}, {i, j - 1}, {i, j + 1}} {
		if n[0] >= 0 && n[1] >= 0 && n[0] < b.nx && n[1] < b.ny {
			q := b.moved[n[1]*b.nx+n[0]]
			sum -= stiff * ((here.x-q.x)*(here.x-q.x) + (here.y-q.y)*(here.y-q.y))
		}
	}
	return sum
}

// sided gives on which side of the local middle a place is, from -.45 for
// dark to .45 for light, in shares of the local contrast.
func (k *ink) sided(p point) float64 {
	const one = 1 << 16
	x := min(max(int((p.x-.5)*one), 0), (k.Width-1)*one)
	y := min(max(int((p.y-.5)*one), 0), (k.Height-1)*one)
	d, spread := k.beyondMiddle(&k.layers[0], x, y)
	return min(max(float64(d)/float64(12*max(spread, leastContrast)), -.45), .45)
}
