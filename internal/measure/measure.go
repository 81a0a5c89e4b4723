// Package measure holds the exact measures of forkstock: lengths, sizes of
// ring-shaped parts, threads, O-rings, volumes and torques.
//
// Every measure is a whole number of a small unit (micrometre, millilitre,
// millinewton metre), so that equal means equal and nothing is a float. Texts
// are read the way lists, manuals and mechanics write them, with a point or a
// comma as the decimal mark (never as a thousands mark); inches, ounces and
// pounds are rounded half to even to the small unit, and the caller keeps the
// text that was entered where it matters. String writes one fixed form in
// ASCII, and the Parse function of the type reads exactly that value back.
// Screen writes for people, with the decimal mark of their language and
// U+00D7 between the sizes.
//
// Zero means "not known" inside a Size and a Thread; no Parse function returns
// a zero or negative measure, or one beyond its documented limit.
//
// Non-goals: areas, weights, viscosities, tolerances, whether two parts fit.
//
// Sources: 1 in = 25.4 mm, 1 US fl oz = 29.5735295625 mL, 1 Imperial fl oz =
// 28.4130625 mL, 1 lbf ft = 1.3558179483314004 N m and 1 kgf m = 9.80665 N m,
// all exact by definition; ISO 262 for coarse pitches; SAE AS568 for O-rings.
package measure

import (
	"math/big"
	"strconv"
	"strings"

	"forkstock/internal/fault"
)

// longest is the most bytes of text that can be a measure.
const longest = 64

// tidy gives text with single spaces and none at its ends, and false where it
// is too long to be a measure.
func tidy(text string) (string, bool) {
	if len(text) > longest {
		return "", false
	}
	return strings.Join(strings.Fields(text), " "), true
}

// rational reads digits with at most one decimal mark, which the caller has
// made sure of.
func rational(digits string) *big.Rat {
	r, _ := new(big.Rat).SetString(strings.Replace(digits, ",", ".", 1))
	return r
}

// exact reads a constant of this package.
func exact(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic("measure: " + s)
	}
	return r
}

// round gives the whole number nearest to r, halves to the even one, and
// false where r is below one half or above most.
func round(r *big.Rat, most int64) (int64, bool) {
	q, rest := new(big.Int).QuoRem(r.Num(), r.Denom(), new(big.Int))
	twice := rest.Lsh(rest, 1)
	if c := twice.Cmp(r.Denom()); c > 0 || c == 0 && q.Bit(0) == 1 {
		q.Add(q, big.NewInt(1))
	}
	if !q.IsInt64() || q.Int64() < 1 || q.Int64() > most {
		return 0, false
	}
	return q.Int64(), true
}

// decimal writes thousandths with mark and without trailing zeros.
func decimal(thousandths int64, mark rune) string {
	whole, part := thousandths/1000, thousandths%1000
	sign := ""
	if thousandths < 0 {
		sign, whole, part = "-", -whole, -part
	}
	s := sign + strconv.FormatInt(whole, 10)
	if part == 0 {
		return s
	}
	return s + string(mark) + strings.TrimRight(strconv.FormatInt(1000+part, 10)[1:], "0")
}

// bad makes the fault for a text that is not a measure: message id "measure."
// + id about the text, hint "measure.hint_" + what with an example.
func bad(id, what, text string, args ...any) error {
	if r := []rune(strings.ToValidUTF8(text, "\uFFFD")); len(r) > 40 {
		text = string(r[:40]) + "..."
	} else {
		text = string(r)
	}
	args = append([]any{text}, args...)
	return fault.New(fault.Invalid, "measure."+id, args...).WithHint("measure.hint_" + what)
}
