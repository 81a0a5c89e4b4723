package scanner

// A row is cut into pieces at its wide spaces, so that a symbol stands alone
// between its quiet zones and two side by side do not hide one another. A
// space is wide when it is wider than gapRatio times the mean of the bars and
// spaces on one side of it. Inside a symbol no space is wider than four
// modules, and no bar or space narrower than one (ISO/IEC 15420, 15417); quiet
// zones have at least seven modules, and the bars and spaces next to them a
// mean of at most 1.6 in EAN and UPC, and have ten and 1.85 elsewhere.
const (
	gapRatio  = 4.2
	barRatio  = 6  // the same for bars, which ink makes wider
	gapNear   = 12 // bars and spaces on each side that make the mean
	fewestBar = 13 // bars of the shortest symbol, a Code 128 of one character
	mostBars  = 600
)

// A piece is bars between two wide spaces: the places of the first and the
// last bar in a row.
type piece struct{ first, last int }

func (p piece) runs() int { return p.last - p.first + 1 }
func (p piece) bars() int { return p.runs()/2 + 1 }

// pieces cuts a row into those that may be symbols: at wide spaces, and at
// wide bars, which are the edge of a label.
func (r *row) pieces(all []piece) []piece {
	all = all[:0]
	first := 1
	end := func(last, next int) {
		if p := (piece{first, last}); p.bars() >= fewestBar && p.bars() <= mostBars {
			all = append(all, p)
		}
		first = next
	}
	for i := 1; i < len(r.widths)-1; i++ {
		switch {
		case !r.wide(i):
		case i%2 == 0:
			end(i-1, i+1)
		default:
			end(i-2, i+2)
		}
	}
	end(len(r.widths)-2, 0)
	return all
}

// wide reports whether the space or bar at place i separates two pieces.
func (r *row) wide(i int) bool {
	ratio := float64(gapRatio)
	if i%2 == 1 {
		ratio = barRatio
	}
	from, to := max(i-gapNear, 1), min(i+1+gapNear, len(r.widths)-1)
	near := func(n, width int) bool { return n >= 6 && float64(r.widths[i]*n) > ratio*float64(width) }
	before, after := i-from, to-i-1
	return near(before, r.places[i]-r.places[from]) || near(after, r.places[to]-r.places[i+1]) ||
		before < 6 && after < 6 && i%2 == 0
}
