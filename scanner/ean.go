package scanner

import (
	"math"

	"forkstock/internal/gs1"
)

// EAN and UPC (ISO/IEC 15420): digits of seven modules in two bars and two
// spaces, sets A and B to the left of the middle (a space first), set C to
// the right, which is A with bars and spaces exchanged; which of A and B are
// used, one by one, tells one digit more.
var (
	digitsA = [10]string{"3211", "2221", "2122", "1411", "1132", "1231", "1114", "1312", "1213", "3112"}
	// setAB are the digits of set A, then those of B, which are A end for end.
	setAB = func() (all [20][4]float64) {
		for d, w := range digitsA {
			for i := range 4 {
				all[d][i], all[10+d][3-i] = float64(w[i]-'0'), float64(w[i]-'0')
			}
		}
		return all
	}()
)

// firstDigits are the sets of the left half of an EAN-13 by its first digit:
// bit 5 for the first, 1 for set B.
var firstDigits = [10]int{0b000000, 0b001011, 0b001101, 0b001110, 0b010011, 0b011001, 0b011100, 0b010101, 0b010110, 0b011010}

// checkDigits are the sets of the six digits of a UPC-E by its check digit,
// for number system 0.
var checkDigits = [10]int{0b111000, 0b110100, 0b110010, 0b110001, 0b101100, 0b100110, 0b100011, 0b101010, 0b101001, 0b100101}

// fiveDigits are the sets of an add-on of five digits by its check value.
var fiveDigits = [10]int{0b11000, 0b10100, 0b10010, 0b10001, 0b01100, 0b00110, 0b00011, 0b01010, 0b01001, 0b00101}

// An eanShape is how a symbol of the family is built: so many digits to the
// left and to the right of the middle.
type eanShape struct {
	left, right   int
	runs, modules int
}

var (
	shape13 = eanShape{6, 6, 3 + 24 + 5 + 24 + 3, 95}
	shape8  = eanShape{4, 4, 3 + 16 + 5 + 16 + 3, 67}
	shapeE  = eanShape{6, 0, 3 + 24 + 6, 51}
)

// An eanReading is a row read by one shape.
type eanReading struct {
	size   float64 // of the digit before, steps
	spread float64 // how much wider bars are than printed, as spaces are narrower, modules
	digits [12]int
	sets   int // of the left half, bit 0 for the last
	total  misfit
}

const (
	guardSlack = .75 // how far a guard may differ from its width, modules
	digitSlack = .12 // a digit from the one before, of its width
)

// guards compares the guards of a shape with the digits beside them, and sets
// spread. On a bottle the modules at the ends are narrower than in the middle,
// so each guard is held against what stands next to it.
func (e *eanReading) guards(shape eanShape, widths []int) bool {
	fits := func(at, n int, module float64) bool {
		return math.Abs(float64(sum(widths[at:at+n]))-float64(n)*module) < guardSlack*module
	}
	digit := func(at int) float64 { return float64(sum(widths[at:at+4])) / 7 }
	middle := 3 + 4*shape.left
	first, last := digit(3), digit(middle-4)
	if !fits(0, 3, first) || !fits(0, 2, first) || !fits(1, 2, first) {
		return false
	}
	// Bars less spaces, in modules; each guard has one kind once more.
	bars, spaces := float64(widths[0]+widths[2])/(2*first), float64(widths[1])/first
	inner := func(module float64) {
		bars = (bars + float64(widths[middle+1]+widths[middle+3])/(2*module)) / 2
		spaces = (spaces + float64(widths[middle]+widths[middle+2]+widths[middle+4])/(3*module)) / 2
	}
	if shape.right == 0 {
		if !fits(middle, 6, last) || !fits(middle+1, 2, last) || !fits(middle+3, 2, last) {
			return false
		}
		inner(last)
	} else {
		next, end := digit(middle+5), shape.runs-3
		final := digit(end - 4)
		center := (last + next) / 2
		if !fits(middle, 5, center) || !fits(middle+1, 3, center) || !fits(end, 3, final) || !fits(end, 2, final) || !fits(end+1, 2, final) {
			return false
		}
		inner(center)
	}
	e.spread = (bars - spaces) / 2
	return math.Abs(e.spread) < .8
}

// digit reads four runs, of sets A and B or of C, the first a bar in C.
func (e *eanReading) digit(widths []int, right bool) (digit int, setB, ok bool) {
	size := float64(sum(widths[:4]))
	if e.size > 0 && math.Abs(size-e.size) > digitSlack*e.size {
		return 0, false, false
	}
	e.size = size
	scale := 7 / size
	ab, bc := float64(widths[0]+widths[1])*scale, float64(widths[1]+widths[2])*scale
	// Two pairs of digits have the same sums: 1 and 7, 2 and 8. The bars tell
	// them apart.
	bars := float64(widths[1]+widths[3])*scale - 2*e.spread
	if right {
		bars = float64(widths[0]+widths[2])*scale - 2*e.spread
	}
	best, least, second := 0, 1e9, 1e9
	for i := range setAB {
		if right && i == 10 {
			break
		}
		w := &setAB[i]
		dark := w[1] + w[3]
		if right {
			dark = w[0] + w[2]
		}
		d1, d2, d3 := ab-w[0]-w[1], bc-w[1]-w[2], bars-dark
		if off := d1*d1 + d2*d2 + d3*d3/3; off < least {
			best, least, second = i, off, least
		} else {
			second = min(second, off)
		}
	}
	e.total += least
	return best % 10, best >= 10, least < worstChar && second > 1.5*least
}

