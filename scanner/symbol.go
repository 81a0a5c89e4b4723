package scanner

// Linear symbols are decoded from the widths of their bars and spaces. All
// but Code 39 and ITF go by the distance from one edge to the next of the
// same kind (a bar and a space together), which neither ink that spreads nor
// blur changes; these are compared with those of each character, and the
// nearest one is taken if it is near enough.

// A misfit is a sum of squared differences, in modules.
type misfit = float64

var (
	worstChar = .9 // misfit of one character
	worstMean = .4 // and of the mean one
)

// A decoded is a symbol in a row.
type decoded struct {
	symbology string
	text      []byte // valid until the next one
	addOn     string
	runs      int  // bars and spaces that it is made of
	tail      int  // and of the gap and the add-on behind it
	wrong     bool // the check digit or character is
	mean      misfit
}

// sum adds up widths.
func sum(widths []int) (n int) {
	for _, w := range widths {
		n += w
	}
	return n
}

// like reports whether a and b differ by a quarter at most.
func like(a, b int) bool { return 4*a <= 5*b && 4*b <= 5*a }

// A charset is the characters of a symbology: each so many bars and spaces in
// so many modules.
type charset struct {
	modules, runs int
	widths, pairs [][]float64 // of each character; pairs are neighbours together
}

func newCharset(modules int, widths ...string) charset {
	c := charset{modules: modules, runs: len(widths[0])}
	for _, w := range widths {
		single, pairs := make([]float64, len(w)), make([]float64, len(w)-1)
		for i := range w {
			single[i] = float64(w[i] - '0')
		}
		for i := range pairs {
			pairs[i] = single[i] + single[i+1]
		}
		c.widths, c.pairs = append(c.widths, single), append(c.pairs, pairs)
	}
	return c
}

// single is how much a bar or space alone counts beside a pair.
const single = .3

// nearest gives the character that fits the widths best, and how badly it
// does. Bars are printed wider by spread modules, spaces narrower.
func (c *charset) nearest(widths []int, spread float64) (best int, least misfit) {
	scale := float64(c.modules) / float64(sum(widths[:c.runs]))
	var alone, seen [6]float64
	for i := range c.runs {
		alone[i] = float64(widths[i])*scale - spread
		spread = -spread
		if i > 0 {
			seen[i-1] = float64(widths[i-1]+widths[i]) * scale
		}
	}
	least = 1e9
	for n, pairs := range c.pairs {
		off := 0.
		for i, p := range pairs {
			d := seen[i] - p
			off += d * d
		}
		if off > least {
			continue
		}
		for i, p := range c.widths[n] {
			d := alone[i] - p
			off += single * d * d
		}
		if off < least {
			best, least = n, off
		}
	}
	return best, least
}

// spread gives by how much the bars are wider, and the spaces narrower, than
// those of character n, in modules.
func (c *charset) spread(widths []int, n int) float64 {
	scale := float64(c.modules) / float64(sum(widths[:c.runs]))
	off := 0.
	for i, w := range c.widths[n] {
		d := float64(widths[i])*scale - w
		if i%2 == 1 {
			d = -d
		}
		off += d
	}
	return off / float64(c.runs)
}
