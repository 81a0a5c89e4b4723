package scanner

import (
	"math"
	"slices"
	"sync"
)

// Blur is undone along a line: a lens out of focus makes of each point a bell
// curve, and a line is made again by the filter that is nearly the inverse of
// that (Wiener's, which leaves alone what noise would swamp). What it makes of
// wide bars and spaces rings; that is cut off.

// focuses are the blurs that are undone: their standard deviation in pixels,
// and the power of noise to that of the bars. Found by trial.
var focuses = [...]struct {
	sigma, noise float64
	reach        int // points on each side that count
}{{1.2, .02, 8}, {2, .01, 12}, {2.5, .001, 20}, {3.2, .003, 20}}

const (
	filterReach = 20 // the longest
	cutOff      = 4  // a quarter of the range nearby, on each side
)

// filters are the inverse filters of the focuses, from the middle outwards.
var filters = sync.OnceValue(func() (all [len(focuses)][filterReach + 1]float32) {
	const n = 1024
	for k, focus := range focuses {
		for i := range all[k] {
			for j := range n {
				f := float64(j)/n - .5
				h := math.Exp(-2 * math.Pi * math.Pi * focus.sigma * focus.sigma * f * f)
				all[k][i] += float32(h / (h*h + focus.noise) * (1 + focus.noise) * math.Cos(2*math.Pi*f*float64(i)) / n)
			}
		}
	}
	return all
})

// refocused gives a line with the blur undone.
func (r *reader) refocused(line []int32, focus int) []int32 {
	all := filters()
	filter := &all[focus-1]
	r.span(line)
	out := append(r.sharp[:0], line...)
	last, reach := len(line)-1, focuses[focus-1].reach
	for x := range line {
		v := filter[0] * float32(line[x])
		if x >= reach && x+reach <= last {
			for i := 1; i <= reach; i++ {
				v += filter[i] * float32(line[x-i]+line[x+i])
			}
		} else {
			for i := 1; i <= reach; i++ {
				v += filter[i] * float32(line[max(x-i, 0)]+line[min(x+i, last)])
			}
		}
		lo, hi := r.low[x/block], r.high[x/block]
		cut := (hi - lo) / cutOff
		out[x] = min(max(int32(v), lo+cut), hi-cut)
	}
	r.sharp = out
	return out
}

// quiet reports whether the quiet zones beside a symbol are quiet in the line
// as it was: what the filter makes of marks beside a symbol can look like one.
func quiet(line []int32, h hit) bool {
	module := (h.bars.end - h.bars.begin) / float64(3*h.bars.bars)
	inside := line[max(int(h.bars.begin), 0):min(int(h.bars.end), len(line))]
	if len(inside) == 0 {
		return false
	}
	limit := (slices.Max(inside) - slices.Min(inside)) / 5
	for _, zone := range [2][2]float64{
		{h.bars.begin - 5*module, h.bars.begin - 2*module}, {h.bars.end + 2*module, h.bars.end + 5*module},
	} {
		from, to := max(int(zone[0]), 0), min(int(zone[1]), len(line))
		if from < to && slices.Max(line[from:to])-slices.Min(line[from:to]) > limit {
			return false
		}
	}
	return true
}
