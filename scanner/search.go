package scanner

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Where lines are read: first across the stripes; then along some rows and
// columns of the whole picture, for what is no stripe; then, where bars are
// left over, across the stripes again with more care. A line that says
// something is the middle of a probe.

const (
	coarse     = 11 // lines across a stripe,
	dense      = 61 // where one of them said something, but too few, and
	coarseHard = 9  // with more care
	mostProbes = 60 // from the lines of one stripe, or of the rows
	mostHard   = 12 // stripes that are read with more care
	mostCurves = 3  // and by their curves
)

// linear adds the linear symbols that are easily read.
func (r *reader) linear(ctx context.Context) {
	if !r.wants(linears...) {
		return
	}
	if !r.Upright {
		for _, s := range r.distinct() {
			b := s.band(s.across/8 + 24)
			if r.readLines(ctx, b, -s.along/2, s.along/coarse, s.along/2) && !r.known(s.center()) {
				r.readLines(ctx, b, -s.along/2, max(1, s.along/dense), s.along/2)
			}
		}
	}
	w, h := float64(r.picture.Width), float64(r.picture.Height)
	step := func(deep float64) float64 { return min(max(4, math.Floor(deep/64)), 24) }
	r.readLines(ctx, band{point{0, 0}, point{1, 0}, point{0, 1}, r.picture.Width}, 0, step(h), h)
	if !r.Upright {
		r.readLines(ctx, band{point{w - 1, 0}, point{0, 1}, point{-1, 0}, r.picture.Height}, 0, step(w), w)
	}
}

// distinct gives the stripes, the largest first, each place once: both sizes
// of cell find most of them.
func (r *reader) distinct() (all []stripe) {
	slices.SortStableFunc(r.stripes, func(a, b stripe) int { return cmp.Compare(b.across*b.along, a.across*a.along) })
	for _, s := range r.stripes {
		c := s.center()
		if !slices.ContainsFunc(all, func(t stripe) bool { return t.like(s, c) }) {
			all = append(all, s)
		}
	}
	return all
}

// like reports whether s, whose middle is c, is the same place as t.
func (t stripe) like(s stripe, c point) bool {
	d := t.center()
	return math.Hypot(c.x-d.x, c.y-d.y) < 16 && turnBetween(s.degrees, t.degrees) < sameWay &&
		s.across*s.along > t.across*t.along/2
}

// band gives the lines across the bars of a stripe, with room on both sides,
// line 0 through its middle.
func (s stripe) band(room float64) band {
	sin, cos := math.Sincos(s.degrees * math.Pi / 180)
	half := s.across/2 + room
	c := s.center()
	return band{
		point{c.x - half*cos, c.y - half*sin}, point{cos, sin}, point{-sin, cos}, int(2*half) + 1,
	}
}

// known reports whether a believed linear symbol covers a place.
func (r *reader) known(at point) bool {
	for i := range r.seen {
		s := &r.seen[i]
		if !s.linear() || s.wrong || s.strength() < 1 {
			continue
		}
		if !s.grown {
			s.at, s.grown = r.extended(s.at), true
		}
		if s.at.holds(at, 2) {
			return true
		}
	}
	return false
}

// seenAt reports whether what a hit says was seen at a place, believed or not.
func (r *reader) seenAt(h hit, at point) bool {
	return slices.ContainsFunc(r.seen, func(s sighting) bool {
		return s.text == h.text && s.wrong == h.wrong && s.at.holds(at, 1)
	})
}

// readLines looks at lines of a band, and closely at places where one says
// something, and reports whether one does.
func (r *reader) readLines(ctx context.Context, b band, from, step, to float64) (any bool) {
	probes := 0
	whole := step == math.Trunc(step)
	for y := from + step/2; y < to && probes < mostProbes && ctx.Err() == nil && r.spend(0); y += step {
		at := y
		if whole {
			at = math.Floor(y)
		}
		line := r.sample(b, at, 1)
		r.bars(line, 0, false)
		r.rowHits = append(r.rowHits[:0], r.readRow(r.hits[:0], at)...)
		for _, h := range r.rowHits {
			any = true
			if mid := b.at((h.x0+h.x1)/2, at); !r.known(mid) && !r.seenAt(h, mid) {
				probes++
				r.closely(ctx, h, probe{band: b, lines: 1})
			}
		}
	}
	return any
}

// closely probes the place of a hit.
func (r *reader) closely(ctx context.Context, h hit, p probe) {
	width := math.Abs(h.x1 - h.x0)
	middle, half := (h.x0+h.x1)/2, width*.625+24
	from, to := max(math.Floor(middle-half), 0), min(math.Ceil(middle+half), float64(p.n))
	p.origin, p.n = p.at(from, h.y), int(to-from)
	p.reach, p.tracks = width, r.tracks
	r.run(ctx, &p)
	r.tracks = p.tracks
}

