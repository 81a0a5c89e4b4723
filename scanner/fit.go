package scanner

import (
	"math"
	"slices"
	"sync"
)

// Where blur has swallowed the edges of an EAN-13, EAN-8 or UPC-A symbol,
// what is left is a grey curve. Its ends tell where each digit must lie, and
// the curve there is compared with those of all digits, blurred as much. The
// text is taken when the whole curve is the one that the text would give.

const (
	fitStep     = 4   // points a module
	fitMargin   = 3   // modules on each side that are looked at, too
	fitResidue  = .16 // share of the curve that the text may leave unsaid
	fitDoubt    = 1.2 // how many times as bad the second best digit must be
	fitSure     = 1.5 // the same for all others where one is put right
	beyondHope  = 2.5 // squared differences a digit, before its place is put right
	leastModule = 1.1 // pixels
)

// fitBlurs are the blurs that are tried, standard deviations in modules.
var fitBlurs = [...]float64{.45, .6, .75, .9, 1.05}

// A fitDigit is the curve of a digit, dark 1 and light 0, and half a grey
// beyond the nearest module of its neighbours.
type fitDigit [7 * fitStep]float64

// fitDigits are the curves of sets A and B, and C, by blur.
var fitDigits = sync.OnceValue(func() *[len(fitBlurs)][30]fitDigit {
	var all [len(fitBlurs)][30]fitDigit
	for b, sigma := range fitBlurs {
		for d := range 30 {
			left := d < 20
			widths := setAB[d%20]
			edges := []float64{-1} // of bars: begin, end, ...; a left digit stands between a bar and a space
			x := 0.
			if left {
				edges = append(edges, 0)
			} else {
				edges = edges[:0]
			}
			for i, w := range widths {
				if left == (i%2 == 1) {
					edges = append(edges, x, x+w)
				}
				x += w
			}
			if !left {
				edges = append(edges, 7, 8)
			}
			for i := range all[b][d] {
				all[b][d][i] = darkness(edges, sigma, (float64(i)+.5)/fitStep)
			}
		}
	}
	return &all
})

// darkness gives how dark bars are at x, blurred by sigma; beyond one module
// to both sides of a digit it is half dark.
func darkness(edges []float64, sigma, x float64) float64 {
	share := func(a, b float64) float64 {
		return (math.Erf((b-x)/(sigma*math.Sqrt2)) - math.Erf((a-x)/(sigma*math.Sqrt2))) / 2
	}
	dark := .5*share(-9, -1) + .5*share(8, 16)
	for i := 0; i < len(edges); i += 2 {
		dark += share(edges[i], edges[i+1])
	}
	return dark
}

// A curve is the darkness of a symbol, fitStep points a module, from
// fitMargin modules before its first bar.
type curve struct {
	at      []float64
	shape   eanShape
	digits  [12]int // 0 to 9 of set A or C, 10 to 19 of set B
	blur    int
	residue float64 // share of the curve that the digits leave unsaid
	weak    int     // the digit that is most in doubt,
	instead int     // what it may be instead,
	doubt   float64 // how many times as bad that fits,
	next    float64 // and the same for the digit next in doubt
}

// A lie is where a symbol lies in a line: its ends, and how far its middle is
// from the middle between them, as on a bottle or crumpled. x1 < x0 where it
// is upside down.
type lie struct{ x0, x1, middle float64 }

// take samples a line.
func (c *curve) take(line []int32, at lie) {
	modules := float64(c.shape.modules)
	n := (c.shape.modules + 2*fitMargin) * fitStep
	c.at = c.at[:0]
	last := len(line) - 1
	for i := range n {
		u := ((float64(i)+.5)/fitStep - fitMargin) / modules
		x := at.x0 + u*(at.x1-at.x0) + 4*u*(1-u)*at.middle - .5
		k := min(max(int(x), 0), last)
		f := min(max(x-float64(k), 0), 1)
		next := line[min(k+1, last)]
		c.at = append(c.at, float64(line[k])+f*float64(next-line[k]))
	}
}

// level makes the darkest 1 and the quiet zones 0.
func (c *curve) level() bool {
	n, m := len(c.at), fitMargin*fitStep-fitStep
	left, right := 0., 0.
	for i := range m {
		left += c.at[i] / float64(m)
		right += c.at[n-1-i] / float64(m)
	}
	most := 0.
	for i := range c.at {
		light := left + (right-left)*float64(i)/float64(n-1)
		c.at[i] = (light - c.at[i]) / max(light, 1)
		most = max(most, c.at[i])
	}
	if most < .05 {
		return false
	}
	for i := range c.at {
		c.at[i] /= most
	}
	return true
}

