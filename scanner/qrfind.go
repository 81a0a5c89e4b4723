package scanner

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// A trio is three finder patterns that may belong to one QR symbol: top left,
// top right, bottom left.
type trio struct {
	tl, tr, bl int
	off        float64 // how far it is from a symbol seen from straight above
}

const (
	mostTrios = 60 // looked at in one plane
	mostTries = 12 // without a symbol, before the others are left alone
)

// trios gives the sets of three that have the shape of a symbol, the best
// first.
func trios(all []finder) (found []trio) {
	for i := range all {
		for j := range all {
			for l := range j {
				if i == j || i == l {
					continue
				}
				if t, ok := trioOf(all, i, j, l); ok {
					found = append(found, t)
				}
			}
		}
	}
	slices.SortStableFunc(found, func(a, b trio) int { return cmp.Compare(a.off, b.off) })
	return found[:min(len(found), mostTrios)]
}

func trioOf(all []finder, tl, a, b int) (trio, bool) {
	o, p, q := all[tl], all[a], all[b]
	least, most := min(o.module, p.module, q.module), max(o.module, p.module, q.module)
	if most > 1.8*least {
		return trio{}, false
	}
	px, py, qx, qy := p.x-o.x, p.y-o.y, q.x-o.x, q.y-o.y
	lp, lq := math.Hypot(px, py), math.Hypot(qx, qy)
	module := (o.module + p.module + q.module) / 3
	if min(lp, lq) < 9*module || max(lp, lq) > 180*module || max(lp, lq) > 1.8*min(lp, lq) {
		return trio{}, false
	}
	cos := (px*qx + py*qy) / (lp * lq)
	if math.Abs(cos) > .6 {
		return trio{}, false
	}
	t := trio{tl, a, b, math.Abs(cos) + math.Abs(math.Log(lp/lq)) + math.Log(most/least)}
	if px*qy-py*qx < 0 {
		t.tr, t.bl = b, a
	}
	return t, true
}

// qrCodes adds the QR symbols of the plane.
func (r *matrixReader) qrCodes(ctx context.Context, found func(matrixFound)) {
	r.finds = slices.DeleteFunc(r.ink.finders(r.finds), func(f finder) bool { return f.hits < 2 })
	if len(r.finds) < 3 {
		return
	}
	slices.SortStableFunc(r.finds, func(a, b finder) int { return cmp.Compare(b.hits, a.hits) })
	all := r.finds[:min(len(r.finds), mostFinders)]
	used := make([]bool, len(all))
	tries := 0
	for _, t := range trios(all) {
		if ctx.Err() != nil || tries >= mostTries || r.ink.spent() {
			return
		}
		if used[t.tl] || used[t.tr] || used[t.bl] {
			continue
		}
		tries++
		if m, ok := r.qrCode(all[t.tl], all[t.tr], all[t.bl]); ok {
			found(m)
			r.done = append(r.done, m.at)
			used[t.tl], used[t.tr], used[t.bl] = true, true, true
			tries = 0
		}
	}
}

// leastMatch is how well the fixed modules of a symbol must be met before it
// is looked at.
const leastMatch = .45

// bendMatch is how well they must be met before the grid is bent.
const bendMatch = .6

// qrCode reads the symbol with the three finder patterns.
func (r *matrixReader) qrCode(tl, tr, bl finder) (m matrixFound, ok bool) {
	k := &r.ink
	best, ok := r.qrSize(tl, tr, bl)
	if !ok {
		return m, false
	}
	marks := r.qrPlan(best.cols).marks
	for _, steps := range [][]float64{nil, {.5, .25}, {.12, .06}} {
		k.settle(&best, marks, steps...)
		r.field.take(k, &best)
		if m, ok = r.qrRead(best, marks); ok {
			return m, true
		}
	}
	if k.match(&best, marks) >= bendMatch {
		r.bend.lay(&best, marks)
		r.bend.fit(k)
		r.field.takeAt(k, &best, r.bend.at)
		m, ok = r.qrRead(best, marks)
	}
	if !ok && r.field.wrong(marks) <= wholeFrame && k.match(&best, marks) >= wholeMatch {
		r.damaged = append(r.damaged, matrixFound{plain: QR, at: best.quad})
	}
	return m, ok
}

// qrSize gives the grid whose fixed modules are met best, of the sizes that
// the distance of the finder patterns allows.
func (r *matrixReader) qrSize(tl, tr, bl finder) (best grid, ok bool) {
	k := &r.ink
	ux, uy := tr.x-tl.x, tr.y-tl.y
	vx, vy := bl.x-tl.x, bl.y-tl.y
	lu, lv := math.Hypot(ux, uy), math.Hypot(vx, vy)
	u, v := point{ux / lu, uy / lu}, point{vx / lv, vy / lv}
	a, b, c, d := k.moduleAlong(&tl, u), k.moduleAlong(&tr, u), k.moduleAlong(&tl, v), k.moduleAlong(&bl, v)
	if min(a, b, c, d) == 0 {
		return best, false
	}
	guess := lu/(a+b) + lv/(c+d) + 7
	version := math.Round((guess - 17) / 4)
	bestMatch := -1.0
	for _, d := range [3]float64{0, -1, 1} {
		if version+d < 1 || version+d > 40 {
			continue
		}
		size := 17 + 4*int(version+d)
		g := r.qrGrid(tl, tr, bl, size)
		if match := k.match(&g, r.qrPlan(size).marks); match > bestMatch {
			best, bestMatch = g, match
		}
		if bestMatch > .75 {
			break
		}
	}
	return best, bestMatch >= leastMatch
}

