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
	top, side         line    // the other sides of the hull, from up and right on
}

const leastSide = 8 // points

// dataMatrices adds the Data Matrix symbols of the plane: blobs with two
// straight solid sides of the hull in a row, and dashes along the others. What
// lies around a place that is known, as the frame of a linear symbol, is none.
func (r *matrixReader) dataMatrices(ctx context.Context, found func(matrixFound), known func(point) bool) {
	k := &r.ink
	r.tries = 0
	blobs := r.blobs.find(k, leastSide-1)
	slices.SortStableFunc(blobs, func(a, b blob) int { return cmp.Compare((b.x1-b.x0)*(b.y1-b.y0), (a.x1-a.x0)*(a.y1-a.y0)) })
	for i := range blobs {
		if ctx.Err() != nil || k.spent() {
			return
		}
		if r.covered(&blobs[i]) {
			continue
		}
		poly := r.blobs.hull(k, &blobs[i])
		for j := range poly {
			e, ok := k.ellAt(poly, j)
			if !ok || known(line{e.up, e.right}.at(.5)) {
				continue
			}
			if m, ok := r.dataMatrix(e); ok {
				r.tries = 0
				found(m)
				r.done = append(r.done, m.at)
				break
			}
		}
	}
}

// covered reports whether a blob lies in a symbol that was read, or is a finder
// pattern.
func (r *matrixReader) covered(s *blob) bool {
	mid := point{float64(s.x0+s.x1) / 2, float64(s.y0+s.y1) / 2}
	return slices.ContainsFunc(r.done, func(q quad) bool { return q.holds(mid, 1) }) ||
		slices.ContainsFunc(r.finds, func(f finder) bool {
			return math.Hypot(f.x-mid.x, f.y-mid.y) < f.module && float64(s.x1-s.x0) < 12*f.module
		})
}

// ellAt gives the solid sides that meet at corner j of a hull.
func (k *ink) ellAt(poly []point, j int) (ell, bool) {
	n := len(poly)
	// The hull goes clockwise, so the side before the corner comes from the right.
	e := ell{right: poly[(j+n-1)%n], corner: poly[j], up: poly[(j+1)%n]}
	e.top, e.side = line{e.up, poly[(j+2)%n]}, line{e.right, poly[(j+n-2)%n]}
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
	if e.module < .5 || min(lu, lv) < 6*e.module || max(lu, lv) > mostModules*e.module || !k.lively(&e) {
		return e, false
	}
	// from the middles of points to their rims
	half := func(p point, du, dv float64) point {
		return point{p.x + .5*(du*u.x+dv*v.x), p.y + .5*(du*u.y+dv*v.y)}
	}
	e.corner, e.right, e.up = half(e.corner, -1, -1), half(e.right, 1, -1), half(e.up, -1, 1)
	e.top = line{e.up, half(e.top.b, 0, 1)}
	e.side = line{e.right, half(e.side.b, 1, 0)}
	return e, true
}

// mostModules is how many times as long as thick a solid side is at most.
const mostModules = 1.3 * 144

// lively reports whether it changes within the corner of two solid sides as
// often as in a symbol: print does so less.
func (k *ink) lively(e *ell) bool {
	changes := 0
	for _, depth := range [2]float64{.36, .64} {
		changes += k.crossings(e.corner, e.right, e.up, depth) + k.crossings(e.corner, e.up, e.right, depth)
	}
	return changes >= 8
}

// crossings counts the changes between dark and light along the line from a to
// b, moved towards c by depth.
func (k *ink) crossings(a, b, c point, depth float64) (changes int) {
	x, y := a.x+depth*(c.x-a.x)-.5, a.y+depth*(c.y-a.y)-.5
	dx, dy := b.x-a.x, b.y-a.y
	n := max(int(max(math.Abs(dx), math.Abs(dy))), 1)
	was := true
	for i := range n {
		t := (float64(i) + .5) / float64(n)
		if now := k.dark(x+t*dx, y+t*dy); now != was {
			changes++
			was = now
		}
	}
	return changes
}

