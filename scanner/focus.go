package scanner

import (
	"math"
	"sync"
)

// Blur is undone along a line: a lens out of focus makes of each point a bell
// curve, and a line is made again by the filter that is nearly the inverse of
// that (Wiener's, which leaves alone what noise would swamp).

// focuses are the blurs that are undone: their standard deviation in pixels,
// and the power of noise to that of the bars.
var focuses = [...]struct{ sigma, noise float64 }{{1, .02}, {1.6, .02}, {2, .02}, {2.5, .003}, {3, .003}}

const filterReach = 20 // points on each side

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
	out := append(r.sharp[:0], line...)
	last := len(line) - 1
	for x := range line {
		v := filter[0] * float32(line[x])
		for i := 1; i <= filterReach; i++ {
			v += filter[i] * float32(line[max(x-i, 0)]+line[min(x+i, last)])
		}
		out[x] = int32(v)
	}
	r.sharp = out
	return out
}
