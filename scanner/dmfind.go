package scanner

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// An ell is the two solid sides of a Data Matrix symbol: their common corner,
// the other end of the side that goes up from it as one reads the symbol, and
// of the one that goes right.
type ell struct {
	up, corner, right point
	module            float64 // thickness of the sides, about
}

const leastSide = 8 // points

// dataMatrices adds the Data Matrix symbols of the plane: blobs with two
// straight solid sides of the hull in a row, and dashes along the others.
func (r *matrixReader) dataMatrices(ctx context.Context, found func(matrixFound)) {
	k := &r.ink
	blobs := r.blobs.find(k, leastSide-1)
	slices.SortStableFunc(blobs, func(a, b blob) int { return cmp.Compare((b.x1-b.x0)*(b.y1-b.y0), (a.x1-a.x0)*(a.y1-a.y0)) })
	for i := range blobs {
		if ctx.Err() != nil {
			return
		}
		if r.covered(&blobs[i]) {
			continue
		}
		poly := r.blobs.hull(k, &blobs[i])
		for j := range poly {
			e, ok := k.ellAt(poly, j)
			if !ok {
				continue
			}
			if m, ok := r.dataMatrix(e); ok {
				found(m)
				r.done = append(r.done, m.at)
				break
			}
		}
	}
}

// covered reports whether a blob lies in a symbol that was read.
func (r *matrixReader) covered(s *blob) bool {
	mid := point{float64(s.x0+s.x1) / 2, float64(s.y0+s.y1) / 2}
	return slices.ContainsFunc(r.done, func(q quad) bool { return q.holds(mid, 1) })
}

// ellAt gives the solid sides that meet at corner j of a hull.
func (k *ink) ellAt(poly []point, j int) (ell, bool) {
	n := len(poly)
	// The hull goes clockwise, so the side before the corner comes from the right.
	e := ell{right: poly[(j+n-1)%n], corner: poly[j], up: poly[(j+1)%n]}
	ux, uy := e.right.x-e.corner.x, e.right.y-e.corner.y
	vx, vy := e.up.x-e.corner.x, e.up.y-e.corner.y
	lu, lv := math.Hypot(ux, uy), math.Hypot(vx, vy)
	if min(lu, lv) < leastSide-1.5 || max(lu, lv) > 20*min(lu, lv) {
		return e, false
	}
	u, v := point{ux / lu, uy / lu}, point{vx / lv, vy / lv}
	if math.Abs(u.x*v.x+u.y*v.y) > .7 {
		return e, false
	}
	if !k.solid(e.corner, e.right, v) || !k.solid(e.corner, e.up, u) {
		return e, false
	}
	e.module = min(k.thickness(e.corner, e.right, v), k.thickness(e.corner, e.up, u))
	if e.module < .5 || min(lu, lv) < 6*e.module {
		return e, false
	}
	// from the middles of points to their rims
	half := func(p point, du, dv float64) point {
		return point{p.x + .5*(du*u.x+dv*v.x), p.y + .5*(du*u.y+dv*v.y)}
	}
	e.corner, e.right, e.up = half(e.corner, -1, -1), half(e.right, 1, -1), half(e.up, -1, 1)
	return e, true
}

// bent is how far a straight side of a hull may lie outside of what it goes
// around, as a share of its length: paper curls and lenses bend.
const bent = .025

// solid reports whether it is dark all along the line from a to b, and light
// on the side away from in.
func (k *ink) solid(a, b, in point) bool {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	n := min(max(int(length), 8), 64)
	dark, light := 0, 0
	for i := range n {
		t := (float64(i) + .5) / float64(n)
		x, y := a.x+t*(b.x-a.x)-.5, a.y+t*(b.y-a.y)-.5
		if k.inset(x, y, in, bent*length) >= 0 {
			dark++
		}
		if !k.dark(x-1.7*in.x, y-1.7*in.y) {
			light++
		}
		if miss := i + 1; 100*(miss-dark) > 15*n || 100*(miss-light) > 20*n {
			return false
		}
	}
	return true
}