// bent is how far a straight side of a hull may lie outside of what it goes
// around, as a share of its length: paper curls and lenses bend.
const bent = .025

// solid reports whether it is dark all along the line from a to b, and light
// on the side away from in.
func (k *ink) solid(a, b, in point) bool {
	length := math.Hypot(b.x-a.x, b.y-a.y)
	n := min(max(int(length), 8), 64)
	k.looked += n
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
		all[i] = d - from + .7
	}
	slices.Sort(all[:])
	return all[places/4]
}

// A dashedSide is a dashed side as seen: where the side ends, and how many
// modules it seems to have.
type dashedSide struct {
	end     point
	modules int
}

// dashes looks for the dashed side that begins at from and runs about along
// d; in leads from it into the symbol, of length 1. It is where most changes
// lie inside and all is light outside: the middle of the places where that is
// so.
func (k *ink) dashes(from, d, in point, module, swing float64) dashedSide {
	steps := max(int(swing/max(.5, module/5)), 2)
	best, first, last := dashedSide{}, 0, 0
	bestScore := 0.0
	end := func(i float64) point {
		out := i * swing / float64(steps)
		return point{from.x + d.x - out*in.x, from.y + d.y - out*in.y}
	}
	for i := -steps; i <= steps; i++ {
		e := end(float64(i))
		changes, dark := k.alternations(from, e, in, .5*module, module)
		if changes < fewestChanges {
			continue
		}
		score := float64(changes) * min(1, 3*dark, 3*(1-dark))
		if score < bestScore {
			continue
		}
		_, beyond := k.alternations(from, e, in, -.6*module, module)
		score -= float64(changes) * 2 * max(0, beyond-.05)
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
func (k *ink) alternations(a, b, in point, depth, module float64) (changes int, dark float64) {
	n := int(math.Hypot(b.x-a.x, b.y-a.y) / max(.66, module/5))
	if n == 0 {
		return 0, 0
	}
	k.looked += n
	const one = 1 << 16
	dx, dy := (b.x-a.x)/float64(n), (b.y-a.y)/float64(n)
	x, y := int((a.x+dx/2+depth*in.x-.5)*one), int((a.y+dy/2+depth*in.y-.5)*one)
	stepX, stepY := int(dx*one), int(dy*one)
	endX, endY := (k.Width-1)*one, (k.Height-1)*one
	l := &k.layers[0]
	was := true
	count := 0
	for range n {
		px, py := min(max(x, 0), endX), min(max(y, 0), endY)
		d, slack := k.beyondMiddle(l, px, py)
		if d < 0 {
			count++
		}
		if was && d > slack || !was && d < -slack {
			changes++
			was = !was
		}
		x, y = x+stepX, y+stepY
	}
	return changes, float64(count) / float64(n)
}

// beyondMiddle gives how much lighter a place is than the middle between dark
// and light near it, and how much it has to be to count as light for sure,
// both times twelve. The place is within the plane, in steps of 1/65536 point.
func (k *ink) beyondMiddle(l *layer, x, y int) (d, slack int) {
	i, j := x>>16, y>>16
	fx, fy := x>>8&255, y>>8&255
	right, down := 1, k.Width
	if fx == 0 {
		right = 0 // the last column has none
	}
	if fy == 0 {
		down = 0
	}
	at := j*k.Width + i
	p, q, r, s := int(k.pix[at]), int(k.pix[at+right]), int(k.pix[at+down]), int(k.pix[at+down+right])
	top, low := p<<8+(q-p)*fx, r<<8+(s-r)*fx
	cell := j/cellSide*l.w + i/cellSide
	return 12 * ((top<<8+(low-top)*fy)>>16 - int(l.middle[cell])), int(l.spread[cell])
}

// dataMatrix reads the symbol with the two solid sides. Where its dashed sides
// lie is said by the dashes or, where blur has made a grey line of them, by the
// hull.
func (r *matrixReader) dataMatrix(e ell) (m matrixFound, ok bool) {
	k := &r.ink
	u := point{e.right.x - e.corner.x, e.right.y - e.corner.y}
	v := point{e.up.x - e.corner.x, e.up.y - e.corner.y}
	lu, lv := math.Hypot(u.x, u.y), math.Hypot(v.x, v.y)
	iu, iv := point{-u.x / lu, -u.y / lu}, point{-v.x / lv, -v.y / lv}
	swing := func(side, length float64) float64 { return max(.28*min(side, length), .1*length) }
	if k.atRim(e.corner, e.right) && k.atRim(e.corner, e.up) { // cut out along its sides
		swing = func(_, length float64) float64 { return .05 * length }
	}
	top := k.dashes(e.up, u, iv, e.module, swing(lv, lu))
	var side dashedSide
	if top.modules > fewestChanges {
		side = k.dashes(e.right, v, iu, e.module, swing(lu, lv))
	}
	cols, rows := lu/e.module, lv/e.module
	r.guesses = r.guesses[:0]
	if side.modules > fewestChanges {
		if far, ok := (line{e.up, top.end}).meets(line{e.right, side.end}); ok {
			r.guess(quad{e.up, far, e.right, e.corner}, [2]float64{float64(top.modules), cols}, [2]float64{float64(side.modules), rows})
		}
	}
	if len(r.guesses) == 0 && max(lu, lv) < 4*min(lu, lv) {
		if far, ok := e.top.meets(e.side); ok && math.Hypot(far.x-e.up.x-u.x, far.y-e.up.y-u.y) < .35*min(lu, lv) {
			r.guess(quad{e.up, far, e.right, e.corner}, [2]float64{cols, 1.2 * cols}, [2]float64{rows, 1.2 * rows})
		}
	}
	slices.SortStableFunc(r.guesses, func(a, b sizeGuess) int { return cmp.Compare(b.match, a.match) })
	for _, s := range r.guesses[:min(len(r.guesses), mostGuesses)] {
		if r.tries++; r.tries > mostSizes {
			break
		}
		if m, ok = r.dmRead(s.quad, s.size); ok {
			return m, true
		}
	}
	return m, false
}

// atRim reports whether the line from a to b runs along the rim of the plane.
func (k *ink) atRim(a, b point) bool {
	const near = 1.5
	w, h := float64(k.Width)-near, float64(k.Height)-near
	return max(a.x, b.x) < near || max(a.y, b.y) < near || min(a.x, b.x) > w || min(a.y, b.y) > h
}

// fewestChanges is how often it changes at least along a dashed side; the
// smallest symbols have eight modules.
const fewestChanges = 5

// A sizeGuess is a size that a symbol may have, and its corners.
type sizeGuess struct {
	quad
	size  *dmSize
	match float64 // of the dashes
}

const (
	mostGuesses    = 3  // of one pair of solid sides
	mostSizes      = 20 // of one plane
	leastDashMatch = .4
	sizeSlack      = .3
)

// guess adds the sizes that have about as many columns and rows as one of
// cols and one of rows, and whose dashes are seen along the sides of q.
func (r *matrixReader) guess(q quad, cols, rows [2]float64) {
	near := func(n int, seen [2]float64) bool {
		return math.Abs(float64(n)-seen[0]) < sizeSlack*float64(n) || math.Abs(float64(n)-seen[1]) < sizeSlack*float64(n)
	}
	for i := range dmSizes {
		s := &dmSizes[i]
		if near(s.cols, cols) && near(s.rows, rows) {
			r.guessAt(q, s)
		}
		if s.cols != s.rows && near(s.rows, cols) && near(s.cols, rows) {
			r.guessAt(mirroredQuad(q), s)
		}
	}
}

func (r *matrixReader) guessAt(q quad, s *dmSize) {
	g := sizeGuess{quad: q, size: s}
	if g.match = r.ink.dashed(&grid{q, s.cols, s.rows}); g.match >= leastDashMatch {
		r.guesses = append(r.guesses, g)
	}
}

// dashed says how well the dashed sides of a grid are seen, 1 at best: each
// module is compared with its two neighbours, which blur does not hide.
func (k *ink) dashed(g *grid) float64 {
	w := fieldWarp(g.quad, g.cols, g.rows)
	var sum, all float64
	along := func(n int, at func(i float64) point, first float64) {
		before, now := 0.0, 0.0
		for i := range n {
			p := at(float64(i) + .5)
			next := float64(k.between(p.x-.5, p.y-.5))
			if i >= 2 {
				d := (now - (before+next)/2) * first // now is module i-1
				if i%2 == 1 {
					d = -d
				}
				sum, all = sum+d, all+math.Abs(d)
			}
			before, now = now, next
		}
	}
	cols, rows := float64(g.cols), float64(g.rows)
	along(g.cols, func(i float64) point { return w.at(i, .5) }, 1)
	along(g.rows, func(i float64) point { return w.at(cols-.5, rows-i) }, 1)
	if all < float64(2*(g.cols+g.rows)) {
		return 0
	}
	return sum / all
}

// mirroredQuad gives the corners as one sees them who reads rows as columns.
func mirroredQuad(q quad) quad { return quad{q[2], q[1], q[0], q[3]} }

// dmRead reads the symbol of a size whose outer corners are q.
func (r *matrixReader) dmRead(q quad, size *dmSize) (best matrixFound, ok bool) {
	k := &r.ink
	plan := r.plan(size)
	marks := thinned(plan.frame, mostMarks)
	g := grid{q, size.cols, size.rows}
	wrong := 1.0
	for _, steps := range [][]float64{nil, {.5, .25}, {.12, .06}} {
		if steps != nil {
			k.settle(&g, marks, steps...)
			if k.match(&g, marks) < leastMatch {
				break
			}
		}
		r.field.take(k, &g)
		m, read := r.dmModules(g, plan)
		if read {
			if best, ok = m, true; m.sure() {
				return best, true
			}
		}
		if wrong = m.wrong; steps != nil && wrong > hopeless {
			break
		}
	}
	if !ok && wrong <= bendWrong {
		r.bend.lay(&g, plan.frame)
		r.bend.fit(k)
		r.field.takeAt(k, &g, r.bend.at)
		best, ok = r.dmModules(g, plan)
		wrong = best.wrong
	}
	if !ok && wrong <= wholeFrame && k.match(&g, plan.frame) >= wholeMatch {
		r.damaged = append(r.damaged, matrixFound{plain: DataMatrix, at: g.quad})
	}
	return best, ok
}

// A frame as whole as this is that of a symbol, whether it can be read or not.
const (
	wholeFrame = .03 // share in the wrong colour
	wholeMatch = .9
)

// Shares of the frame that is seen in the wrong colour.
const (
	mostWrong = .15 // before it is decoded
	hopeless  = .3  // before it is fitted better
	bendWrong = .12 // before it is bent
)

// dmModules decodes the modules taken from a grid, telling dark from light in
// several ways, and seen from both sides. Where that fails, wrong of m is the
// least that was seen.
func (r *matrixReader) dmModules(g grid, p *dmPlan) (m matrixFound, ok bool) {
	f := &r.field
	least := 1.0
	for _, tell := range tellings {
		tell(f)
		wrong := f.wrong(p.frame)
		least = min(least, wrong)
		if wrong > mostWrong {
			continue
		}
		c, load, read := p.decode(f.dark)
		if !read && g.cols == g.rows {
			f.turnOver()
			if c, load, read = p.decode(f.dark); read {
				g.quad[0], g.quad[2] = g.quad[2], g.quad[0]
			}
		}
		if read {
			return matrixFound{DataMatrix, c, load, wrong, g.quad}, true
		}
	}
	return matrixFound{wrong: least}, false
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
