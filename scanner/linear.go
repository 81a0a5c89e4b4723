package scanner

import (
	"math"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
)

// Linear symbols are read row by row, each row made black and white twice:
// against the brightness nearby, which copes with shadow, and against that of
// the whole row, which copes with small modules. Rows with one text at one
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
	bars        piece   // of a row that was read
}

// linear adds what the rows of v say.
func (r *reader) linear(v view) {
	step := max(1, v.Height/rowsAt)
	local, err := gozxing.NewHybridBinarizer(v.plane).GetBlackMatrix()
	if err != nil {
		local = nil
	}
	global := gozxing.NewGlobalHistgramBinarizer(v.plane)
	var open []*track
	row := gozxing.NewBitArray(v.Width)
	for y := step / 2; y < v.Height && r.ctx.Err() == nil; y += step {
		open = r.retire(v, open, float64(y), step)
		if local != nil {
			open = r.scanRow(local.GetRow(y, row), float64(y), open)
		}
		if again, err := global.GetBlackRow(y, row); err == nil {
			open = r.scanRow(again, float64(y), open)
		}
	}
	r.retire(v, open, math.Inf(1), step)
}

// scanRow adds what one row says to the open tracks.
func (r *reader) scanRow(row *gozxing.BitArray, y float64, open []*track) []*track {
	var all []piece
	all, r.edges = pieces(row, r.edges)
	for _, p := range all {
		h, ok := r.decodePiece(p, y)
		if !ok {
			for _, t := range open {
				if t.continues(p) {
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
		t.bars = piece{edges: append(t.bars.edges[:0], p.edges...)}
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

// continues reports whether p, which nobody could read, looks like another
// row of t: as many bars, at the same place.
func (t *track) continues(p piece) bool {
	slack := (t.bars.end() - t.bars.begin()) / 8
	return abs(p.begin()-t.bars.begin()) < slack && abs(p.end()-t.bars.end()) < slack &&
		abs(p.bars()-t.bars.bars())*5 < t.bars.bars()
}

// retire takes the tracks that have ended before y out of open and adds them
// to what was seen. A gap ends a track when it is higher than 6 % of the
// symbol's width: stickers of one kind stand further apart, scratches and
// glare are thinner.
func (r *reader) retire(v view, open []*track, y float64, step int) []*track {
	kept := open[:0]
	for _, t := range open {
		width := math.Abs(t.last.x1 - t.last.x0)
		if y-t.alive <= max(3*float64(step), .06*width) {
			kept = append(kept, t)
			continue
		}
		a, b := t.first, t.last
		if a.x0 > a.x1 {
			a, b = b, a
		}
		r.add(sighting{
			symbology: a.symbology, text: a.text, votes: t.votes,
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
			whole := p.bars() == barsIn(result) && p.regular(h.symbology, back)
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
