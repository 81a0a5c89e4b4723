package measure

import (
	"math/big"
	"regexp"
	"strings"
)

// Length is a length in micrometres.
type Length int64

// Units of length.
const (
	Micrometre Length = 1
	Millimetre Length = 1000
	longestLen        = 10_000 * Millimetre // the most that ParseLength takes
)

// lengthForm: 1 a decimal number; or 2 whole inches, 3 and 4 a fraction; 5 the
// unit.
var lengthForm = regexp.MustCompile(
	`(?i)^[ø⌀∅]? ?(?:(\d*[.,]?\d+)|(?:(\d+)[ -])?(\d+)/(\d+)) ?(mm|in|inch|inches|zoll|"|″|'')?$`)

var micrometresPerInch = exact("25400")

// ParseLength reads millimetres ("39", "39.5", "57,9", "39 mm", "Ø39") and
// inches (`1.535 in`, `1.535"`, `3/8"`, `1 3/8 in`, `1-3/8 in`). Millimetres
// have to be whole micrometres, inches are rounded half to even to one. It
// returns an Invalid fault for anything else, for zero, and above 10 m.
func ParseLength(text string) (Length, error) {
	if l := plainLength(text); l > 0 {
		return l, nil
	}
	s, ok := tidy(text)
	part := lengthForm.FindStringSubmatch(s)
	if !ok || part == nil {
		return 0, bad("bad_length", "length", text)
	}
	inches := inInches(part[5])
	var value *big.Rat
	switch {
	case part[1] != "":
		value = rational(part[1])
	case inches:
		if value = fraction(part[2], part[3], part[4]); value == nil {
			return 0, bad("bad_length", "length", text)
		}
	default:
		return 0, bad("fraction_unit", "length", text)
	}
	scale := big.NewRat(1000, 1)
	if inches {
		scale = micrometresPerInch
	}
	value.Mul(value, scale)
	if !inches && !value.IsInt() {
		return 0, bad("too_fine", "length", text)
	}
	um, ok := round(value, int64(longestLen))
	if !ok {
		return 0, bad("length_range", "length", text, longestLen)
	}
	return Length(um), nil
}

// plainLength reads what most lengths of a list are, whole micrometres up to
// 9999 mm without a unit, and gives 0 for anything else. It is there for speed
// alone: lists have 100,000 rows.
func plainLength(text string) Length {
	var l Length
	decimals := -1
	for i := range len(text) {
		c := text[i]
		switch {
		case '0' <= c && c <= '9' && decimals < 3:
			l = l*10 + Length(c-'0')
			if decimals >= 0 {
				decimals++
			}
		case (c == '.' || c == ',') && decimals < 0 && i < len(text)-1:
			decimals = 0
		default:
			return 0
		}
		if l >= 10_000 && decimals < 0 {
			return 0
		}
	}
	for n := max(decimals, 0); n < 3; n++ {
		l *= 10
	}
	return l
}

func inInches(unit string) bool { return unit != "" && unit[0]|0x20 != 'm' }

// isFraction reports whether s is an inch fraction with its unit.
func isFraction(s string) bool {
	part := lengthForm.FindStringSubmatch(strings.TrimSpace(s))
	return part != nil && part[3] != "" && inInches(part[5])
}

// fraction gives whole + over/under, or nil where the fraction is none, or
// not below one beside a whole number.
func fraction(whole, over, under string) *big.Rat {
	a, b := rational(over), rational(under)
	if b.Sign() == 0 || whole != "" && a.Cmp(b) >= 0 {
		return nil
	}
	a.Quo(a, b)
	if whole != "" {
		a.Add(a, rational(whole))
	}
	return a
}

// String gives l in millimetres with a point, without a unit and without
// trailing zeros: "57.9".
func (l Length) String() string { return l.Screen('.') }

// Screen gives l in millimetres with that decimal mark, without a unit.
func (l Length) Screen(mark rune) string { return decimal(int64(l), mark) }
