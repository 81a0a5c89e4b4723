package scanner

import (
	"encoding/binary"
	word "math/bits"
)

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
	looked  int // at points, since of
	most    int // points that may be looked at before the search ends
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
	k.plane, k.looked = p, len(p.pix)
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

// Eight points are looked at in one word: high and ones are the highest and
// the lowest bits of its bytes.
const (
	high = 0x8080808080808080
	ones = 0x0101010101010101
)

// below gives a word with the highest bit set of those bytes of x that are
// less than those of y.
func below(x, y uint64) uint64 {
	return (^x&y | ^(x^y)&^((x|high)-(y&^high))) & high
}

// both gives the lesser and the greater of each two bytes.
func both(x, y uint64) (lesser, greater uint64) {
	m := below(x, y)
	m |= m - m>>7 // 255 where x is less
	return x&m | y&^m, y&m | x&^m
}

// measure takes darkest and lightest points from the plane.
func (l *layer) measure(p *plane) {
	w := p.Width
	for cy := range l.h {
		rows := p.pix[cy*cellSide*w : min((cy+1)*cellSide, p.Height)*w]
		for cx := range l.w {
			x := cx * cellSide
			i := cy*l.w + cx
			if x+cellSide > w {
				l.lo[i], l.hi[i] = 255, 0
				for at := x; at < len(rows); at += w {
					for _, v := range rows[at : at+w-x] {
						l.lo[i], l.hi[i] = min(l.lo[i], v), max(l.hi[i], v)
					}
				}
				continue
			}
			lo, hi := ^uint64(0), uint64(0)
			for at := x; at < len(rows); at += w {
				v := binary.LittleEndian.Uint64(rows[at:])
				if v == lo && v == hi {
					continue
				}
				lo, _ = both(lo, v)
				_, hi = both(hi, v)
			}
			lo, _ = both(lo, lo>>32|lo<<32)
			lo, _ = both(lo, lo>>16|lo<<48)
			lo, _ = both(lo, lo>>8|lo<<56)
			_, hi = both(hi, hi>>32|hi<<32)
			_, hi = both(hi, hi>>16|hi<<48)
			_, hi = both(hi, hi>>8|hi<<56)
			l.lo[i], l.hi[i] = byte(lo), byte(hi)
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
// cells above; a cell without contrast is all dark or all light then.
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
			need, middle, spread := byte(leastContrast), byte(0), byte(0)
			if above != nil {
				j := y/2*above.w + x/2
				middle, spread = above.middle[j], above.spread[j]
				need = max(need, spread/4)
			}
			if hi-lo >= need {
				middle, spread = byte((int(lo)+int(hi)+1)/2), hi-lo
			} else if own := (int(l.lo[i]) + int(l.hi[i])) / 2; own < int(middle) {
				middle = max(middle, l.hi[i]+1)
			} else {
				middle = min(middle, l.lo[i])
			}
			l.middle[i], l.spread[i] = middle, spread
		}
	}
}

// spent reports whether as much was looked at as may be.
func (k *ink) spent() bool { return k.looked > k.most }

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
		los, his, middles := l.lo[at:at+l.w], l.hi[at:at+l.w], l.middle[at:at+l.w]
		dark := uint64(0) // 1 if the point before is
		for c, middle := range middles {
			if los[c] >= middle && dark == 0 || his[c] < middle && dark == 1 {
				continue
			}
			from := c * cellSide
			var set uint64 // a bit for each dark point, the first lowest
			n := min(cellSide, len(row)-from)
			if n == cellSide {
				v := binary.LittleEndian.Uint64(row[from:])
				set = below(v, ones*uint64(middle)) >> 7 * 0x0102040810204080 >> 56
			} else {
				for i, v := range row[from:] {
					if v < middle {
						set |= 1 << i
					}
				}
			}
			turns := (set ^ (set<<1 | dark)) & (1<<n - 1)
			for ; turns != 0; turns &= turns - 1 {
				k.changes = append(k.changes, int32(from+word.TrailingZeros64(turns)))
			}
			dark = set >> (n - 1) & 1
		}
		if dark == 1 {
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
