package scanner

import (
	"context"
	"slices"

	"github.com/makiuchi-d/gozxing/oned"
)

// A reader reads one picture.
type reader struct {
	Options
	rowReaders []oned.RowDecoder
	matrix     matrixReader
	picture    *plane
	edges      []int // room for pieces
	seen       []sighting
	spent      int // points looked at
}

func newReader(o Options) *reader {
	return &reader{Options: o, rowReaders: rowReaders()}
}

// spend counts n points as looked at, and reports whether more may be.
func (r *reader) spend(n int) bool {
	r.spent += n
	return r.spent < r.effort()
}

// rungs are the steps of effort, the cheap ones first. A rung is always
// finished. The second is tried where nothing is believed or bars are left
// over, those above it only where nothing is believed.
var rungs = []func(context.Context, *reader, view){
	func(ctx context.Context, r *reader, v view) { r.straight(ctx, v) },
	func(ctx context.Context, r *reader, v view) { r.tilted(ctx, v) },
	func(ctx context.Context, r *reader, v view) { // fine and coarse
		r.straight(ctx, v.atMost(700_000).resampled(0, 2))
		r.straight(ctx, v.atMost(2_000_000).halved())
	},
	func(ctx context.Context, r *reader, v view) { // out of focus
		v = v.atMost(2_000_000)
		r.straight(ctx, v.sharpened(1, 3))
		r.straight(ctx, v.sharpened(2, 3))
	},
	func(ctx context.Context, r *reader, v view) { // light on dark
		v = v.atMost(2_000_000).negative()
		r.straight(ctx, v)
		r.tilted(ctx, v)
	},
}

// linears are the symbologies that rows of points tell.
var linears = []string{EAN13, EAN8, UPCA, UPCE, Code128, GS1128, Code39, ITF}

// straight reads what lies along the sides of v, and matrix symbols.
func (r *reader) straight(ctx context.Context, v view) {
	if !r.spend(len(v.pix)) {
		return
	}
	if r.wants(linears...) {
		r.linear(ctx, v)
		if !r.Upright {
			r.linear(ctx, v.turnedBy(1))
		}
	}
	r.matrices(ctx, v)
}

// climb goes up the rungs and fills p.
func (r *reader) climb(ctx context.Context, v view, p *Picture) {
	r.picture = v.plane
	var left []stripe
	for i, rung := range rungs {
		rung(ctx, r, v)
		p.Symbols, p.Refused = r.settle()
		left = r.unread(v, p.Symbols)
		if ctx.Err() != nil || !r.spend(0) || len(p.Symbols) > 0 && (i > 0 || len(left) == 0) {
			break
		}
	}
	p.Unread = v.places(left, p.Refused)
}

// unread gives the stripes of v where no symbol is believed.
func (r *reader) unread(v view, symbols []Symbol) (all []stripe) {
	for _, cell := range []int{8, 16} {
		for _, s := range stripes(v.plane, cell) {
			c := s.center()
			mid := v.back(c.x, c.y)
			if !slices.ContainsFunc(symbols, func(t Symbol) bool { return quadOf(t.Corners).holds(mid, 4) }) {
				all = append(all, s)
			}
		}
	}
	return all
}

// tilted reads the stripes of v across their bars.
func (r *reader) tilted(ctx context.Context, v view) {
	if r.Upright || !r.wants(linears...) {
		return
	}
	symbols, _ := r.settle()
	for _, s := range r.unread(v, symbols) {
		grown := s.box.Inset(-max(s.box.Dx(), s.box.Dy()) / 5)
		part := v.cut(grown).atMost(2_000_000)
		r.linear(ctx, part.resampled(s.degrees, 1))
	}
}

// atMost gives the view, halved until it has at most so many points.
func (v view) atMost(points int) view {
	for v.Width*v.Height > points {
		v = v.halved()
	}
	return v
}
