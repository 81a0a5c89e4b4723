package scanner

import (
	"image"

	"github.com/makiuchi-d/gozxing"
)

// A plane is the grey values of a picture, 0 black to 255 white, row by row.
// It is what gozxing calls a luminance source.
type plane struct {
	gozxing.LuminanceSourceBase
	pix []byte
}

func newPlane(w, h int) *plane {
	return &plane{gozxing.LuminanceSourceBase{Width: w, Height: h}, make([]byte, w*h)}
}

// GetRow gives row y, without copying it.
func (p *plane) GetRow(y int, _ []byte) ([]byte, error) {
	return p.pix[y*p.Width : (y+1)*p.Width], nil
}

// GetMatrix gives all rows.
func (p *plane) GetMatrix() []byte { return p.pix }

// Invert gives the negative.
func (p *plane) Invert() gozxing.LuminanceSource { return p.inverted() }

func (p *plane) String() string { return gozxing.LuminanceSourceString(p) }

func (p *plane) inverted() *plane {
	q := newPlane(p.Width, p.Height)
	for i, v := range p.pix {
		q.pix[i] = 255 - v
	}
	return q
}

// turned gives the plane turned clockwise by quarters.
func (p *plane) turned(quarters int) *plane {
	w, h := p.Width, p.Height
	switch quarters & 3 {
	case 1:
		q := newPlane(h, w)
		for y := range h {
			for x, v := range p.pix[y*w : (y+1)*w] {
				q.pix[x*h+h-1-y] = v
			}
		}
		return q
	case 2:
		q := newPlane(w, h)
		for i, v := range p.pix {
			q.pix[len(q.pix)-1-i] = v
		}
		return q
	case 3:
		q := newPlane(h, w)
		for y := range h {
			for x, v := range p.pix[y*w : (y+1)*w] {
				q.pix[(w-1-x)*h+y] = v
			}
		}
		return q
	}
	return p
}

// mirrored gives the plane with left and right exchanged.
func (p *plane) mirrored() *plane {
	w := p.Width
	q := newPlane(w, p.Height)
	for y := range p.Height {
		for x, v := range p.pix[y*w : (y+1)*w] {
			q.pix[y*w+w-1-x] = v
		}
	}
	return q
}

// cropped gives the part inside r, which must lie inside the plane.
func (p *plane) cropped(r image.Rectangle) *plane {
	q := newPlane(r.Dx(), r.Dy())
	for y := range q.Height {
		from := (r.Min.Y+y)*p.Width + r.Min.X
		copy(q.pix[y*q.Width:(y+1)*q.Width], p.pix[from:])
	}
	return q
}

// grey gives the grey values of a picture: the luminance of a JPEG as it
// stands in the file, colours by weight (ITU-R BT.601), what is transparent
// as white. Rows of luminance that follow one another are not copied; nobody
// writes into a plane that is made.
func grey(pic image.Image) *plane {
	b := pic.Bounds()
	w, h := b.Dx(), b.Dy()
	switch src := pic.(type) {
	case *image.Gray:
		return packed(src.Pix[src.PixOffset(b.Min.X, b.Min.Y):], src.Stride, w, h)
	case *image.YCbCr:
		return packed(src.Y[src.YOffset(b.Min.X, b.Min.Y):], src.YStride, w, h)
	case *image.Paletted:
		return ofPalette(src)
	}
	p := newPlane(w, h)
	for y := range h {
		greyRow(p.pix[y*w:(y+1)*w], pic, b.Min.X, b.Min.Y+y)
	}
	return p
}

// ofPalette gives the plane of a picture of few colours.
func ofPalette(src *image.Paletted) *plane {
	var shades [256]byte
	for i, c := range src.Palette {
		shades[i] = shade(c.RGBA())
	}
	p := packed(src.Pix[src.PixOffset(src.Rect.Min.X, src.Rect.Min.Y):], src.Stride, src.Rect.Dx(), src.Rect.Dy())
	q := newPlane(p.Width, p.Height)
	for i, v := range p.pix {
		q.pix[i] = shades[v]
	}
	return q
}

// packed gives a plane of rows that begin stride bytes apart.
func packed(pix []byte, stride, w, h int) *plane {
	if stride == w {
		return &plane{gozxing.LuminanceSourceBase{Width: w, Height: h}, pix[:w*h]}
	}
	p := newPlane(w, h)
	for y := range h {
		copy(p.pix[y*w:(y+1)*w], pix[y*stride:])
	}
	return p
}

// greyRow sets row to the grey values of a picture from x, y to the right.
func greyRow(row []byte, pic image.Image, x, y int) {
	switch src := pic.(type) {
	case *image.NRGBA:
		line := src.Pix[src.PixOffset(x, y):]
		for i := range row {
			c := line[4*i : 4*i+4]
			v := weighed(c)
			row[i] = byte((v*uint32(c[3]) + 255*(255-uint32(c[3]))) / 255)
		}
	case *image.RGBA: // colours are multiplied by how opaque they are
		line := src.Pix[src.PixOffset(x, y):]
		for i := range row {
			c := line[4*i : 4*i+4]
			row[i] = byte(min(weighed(c)+255-uint32(c[3]), 255))
		}
	case image.RGBA64Image:
		for i := range row {
			row[i] = shade(src.RGBA64At(x+i, y).RGBA())
		}
	default:
		for i := range row {
			row[i] = shade(pic.At(x+i, y).RGBA())
		}
	}
}

