package scanner

import (
	"image"
	"slices"
)

// Stripes as large as this are worth telling: an EAN-8 of the smallest print
// that a phone resolves.
const (
	tellAcross = 90 // pixels
	tellAlong  = 16
)

// places gives the stripes that are worth telling, each once, without those
// that are told as refused.
func (r *reader) places(left []stripe, refused []Refused) (all []Place) {
	for _, s := range left {
		c := s.center()
		mid := image.Pt(int(c.x), int(c.y))
		if s.across < tellAcross || s.along < tellAlong || !r.barred(s) ||
			slices.ContainsFunc(all, func(q Place) bool { return mid.In(q.Box) }) ||
			slices.ContainsFunc(refused, func(r Refused) bool { return quadOf(r.Corners).holds(c, 8) }) {
			continue
		}
		all = append(all, Place{1, s.box})
	}
	return all
}

// barred reports whether a stripe has as many bars as a symbol, and the same
// ones above and below its middle. Print has not.
func (r *reader) barred(s stripe) bool {
	b := s.band(0)
	line := r.sample(b, 0, 1)
	if len(r.peaks(line, 9, 6*depth)) < 2*fewestBar {
		return false
	}
	middle := slices.Clone(line)
	return alike(middle, r.sample(b, -s.along/4, 1)) && alike(middle, r.sample(b, s.along/4, 1))
}
