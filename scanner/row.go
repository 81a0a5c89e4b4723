package scanner

import "slices"

// fine is the number of steps that a pixel is divided into where changes of
// colour are placed between pixels.
const fine = 16

// block is the length of row over which the brightness range is taken.
const block = 32

// A row is a line of points seen as spaces and bars. Their widths, in steps of
// 1/fine pixel, alternate and begin and end with a space: bars stand at the
// odd places. places[i] is where widths[i] begins.
type row struct {
	widths, places []int
}

// set makes the row of changes of colour, the first of which is the begin of
// a bar, on a line of n pixels.
func (r *row) set(edges []int, n int) {
	if len(edges)%2 == 1 {
		edges = append(edges, n*fine)
	}
	r.widths, r.places = r.widths[:0], append(r.places[:0], 0)
	last := 0
	for _, e := range append(edges, n*fine) {
		r.widths = append(r.widths, max(e-last, 0))
		r.places = append(r.places, e)
		last = e
	}
	r.places = r.places[:len(r.widths)]
}

// negate makes bars of spaces and spaces of bars.
func (r *row) negate() {
	if n := len(r.widths); n > 2 {
		r.widths, r.places = r.widths[1:n-1], r.places[1:n-1]
	}
}

// peaks finds where a line of grey values changes between light and dark
// without a threshold: between each peak and the next valley, at half their
// height. A blurred narrow bar makes a valley that stays brighter than the
// spaces elsewhere, so no threshold for the whole line can tell it. Rises and
// falls of less than 1/quiet of the range nearby, or of least, are noise.
func (r *reader) peaks(line []int32, quiet, least int32) []int {
	edges := r.edges[:0]
	r.span(line)
	last, far := -1, 0 // the extreme before, and the furthest since
	up := true         // on the way to a peak
	extreme := line[0]
	limit := int32(0)
	for x, v := range line {
		if x%block == 0 {
			limit = max(least, (r.high[x/block]-r.low[x/block])/quiet)
		}
		if up {
			if v >= extreme {
				extreme, far = v, x
				continue
			}
			if extreme-v < limit {
				continue
			}
		} else {
			if v <= extreme {
				extreme, far = v, x
				continue
			}
			if v-extreme < limit {
				continue
			}
		}
		if last >= 0 {
			edges = append(edges, crossing(line, last, far))
		} else if extreme-line[0] >= limit {
			edges = append(edges, 0, crossing(line, 0, far))
		}
		last, far, extreme, up = far, x, v, !up
	}
	if last >= 0 {
		edges = append(edges, crossing(line, last, far))
	}
	r.edges = edges
	return edges
}

// crossing gives the place between two extremes where half the height is
// passed.
func crossing(line []int32, from, to int) int {
	a, b := line[from], line[to]
	half := a + b // doubled
	if b > a {
		for x := from + 1; x <= to; x++ {
			if 2*line[x] >= half {
				before := line[x-1]
				return (x-1)*fine + int(int32(fine)*(half-2*before)/(2*(line[x]-before))) + fine/2
			}
		}
		return to * fine
	}
	for x := from + 1; x <= to; x++ {
		if 2*line[x] <= half {
			before := line[x-1]
			return (x-1)*fine + int(int32(fine)*(half-2*before)/(2*(line[x]-before))) + fine/2
		}
	}
	return to * fine
}

// levels finds where a line passes the middle between the lightest and the
// darkest nearby: what peaks misses where flat places are noisy, and modules
// are small.
func (r *reader) levels(line []int32, least int32) []int {
	edges := r.edges[:0]
	r.span(line)
	dark := false
	var level, slack int32
	for x, v := range line {
		if x%block == 0 {
			lo, hi := r.low[x/block], r.high[x/block]
			level = (lo + hi) / 2
			slack = (hi - lo) / 16
			if hi-lo < least {
				level, slack = lo-1, 0 // no bars here
			}
		}
		switch {
		case !dark && v < level-slack:
			edges = append(edges, passing(line, x, level))
			dark = true
		case dark && v > level+slack:
			edges = append(edges, passing(line, x, level))
			dark = false
		}
	}
	r.edges = edges
	return edges
}

// passing gives the place just before x where the line passed the level.
func passing(line []int32, x int, level int32) int {
	for x > 0 && (line[x] < level) == (line[x-1] < level) && line[x] != level {
		x--
	}
	if x == 0 || line[x] == line[x-1] {
		return x * fine
	}
	f := int32(fine) * (level - line[x-1]) / (line[x] - line[x-1])
	return (x-1)*fine + int(min(max(f, 0), fine)) + fine/2
}

// span takes the lightest and the darkest of each block of a line, and of its
// neighbours.
func (r *reader) span(line []int32) {
	n := (len(line) + block - 1) / block
	r.low, r.high = slices.Grow(r.low[:0], n)[:n], slices.Grow(r.high[:0], n)[:n]
	for i := range n {
		lo, hi := line[i*block], line[i*block]
		for _, v := range line[i*block : min((i+1)*block, len(line))] {
			lo, hi = min(lo, v), max(hi, v)
		}
		r.low[i], r.high[i] = lo, hi
	}
	beforeLo, beforeHi := r.low[0], r.high[0]
	for i := range n {
		lo, hi := r.low[i], r.high[i]
		next := min(i+1, n-1)
		r.low[i], r.high[i] = min(lo, beforeLo, r.low[next]), max(hi, beforeHi, r.high[next])
		beforeLo, beforeHi = lo, hi
	}
}