// linearHarder reads the stripes again that are left over: some lines made
// one, which takes the noise out, as they are and with blur undone; and as
// light bars on dark.
func (r *reader) linearHarder(ctx context.Context) {
	if r.Upright || !r.wants(linears...) {
		return
	}
	tried := 0
	for _, s := range r.distinct() {
		lines := int(min(max(s.along/8, 2), 4))
		if r.known(s.center()) || !r.barred(s, lines, fewestBar/2) {
			continue
		}
		if tried++; tried > mostHard {
			break
		}
		b := s.band(s.across/8 + 24)
		for i := range coarseHard {
			if ctx.Err() != nil || !r.spend(0) {
				return
			}
			y := s.along * ((float64(i)+.5)/coarseHard - .5)
			r.readHarder(ctx, b, y, lines)
			if tried <= mostCurves && i%3 == 1 {
				r.readCurve(ctx, b, y, lines)
			}
		}
	}
}

// linearRare reads the stripes that are left over as the symbologies that are
// seldom met; then some rows and columns, where large modules make no stripe.
func (r *reader) linearRare(ctx context.Context) {
	if !r.wants(rares...) {
		return
	}
	r.rare = true
	defer func() { r.rare = false }()
	w, h := float64(r.picture.Width), float64(r.picture.Height)
	if !r.Upright {
		r.stripesRare(ctx)
		r.readLines(ctx, band{point{w - 1, 0}, point{0, 1}, point{-1, 0}, r.picture.Height}, 0, max(4, math.Floor(w/rowsRare)), w)
	}
	r.readLines(ctx, band{point{0, 0}, point{1, 0}, point{0, 1}, r.picture.Width}, 0, max(4, math.Floor(h/rowsRare)), h)
}

const rowsRare = 20 // rows, and columns, that are looked at

func (r *reader) stripesRare(ctx context.Context) {
	for i, s := range r.distinct() {
		if i == mostHard {
			return
		}
		if r.known(s.center()) || !r.barred(s, 1, fewestBar) {
			continue
		}
		b := s.band(s.across + 24) // wide spaces may have cut it in two
		if r.readLines(ctx, b, -s.along/2, s.along/coarse, s.along/2) && !r.known(s.center()) {
			r.readLines(ctx, b, -s.along/2, max(1, s.along/dense), s.along/2)
		}
	}
}

// readHarder reads one line of a band in all ways.
func (r *reader) readHarder(ctx context.Context, b band, y float64, lines int) {
	r.base = append(r.base[:0], r.sample(b, y, lines)...)
	for focus := range 1 + len(focuses) {
		line := r.base
		if focus > 0 {
			line = r.refocused(line, focus)
			r.spend(8 * len(line))
		}
		for method := range 2 {
			for _, light := range [2]bool{false, true} {
				if r.bars(line, method, true); light {
					r.row.negate()
				}
				r.rowHits = append(r.rowHits[:0], r.readRow(r.hits[:0], y)...)
				for _, h := range r.rowHits {
					if (h.votes > 1 || focus == 0) && !r.known(b.at((h.x0+h.x1)/2, y)) {
						r.closely(ctx, h, probe{band: b, lines: lines, focus: focus, light: light})
					}
				}
			}
		}
	}
}

// readCurve reads one line of a band by its curve.
func (r *reader) readCurve(ctx context.Context, b band, y float64, lines int) {
	if !r.wants(EAN13, UPCA, EAN8) {
		return
	}
	r.rowHits = r.fits(r.rowHits[:0], r.base, y, 0, false)
	for _, h := range r.rowHits {
		if !r.known(b.at((h.x0+h.x1)/2, y)) {
			r.closely(ctx, h, probe{band: b, lines: lines, fit: h.fit, back: h.x0 > h.x1})
		}
	}
}

// linearCoarse reads the picture again at half its size, where the dots of a
// print are one tone.
func (r *reader) linearCoarse(ctx context.Context, v view) {
	if !r.wants(linears...) || min(v.Width, v.Height) < 8*smallCell || !r.spend(len(v.pix)) {
		return
	}
	half := v.halved()
	picture, seen, all := r.picture, r.seen, r.stripes
	r.picture, r.seen, r.stripes = half.plane, nil, nil
	r.findStripes()
	r.linear(ctx)
	found := r.seen
	r.picture, r.seen, r.stripes = picture, seen, all
	for _, s := range found {
		for i, p := range s.at {
			s.at[i] = half.back(p.x, p.y)
		}
		s.grown = false
		r.add(s)
	}
}
