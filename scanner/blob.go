package scanner

import "math"

// A blob is dark points that hang together by sides or corners.
type blob struct {
	x0, y0, x1, y1 int32 // box, the ends outside
	points         int32
	last           int32 // run, from which next leads to the others, upwards
}

// A blobber finds the blobs of an ink.
type blobber struct {
	parent, next, y []int32 // by run
	number          []int32 // of a root's blob
	all             []blob
	outline         []point
}

// find gives the blobs of k that are at least so many points wide and high.
func (b *blobber) find(k *ink, least int32) []blob {
	n := len(k.changes) / 2
	b.parent, b.next, b.y, b.number = room(b.parent, n), room(b.next, n), room(b.y, n), room(b.number, n)
	for i := range n {
		b.parent[i], b.number[i] = int32(i), -1
	}
	for y := range k.Height {
		i, end := k.rows[y]/2, k.rows[y+1]/2
		for j := i; j < end; j++ {
			b.y[j] = int32(y)
		}
		if y == 0 {
			continue
		}
		for up, upEnd := k.rows[y-1]/2, i; i < end && up < upEnd; {
			if k.changes[2*i] <= k.changes[2*up+1] && k.changes[2*up] <= k.changes[2*i+1] {
				b.join(i, up)
			}
			if k.changes[2*i+1] < k.changes[2*up+1] {
				i++
			} else {
				up++
			}
		}
	}
	b.all = b.all[:0]
	for i := range int32(n) {
		root := b.root(i)
		at := b.number[root]
		if at < 0 {
			at = int32(len(b.all))
			b.number[root] = at
			b.all = append(b.all, blob{math.MaxInt32, b.y[i], 0, 0, 0, -1})
		}
		s := &b.all[at]
		from, to := k.changes[2*i], k.changes[2*i+1]
		s.x0, s.x1, s.y1 = min(s.x0, from), max(s.x1, to), b.y[i]+1
		s.points += to - from
		b.next[i], s.last = s.last, i
	}
	large := b.all[:0]
	for _, s := range b.all {
		if s.x1-s.x0 >= least && s.y1-s.y0 >= least {
			large = append(large, s)
		}
	}
	return large
}

func (b *blobber) root(i int32) int32 {
	for b.parent[i] != i {
		b.parent[i] = b.parent[b.parent[i]]
		i = b.parent[i]
	}
	return i
}

func (b *blobber) join(i, j int32) {
	i, j = b.root(i), b.root(j)
	if i != j {
		b.parent[max(i, j)] = min(i, j)
	}
}

// hull gives the corners of the tightest band around the middles of the
// points of s, in the order top left, top right, ... as far as a polygon has
// such, without those that hardly stand out.
func (b *blobber) hull(k *ink, s *blob) []point {
	b.outline = b.outline[:0]
	// Left side from the bottom up, then the right side down.
	for side := range 2 {
		from := len(b.outline)
		add := func(p point) {
			for n := len(b.outline); n >= from+2; n = len(b.outline) {
				if turn(b.outline[n-2], b.outline[n-1], p) > 0 {
					break
				}
				b.outline = b.outline[:n-1]
			}
			b.outline = append(b.outline, p)
		}
		if side == 0 {
			for i := s.last; i >= 0; {
				y, x := b.y[i], k.changes[2*i]
				for ; i >= 0 && b.y[i] == y; i = b.next[i] {
					x = min(x, k.changes[2*i])
				}
				add(point{float64(x) + .5, float64(y) + .5})
			}
			continue
		}
		b.right(k, s, add)
	}
	size := float64(max(s.x1-s.x0, s.y1-s.y0))
	return sharp(simplified(b.outline, max(1.05, .015*size)), max(2.3, .1*size))
}

// right adds the right ends of the rows of s from top to bottom.
func (b *blobber) right(k *ink, s *blob, add func(point)) {
	h := int(s.y1 - s.y0)
	ends := room(b.number, h) // not needed any more
	for i := range ends {
		ends[i] = -1
	}
	for i := s.last; i >= 0; i = b.next[i] {
		row := b.y[i] - s.y0
		ends[row] = max(ends[row], k.changes[2*i+1]-1)
	}
	for row, x := range ends {
		if x >= 0 {
			add(point{float64(x) + .5, float64(s.y0) + float64(row) + .5})
		}
	}
}

// turn is positive if a, b, c turn clockwise, as seen with y down.
func turn(a, b, c point) float64 { return (b.x-a.x)*(c.y-b.y) - (b.y-a.y)*(c.x-b.x) }

// simplified takes corners away, the flattest first, while they are less than
// slack beside the line of their neighbours.
func simplified(poly []point, slack float64) []point {
	for len(poly) > 3 {
		flattest, at := slack, -1
		for i, p := range poly {
			a, c := poly[(i+len(poly)-1)%len(poly)], poly[(i+1)%len(poly)]
			length := math.Hypot(c.x-a.x, c.y-a.y)
			off := math.Hypot(p.x-a.x, p.y-a.y)
			if length > 0 {
				off = math.Abs(turn(a, p, c)) / length
			}
			if off < flattest {
				flattest, at = off, i
			}
		}
		if at < 0 {
			break
		}
		poly = append(poly[:at], poly[at+1:]...)
	}
	return poly
}

// sharp makes one corner of two that are at most so far apart, where the sides
// that lead there meet nearly square: blur has rounded it.
func sharp(poly []point, apart float64) []point {
	for i := 0; i < len(poly) && len(poly) > 4; i++ {
		n := len(poly)
		a, b, c, d := poly[i], poly[(i+1)%n], poly[(i+2)%n], poly[(i+3)%n]
		short, before, after := math.Hypot(c.x-b.x, c.y-b.y), math.Hypot(b.x-a.x, b.y-a.y), math.Hypot(d.x-c.x, d.y-c.y)
		cos := ((b.x-a.x)*(d.x-c.x) + (b.y-a.y)*(d.y-c.y)) / max(before*after, 1e-9)
		if short > apart || min(before, after) < 2*short || math.Abs(cos) > .5 {
			continue
		}
		if p, ok := (line{a, b}).meets(line{c, d}); ok {
			poly[(i+1)%n] = p
			j := (i + 2) % n
			poly = append(poly[:j], poly[j+1:]...)
			i = -1
		}
	}
	return poly
}
