package scanner

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Where lines are read: first along the stripes; then along some rows and
// columns of the whole picture, for what is no stripe; then, where bars are
// left over, along the stripes again with more care.

// linear adds the linear symbols that are easily read.
func (r *reader) linear(ctx context.Context) {
	if !r.wants(linears...) {
		return
	}
	if !r.Upright {
		for _, s := range r.stripes {
			r.readStripe(ctx, s, probe{lines: 1}, 4)
		}
	}
	w, h := float64(r.picture.Width), float64(r.picture.Height)
	r.readRows(ctx, band{point{0, 0}, point{1, 0}, point{0, 1}, r.picture.Width}, h)
	if !r.Upright {
		r.readRows(ctx, band{point{w - 1, 0}, point{0, 1}, point{-1, 0}, r.picture.Height}, w)
	}
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

// readStripe reads a stripe that is not read, and what is left of it above
// and below a symbol.
func (r *reader) readStripe(ctx context.Context, s stripe, p probe, depth int) {
	if ctx.Err() != nil || !r.spend(0) || r.known(s.center()) {
		return
	}
	p.band = s.band(s.across/8 + 24)
	p.reach = s.along/2 + 2
	p.step = max(1, s.along/(2*mostLines))
	p.tracks = r.tracks
	r.run(ctx, &p)
	r.tracks = p.tracks
	if depth == 0 {
		return
	}
	for _, half := range [2]float64{-1, 1} {
		rest := s
		rest.along = s.along / 2
		off := half * s.along / 4
		rest.shift = point{s.shift.x + off*p.down.x, s.shift.y + off*p.down.y}
		if rest.along >= 16 && len(p.tracks) > 0 && !r.known(rest.center()) {
			r.readStripe(ctx, rest, p, depth-1)
		}
	}
}

// known reports whether a believed linear symbol covers a place.
func (r *reader) known(at point) bool {
	for i := range r.seen {
		s := &r.seen[i]
		if !s.linear() || s.strength() < 1 {
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

// mostProbes is how many places are looked at closely that one row has
// pointed to.
const mostProbes = 60

// readRows looks at some lines of a band as deep as the picture, and closely
// at places where one says something.
func (r *reader) readRows(ctx context.Context, b band, deep float64) {
	step := min(max(4, math.Floor(deep/64)), 24)
	probes := 0
	for y := math.Floor(step / 2); y < deep && ctx.Err() == nil && r.spend(0) && probes < mostProbes; y += step {
		line := r.sample(b, y, 1)
		r.bars(line, 0, false)
		r.rowHits = append(r.rowHits[:0], r.readRow(r.hits[:0], y)...)
		for _, h := range r.rowHits {
			middle := (h.x0 + h.x1) / 2
			if r.known(b.at(middle, y)) {
				continue
			}
			probes++
			half := math.Abs(h.x1-h.x0)/2*1.25 + 24
			from, to := max(math.Floor(middle-half), 0), min(math.Ceil(middle+half), float64(b.n))
			p := probe{band: b, reach: math.Abs(h.x1 - h.x0), lines: 1, tracks: r.tracks}
			p.origin, p.n = b.at(from, y), int(to-from)
			r.run(ctx, &p)
			r.tracks = p.tracks
		}
	}
}

// linearHarder reads the stripes again that are left over: many lines made
// one, which takes the noise out, as they are and with blur undone; and as
// light bars on dark.
func (r *reader) linearHarder(ctx context.Context) {
	if r.Upright || !r.wants(linears...) {
		return
	}
	slices.SortStableFunc(r.stripes, func(a, b stripe) int { return cmp.Compare(b.across*b.along, a.across*a.along) })
	for i, s := range r.stripes {
		if i >= mostProbes {
			break
		}
		lines := int(min(max(s.along/8, 2), 8))
		for _, light := range [2]bool{false, true} {
			for focus := range 1 + len(focuses) {
				r.readStripe(ctx, s, probe{lines: lines, focus: focus, light: light}, 1)
			}
		}
	}
}
