package sample

import "math"

// A canvas is a picture in shades that are not yet rounded.
type canvas struct {
	w, h int
	pix  []float32
}

func newCanvas(w, h int) *canvas { return &canvas{w, h, make([]float32, w*h)} }

func (c *canvas) set(x, y int, shade float64) { c.pix[y*c.w+x] = float32(shade) }

// get gives a shade; beyond the edge, that of the edge.
func (c *canvas) get(x, y int) float32 {
	return c.pix[min(max(y, 0), c.h-1)*c.w+min(max(x, 0), c.w-1)]
}

// between gives the shade between four pixels.
func (c *canvas) between(x, y float64) float32 {
	i, j := math.Floor(x), math.Floor(y)
	u, v := float32(x-i), float32(y-j)
	a, b := int(i), int(j)
	return (1-v)*((1-u)*c.get(a, b)+u*c.get(a+1, b)) + v*((1-u)*c.get(a, b+1)+u*c.get(a+1, b+1))
}

// blur is that of a lens out of focus, sigma in pixels.
func (c *canvas) blur(sigma float64) {
	if sigma <= 0 {
		return
	}
	reach := int(3*sigma) + 1
	weights := make([]float32, 2*reach+1)
	sum := float32(0)
	for i := range weights {
		d := float64(i-reach) / sigma
		weights[i] = float32(math.Exp(-d * d / 2))
		sum += weights[i]
	}
	for _, along := range [][2]int{{1, 0}, {0, 1}} {
		out := make([]float32, len(c.pix))
		for y := range c.h {
			for x := range c.w {
				v := float32(0)
				for i, w := range weights {
					v += w * c.get(x+along[0]*(i-reach), y+along[1]*(i-reach))
				}
				out[y*c.w+x] = v / sum
			}
		}
		c.pix = out
	}
}

// smear is that of a hand that moved by so many pixels.
func (c *canvas) smear(dx, dy float64) {
	steps := int(2*math.Hypot(dx, dy)) + 1
	if steps == 1 {
		return
	}
	out := make([]float32, len(c.pix))
	for y := range c.h {
		for x := range c.w {
			v := float32(0)
			for i := range steps {
				f := float64(i)/float64(steps-1) - 0.5
				v += c.between(float64(x)+f*dx, float64(y)+f*dy)
			}
			out[y*c.w+x] = v / float32(steps)
		}
	}
	c.pix = out
}