// place gives where digit i begins, in modules.
func (s eanShape) place(i int) int {
	if i < s.left {
		return 3 + 7*i
	}
	return 3 + 7*i + 5
}

// guess sets the digits that fit best with one blur, and gives what is left
// unsaid.
func (c *curve) guess(blur int) (off float64) {
	c.blur, c.doubt, c.next = blur, math.Inf(1), math.Inf(1)
	curves := &fitDigits()[blur]
	for i := range c.shape.left + c.shape.right {
		from := (c.shape.place(i) + fitMargin) * fitStep
		here := c.at[from : from+7*fitStep]
		first, end := 0, 20
		if i >= c.shape.left {
			first, end = 20, 30
		}
		best, other, least, second := 0, 0, 1e9, 1e9
		for d := first; d < end; d++ {
			sum := 0.
			for k, v := range here {
				e := v - curves[d][k]
				sum += e * e
			}
			switch {
			case sum < least:
				best, other, least, second = d%20, best, sum, least
			case sum < second:
				other, second = d%20, sum
			}
		}
		c.digits[i] = best
		off += least
		if doubt := second / (least + .02); doubt < c.doubt {
			c.weak, c.instead, c.doubt, c.next = i, other, doubt, c.doubt
		} else {
			c.next = min(c.next, doubt)
		}
	}
	return off
}

// whole gives the curve of the text, all of it.
func (c *curve) whole() []float64 {
	edges := make([]float64, 0, 64)
	x := 0.
	bar := func(w float64) { edges = append(edges, x, x+w); x += w }
	bar(1)
	x++
	bar(1)
	for i := range c.shape.left + c.shape.right {
		left := i < c.shape.left
		if i == c.shape.left {
			x++
			bar(1)
			x++
			bar(1)
			x++
		}
		for k, w := range setAB[c.digits[i]] {
			if left == (k%2 == 1) {
				bar(w)
			} else {
				x += w
			}
		}
	}
	bar(1)
	x++
	bar(1)
	all := make([]float64, len(c.at))
	sigma := fitBlurs[c.blur] * math.Sqrt2
	for i := 0; i < len(edges); i += 2 {
		a, b := edges[i], edges[i+1]
		from := max(int((a-4*sigma+fitMargin)*fitStep), 0)
		to := min(int((b+4*sigma+fitMargin)*fitStep), len(all)-1)
		for k := from; k <= to; k++ {
			u := (float64(k)+.5)/fitStep - fitMargin
			all[k] += (erf((b-u)/sigma) - erf((a-u)/sigma)) / 2
		}
	}
	return all
}

// erfs is the error function at steps of 1/erfFine from 0, where it is nearly
// 1 at the end.
var erfs = sync.OnceValue(func() *[4*erfFine + 2]float64 {
	var all [4*erfFine + 2]float64
	for i := range all {
		all[i] = math.Erf(float64(i) / erfFine)
	}
	return &all
})

const erfFine = 128

// erf gives the error function, right to 1/100,000.
func erf(x float64) float64 {
	all := erfs()
	at := min(math.Abs(x), 4) * erfFine
	i := int(at)
	y := all[i] + (at-float64(i))*(all[i+1]-all[i])
	return math.Copysign(y, x)
}

// relevel makes c as dark and light as the curve of its text is, and sets what
// is left unsaid, as a share.
func (c *curve) relevel() {
	want := c.whole()
	var n, sx, sy, sxx, sxy, syy float64
	for i, y := range want {
		x := c.at[i]
		n++
		sx, sy, sxx, sxy, syy = sx+x, sy+y, sxx+x*x, sxy+x*y, syy+y*y
	}
	vx, vy, xy := sxx-sx*sx/n, syy-sy*sy/n, sxy-sx*sy/n
	if vx <= 0 || vy <= 0 || xy <= 0 {
		c.residue = 1
		return
	}
	c.residue = 1 - xy*xy/(vx*vy)
	slope := xy / vx
	shift := (sy - slope*sx) / n
	for i := range c.at {
		c.at[i] = slope*c.at[i] + shift
	}
}

// try gives how badly the best digits fit a line with one blur.
func (c *curve) try(line []int32, at lie, blur int) float64 {
	if c.take(line, at); !c.level() {
		return math.Inf(1)
	}
	return c.guess(blur)
}

