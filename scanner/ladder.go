package scanner

import (
	"context"
	"slices"

	"github.com/makiuchi-d/gozxing/datamatrix/decoder"
	"github.com/makiuchi-d/gozxing/oned"
	qrdecoder "github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// A reader reads one picture.
type reader struct {
	ctx        context.Context // of the one Read that this reader is made for
	rowReaders []oned.RowDecoder
	qr         *qrdecoder.Decoder
	dm         *decoder.Decoder
	picture    *plane
	edges      []int // room for pieces
	seen       []sighting
}

func newReader(ctx context.Context) *reader {
	return &reader{ctx: ctx, rowReaders: rowReaders(), qr: qrdecoder.NewDecoder(), dm: decoder.NewDecoder()}
}

// rungs are the steps of effort, the cheap ones first. A rung is always
// finished; the next one is tried while nothing is believed, or bars are seen
// where nothing is believed.
var rungs = []func(*reader, view){
	func(r *reader, v view) { // as it stands
		r.linear(v)
		r.linear(v.turnedBy(1))
		r.qrCodes(v)
		r.dataMatrices(v)
	},
	(*reader).tilted,
	func(r *reader, v view) { // fine, coarse
		for _, w := range []view{v.atMost(700_000).resampled(0, 2), v.atMost(2_000_000).halved()} {
			r.linear(w)
			r.linear(w.turnedBy(1))
			r.qrCodes(w)
			r.dataMatrices(w)
		}
	},
	func(r *reader, v view) { // out of focus
		v = v.atMost(2_000_000)
		for _, radius := range []int{1, 2} {
			w := v.sharpened(radius, 3)
			r.linear(w)
			r.linear(w.turnedBy(1))
			r.qrCodes(w)
			r.dataMatrices(w)
		}
	},
	func(r *reader, v view) { // light on dark
		v = v.atMost(2_000_000).negative()
		r.linear(v)
		r.linear(v.turnedBy(1))
		r.qrCodes(v)
		r.dataMatrices(v)
		r.tilted(v)
	},
}

// climb goes up the rungs and fills p.
func (r *reader) climb(v view, p *Picture) {
	r.picture = v.plane
	var left []stripe
	for i, rung := range rungs {
		rung(r, v)
		p.Symbols, p.Refused = r.settle()
		left = r.unread(v, p.Symbols)
		if r.ctx.Err() != nil || len(p.Symbols) > 0 && (i > 0 || len(left) == 0) {
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
func (r *reader) tilted(v view) {
	symbols, _ := r.settle()
	for _, s := range r.unread(v, symbols) {
		grown := s.box.Inset(-max(s.box.Dx(), s.box.Dy()) / 5)
		part := v.cut(grown).atMost(2_000_000)
		r.linear(part.resampled(s.degrees, 1))
	}
}

// atMost gives the view, halved until it has at most so many points.
func (v view) atMost(points int) view {
	for v.Width*v.Height > points {
		v = v.halved()
	}
	return v
}

// dataMatrices adds the Data Matrix symbols of v: the one in the middle, and
// those of its busy regions.
func (r *reader) dataMatrices(v view) {
	r.dataMatrix(v)
	for _, cell := range []int{4, 8, 16} {
		for _, box := range regions(v.plane, cell) {
			part := v.cut(box.Inset(-2 * cell))
			if !r.dataMatrix(part) {
				r.dataMatrix(part.resampled(45, 1)) // the detector is weakest on the corner
			}
		}
	}
}
