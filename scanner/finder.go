package scanner

import "math"

// A finder is one of the three finder patterns of a QR symbol: a dark square
// of three modules in a light and a dark frame, so that every line through
// its middle sees dark, light, dark, light, dark as 1:1:3:1:1.
type finder struct {
	point
	module float64 // along rows and columns
	hits   int
}

const mostFinders = 48

// finders looks through the rows of k.
func (k *ink) finders(all []finder) []finder {
	all = all[:0]
	for y := range k.Height {
		c := k.changes[k.rows[y]:k.rows[y+1]]
		for i := 0; i+6 <= len(c); i += 2 {
			d := c[i : i+6]
			if oneOneThree(float64(d[1]-d[0]), float64(d[2]-d[1]), float64(d[3]-d[2]), float64(d[4]-d[3]), float64(d[5]-d[4])) {
				all = k.addFinder(all, float64(d[2]+d[3])/2, float64(y)+.5, float64(d[5]-d[0])/7)
			}
		}
		if len(all) >= mostFinders*4 {
			break
		}
	}
	return all
}

// oneOneThree reports whether runs are those of a finder pattern. Ink that
// spreads makes the dark ones wider by what it takes from the light ones, so
// the sums of neighbours count for more than the runs.
func oneOneThree(a, b, c, d, e float64) bool {
	m := (a + b + c + d + e) / 7
	near := func(x, want, slack float64) bool { return math.Abs(x-want*m) <= slack*m+.3 }
	return near(a+b, 2, .6) && near(d+e, 2, .6) && near(b+c, 4, .9) && near(c+d, 4, .9) &&
		near(a, 1, .7) && near(b, 1, .7) && near(c, 3, .9) && near(d, 1, .7) && near(e, 1, .7)
}

// addFinder looks at a place along its column and row again, and adds it to
// those found if it is a finder pattern there too.
func (k *ink) addFinder(all []finder, x, y, module float64) []finder {
	for i := range all {
		f := &all[i]
		if math.Abs(f.x-x) < 1.2*module && math.Abs(f.y-y) < 2*module && module < 1.5*f.module && f.module < 1.5*module {
			f.hits++
			return all
		}
	}
	x, y = math.Floor(x)+.5, math.Floor(y)+.5 // the middle of a point
	cy, my, ok := k.through(point{x, y}, point{0, 1}, module)
	if !ok {
		return all
	}
	y += cy
	cx, mx, ok := k.through(point{x, y}, point{1, 0}, module)
	if !ok || mx > 2*my || my > 2*mx {
		return all
	}
	return append(all, finder{point{x + cx, y}, (mx + my) / 2, 1})
}

// through goes from a place in the middle of a finder pattern along d and back
// and gives how far along d the middle is, and the module.
func (k *ink) through(p, d point, module float64) (middle, size float64, ok bool) {
	var ends [2][3]float64
	for side, sign := range [2]float64{-1, 1} {
		t, dark := 0.0, true
		for i := range ends[side] {
			from := t
			for t-from < 4*module+2 {
				t++
				if k.dark(p.x+sign*t*d.x-.5, p.y+sign*t*d.y-.5) != dark {
					break
				}
			}
			if t-from >= 4*module+2 {
				return 0, 0, false
			}
			dark = !dark
			ends[side][i] = t - .5
		}
	}
	l, r := ends[0], ends[1]
	if !oneOneThree(l[2]-l[1], l[1]-l[0], l[0]+r[0], r[1]-r[0], r[2]-r[1]) {
		return 0, 0, false
	}
	return (r[0] - l[0] + r[1] - l[1] + r[2] - l[2]) / 6, (l[2] + r[2]) / 7, true
}

// rim goes from the middle of a finder pattern along d, of length 1, and gives
// how far its outer rim is; 0 if there is none.
func (k *ink) rim(f *finder, d point) float64 {
	t, dark := 0.0, true
	for range 3 {
		from := t
		for t-from < 5*f.module+2 {
			t += .5
			if k.dark(f.x+t*d.x-.5, f.y+t*d.y-.5) != dark {
				break
			}
		}
		if t-from >= 5*f.module+2 {
			return 0
		}
		dark = !dark
	}
	return t - .25
}