// inset gives how far from a place in direction in it is dark, -1 if that is
// more than most.
func (k *ink) inset(x, y float64, in point, most float64) float64 {
	for d := .3; ; d += .7 {
		if k.dark(x+d*in.x, y+d*in.y) {
			return d
		}
		if d > most {
			return -1
		}
	}
}

// thickness gives how thick the dark line from a to b is inwards, where that
// is least but for a quarter of the places.
func (k *ink) thickness(a, b, in point) float64 {
	const places = 24
	var all [places]float64
	length := math.Hypot(b.x-a.x, b.y-a.y)
	for i := range places {
		t := (float64(i) + 1.5) / (places + 2)
		x, y := a.x+t*(b.x-a.x)-.5, a.y+t*(b.y-a.y)-.5
		from := max(k.inset(x, y, in, bent*length), 0)
		d := from
		for d < length/3 && k.dark(x+d*in.x, y+d*in.y) {
			d += .25
		}
		all[i] = d - min(from, .3) + .4
		if from > .3 {
			all[i] = d - from + .7
		}
	}
	slices.Sort(all[:])
	return all[places/4]
}

// A dashed is a dashed side as seen: where the side ends, and how many modules
// it seems to have.
type dashed struct {
	end     point
	modules int
}

// dashes looks for the dashed side that begins at from and runs about along
// d; in leads from it into the symbol, of length 1. It is where most changes
// lie inside and all is light outside: the middle of the places where that is
// so.
func (k *ink) dashes(from, d, in point, module, swing float64) dashed {
	steps := max(int(swing/.5), 2)
	best, first, last := dashed{}, 0, 0
	bestScore := 0.0
	end := func(i float64) point {
		out := i * swing / float64(steps)
		return point{from.x + d.x - out*in.x, from.y + d.y - out*in.y}
	}
	for i := -steps; i <= steps; i++ {
		e := end(float64(i))
		changes, dark := k.alternations(from, e, in, .5*module)
		_, beyond := k.alternations(from, e, in, -.6*module)
		score := float64(changes) * (min(1, 3*dark, 3*(1-dark)) - 2*max(0, beyond-.05))
		switch {
		case score > bestScore:
			best.modules, bestScore = changes+1, score
			first, last = i, i
		case score == bestScore && last == i-1:
			last = i
		}
	}
	best.end = end(float64(first+last) / 2)
	return best
}

// alternations counts how often it changes between dark and light along the
// line from a to b, depth inside, and which share is dark. Little changes at
// the middle between both do not count.
func (k *ink) alternations(a, b, in point, depth float64) (changes int, dark float64) {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	n := int(length * 1.5)
	was := true
	count := 0
	for i := range n {
		t := (float64(i) + .5) / float64(n)
		x, y := a.x+t*(b.x-a.x)+depth*in.x-.5, a.y+t*(b.y-a.y)+depth*in.y-.5
		d := float64(k.between(x, y)) - k.middle(x, y)
		if d < 0 {
			count++
		}
		if was && d > k.slack(x, y) || !was && d < -k.slack(x, y) {
			changes++
			was = !was
		}
	}
	return changes, float64(count) / float64(max(n, 1))
}

// dataMatrix reads the symbol with the two solid sides.
func (r *matrixReader) dataMatrix(e ell) (m matrixFound, ok bool) {
	k := &r.ink
	u := point{e.right.x - e.corner.x, e.right.y - e.corner.y}
	v := point{e.up.x - e.corner.x, e.up.y - e.corner.y}
	lu, lv := math.Hypot(u.x, u.y), math.Hypot(v.x, v.y)
	iu, iv := point{-u.x / lu, -u.y / lu}, point{-v.x / lv, -v.y / lv}
	swing := func(side, length float64) float64 { return max(.28*min(side, length), .1*length) }
	top := k.dashes(e.up, u, iv, e.module, swing(lv, lu))
	right := k.dashes(e.right, v, iu, e.module, swing(lu, lv))
	if top.modules < 6 || right.modules < 6 {
		return m, false
	}
	far, ok := line{e.up, top.end}.meets(line{e.right, right.end})
	if !ok {
		return m, false
	}
	q := quad{e.up, far, e.right, e.corner}
	for _, s := range r.sizes(q, top.modules, right.modules, lu/e.module, lv/e.module) {
		if m, ok = r.dmRead(q, s.size, s.mirrored); ok {
			return m, true
		}
	}
	return m, false
}