// moduleAlong gives the width of a module of a finder pattern along d, 0 where
// its rims are not seen.
func (k *ink) moduleAlong(f *finder, d point) float64 {
	a, b := k.rim(f, d), k.rim(f, point{-d.x, -d.y})
	if far := max(a, b); min(a, b)*1.6 < far { // a speck, or something that touches
		if a = far; far < 2.5*f.module || far > 5*f.module {
			return 0
		}
		b = far
	}
	return (a + b) / 7
}

// qrGrid lays a grid of a size on three finder patterns; the fourth corner
// comes from the rims of two of them, then from the alignment pattern.
func (r *matrixReader) qrGrid(tl, tr, bl finder, size int) grid {
	k := &r.ink
	n := float64(size)
	f := 1 / (n - 7)
	u := point{(tr.x - tl.x) * f, (tr.y - tl.y) * f} // one module
	v := point{(bl.x - tl.x) * f, (bl.y - tl.y) * f}
	far := point{tr.x + bl.x - tl.x, tr.y + bl.y - tl.y}
	from := quad{{3.5, 3.5}, {n - 3.5, 3.5}, {n - 3.5, n - 3.5}, {3.5, n - 3.5}}
	to := quad{tl.point, tr.point, far, bl.point}
	a, okA := k.rimLine(tr.point, u, v)
	b, okB := k.rimLine(bl.point, v, u)
	if okA && okB {
		if p, ok := a.meets(b); ok && math.Hypot(p.x-far.x-3.5*(u.x+v.x), p.y-far.y-3.5*(u.y+v.y)) < .35*n*math.Hypot(u.x, u.y) {
			from[2], to[2] = point{n, n}, p
		}
	}
	g := grid{cornersOf(from, to, n, n), size, size}
	p := r.qrPlan(size)
	if p.align != nil {
		k.search(&g, 2, p.align, 2.5, .5)
	}
	return g
}

// rimLine gives the line along the outer rim of a finder pattern on the side
// of d; d and along are one module long.
func (k *ink) rimLine(middle, d, along point) (line, bool) {
	var points []point
	for s := -2.5; s <= 2.5; s++ {
		o := point{middle.x + 3.5*d.x + s*along.x, middle.y + 3.5*d.y + s*along.y}
		if t, ok := k.rise(o, d, 1.2); ok {
			points = append(points, point{o.x + t*d.x, o.y + t*d.y})
		}
	}
	return fitted(points)
}

// rise gives where, at most reach times d from o, the plane gets lighter
// along d the most.
func (k *ink) rise(o, d point, reach float64) (float64, bool) {
	length := math.Hypot(d.x, d.y)
	step := min(.5/length, .125)
	n := int(reach / step)
	at := func(t float64) float64 { return float64(k.between(o.x+t*d.x-.5, o.y+t*d.y-.5)) }
	wide := max(1/length, .3)
	best, where := 0.0, 0.0
	slope := func(t float64) float64 { return at(t+wide) - at(t-wide) }
	for i := -n; i <= n; i++ {
		t := float64(i) * step
		if s := slope(t) - .02*math.Abs(t); s > best {
			best, where = s, t
		}
	}
	if best < leastContrast/2 {
		return 0, false
	}
	l, m, h := slope(where-step), slope(where), slope(where+step)
	if bend := l - 2*m + h; bend < 0 {
		where += step * min(max((l-h)/(2*bend), -1), 1)
	}
	return where, true
}

// fitted gives the line nearest to points, without the one that lies worst.
func fitted(points []point) (line, bool) {
	for {
		if len(points) < 3 {
			return line{}, false
		}
		var c point
		n := float64(len(points))
		for _, p := range points {
			c.x, c.y = c.x+p.x/n, c.y+p.y/n
		}
		var xx, xy, yy float64
		for _, p := range points {
			xx, xy, yy = xx+(p.x-c.x)*(p.x-c.x), xy+(p.x-c.x)*(p.y-c.y), yy+(p.y-c.y)*(p.y-c.y)
		}
		sin, cos := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
		worst, at := 0.0, 0
		for i, p := range points {
			if d := math.Abs((p.y-c.y)*cos - (p.x-c.x)*sin); d > worst {
				worst, at = d, i
			}
		}
		if worst < .7 || len(points) < 5 {
			return line{point{c.x - cos, c.y - sin}, point{c.x + cos, c.y + sin}}, true
		}
		points = slices.Delete(points, at, at+1)
	}
}

// meets gives where two lines cross.
func (l line) meets(m line) (point, bool) {
	dx, dy := l.b.x-l.a.x, l.b.y-l.a.y
	ex, ey := m.b.x-m.a.x, m.b.y-m.a.y
	det := dx*ey - dy*ex
	if math.Abs(det) < 1e-9 {
		return point{}, false
	}
	t := ((m.a.x-l.a.x)*ey - (m.a.y-l.a.y)*ex) / det
	return point{l.a.x + t*dx, l.a.y + t*dy}, true
}

// qrRead decodes the modules taken from a grid, telling dark from light in several ways.
func (r *matrixReader) qrRead(g grid, marks []mark) (m matrixFound, ok bool) {
	f := &r.field
	for _, tell := range tellings {
		tell(f)
		if f.wrong(marks) > .2 {
			continue
		}
		result, load, mirrored := qrDecode(f)
		if result == nil {
			continue
		}
		if mirrored {
			g.quad[1], g.quad[3] = g.quad[3], g.quad[1]
		}
		c := content{text: valid(result.GetText()), modifier: result.GetSymbologyModifier(), words: len(result.GetRawBytes())}
		return matrixFound{QR, c, load, f.wrong(marks), g.quad}, true
	}
	return m, false
}
