package sample

import (
	"math/rand/v2"
	"strings"
)

// A symbol is drawn on paper: its shade at a place, quiet zone included.
type symbol struct {
	width, height float64
	shade         func(x, y float64) float64
}

// bars draws a linear symbol: widths in modules, a bar first, quiet zones at
// both sides. Bearers are bars along its top and bottom.
func bars(widths []float64, left, right, height float64, bearers bool) symbol {
	const cell = 0.5 // the finest width there is
	var dark []bool
	for i, w := range widths {
		for range int(w/cell + 0.5) {
			dark = append(dark, i%2 == 0)
		}
	}
	inside := float64(len(dark)) * cell
	const bearer = 3
	shade := func(x, y float64) float64 {
		x -= left
		if bearers && (y < bearer || y >= height-bearer) && x > -left && x < inside+right {
			return 0
		}
		if x >= 0 && x < inside && y >= 0 && y < height && dark[int(x/cell)] {
			return 0
		}
		return 1
	}
	return symbol{left + inside + right, height, shade}
}

// plain turns strings of widths, one digit each, into numbers.
func plain(parts ...string) (all []float64) {
	for _, c := range strings.Join(parts, "") {
		all = append(all, float64(c-'0'))
	}
	return all
}

// EAN and UPC: widths of the digits in number set A, a space first, and the
// sets of the six left digits by what they leave out (GS1 General
// Specifications 5.2, ISO/IEC 15420). C is A with bars for spaces, B is C
// backwards.
var (
	setA   = strings.Fields("3211 2221 2122 1411 1132 1231 1114 1312 1213 3112")
	first  = strings.Fields("AAAAAA AABABB AABBAB AABBBA ABAABB ABBAAB ABBBAA ABABAB ABABBA ABBABA")
	checkE = strings.Fields("BBBAAA BBABAA BBAABA BBAAAB BABBAA BAABBA BAAABB BABABA BABAAB BAABAB")
)

// ean gives the widths of digits by their sets.
func ean(digits, sets string) string {
	var b strings.Builder
	for i := range len(digits) {
		w := setA[digits[i]-'0']
		if sets[i] == 'B' {
			w = string([]byte{w[3], w[2], w[1], w[0]})
		}
		b.WriteString(w)
	}
	return b.String()
}

const (
	guard  = "111"
	middle = "11111"
)

func drawEAN13(r *rand.Rand, s string) symbol {
	w := plain(guard, ean(s[1:7], first[s[0]-'0']), middle, ean(s[7:], "AAAAAA"), guard)
	return bars(w, 11, 7, between(r, 30, 70), false)
}

func drawUPCA(r *rand.Rand, s string) symbol {
	symbol := drawEAN13(r, "0"+s)
	return symbol
}

func drawEAN8(r *rand.Rand, s string) symbol {
	w := plain(guard, ean(s[:4], "AAAA"), middle, ean(s[4:], "AAAA"), guard)
	return bars(w, 7, 7, between(r, 25, 50), false)
}

func drawUPCE(r *rand.Rand, s string) symbol {
	w := plain(guard, ean(s[1:7], checkE[s[7]-'0']), "111111")
	return bars(w, 9, 7, between(r, 30, 60), false)
}

// twoOfFive are the wide ones of five bars for the digits 1 to 9 and 0; ITF
// and Code 39 share them (ISO/IEC 16390, ISO/IEC 16388).
var twoOfFive = strings.Fields("10001 01001 11000 00101 10100 01100 00011 10010 01010 00110")

func fives(digit byte) string { return twoOfFive[(int(digit-'0')+9)%10] }

func drawITF(r *rand.Rand, s string) symbol {
	wide := pickWidth(r)
	w := plain("1111")
	for i := 0; i < len(s); i += 2 {
		a, b := fives(s[i]), fives(s[i+1])
		for j := range a {
			w = append(w, element(a[j], wide), element(b[j], wide))
		}
	}
	w = append(w, wide, 1, 1)
	return bars(w, 10, 10, between(r, 35, 60), r.IntN(2) == 0)
}

func pickWidth(r *rand.Rand) float64 { return []float64{2.5, 3}[r.IntN(2)] }

func element(wide byte, width float64) float64 {
	if wide == '1' {
		return width
	}
	return 1
}

// code39 gives the wide ones of nine elements of a character: ten characters
// in a row share the wide space, four have narrow bars and three wide spaces.
func code39(c byte) string {
	const odd = "$/+%"
	if i := strings.IndexByte(odd, c); i >= 0 {
		spaces := strings.Fields("1110 1101 1011 0111")[i]
		return "0" + spaces[:1] + "0" + spaces[1:2] + "0" + spaces[2:3] + "0" + spaces[3:] + "0"
	}
	for row, chars := range []string{"1234567890", "ABCDEFGHIJ", "KLMNOPQRST", "UVWXYZ-. *"} {
		i := strings.IndexByte(chars, c)
		if i < 0 {
			continue
		}
		spaces := strings.Fields("0100 0010 0001 1000")[row]
		b := twoOfFive[i]
		return b[:1] + spaces[:1] + b[1:2] + spaces[1:2] + b[2:3] + spaces[2:3] + b[3:4] + spaces[3:] + b[4:]
	}
	return ""
}

func drawCode39(r *rand.Rand, s string) symbol {
	wide := pickWidth(r)
	var w []float64
	for i, c := range []byte("*" + s + "*") {
		if i > 0 {
			w = append(w, 1)
		}
		for _, e := range []byte(code39(c)) {
			w = append(w, element(e, wide))
		}
	}
	return bars(w, 10, 10, between(r, 30, 60), false)
}
