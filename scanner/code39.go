package scanner

// Code 39 (ISO/IEC 16388): a character is five bars and four spaces, three of
// them wide, two to three times as wide as the narrow ones; '*' begins and
// ends. Forty characters have two wide bars, which tell the row of this
// table, and a wide space, which tells the column; four have three wide
// spaces and no wide bar.
var (
	columns39 = [4]string{"UVWXYZ-. *", "1234567890", "ABCDEFGHIJ", "KLMNOPQRST"} // by the place of the wide space
	rows39    = [10][2]int{{0, 4}, {1, 4}, {0, 1}, {2, 4}, {0, 2}, {1, 2}, {3, 4}, {0, 3}, {1, 3}, {2, 3}}
	narrow39  = "%+/$" // by the place of the narrow space
)

// A wideChar is a character of wide and narrow bars and spaces.
type wideChar struct {
	char byte
	wide [9]bool
}

var code39 = func() (all []wideChar) {
	for column, chars := range columns39 {
		for row, bars := range rows39 {
			c := wideChar{char: chars[row]}
			c.wide[2*bars[0]], c.wide[2*bars[1]], c.wide[2*column+1] = true, true, true
			all = append(all, c)
		}
	}
	for narrow := range 4 {
		c := wideChar{char: narrow39[narrow]}
		for space := range 4 {
			c.wide[2*space+1] = space != narrow
		}
		all = append(all, c)
	}
	return all
}()

const (
	most39  = 60 // characters
	begin39 = 9  // '*' in code39
)

// A gauge is how wide narrow and wide bars and spaces are, by the width of the
// character, which changes along a symbol that is seen aslant: bars and spaces
// apart, because ink that spreads and blur change them differently.
type gauge [2][2]float64 // of bars, of spaces; narrow, wide

// learn takes the widths of a known character.
func (g *gauge) learn(widths []int, wide []bool) { g.learnOf(widths, wide, float64(sum(widths))) }

// learnOf is learn by another size than that of the character.
func (g *gauge) learnOf(widths []int, wide []bool, size float64) {
	var sums, counts [2][2]float64
	for i, w := range widths {
		k := 0
		if wide[i] {
			k = 1
		}
		sums[i%2][k] += float64(w) / size
		counts[i%2][k]++
	}
	for i := range g {
		for k := range g[i] {
			if counts[i][k] == 0 {
				continue
			}
			mean := sums[i][k] / counts[i][k]
			if g[i][k] > 0 {
				mean = (3*g[i][k] + mean) / 4
			}
			g[i][k] = mean
		}
	}
}

// module gives the mean narrow width.
func (g *gauge) module() float64 { return (g[0][0] + g[1][0]) / 2 }

// sound reports whether wide is 1.6 to 4 times narrow, bars and spaces
// together.
func (g *gauge) sound() bool {
	narrow, wide := g[0][0]+g[1][0], g[0][1]+g[1][1]
	return narrow > 0 && wide > 1.6*narrow && wide < 4*narrow
}

// misfit gives how badly widths fit, in squared modules.
func (g *gauge) misfit(widths []int, wide []bool) misfit {
	return g.misfitOf(widths, wide, float64(sum(widths)))
}

// misfitOf is misfit by another size than that of the character.
func (g *gauge) misfitOf(widths []int, wide []bool, size float64) (off misfit) {
	for i, w := range widths {
		k := 0
		if wide[i] {
			k = 1
		}
		d := float64(w)/size - g[i%2][k]
		off += d * d
	}
	m := g.module()
	return off / (m * m)
}

// The misfit of Code 39 and ITF is of nine and ten widths and not of pairs,
// and larger where wide ones are three modules.
const (
	worstWide     = 3.0
	worstWideMean = 1.0
)

// readCode39 reads a Code 39 symbol whose first bar is widths[0].
func (r *reader) readCode39(widths []int) (s decoded, ok bool) {
	if len(widths) < 29 {
		return s, false
	}
	var g gauge
	g.learn(widths[:9], code39[begin39].wide[:])
	size := sum(widths[:9])
	if !g.sound() || g.misfit(widths[:9], code39[begin39].wide[:]) > worstWideMean {
		return s, false
	}
	text := r.text[:0]
	defer func() { r.text = text }()
	total := 0.
	for at := 10; at+9 <= len(widths) && len(text) < most39; at += 10 {
		char := widths[at : at+9]
		now := sum(char)
		gap := float64(widths[at-1]) / float64(size)
		if !like(now, size) || gap < .4*g.module() || gap > 4*g.module() {
			return s, false
		}
		size = now
		best, least, second := 0, 1e9, 1e9
		for i := range code39 {
			if off := g.misfit(char, code39[i].wide[:]); off < least {
				best, least, second = i, off, least
			} else {
				second = min(second, off)
			}
		}
		if least > worstWide || second < 1.5*least {
			return s, false
		}
		total += least
		g.learn(char, code39[best].wide[:])
		if best != begin39 {
			text = append(text, code39[best].char)
			continue
		}
		s = decoded{symbology: Code39, text: text, runs: at + 9, mean: total / float64(len(text)+1)}
		return s, len(text) > 0 && s.mean < worstWideMean && g.sound()
	}
	return s, false
}
