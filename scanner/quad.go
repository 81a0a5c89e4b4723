package scanner

import (
	"image"
	"math"
)

// A point is a place in the picture, in pixels.
type point struct{ x, y float64 }

// A quad is the four corners of a symbol in the order of Symbol.Corners.
type quad [4]point

// center gives the middle of the corners.
func (q quad) center() point {
	return point{(q[0].x + q[1].x + q[2].x + q[3].x) / 4, (q[0].y + q[1].y + q[2].y + q[3].y) / 4}
}

// holds reports whether p lies inside q or at most slack away from its box's
// sides.
func (q quad) holds(p point, slack float64) bool {
	sign := 0.0
	for i, a := range q {
		b := q[(i+1)%4]
		length := math.Hypot(b.x-a.x, b.y-a.y)
		if length == 0 {
			continue
		}
		side := ((b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x)) / length
		if math.Abs(side) <= slack {
			continue
		}
		if sign*side < 0 {
			return false
		}
		sign = side
	}
	x0, y0, x1, y1 := q.box()
	return p.x >= x0-slack && p.x <= x1+slack && p.y >= y0-slack && p.y <= y1+slack
}

// box gives the upright box around q.
func (q quad) box() (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = q[0].x, q[0].y, q[0].x, q[0].y
	for _, p := range q[1:] {
		x0, y0 = min(x0, p.x), min(y0, p.y)
		x1, y1 = max(x1, p.x), max(y1, p.y)
	}
	return x0, y0, x1, y1
}

// touches reports whether two symbols cover the same place: the middle of one
// lies in the other, or they cross, which printed symbols do not.
func (q quad) touches(r quad) bool {
	return q.holds(r.center(), 2) || r.holds(q.center(), 2) || q.crosses(r)
}

// crosses reports whether a diagonal of q crosses one of r.
func (q quad) crosses(r quad) bool {
	for i := range 2 {
		for j := range 2 {
			if apart(q[i], q[i+2], r[j], r[j+2]) && apart(r[j], r[j+2], q[i], q[i+2]) {
				return true
			}
		}
	}
	return false
}

// apart reports whether c and d lie on different sides of the line through a
// and b.
func apart(a, b, c, d point) bool {
	side := func(p point) float64 { return (b.x-a.x)*(p.y-a.y) - (b.y-a.y)*(p.x-a.x) }
	return side(c)*side(d) < 0
}

// area gives the surface inside q.
func (q quad) area() float64 {
	sum := 0.0
	for i, a := range q {
		b := q[(i+1)%4]
		sum += a.x*b.y - a.y*b.x
	}
	return math.Abs(sum) / 2
}

// larger gives the one of q and r with the larger area.
func larger(q, r quad) quad {
	if r.area() > q.area() {
		return r
	}
	return q
}

// quadOf gives rounded corners as a quad.
func quadOf(corners [4]image.Point) (q quad) {
	for i, c := range corners {
		q[i] = point{float64(c.X), float64(c.Y)}
	}
	return q
}

// corners rounds q to whole pixels.
func (q quad) corners() (c [4]image.Point) {
	for i, p := range q {
		c[i] = image.Pt(int(math.Round(p.x)), int(math.Round(p.y)))
	}
	return c
}
