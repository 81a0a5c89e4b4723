package sample

import (
	"math/rand/v2"
	"strings"
)

// The characters of Code 128 by their values (ISO/IEC 15417, table 1): widths
// of three bars and three spaces; the last one, stop, has a fourth bar.
var code128 = strings.Fields(`
212222 222122 222221 121223 121322 131222 122213 122312 132212 221213 221312 231212 112232 122132 122231 113222
123122 123221 223211 221132 221231 213212 223112 312131 311222 321122 321221 312212 322112 322211 212123 212321
232121 111323 131123 131321 112313 132113 132311 211313 231113 231311 112133 112331 132131 113123 113321 133121
313121 211331 231131 213113 213311 213131 311123 311321 331121 312113 312311 332111 314111 221411 431111 111224
111422 121124 121421 141122 141221 112214 112412 122114 122411 142112 142211 241211 221114 413111 241112 134111
111242 121142 121241 114212 124112 124211 411212 421112 421211 212141 214121 412121 111143 111341 131141 114113
114311 411113 411311 113141 114131 311141 411131 211412 211214 211232 2331112`)

// Values that are no characters.
const (
	toC, toB       = 99, 100
	fnc1           = 102
	startB, startC = 104, 105
	stop           = 106
)

// run counts the digits that s begins with.
func run(s string) int {
	return len(s) - len(strings.TrimLeft(s, "0123456789"))
}

// values encodes a text in code sets B and C; gs1 puts FNC1 in front.
func values(s string, gs1 bool) []int {
	inC := run(s) >= 4
	v := []int{startB}
	if inC {
		v[0] = startC
	}
	if gs1 {
		v = append(v, fnc1)
	}
	for s != "" {
		n := run(s)
		switch {
		case s[:1] == gs:
			v, s = append(v, fnc1), s[1:]
		case inC && n >= 2:
			v, s = append(v, int(s[0]-'0')*10+int(s[1]-'0')), s[2:]
		case inC:
			v, inC = append(v, toB), false
		case n >= 4 && n%2 == 0:
			v, inC = append(v, toC), true
		default:
			v, s = append(v, int(s[0]-' ')), s[1:]
		}
	}
	sum := v[0]
	for i, n := range v[1:] {
		sum += (i + 1) * n
	}
	return append(v, sum%103, stop)
}

func drawCode128(r *rand.Rand, s string) symbol { return drawValues(r, values(s, false)) }

func drawGS1128(r *rand.Rand, s string) symbol { return drawValues(r, values(s, true)) }

func drawValues(r *rand.Rand, v []int) symbol {
	var w []string
	for _, n := range v {
		w = append(w, code128[n])
	}
	return bars(plain(w...), 10, 10, between(r, 30, 60), false)
}
