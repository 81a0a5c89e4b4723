package scanner

import "slices"

// fine is the number of steps that a pixel is divided into where changes of
// colour are placed between pixels.
const fine = 4

// block is the length of row over which the brightness range is taken.
const block = 32

// peaks finds where a grey row changes between light and dark without a
// threshold: between each peak and the next valley, at half their height. A
// blurred narrow bar makes a valley that stays brighter than the spaces
// elsewhere, so no threshold for the whole row can tell it. Rises and falls
// of less than a ninth of the range nearby are noise. Places are in steps of
// 1/fine pixel; the first is the begin of a bar.
func peaks(row []byte, edges []int) []int {
	edges = edges[:0]
	ranges := make([]int, len(row)/block+1)
	for i := range ranges {
		near := row[max(0, (i-1)*block):min(len(row), (i+2)*block)]
		ranges[i] = int(slices.Max(near)) - int(slices.Min(near))
	}
	last, far := -1, 0 // the extreme before, and the furthest since
	sign := 1          // 1 on the way to a peak, -1 to a valley
	for x, v := range row {
		switch rise := sign * (int(v) - int(row[far])); {
		case rise >= 0:
			far = x
		case -rise >= max(6, ranges[x/block]/9):
			if last >= 0 {
				edges = append(edges, crossing(row, last, far))
			}
			last, far, sign = far, x, -sign
		}
	}
	if last >= 0 {
		edges = append(edges, crossing(row, last, far))
	}
	if len(edges)%2 == 1 {
		edges = append(edges, len(row)*fine)
	}
	return edges
}

// crossing gives the place between two extremes where half the height is
// passed.
func crossing(row []byte, from, to int) int {
	a, b := int(row[from]), int(row[to])
	up := b > a
	for x := from + 1; x <= to; x++ {
		v := int(row[x])
		if 2*v >= a+b == up || 2*v == a+b {
			before := int(row[x-1])
			return (x-1)*fine + fine*(a+b-2*before)/(2*(v-before))
		}
	}
	return to * fine
}