// read reads the digits of a shape.
func (e *eanReading) read(shape eanShape, widths []int) bool {
	if len(widths) < shape.runs || !e.guards(shape, widths) {
		return false
	}
	at := 3
	for i := range shape.left + shape.right {
		if i == shape.left {
			at += 5
		}
		d, setB, ok := e.digit(widths[at:], i >= shape.left)
		if !ok {
			return false
		}
		e.digits[i] = d
		if i < shape.left {
			e.sets <<= 1
			if setB {
				e.sets |= 1
			}
		}
		at += 4
	}
	return e.total < worstMean*float64(shape.left+shape.right)
}

// readEAN reads an EAN or UPC symbol whose first bar is widths[0]. What is
// behind it may be an add-on.
func (r *reader) readEAN(widths []int) (s decoded, ok bool) {
	if len(widths) < shapeE.runs || widths[0]+widths[1] > 2*(widths[1]+widths[2]) || 2*(widths[0]+widths[1]) < widths[1]+widths[2] {
		return s, false
	}
	for _, shape := range [...]eanShape{shape13, shape8, shapeE} {
		var e eanReading
		if !e.read(shape, widths) {
			continue
		}
		if s, ok = r.textEAN(shape, &e); ok {
			s.runs = shape.runs
			s.mean = e.total / float64(shape.left+shape.right)
			if shape.left == 6 {
				s.addOn = r.readAddOn(&e, widths[shape.runs:])
				if n := len(s.addOn); n > 0 {
					s.tail = 1 + addOnRuns(n)
				}
			}
			return s, true
		}
	}
	return s, false
}

// textEAN finds what the sets of the left half mean, and compares the check
// digit.
func (r *reader) textEAN(shape eanShape, e *eanReading) (s decoded, ok bool) {
	text := r.text[:0]
	digits := func(n int) {
		for _, d := range e.digits[:n] {
			text = append(text, byte('0'+d))
		}
	}
	switch {
	case shape == shape8:
		if e.sets != 0 {
			return s, false
		}
		s.symbology = EAN8
		digits(8)
	case shape == shape13:
		first := indexOf(firstDigits[:], e.sets)
		if first < 0 {
			return s, false
		}
		s.symbology = EAN13
		if first == 0 {
			s.symbology = UPCA
		} else {
			text = append(text, byte('0'+first))
		}
		digits(12)
	default:
		system := 0
		check := indexOf(checkDigits[:], e.sets)
		if check < 0 {
			system, check = 1, indexOf(checkDigits[:], 63-e.sets)
		}
		if check < 0 {
			return s, false
		}
		s.symbology = UPCE
		text = append(text, byte('0'+system))
		digits(6)
		text = append(text, byte('0'+check))
	}
	r.text, s.text = text, text
	s.wrong = s.symbology == UPCE && !validUPCE(text) || s.symbology != UPCE && !checked(text)
	return s, true
}

func indexOf(all []int, n int) int {
	for i, m := range all {
		if m == n {
			return i
		}
	}
	return -1
}

// checked compares the check digit of a GTIN (GS1 General Specifications,
// clause 7.9).
func checked(text []byte) bool {
	total := 0
	for i, c := range text {
		weight := 3
		if (len(text)-i)%2 == 1 {
			weight = 1
		}
		total += weight * int(c-'0')
	}
	return total%10 == 0
}

func validUPCE(text []byte) bool {
	_, ok := gs1.ExpandUPCE(string(text))
	return ok
}

// readAddOn reads the two or five digits to the right of a symbol, rest being
// what stands behind its last bar, the gap first; "" where there are none.
func (r *reader) readAddOn(e *eanReading, rest []int) string {
	module := e.size / 7
	if len(rest) < 1+13 || float64(rest[0]) < 5*module || float64(rest[0]) > 16*module {
		return ""
	}
	for _, n := range []int{5, 2} {
		runs := addOnRuns(n)
		if len(rest) < 1+runs+1 || float64(rest[1+runs]) < 3*module {
			continue
		}
		if text := r.addOnDigits(e, n, rest[1:1+runs]); text != "" {
			return text
		}
	}
	return ""
}

// addOnRuns is how many bars and spaces n digits have: a guard of three, four
// for a digit, two between digits.
func addOnRuns(n int) int { return 3 + 6*n - 2 }

func (r *reader) addOnDigits(main *eanReading, n int, widths []int) string {
	module := float64(sum(widths)) / float64(4+9*n-2)
	e := eanReading{size: 7 * module, spread: main.spread}
	if math.Abs(e.size-main.size) > .15*main.size ||
		math.Abs(float64(sum(widths[:3]))-4*module) > guardSlack*module {
		return ""
	}
	var text [5]byte
	for i := range n {
		at := 3 + 6*i
		d, setB, ok := e.digit(widths[at:], false)
		if !ok {
			return ""
		}
		text[i] = byte('0' + d)
		e.sets <<= 1
		if setB {
			e.sets |= 1
		}
	}
	if n == 2 {
		if e.sets == (int(text[0]-'0')*10+int(text[1]-'0'))%4 {
			return string(text[:2])
		}
		return ""
	}
	total := 0
	for i, c := range text {
		total += int(c-'0') * []int{3, 9}[i%2]
	}
	if fiveDigits[total%10] == e.sets {
		return string(text[:])
	}
	return ""
}
