package scanner

import (
	"cmp"
	"image"
	"slices"
)

// Data Matrix symbols have no mark that can be looked for in the whole
// picture, so the detector is pointed at regions: places where light and dark
// change within a few pixels, grown together, not longer than four times
// their width.

const (
	regionContrast = 40 // least difference of grey in a busy cell
	mostRegions    = 40
)

// regions gives the busy places of p for one size of cell, the largest first.
func regions(p *plane, cell int) []image.Rectangle {
	w, h := p.Width/cell, p.Height/cell
	if w < 2 || h < 2 {
		return nil
	}
	busy := make([]bool, w*h)
	for i := range busy {
		busy[i] = p.contrast(i%w*cell, i/w*cell, cell) >= regionContrast
	}
	var all []image.Rectangle
	for i := range busy {
		if !busy[i] {
			continue
		}
		r := grow(busy, w, i)
		long, short := max(r.Dx(), r.Dy()), min(r.Dx(), r.Dy())
		if short >= 2 && long <= 4*short {
			all = append(all, image.Rect(r.Min.X*cell, r.Min.Y*cell, r.Max.X*cell, r.Max.Y*cell))
		}
	}
	slices.SortStableFunc(all, func(a, b image.Rectangle) int { return cmp.Compare(b.Dx()*b.Dy(), a.Dx()*a.Dy()) })
	return all[:min(len(all), mostRegions)]
}

// contrast gives the difference of lightest and darkest in a square cell.
func (p *plane) contrast(x, y, cell int) int {
	lo, hi := byte(255), byte(0)
	for dy := range cell {
		for _, v := range p.pix[(y+dy)*p.Width+x : (y+dy)*p.Width+x+cell] {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	return int(hi) - int(lo)
}

// grow gives the box around the busy cells that hang together with cell i, by
// sides or corners, and makes them idle.
func grow(busy []bool, w, i int) image.Rectangle {
	busy[i] = false
	box := image.Rect(i%w, i/w, i%w+1, i/w+1)
	stack := []int{i}
	for len(stack) > 0 {
		i = stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		x := i % w
		box = box.Union(image.Rect(x, i/w, x+1, i/w+1))
		for dy := -w; dy <= w; dy += w {
			for dx := -1; dx <= 1; dx++ {
				j := i + dy + dx
				if x+dx >= 0 && x+dx < w && j >= 0 && j < len(busy) && busy[j] {
					busy[j] = false
					stack = append(stack, j)
				}
			}
		}
	}
	return box
}
