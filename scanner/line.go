package scanner

import "slices"

// A hit is a text in one line: one begins to read it at x0, so x0 > x1 where
// it is upside down.
type hit struct {
	symbology, text, addOn string
	x0, x1, y              float64
	votes                  int
	bars                   extent // of the piece of the line that says it
	fit                    int    // see reader.fits
	wrong                  bool   // the check digit or character is
}

// An extent is where a piece begins and ends in pixels, and its bars.
type extent struct {
	begin, end float64
	bars       int
}

func (r *row) extent(p piece) extent {
	return extent{r.pixels(p.first), r.pixels(p.last + 1), p.bars()}
}

// pixels gives where widths[i] begins.
func (r *row) pixels(i int) float64 { return float64(r.places[i]) / fine }

// A rowReader reads the symbol whose first bar is the first of widths.
type rowReader struct {
	symbologies []string
	read        func(r *reader, widths []int) (decoded, bool)
	// first is the runs of the first character; where other marks stand beside
	// the symbol, the space before it must be half as wide at least. 0: it is
	// not believed there at all.
	first int
	rare  bool // it is tried last, see linearRare
}

var rowReaders = []rowReader{
	{[]string{EAN13, EAN8, UPCA, UPCE}, (*reader).readEAN, 7, false},
	{[]string{Code128, GS1128}, (*reader).readCode128, 6, false},
	{[]string{Code39}, (*reader).readCode39, 9, false},
	{[]string{ITF}, (*reader).readITF, 0, false},
	{[]string{Code93}, (*reader).readCode93, 6, true},
	{[]string{Codabar}, (*reader).readCodabar, 0, true},
}

// readRow adds the symbols of r.row to hits, and sets r.pieces to its pieces,
// r.done to which of them were read.
func (r *reader) readRow(hits []hit, y float64) []hit {
	r.pieces = r.row.pieces(r.pieces)
	if len(r.pieces) == 0 && !r.rare {
		return hits
	}
	r.done = slices.Grow(r.done[:0], len(r.pieces))[:len(r.pieces)]
	r.turned = append(r.turned[:0], r.row.widths...)
	slices.Reverse(r.turned)
	for i, p := range r.pieces {
		h, ok := r.readPiece(p)
		if r.done[i] = ok && !h.wrong; ok {
			h.y = y
			hits = append(hits, h)
		}
	}
	if r.rare {
		hits = r.dataBars(hits, y)
	}
	return hits
}

// readPiece tries all readers on a piece of r.row, in both directions: first
// as a whole, then inside. It gives a symbol whose check digit is wrong when
// there is no other.
func (r *reader) readPiece(p piece) (found hit, any bool) {
	keep := func(h hit) bool {
		if !h.wrong || !any && h.votes > 1 {
			found, any = h, true
		}
		return !h.wrong
	}
	n := len(r.row.widths)
	back := piece{n - 1 - p.last, n - 1 - p.first}
	for i := range rowReaders {
		reader := &rowReaders[i]
		if reader.rare != r.rare || !r.wants(reader.symbologies...) {
			continue
		}
		if s, ok := reader.read(r, r.row.widths[p.first:]); ok {
			if h, ok := r.hit(p, s, p.first, false, reader.first); ok && keep(h) {
				return found, true
			}
		}
		if s, ok := reader.read(r, r.turned[back.first:]); ok {
			if h, ok := r.hit(p, s, back.first, true, reader.first); ok && keep(h) {
				return found, true
			}
		}
	}
	for i := range rowReaders {
		reader := &rowReaders[i]
		if reader.rare != r.rare || reader.first == 0 || !r.wants(reader.symbologies...) {
			continue
		}
		for _, turned := range [2]bool{false, true} {
			widths, q := r.row.widths, p
			if turned {
				widths, q = r.turned, back
			}
			for at := q.first + 2; at <= q.last-2*fewestBar+2; at += 2 {
				if 2*widths[at-1] < sum(widths[at:at+reader.first]) {
					continue
				}
				if s, ok := reader.read(r, widths[at:]); ok {
					if h, ok := r.hit(p, s, at, turned, reader.first); ok && keep(h) {
						return found, true
					}
				}
			}
		}
	}
	return found, any
}

// hit makes a symbol that begins at place at of the row, or of the turned
// one, a hit, if what stands beside it allows that.
func (r *reader) hit(p piece, s decoded, at int, turned bool, first int) (hit, bool) {
	widths, n, end := r.row.widths, len(r.row.widths), at+s.runs
	from, to := at, end
	if turned {
		widths, from, to = r.turned, n-at, n-end
	}
	whole := s.runs == p.runs() || s.runs+s.tail == p.runs()
	h := hit{
		symbology: s.symbology, addOn: s.addOn, x0: r.row.pixels(from), x1: r.row.pixels(to),
		bars: r.row.extent(p), votes: votes(s.symbology, whole), wrong: s.wrong,
	}
	if h.votes == 0 || !r.wants(s.symbology) || !whole && 2*widths[end] < sum(widths[at:at+first]) {
		return h, false
	}
	h.text = string(s.text)
	return h, true
}
