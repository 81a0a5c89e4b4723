package scanner

import "image"

// Looks are what the symbols of a Picture, what was refused and what was not
// read look like, in the order of those lists: grey, upright as the picture,
// with some of what is around them. Those of nothing but a line are nil.
type Looks struct {
	Symbols, Refused, Unread []*image.Gray
}

// largestLook is how wide and high a look is at most, in pixels.
const largestLook = 480

// looks cuts out of a page what was seen on it.
func (p *plane) looks(one Picture) (l Looks) {
	for _, s := range one.Symbols {
		l.Symbols = append(l.Symbols, p.look(s.Bounds()))
	}
	for _, r := range one.Refused {
		l.Refused = append(l.Refused, p.look(bounds(r.Corners)))
	}
	for _, u := range one.Unread {
		l.Unread = append(l.Unread, p.look(u.Box))
	}
	return l
}

// look cuts out a box and what is around it: print stands mostly above and
// below.
func (p *plane) look(box image.Rectangle) *image.Gray {
	around := image.Pt(12+box.Dx()/8, 12+box.Dy()/2)
	box = image.Rectangle{Min: box.Min.Sub(around), Max: box.Max.Add(around)}.Intersect(image.Rect(0, 0, p.Width, p.Height))
	step := (max(box.Dx(), box.Dy()) + largestLook - 1) / largestLook
	if step == 0 || box.Dx() < step || box.Dy() < step {
		return nil
	}
	small := image.NewGray(image.Rect(0, 0, box.Dx()/step, box.Dy()/step))
	for y := range small.Rect.Dy() {
		for x := range small.Rect.Dx() {
			sum := 0
			for row := range step {
				from := (box.Min.Y+y*step+row)*p.Width + box.Min.X + x*step
				for _, v := range p.pix[from : from+step] {
					sum += int(v)
				}
			}
			small.Pix[y*small.Stride+x] = byte(sum / (step * step))
		}
	}
	return small
}

// add puts the looks of another page to the others.
func (l *Looks) add(other Looks) {
	l.Symbols = append(l.Symbols, other.Symbols...)
	l.Refused = append(l.Refused, other.Refused...)
	l.Unread = append(l.Unread, other.Unread...)
}
