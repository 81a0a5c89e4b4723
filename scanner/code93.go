package scanner

// Code 93 (AIM USS-93, 1993): characters of nine modules in three bars and
// three spaces, by their values; two check characters over all, modulo 47; the
// stop, which is the start again, has one bar more. Four of the characters
// shift the next one, so that all of ASCII can be told.
var code93 = newCharset(9,
	"131112", "111213", "111312", "111411", "121113", "121212", "121311", "111114", "131211", "141111",
	"211113", "211212", "211311", "221112", "221211", "231111", "112113", "112212", "112311", "122112",
	"132111", "111123", "111222", "111321", "121122", "131121", "212112", "212211", "211122", "211221",
	"221121", "222111", "112122", "112221", "122121", "123111", "121131", "311112", "311211", "321111",
	"112131", "113121", "211131", "121221", "312111", "311121", "122211", "111141",
)

const (
	set93    = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%" // by value, before the shifts
	dollar93 = 43                                            // shifts: ($), (%), (/), (+)
	start93  = 47
	most93   = 80 // characters
)

// readCode93 reads a Code 93 symbol whose first bar is widths[0].
func (r *reader) readCode93(widths []int) (s decoded, ok bool) {
	if len(widths) < 5*6+1 {
		return s, false
	}
	before := sum(widths[:6])
	if 2*9*widths[0] < before || 9*widths[0] > 2*before { // one module
		return s, false
	}
	values := r.values[:0]
	defer func() { r.values = values }()
	total, spread := 0., 0.
	for at := 0; at+7 <= len(widths) && len(values) < most93; at += 6 {
		size := sum(widths[at : at+6])
		if !like(size, before) {
			return s, false
		}
		before = size
		v, off := code93.nearest(widths[at:], spread)
		if at == 0 {
			spread = code93.spread(widths, v)
		}
		if off > worstChar || at == 0 && v != start93 {
			return s, false
		}
		total += off
		if v != start93 || at == 0 {
			values = append(values, v)
			continue
		}
		s.runs, s.mean = at+7, total/float64(len(values)+1)
		bar := 9 * widths[at+6] // the last, of one module
		if len(values) < 4 || s.mean > worstMean || 2*bar < size || bar > 2*size {
			return s, false
		}
		return r.text93(s, values[1:])
	}
	return s, false
}

// text93 compares the check characters, which are the last two, and gives the
// text.
func (r *reader) text93(s decoded, values []int) (decoded, bool) {
	n := len(values) - 2
	s.symbology = Code93
	s.wrong = check93(values[:n], 20) != values[n] || check93(values[:n+1], 15) != values[n+1]
	text, shift := r.text[:0], 0
	for _, v := range values[:n] {
		switch {
		case shift > 0:
			c, ok := shifted93(shift, set93[min(v, len(set93)-1)])
			if !ok || v >= dollar93 {
				return s, false
			}
			text, shift = append(text, c), 0
		case v >= dollar93:
			shift = v
		default:
			text = append(text, set93[v])
		}
	}
	r.text, s.text = text, text
	return s, shift == 0
}

// check93 gives the check character of values, whose weights are 1 from the
// last on and begin anew after most.
func check93(values []int, most int) int {
	total := 0
	for i := range values {
		total += (i%most + 1) * values[len(values)-1-i]
	}
	return total % 47
}

// shifted93 gives what a character means after a shift.
func shifted93(shift int, c byte) (byte, bool) {
	if c < 'A' || c > 'Z' {
		return 0, false
	}
	switch shift - dollar93 {
	case 0:
		return c - 'A' + 1, true // control characters
	case 1:
		return "\x1b\x1c\x1d\x1e\x1f;<=>?[\\]^_{|}~\x7f\x00@`\x7f\x7f\x7f"[c-'A'], true
	case 2:
		if c == 'Z' {
			return ':', true
		}
		return c - 'A' + '!', c <= 'O'
	}
	return c - 'A' + 'a', true
}
