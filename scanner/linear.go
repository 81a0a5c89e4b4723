package scanner

import (
	"context"
	"math"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
)

// Linear symbols are read row by row, each row made black and white three
// times: against the brightness nearby, which copes with shadow; against that
// of the whole row, which copes with small modules; and between its peaks and
// valleys, which copes with blur. Rows with one text at one
// place make a track; the number of rows in it is what a text is believed by.

// rowsAt is about how many rows of a view are looked at.
const rowsAt = 500

// A hit is a text in one row: x0 is where one begins to read it, so x0 > x1
// in an upside-down symbol.
type hit struct {
	symbology, text string
	x0, x1, y       float64
	votes           int
}

// A track is the rows of one symbol in one view.
type track struct {
	first, last hit
	votes       int
	alive       float64 // last y at which the bars were still there, readable or not
	bars        span    // of the last row that was read
}

// linear adds what the rows of v say.
func (r *reader) linear(ctx context.Context, v view) {
	if v.Width < block {
		return
	}
	step := max(1, v.Height/rowsAt)
	local, err := gozxing.NewHybridBinarizer(v.plane).GetBlackMatrix()
	if err != nil {
		local = nil
	}
	global := gozxing.NewGlobalHistgramBinarizer(v.plane)
	var open []*track
	row := gozxing.NewBitArray(v.Width)
	for y := step / 2; y < v.Height && ctx.Err() == nil; y += step {
		open = r.retire(v, open, float64(y), step)
		if local != nil {
			r.edges = changes(local.GetRow(y, row), r.edges)
			open = r.scanRow(v.Width, 1, float64(y), open)
		}
		if again, err := global.GetBlackRow(y, row); err == nil {
			r.edges = changes(again, r.edges)
			open = r.scanRow(v.Width, 1, float64(y), open)
		}
		r.edges = peaks(v.pix[y*v.Width:(y+1)*v.Width], r.edges)
		open = r.scanRow(fine*v.Width, fine, float64(y), open)
	}
	r.retire(v, open, math.Inf(1), step)
}

// scanRow adds what r.edges of one row say to the open tracks. The row has n
// places, unit to a pixel.
func (r *reader) scanRow(n, unit int, y float64, open []*track) []*track {
	for _, p := range pieces(r.edges, n) {
		h, ok := r.decodePiece(p, y)
		h.x0 /= float64(unit)
		h.x1 /= float64(unit)
		bars := span{p.begin() / unit, p.end() / unit, p.bars()}
		if !ok {
			for _, t := range open {
				if t.continues(bars) {
					t.alive = y
				}
			}
			continue
		}
		t := find(open, h)
		if t == nil {
			t = &track{first: h}
			open = append(open, t)
		}
		if t.votes == 0 || t.last.y != y {
			t.votes += h.votes
		}
		t.last, t.alive = h, y
		t.bars = bars
	}
	return open
}

// find gives the open track that h belongs to, or nil.
func find(open []*track, h hit) *track {
	for _, t := range open {
		if t.first.symbology == h.symbology && t.first.text == h.text && t.near(h) {
			return t
		}
	}
	return nil
}

// near reports whether h lies under the last row of t.
func (t *track) near(h hit) bool {
	return math.Abs((h.x0+h.x1)-(t.last.x0+t.last.x1)) < math.Abs(t.last.x1-t.last.x0)
}

// A span is where the bars of a piece begin and end in pixels, and how many
// they are.
type span struct{ begin, end, bars int }

// continues reports whether bars that nobody could read look like another row
// of t: as many, at the same place.
func (t *track) continues(bars span) bool {
	slack := (t.bars.end - t.bars.begin) / 8
	return abs(bars.begin-t.bars.begin) < slack && abs(bars.end-t.bars.end) < slack &&
		abs(bars.bars-t.bars.bars)*5 < t.bars.bars
}

// retire takes the tracks that have ended before y out of open and adds them
// to what was seen. A gap ends a track when it is higher than maxBreak
// of the symbol's width.
func (r *reader) retire(v view, open []*track, y float64, step int) []*track {
	kept := open[:0]
	for _, t := range open {
		width := math.Abs(t.last.x1 - t.last.x0)
		if y-t.alive <= max(3*float64(step), maxBreak*width) {
			kept = append(kept, t)
			continue
		}
		a, b := t.first, t.last
		if a.x0 > a.x1 {
			a, b = b, a
		}
		r.add(sighting{
			symbology: a.symbology, text: a.text, votes: t.votes, need: linearNeed(a.symbology, a.text),
			at: quad{v.back(a.x0, a.y), v.back(a.x1, a.y), v.back(b.x1, b.y), v.back(b.x0, b.y)},
		})
	}
	return kept
}

func abs(n int) int { return max(n, -n) }

// upcean is what the common EAN and UPC reader may find.
var upcean = map[gozxing.DecodeHintType]any{
	gozxing.DecodeHintType_POSSIBLE_FORMATS: gozxing.BarcodeFormats{
		gozxing.BarcodeFormat_EAN_13, gozxing.BarcodeFormat_EAN_8, gozxing.BarcodeFormat_UPC_E,
	},
}

// rowHints make readers tell UPC-A from EAN-13 and keep FNC1.
var rowHints = map[gozxing.DecodeHintType]any{
	gozxing.DecodeHintType_POSSIBLE_FORMATS: []gozxing.BarcodeFormat{gozxing.BarcodeFormat_UPC_A},
	gozxing.DecodeHintType_ASSUME_GS1:       true,
}

// rowReaders gives the readers of one row, the most reliable first.
func rowReaders() []oned.RowDecoder {
	var all []oned.RowDecoder
	for _, r := range []gozxing.Reader{
		oned.NewMultiFormatUPCEANReader(upcean), oned.NewCode128Reader(), oned.NewCode39Reader(), oned.NewITFReader(),
	} {
		all = append(all, r.(oned.RowDecoder))
	}
	return all
}

// decodePiece tries all readers on a piece, in both directions.
func (r *reader) decodePiece(p piece, y float64) (h hit, ok bool) {
	row, offset := p.array()
	for _, back := range []bool{false, true} {
		if back {
			row.Reverse()
		}
		for _, reader := range r.rowReaders {
			result := unpanicked(func() (*gozxing.Result, error) { return reader.DecodeRow(int(y), row, rowHints) })
			if result == nil || len(result.GetResultPoints()) < 2 {
				continue
			}
			ends := result.GetResultPoints()
			h = hit{x0: ends[0].GetX(), x1: ends[1].GetX(), y: y}
			if back {
				last := float64(row.GetSize() - 1)
				h.x0, h.x1 = last-h.x0, last-h.x1
			}
			h.x0 += float64(offset)
			h.x1 += float64(offset)
			h.symbology, h.text = linearText(result)
			whole := p.bars() == barsIn(result)
			if whole && !p.regular(h.symbology, h.text, back) {
				return hit{}, false
			}
			h.votes = votes(h.symbology, whole)
			if whole {
				h.x0, h.x1 = float64(p.begin()), float64(p.end()-1)
				if back {
					h.x0, h.x1 = h.x1, h.x0
				}
			}
			return h, h.votes > 0
		}
	}
	return hit{}, false
}

// unpanicked calls a reader of gozxing and gives nil where it fails or
// panics: on hostile bits some of them index beyond their tables.
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