// weighed gives the grey of red, green and blue.
func weighed(c []byte) uint32 {
	return (299*uint32(c[0]) + 587*uint32(c[1]) + 114*uint32(c[2])) / 1000
}

// shade is the grey of a premultiplied colour on white.
func shade(r, g, b, a uint32) byte {
	return byte(((299*r+587*g+114*b)/1000 + 0xffff - a) >> 8)
}

// A view is a plane made from the picture, and the way back: a point of the
// plane is x*ax + y*bx + cx, x*ay + y*by + cy in the picture.
type view struct {
	*plane
	ax, bx, cx, ay, by, cy float64
}

func wholeView(p *plane) view { return view{plane: p, ax: 1, by: 1} }

// back gives the place in the picture of a point in the view.
func (v view) back(x, y float64) point {
	return point{v.ax*x + v.bx*y + v.cx, v.ay*x + v.by*y + v.cy}
}

// through gives the view whose points are those of v at x*ax + ... .
func (v view) through(p *plane, ax, bx, cx, ay, by, cy float64) view {
	o := v.back(cx, cy)
	return view{
		p,
		v.ax*ax + v.bx*ay, v.ax*bx + v.bx*by, o.x,
		v.ay*ax + v.by*ay, v.ay*bx + v.by*by, o.y,
	}
}

// turnedBy gives the view turned clockwise by quarters.
func (v view) turnedBy(quarters int) view {
	w, h := float64(v.Width-1), float64(v.Height-1)
	p := v.turned(quarters)
	switch quarters & 3 {
	case 1:
		return v.through(p, 0, 1, 0, -1, 0, h)
	case 2:
		return v.through(p, -1, 0, w, 0, -1, h)
	case 3:
		return v.through(p, 0, -1, w, 1, 0, 0)
	}
	return v
}

// negative gives the view with black and white exchanged.
func (v view) negative() view {
	v.plane = v.inverted()
	return v
}

// cut gives the part of the view inside r.
func (v view) cut(r image.Rectangle) view {
	r = r.Intersect(image.Rect(0, 0, v.Width, v.Height))
	return v.through(v.cropped(r), 1, 0, float64(r.Min.X), 0, 1, float64(r.Min.Y))
}

// halved gives the view at half its size, four points to one.
func (v view) halved() view {
	w, h := v.Width/2, v.Height/2
	p := newPlane(w, h)
	for y := range h {
		a := v.pix[2*y*v.Width:]
		b := v.pix[(2*y+1)*v.Width:]
		for x := range w {
			p.pix[y*w+x] = byte((int(a[2*x]) + int(a[2*x+1]) + int(b[2*x]) + int(b[2*x+1]) + 2) / 4)
		}
	}
	return v.through(p, 2, 0, .5, 0, 2, .5)
}

// between gives the grey value at a place between points, outside the plane
// that of the nearest point.
func (p *plane) between(x, y float64) byte {
	x = min(max(x, 0), float64(p.Width-1))
	y = min(max(y, 0), float64(p.Height-1))
	x0, y0 := int(x), int(y)
	x1, y1 := min(x0+1, p.Width-1), min(y0+1, p.Height-1)
	fx, fy := int((x-float64(x0))*256), int((y-float64(y0))*256)
	a, b := int(p.pix[y0*p.Width+x0]), int(p.pix[y0*p.Width+x1])
	c, d := int(p.pix[y1*p.Width+x0]), int(p.pix[y1*p.Width+x1])
	top, low := a<<8+(b-a)*fx, c<<8+(d-c)*fx
	return byte((top<<8 + (low-top)*fy) >> 16)
}

// sharpened gives the view with what differs from its surroundings, radius
// pixels around, made gain times as strong: what a lens out of focus has
// flattened.
func (v view) sharpened(radius int, gain float64) view {
	soft := v.smoothed(radius).turned(1)
	soft = view{plane: soft}.smoothed(radius).turned(3)
	p := newPlane(v.Width, v.Height)
	for i, x := range v.pix {
		p.pix[i] = byte(min(max(float64(x)+gain*(float64(x)-float64(soft.pix[i])), 0), 255))
	}
	v.plane = p
	return v
}

// smoothed gives the plane with each point the mean of 2*radius+1 in its row,
// twice, which is nearly a bell curve.
func (p *plane) smoothed(radius int) *plane {
	q := newPlane(p.Width, p.Height)
	w := p.Width
	once := make([]byte, w)
	for y := range p.Height {
		mean(once, p.pix[y*w:(y+1)*w], radius)
		mean(q.pix[y*w:(y+1)*w], once, radius)
	}
	return q
}

// mean sets each of to to the mean of those of from that are at most radius
// away.
func mean(to, from []byte, radius int) {
	sum, n := 0, 0
	for x := -radius; x < len(from); x++ {
		if x+radius < len(from) {
			sum += int(from[x+radius])
			n++
		}
		if x-radius > 0 {
			sum -= int(from[x-radius-1])
			n--
		}
		if x >= 0 {
			to[x] = byte(sum / n)
		}
	}
}
