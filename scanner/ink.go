package scanner

// Dark and light are told apart against the nearest surroundings that have
// both: cells of the plane know their darkest and lightest point, four cells
// make one of the next size up, and a cell takes the middle between dark and
// light from the smallest size whose neighbourhood has enough contrast. A
// shadow changes little within such a neighbourhood, and the inside of a large
// dark area gets its middle from a size that reaches its rim.

const (
	cellSide      = 8  // points along a cell
	leastContrast = 12 // between dark and light, in grey values
)

// A layer is the cells of one size.
type layer struct {
	w, h   int
	lo, hi []byte // darkest and lightest point
	middle []byte // what is darker is dark; 0 where all is light
	spread []byte // contrast that middle was taken from
}

// An ink is a plane in dark and light.
type ink struct {
	*plane
	layers []layer
	// changes are the places where rows turn dark, light, dark ..., an even
	// number a row; those of row y begin at rows[y].
	changes []int32
	rows    []int32
}

// room gives n values of s, newly made if s has fewer.
func room[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n)
	}
	return s[:n]
}

// of sets k to the dark and light of p, which must have a point.
func (k *ink) of(p *plane) {
	k.plane = p
	w, h := (p.Width+cellSide-1)/cellSide, (p.Height+cellSide-1)/cellSide
	n := 0
	for ; ; n++ {
		if n == len(k.layers) {
			k.layers = append(k.layers, layer{})
		}
		k.layers[n].resize(w, h)
		if w == 1 && h == 1 {
			break
		}
		w, h = (w+1)/2, (h+1)/2
	}
	k.layers = k.layers[:n+1]
	k.layers[0].measure(p)
	for i := 1; i <= n; i++ {
		k.layers[i].gather(&k.layers[i-1])
	}
	for i := n; i >= 0; i-- {
		var above *layer
		if i < n {
			above = &k.layers[i+1]
		}
		k.layers[i].decide(above)
	}
	k.findChanges()
}

func (l *layer) resize(w, h int) {
	l.w, l.h = w, h
	l.lo, l.hi = room(l.lo, w*h), room(l.hi, w*h)
	l.middle, l.spread = room(l.middle, w*h), room(l.spread, w*h)
}

// measure takes darkest and lightest points from the plane.
func (l *layer) measure(p *plane) {
	for i := range l.lo {
		l.lo[i], l.hi[i] = 255, 0
	}
	for y := range p.Height {
		row := p.pix[y*p.Width : (y+1)*p.Width]
		los, his := l.lo[y/cellSide*l.w:][:l.w], l.hi[y/cellSide*l.w:][:l.w]
		for c := range los {
			lo, hi := los[c], his[c]
			if len(row) >= cellSide {
				q := row[:cellSide]
				lo = min(lo, q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
				hi = max(hi, q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
				row = row[cellSide:]
			} else {
				for _, v := range row {
					lo, hi = min(lo, v), max(hi, v)
				}
			}
			los[c], his[c] = lo, hi
		}
	}
}

// gather takes darkest and lightest points from the next smaller cells.
func (l *layer) gather(small *layer) {
	for i := range l.lo {
		l.lo[i], l.hi[i] = 255, 0
	}
	for y := range small.h {
		for x := range small.w {
			i, j := y/2*l.w+x/2, y*small.w+x
			l.lo[i], l.hi[i] = min(l.lo[i], small.lo[j]), max(l.hi[i], small.hi[j])
		}
	}
}

// decide sets the middles, from the neighbourhood of each cell or from the
// cells above.
func (l *layer) decide(above *layer) {
	for y := range l.h {
		for x := range l.w {
			lo, hi := byte(255), byte(0)
			for j := max(y-1, 0); j <= min(y+1, l.h-1); j++ {
				for i := j*l.w + max(x-1, 0); i <= j*l.w+min(x+1, l.w-1); i++ {
					lo, hi = min(lo, l.lo[i]), max(hi, l.hi[i])
				}
			}
			i := y*l.w + x
			need, middle := byte(leastContrast), byte(0)
			if above != nil {
				j := y/2*above.w + x/2
				need, middle = max(need, above.spread[j]/4), above.middle[j]
				l.spread[i] = above.spread[j]
			} else {
				l.spread[i] = 0
			}
			if hi-lo >= need {
				middle = byte((int(lo) + int(hi) + 1) / 2)
				l.spread[i] = hi - lo
			}
			l.middle[i] = middle
		}
	}
}

// findChanges goes through the rows; a cell that is all dark or all light is
// one step.
func (k *ink) findChanges() {
	l := &k.layers[0]
	k.changes = k.changes[:0]
	k.rows = room(k.rows, k.Height+1)
	for y := range k.Height {
		k.rows[y] = int32(len(k.changes))
		row := k.pix[y*k.Width : (y+1)*k.Width]
		at := y / cellSide * l.w
		dark := false
		for c := range l.w {
			middle := l.middle[at+c]
			if l.lo[at+c] >= middle && !dark || l.hi[at+c] < middle && dark {
				continue
			}
			from := c * cellSide
			for x, v := range row[from:min(from+cellSide, k.Width)] {
				if (v < middle) != dark {
					dark = !dark
					k.changes = append(k.changes, int32(from+x))
				}
			}
		}
		if dark {
			k.changes = append(k.changes, int32(k.Width))
		}
	}
	k.rows[k.Height] = int32(len(k.changes))
}

// middle gives the grey value between dark and light near a point, which may
// lie outside.
func (k *ink) middle(x, y float64) float64 {
	l := &k.layers[0]
	i := min(max(int(y), 0)/cellSide, l.h-1)*l.w + min(max(int(x), 0)/cellSide, l.w-1)
	return float64(l.middle[i])
}

// slack gives how far from the middle a value has to be to count as dark or
// light for sure.
func (k *ink) slack(x, y float64) float64 {
	l := &k.layers[0]
	return float64(l.spread[min(max(int(y), 0)/cellSide, l.h-1)*l.w+min(max(int(x), 0)/cellSide, l.w-1)]) / 12
}

// dark reports whether the point nearest to a place is dark; outside the
// plane nothing is.
func (k *ink) dark(x, y float64) bool {
	i, j := int(x+.5), int(y+.5)
	if x < -.5 || y < -.5 || i >= k.Width || j >= k.Height {
		return false
	}
	l := &k.layers[0]
	return k.pix[j*k.Width+i] < l.middle[j/cellSide*l.w+i/cellSide]
}