// A sizeGuess is a size that a symbol may have.
type sizeGuess struct {
	size     *dmSize
	mirrored bool    // rows are seen as columns
	match    float64 // of the dashes
}

const (
	mostGuesses    = 3
	leastDashMatch = .2
)

// sizes gives the sizes that fit the modules counted along the dashed sides
// and the thickness of the solid ones, those first whose dashes are seen in q.
func (r *matrixReader) sizes(q quad, cols, rows int, lu, lv float64) []sizeGuess {
	r.guesses = r.guesses[:0]
	off := func(n, counted int, measured float64) float64 {
		return min(math.Abs(float64(n-counted))/float64(n), math.Abs(float64(n)-measured)/float64(n))
	}
	for i := range dmSizes {
		s := &dmSizes[i]
		for turned := range 2 {
			c, w := s.cols, s.rows
			if turned == 1 {
				if c == w {
					continue
				}
				c, w = w, c
			}
			if off(c, cols, lu) > .25 || off(w, rows, lv) > .25 {
				continue
			}
			g := sizeGuess{size: s, mirrored: turned == 1}
			gq := grid{q, s.cols, s.rows}
			if g.mirrored {
				gq.quad = mirroredQuad(q)
			}
			g.match = r.ink.match(&gq, r.plan(s).dashes)
			if g.match >= leastDashMatch {
				r.guesses = append(r.guesses, g)
			}
		}
	}
	slices.SortStableFunc(r.guesses, func(a, b sizeGuess) int { return cmp.Compare(b.match, a.match) })
	return r.guesses[:min(len(r.guesses), mostGuesses)]
}

// mirroredQuad gives the corners as one sees them who reads rows as columns.
func mirroredQuad(q quad) quad { return quad{q[2], q[1], q[0], q[3]} }

// dmRead reads the symbol of a size whose outer corners are q.
func (r *matrixReader) dmRead(q quad, size *dmSize, mirrored bool) (m matrixFound, ok bool) {
	k := &r.ink
	if mirrored {
		q = mirroredQuad(q)
	}
	plan := r.plan(size)
	marks := thinned(plan.frame, mostMarks)
	g := grid{q, size.cols, size.rows}
	for try := range 3 {
		if try > 0 {
			k.settle(&g, marks, [][]float64{{}, {.5, .25}, {.12, .06}}[try]...)
			if k.match(&g, marks) < leastMatch {
				return m, false
			}
		}
		if m, ok = r.dmModules(g, plan); ok {
			return m, true
		}
	}
	return m, false
}

// dmModules reads the modules of a grid, telling dark from light in several
// ways, and seen from both sides.
func (r *matrixReader) dmModules(g grid, p *dmPlan) (m matrixFound, ok bool) {
	f := &r.field
	f.take(&r.ink, &g)
	for i := range 3 {
		switch i {
		case 0:
			f.local(4)
		case 1:
			f.deblur(.2)
		case 2:
			f.deblur(.27)
		}
		wrong := f.wrong(p.frame)
		if wrong > .15 {
			continue
		}
		result, load := p.decode(f.dark)
		if result == nil && g.cols == g.rows {
			f.turnOver()
			if result, load = p.decode(f.dark); result != nil {
				g.quad[0], g.quad[2] = g.quad[2], g.quad[0]
			}
		}
		if result != nil {
			return matrixFound{DataMatrix, result, load, wrong, g.quad}, true
		}
	}
	return m, false
}

// turnOver exchanges the solid sides of a square field: rows from the bottom
// up become columns.
func (f *field) turnOver() {
	n := f.cols
	for y := range n {
		for x := range n - 1 - y {
			i, j := y*n+x, (n-1-x)*n+n-1-y
			f.dark[i], f.dark[j] = f.dark[j], f.dark[i]
		}
	}
}