// settle finds where the symbol lies and how blurred it is, from near at.
// ok is false where no digits are like it from the begin.
func (c *curve) settle(line []int32, at lie) (to lie, blur int, ok bool) {
	module := (at.x1 - at.x0) / float64(c.shape.modules)
	least := math.Inf(1)
	for k := range fitBlurs {
		if off := c.try(line, at, k); off < least {
			least, blur = off, k
		}
	}
	if least > beyondHope*float64(c.shape.left+c.shape.right) {
		return at, blur, false
	}
	for _, step := range [4]float64{.6, .3, .3, .15} {
		for n := range 3 {
			for _, way := range [2]float64{-step, step} {
				to := at
				switch n {
				case 0:
					to.x0 += way * module
				case 1:
					to.x1 += way * module
				default:
					to.middle += 1.5 * way * module
				}
				if off := c.try(line, to, blur); off < least {
					least, at = off, to
				}
			}
		}
		for k := max(blur-1, 0); k <= min(blur+1, len(fitBlurs)-1); k++ {
			if off := c.try(line, at, k); off < least {
				least, blur = off, k
			}
		}
	}
	return at, blur, true
}

// fit reads a blurred EAN or UPC symbol between two places of a line.
func (r *reader) fit(line []int32, x0, x1 float64, shape eanShape) (decoded, bool) {
	if math.Abs(x1-x0) < leastModule*float64(shape.modules) {
		return decoded{}, false
	}
	c := &r.curve
	c.shape = shape
	at, blur, ok := c.settle(line, lie{x0, x1, 0})
	if !ok || math.IsInf(c.try(line, at, blur), 1) {
		return decoded{}, false
	}
	for range 3 {
		c.relevel()
		c.guess(blur)
	}
	c.relevel()
	if c.residue > fitResidue {
		return decoded{}, false
	}
	if s, ok := r.fitted(c); ok {
		return s, c.doubt >= fitDoubt
	}
	// One digit may be another one, if that makes check digit and sets right.
	if c.next < fitSure {
		return decoded{}, false
	}
	c.digits[c.weak] = c.instead
	return r.fitted(c)
}

// fitted gives the text of the digits of a curve.
func (r *reader) fitted(c *curve) (decoded, bool) {
	var e eanReading
	for i := range c.shape.left + c.shape.right {
		e.digits[i] = c.digits[i] % 10
		if i < c.shape.left {
			e.sets = 2*e.sets + c.digits[i]/10
		}
	}
	s, ok := r.textEAN(c.shape, &e)
	s.runs = c.shape.runs
	return s, ok && !s.wrong
}

// without gives a piece of too many bars without what stands behind, or
// before, its widest space: an add-on.
func (r *row) without(p piece) piece {
	if p.bars() <= shape13.runs/2+5 {
		return p
	}
	widest := p.first + 1
	for i := widest; i < p.last; i += 2 {
		if r.widths[i] > r.widths[widest] {
			widest = i
		}
	}
	if widest-p.first < p.last-widest {
		return piece{widest + 1, p.last}
	}
	return piece{p.first, widest - 1}
}

// fitShapes are the symbols that are fitted.
var fitShapes = [...]eanShape{shape13, shape8}

// fits adds what the pieces of a blurred line say when their curves are
// fitted: by one shape and direction, or by all where shape is 0.
func (r *reader) fits(hits []hit, line []int32, y float64, shape int, back bool) []hit {
	r.bars(line, 0, true)
	r.pieces = r.row.pieces(r.pieces)
	for i, p := range r.pieces {
		r.pieces[i] = r.row.without(p)
	}
	r.done = slices.Grow(r.done[:0], len(r.pieces))[:len(r.pieces)]
	for i, p := range r.pieces {
		r.done[i] = false
		h := hit{bars: r.row.extent(p), y: y, votes: votes(EAN13, true)}
		if !quiet(line, h) {
			continue
		}
		for k, of := range fitShapes {
			if most := of.runs/2 + 1; shape > 0 && shape != k+1 || p.bars() > most+4 || p.bars() < most/2 {
				continue
			}
			for _, turned := range [2]bool{false, true} {
				if shape > 0 && turned != back || r.done[i] {
					continue
				}
				h.x0, h.x1 = h.bars.begin, h.bars.end
				if turned {
					h.x0, h.x1 = h.x1, h.x0
				}
				s, ok := r.fit(line, h.x0, h.x1, of)
				if !ok || !r.wants(s.symbology) {
					continue
				}
				h.symbology, h.text = s.symbology, string(s.text)
				h.fit = k + 1
				hits, r.done[i] = append(hits, h), true
			}
		}
	}
	return hits
}
