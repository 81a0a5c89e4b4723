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
		if s.across < tellAcross || s.along < tellAlong || !r.barred(s, 1, fewestBar) ||
			slices.ContainsFunc(all, func(q Place) bool { return mid.In(q.Box) }) ||
			slices.ContainsFunc(refused, func(r Refused) bool { return quadOf(r.Corners).holds(c, 8) }) {
			continue
		}
		all = append(all, Place{1, s.box})
	}
	return all
}

// barred reports whether a stripe has so many bars, and the same ones above
// and below its middle. Print has not. Some lines are made one,
// which shows narrow bars that are blurred.
func (r *reader) barred(s stripe, lines, bars int) bool {
	b := s.band(0)
	line := r.sample(b, 0, lines)
	r.bars(line, 0, lines > 1)
	if len(r.row.widths) < 2*bars {
		return false
	}
	r.base = append(r.base[:0], line...)
	return alike(r.base, r.sample(b, -s.along/4, lines)) && alike(r.base, r.sample(b, s.along/4, lines))
}
