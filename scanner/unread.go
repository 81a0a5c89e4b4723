package scanner

import (
	"image"
	"math"
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
func (p *plane) places(left []stripe, refused []Refused) (all []Place) {
	for _, s := range left {
		c := s.center()
		mid := image.Pt(int(c.x), int(c.y))
		if s.across < tellAcross || s.along < tellAlong || !p.barred(s) ||
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
func (p *plane) barred(s stripe) bool {
	sin, cos := math.Sincos(s.degrees * math.Pi / 180)
	across := func(off float64) []float64 {
		c := s.center()
		c.x, c.y = c.x-off*sin, c.y+off*cos
		half := s.across / 2
		return p.profile(line{point{c.x - half*cos, c.y - half*sin}, point{c.x + half*cos, c.y + half*sin}})
	}
	middle := across(0)
	row := make([]byte, len(middle))
	for i, v := range middle {
		row[i] = byte(v)
	}
	return len(peaks(row, nil)) >= 2*fewestBar &&
		alike(middle, across(-s.along/4)) && alike(middle, across(s.along/4))
}
