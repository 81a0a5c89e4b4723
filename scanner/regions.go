package scanner

import (
	"cmp"
	"image"
	"slices"
)

// More than a first look is only taken at regions: places where light and
// dark change within a few points, grown together, which have quiet around
// them and change about as often along rows as along columns. Bars, grain and
// what fills the picture have not.

const (
	regionLayers  = 3   // sizes of cells that are looked at
	mostRegions   = 8   // of one picture
	mostInRegions = 400 // thousand points in all of them
	longest       = 5   // times as long as wide
	lopsided      = 3   // times as many changes along one side as along the other
	regionLines   = 8   // looked at along each side
)

// regions gives the regions of k, the busiest first.
func (k *ink) regions() (all []image.Rectangle) {
	whole := image.Rect(0, 0, k.Width, k.Height)
	for n := range min(regionLayers, len(k.layers)) {
		l, side := &k.layers[n], cellSide<<n
		busy := make([]bool, l.w*l.h)
		for i := range busy {
			d := l.hi[i] - l.lo[i]
			busy[i] = d >= leastContrast && d >= l.spread[i]/2
		}
		for i := range busy {
			if !busy[i] {
				continue
			}
			c := grow(busy, l.w, i)
			box := image.Rect(c.Min.X*side, c.Min.Y*side, c.Max.X*side, c.Max.Y*side).Intersect(whole)
			short, long := min(c.Dx(), c.Dy()), max(c.Dx(), c.Dy())
			if short < 2 || long > longest*short || touching(box, whole) > 1 || !k.woven(box) {
				continue
			}
			if !slices.ContainsFunc(all, func(r image.Rectangle) bool { return box.In(r.Inset(-side)) && 2*r.Dx() < 3*box.Dx() }) {
				all = append(all, box.Inset(-side).Intersect(whole))
			}
		}
	}
	all = k.busiest(all)
	points := 0
	for i, r := range all {
		if points += r.Dx() * r.Dy(); i == mostRegions || points > mostInRegions*1000 {
			return all[:i]
		}
	}
	return all
}

// busiest gives boxes, those first that change most for their size.
func (k *ink) busiest(all []image.Rectangle) []image.Rectangle {
	type busy struct {
		box     image.Rectangle
		density float64
	}
	boxes := make([]busy, len(all))
	for i, b := range all {
		boxes[i] = busy{b, k.density(b)}
	}
	slices.SortStableFunc(boxes, func(a, b busy) int { return cmp.Compare(b.density, a.density) })
	for i, b := range boxes {
		all[i] = b.box
	}
	return all
}

// touching counts the sides of whole that a box lies at.
func touching(box, whole image.Rectangle) (n int) {
	for _, at := range [4]bool{
		box.Min.X <= whole.Min.X, box.Min.Y <= whole.Min.Y, box.Max.X >= whole.Max.X, box.Max.Y >= whole.Max.Y,
	} {
		if at {
			n++
		}
	}
	return n
}

// woven reports whether a box changes about as often along its rows as along
// its columns.
func (k *ink) woven(box image.Rectangle) bool {
	a, b := k.changesIn(box)
	// by length, for a box that is longer than wide
	a, b = a*box.Dy(), b*box.Dx()
	return min(a, b) > 0 && max(a, b) <= lopsided*min(a, b)
}

// density is how many changes a box has for its size.
func (k *ink) density(box image.Rectangle) float64 {
	a, b := k.changesIn(box)
	return float64(a)/float64(box.Dx()) + float64(b)/float64(box.Dy())
}

// changesIn counts the changes between dark and light along some rows and some
// columns of a box.
func (k *ink) changesIn(box image.Rectangle) (along, down int) {
	for i := range regionLines {
		x := float64(box.Min.X) + (float64(i)+.5)*float64(box.Dx())/regionLines - .5
		y := float64(box.Min.Y) + (float64(i)+.5)*float64(box.Dy())/regionLines - .5
		was := false
		for n := range box.Dx() {
			if now := k.dark(float64(box.Min.X+n), y); now != was {
				was = now
				along++
			}
		}
		was = false
		for n := range box.Dy() {
			if now := k.dark(x, float64(box.Min.Y+n)); now != was {
				was = now
				down++
			}
		}
	}
	return along, down
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
