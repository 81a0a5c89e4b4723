package scanner

import (
	"math"
	"slices"
)

// A band is where bars are looked for: lines of n points that begin at
// origin, each next point by along further, each next line by down.
type band struct {
	origin, along, down point
	n                   int
}

// at gives the place of point x of line y.
func (b band) at(x, y float64) point {
	return point{
		b.origin.x + x*b.along.x + y*b.down.x,
		b.origin.y + x*b.along.y + y*b.down.y,
	}
}

// depth is how many steps a grey value of a line has.
const depth = 16

// sample gives the grey values of line y of a band, times depth. So many
// lines around it, one pixel apart, are averaged.
func (r *reader) sample(b band, y float64, lines int) []int32 {
	out := slices.Grow(r.line[:0], b.n)[:b.n]
	clear(out)
	r.line = out
	r.spend(b.n * lines)
	for i := range lines {
		r.picture.sample(b, y+float64(i)-float64(lines-1)/2, out)
	}
	if lines > 1 {
		for i := range out {
			out[i] /= int32(lines)
		}
	}
	return out
}

// sample adds the grey values of line y of b, times depth. What lies outside
// the picture is like its edge.
func (p *plane) sample(b band, y float64, out []int32) {
	at, end := b.at(0, y), b.at(float64(b.n-1), y)
	if !whole(at) || !whole(b.along) || !p.holds(at) || !p.holds(end) {
		p.sampleBetween(at, b.along, out)
		return
	}
	i, step := int(at.y)*p.Width+int(at.x), int(b.along.y)*p.Width+int(b.along.x)
	for j := range out {
		out[j] += depth * int32(p.pix[i])
		i += step
	}
}

func whole(p point) bool { return p.x == math.Trunc(p.x) && p.y == math.Trunc(p.y) }

// sampleBetween is sample by linear interpolation.
func (p *plane) sampleBetween(at, along point, out []int32) {
	if p.Width < 2 || p.Height < 2 {
		return
	}
	const one = 1 << 16
	x, y := int(at.x*one), int(at.y*one)
	dx, dy := int(math.Round(along.x*one)), int(math.Round(along.y*one))
	endX, endY := (p.Width-1)*one-1, (p.Height-1)*one-1
	for i := range out {
		px, py := min(max(x, 0), endX), min(max(y, 0), endY)
		fx, fy := int32(px>>8&255), int32(py>>8&255)
		j := py>>16*p.Width + px>>16
		top := p.pix[j : j+2]
		low := p.pix[j+p.Width : j+p.Width+2]
		a := int32(top[0])<<8 + (int32(top[1])-int32(top[0]))*fx
		c := int32(low[0])<<8 + (int32(low[1])-int32(low[0]))*fx
		out[i] += (a + (c-a)*fy>>8) >> 4
		x, y = x+dx, y+dy
	}
}
