package scanner

import (
	"context"
	"slices"
	"sync"
)

// A reader reads one picture at a time.
type reader struct {
	Options
	matrix  matrixReader
	picture *plane
	seen    []sighting
	stripes []stripe
	spent   int  // points looked at
	rare    bool // only the rare symbologies are tried in rows

	// Room to work in.
	line, low, high []int32
	want, sharp     []int32
	base            []int32
	edges           []int
	row             row
	turned          []int
	pieces          []piece
	done            []bool
	hits, rowHits   []hit
	tracks          []track
	values          []int
	text            []byte
	tensors         []tensor
	mosaic          mosaic
	curve           curve
}

var readers = sync.Pool{New: func() any { return new(reader) }}

// newReader gives a reader, which is to be released when it has read.
func newReader(o Options) *reader {
	r := readers.Get().(*reader)
	r.Options, r.seen, r.stripes, r.spent = o, r.seen[:0], r.stripes[:0], 0
	return r
}

func (r *reader) release() {
	r.picture = nil
	readers.Put(r)
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
	func(ctx context.Context, r *reader, v view) {
		r.linear(ctx)
		r.matrices(ctx, v, 0)
	},
	func(ctx context.Context, r *reader, v view) {
		r.linearHarder(ctx)
		r.linearRare(ctx)
	},
	func(ctx context.Context, r *reader, v view) { r.matrices(ctx, v, 1) },
	func(ctx context.Context, r *reader, v view) {
		r.linearCoarse(ctx, v)
		r.matrices(ctx, v, 2)
	},
	func(ctx context.Context, r *reader, v view) { r.matrices(ctx, v, 3) },
}

// linears are the symbologies that rows of points tell, rares those of them
// that are seldom met, and only looked for where bars are left over.
var (
	linears = []string{EAN13, EAN8, UPCA, UPCE, Code128, GS1128, Code39, ITF}
	rares   = []string{Code93, Codabar, GS1DataBar}
)

// climb goes up the rungs and fills p.
func (r *reader) climb(ctx context.Context, v view, p *Picture) {
	r.picture = v.plane
	r.findStripes()
	var left []stripe
	for i, rung := range rungs {
		rung(ctx, r, v)
		p.Symbols, p.Refused = r.settle()
		r.addOns(p.Symbols)
		left = r.unread(p.Symbols)
		if ctx.Err() != nil || !r.spend(0) || len(p.Symbols) > 0 && (i > 0 || len(left) == 0) {
			break
		}
	}
	p.Unread = r.places(left, p.Refused)
}

// unread gives the stripes where no symbol is believed.
func (r *reader) unread(symbols []Symbol) (all []stripe) {
	for _, s := range r.stripes {
		c := s.center()
		if !slices.ContainsFunc(symbols, func(t Symbol) bool { return withAddOn(t).holds(c, 4) }) {
			all = append(all, s)
		}
	}
	return all
}

// atMost gives the view, halved until it has at most so many points.
func (v view) atMost(points int) view {
	for v.Width*v.Height > points {
		v = v.halved()
	}
	return v
}

// unpanicked calls gozxing and gives nil where it fails or panics: on hostile
// bits some of it indexes beyond its tables.
func unpanicked[T any](read func() (*T, error)) (result *T) {
	defer func() {
		if recover() != nil {
			result = nil
		}
	}()
	result, err := read()
	if err != nil {
		return nil
	}
	return result
}
