package scanner

import "math"

// Two sightings of linear symbols above one another may be one symbol: rows
// in between were scratched, or said something else. They are one where the
// pattern of light and dark goes on from one to the other. Stickers of one
// kind have a white edge and a line of print between them, a gap of at least
// maxBreak of the symbol's width.
const maxBreak = .04

// A line runs from where one begins to read to where one ends.
type line struct{ a, b point }

func (l line) length() float64 { return math.Hypot(l.b.x-l.a.x, l.b.y-l.a.y) }

func (l line) at(t float64) point {
	return point{l.a.x + t*(l.b.x-l.a.x), l.a.y + t*(l.b.y-l.a.y)}
}

// along gives how far p lies along l, 0 at a and 1 at b.
func (l line) along(p point) float64 {
	dx, dy := l.b.x-l.a.x, l.b.y-l.a.y
	return ((p.x-l.a.x)*dx + (p.y-l.a.y)*dy) / (dx*dx + dy*dy)
}

// mix gives the line between l and m at share t of the way.
func (l line) mix(m line, t float64) line {
	return line{line{l.a, m.a}.at(t), line{l.b, m.b}.at(t)}
}

func (q quad) top() line { return line{q[0], q[1]} }
func (q quad) low() line { return line{q[3], q[2]} }

// goesOn reports whether the bars of the shorter of two symbols go on to the
// longer one.
func (r *reader) goesOn(s, t quad) bool {
	if s.top().length() > t.top().length() {
		s, t = t, s
	}
	from, to := facing(s, t)
	if from.length() < 8 || to.length() < 8 {
		return false
	}
	a, b := to.along(from.a), to.along(from.b)
	if a > b || a < -.12 || b > 1.12 {
		return false
	}
	to = line{to.at(a), to.at(b)}
	mid := line{from.at(.5), to.at(.5)}.length()
	if mid > 2*from.length() {
		return false
	}
	r.want = append(r.want[:0], r.profile(from)...)
	least := changing(r.want) / 3 // shading goes on, too, but does not go up and down
	steps := int(mid) + 1
	missing := 0.0
	for i := 1; i < steps; i++ {
		if now := r.profile(from.mix(to, float64(i)/float64(steps))); changing(now) >= least && alike(r.want, now) {
			r.want, missing = append(r.want[:0], now...), 0 // crumpled bars change little by little
			continue
		}
		if missing += mid / float64(steps); missing > max(4, maxBreak*from.length()) {
			return false
		}
	}
	return true
}

// facing gives the edges of s and t that lie nearest to one another.
func facing(s, t quad) (from, to line) {
	best := math.Inf(1)
	for _, l := range []line{s.top(), s.low()} {
		for _, m := range []line{t.top(), t.low()} {
			if d := (line{l.at(.5), m.at(m.along(l.at(.5)))}).length(); d < best {
				best, from, to = d, l, m
			}
		}
	}
	return from, to
}

// profile gives the grey values along l, times depth, one a pixel.
func (r *reader) profile(l line) []int32 {
	n := int(l.length()) + 1
	b := band{origin: l.a, along: point{(l.b.x - l.a.x) / float64(n), (l.b.y - l.a.y) / float64(n)}, n: n}
	return r.sample(b, 0, 1)
}

// changing gives by how much a profile goes up and down for each of its points.
func changing(a []int32) int {
	n := 0
	for i := 1; i < len(a); i++ {
		n += abs(int(a[i] - a[i-1]))
	}
	return n / len(a)
}

// alike reports whether two profiles rise and fall together: correlation of
// one half at least, the best of small shifts. The second is stretched to the
// length of the first.
func alike(a, b []int32) bool {
	for _, shift := range [5]int{0, -1, 1, -2, 2} {
		var n, sa, sb, saa, sbb, sab int
		stretch := len(b) << 16 / len(a)
		for i, u := range a {
			j := i*stretch>>16 + shift
			if j < 0 || j >= len(b) {
				continue
			}
			u, v := int(u), int(b[j])
			n++
			sa += u
			sb += v
			saa += u * u
			sbb += v * v
			sab += u * v
		}
		if n == 0 {
			continue
		}
		va, vb, ab := float64(n*saa-sa*sa), float64(n*sbb-sb*sb), float64(n*sab-sa*sb)
		if va > 0 && vb > 0 && ab > .5*math.Sqrt(va*vb) {
			return true
		}
	}
	return false
}

// spanned gives the quad from the top of the upper to the low edge of the
// lower of two quads of one symbol.
func spanned(s, t quad) quad {
	down := func(q quad) float64 { // how far q's middle lies below the top of s
		l := s.top()
		m := q.center()
		return (l.b.x-l.a.x)*(m.y-l.a.y) - (l.b.y-l.a.y)*(m.x-l.a.x)
	}
	if down(t) < down(s) {
		s, t = t, s
	}
	return quad{s[0], s[1], t[2], t[3]}
}

// extended gives q with its top and low edge moved outwards as far as the
// bars go on.
func (r *reader) extended(q quad) quad {
	dx, dy := q[1].x-q[0].x, q[1].y-q[0].y
	length := math.Hypot(dx, dy)
	if length < 8 {
		return q
	}
	down := point{-dy / length, dx / length} // below, as one reads
	q[3], q[2] = r.follow(line{q[3], q[2]}, down)
	q[0], q[1] = r.follow(line{q[0], q[1]}, point{-down.x, -down.y})
	return q
}

// follow moves l by pixels in one direction until three in a row look other
// than l, and gives its ends where it last looked the same.
func (r *reader) follow(l line, by point) (a, b point) {
	r.want = append(r.want[:0], r.profile(l)...)
	last := l
	for n, misses := 1.0, 0; misses < 3; n++ {
		m := line{point{l.a.x + n*by.x, l.a.y + n*by.y}, point{l.b.x + n*by.x, l.b.y + n*by.y}}
		if !r.picture.holds(m.a) || !r.picture.holds(m.b) {
			break
		}
		if misses++; alike(r.want, r.profile(m)) {
			misses, last = 0, m
		}
	}
	return last.a, last.b
}

func (p *plane) holds(q point) bool {
	return q.x >= 0 && q.y >= 0 && q.x <= float64(p.Width-1) && q.y <= float64(p.Height-1)
}
