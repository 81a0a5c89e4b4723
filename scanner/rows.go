package scanner

import "github.com/makiuchi-d/gozxing"

// A row of black and white points is cut into pieces at its wide light gaps,
// so that each reader is given one symbol with its quiet zones and two
// symbols side by side do not hide one another. A gap is wide when it is
// wider than gapRatio times the mean of the bars and spaces on one side of
// it. Inside a symbol no space is wider than four modules, and no bar or
// space narrower than one (ISO/IEC 15420, 15417); quiet zones have at least
// seven modules, and the bars and spaces next to them a mean of at most 1.6
// in EAN and UPC, and have ten and 1.85 elsewhere.
const (
	gapRatio  = 4.2
	gapNear   = 12 // bars and spaces on each side that make the mean
	fewestBar = 13 // bars of the shortest symbol, a Code 128 of one character
	mostBars  = 600
)

// A piece is part of a row: bars between two quiet zones.
type piece struct {
	edges       []int // where colours change, from the first bar's begin to the last one's end
	left, right int   // width of the light gap on each side
}

func (p piece) bars() int  { return len(p.edges) / 2 }
func (p piece) begin() int { return p.edges[0] }
func (p piece) end() int   { return p.edges[len(p.edges)-1] }

// changes gives where the colour of a row changes, from the begin of the first
// bar to the end of the last one. edges is room to work in.
func changes(row *gozxing.BitArray, edges []int) []int {
	n := row.GetSize()
	edges = edges[:0]
	for x := row.GetNextSet(0); x < n; {
		y := row.GetNextUnset(x)
		edges = append(edges, x, y)
		x = row.GetNextSet(y)
	}
	return edges
}

// pieces cuts a row of length n into the pieces that may be symbols. They
// point into edges.
func pieces(edges []int, n int) (all []piece) {
	first, before := 0, 0
	for i := 1; i <= len(edges)-1; i += 2 {
		last := i == len(edges)-1
		if !last && !wide(edges, i) {
			continue
		}
		after := n
		if !last {
			after = edges[i+1]
		}
		p := piece{edges[first : i+1], edges[first] - before, after - edges[i]}
		if p.bars() >= fewestBar && p.bars() <= mostBars {
			all = append(all, p)
		}
		first, before = i+1, edges[i]
	}
	return all
}

// wide reports whether the light gap that begins at edges[i] separates two
// pieces.
func wide(edges []int, i int) bool {
	gap := float64(edges[i+1] - edges[i])
	lo := max(i-gapNear, 0)
	hi := min(i+1+gapNear, len(edges)-1)
	known := false
	if n := i - lo; n >= 6 {
		known = true
		if gap > gapRatio*float64(edges[i]-edges[lo])/float64(n) {
			return true
		}
	}
	if n := hi - i - 1; n >= 6 {
		known = true
		if gap > gapRatio*float64(edges[hi]-edges[i+1])/float64(n) {
			return true
		}
	}
	return !known
}

// array gives the piece as a row of its own with light margins as wide as
// they are, up to a limit, and where it begins in the old row.
func (p piece) array() (row *gozxing.BitArray, offset int) {
	limit := 2 * (p.end() - p.begin())
	left, right := min(p.left, limit), min(p.right, limit)
	offset = p.begin() - left
	row = gozxing.NewBitArray(p.end() - p.begin() + left + right)
	for i := 0; i < len(p.edges); i += 2 {
		_ = row.SetRange(p.edges[i]-offset, p.edges[i+1]-offset)
	}
	return row, offset
}
