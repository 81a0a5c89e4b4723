package wording

import (
	"forkstock/catalog"
	"forkstock/internal/measure"
)

// Diameters of legs that are met, beside every whole one from 30 to 51 mm: see
// the notes of the trade. A length that says what it is may be another.
const (
	leastLeg = 30 * measure.Millimetre
	mostLeg  = 52 * measure.Millimetre // below it
)

// leg finds the diameter of the inner tube: 43 mm, Ø43, a 39er Gabel, leg 41;
// where none says what it is, a number alone that can be one.
func (r *reader) leg() {
	if len(r.matches) == 0 && r.fork() < 0 || r.says(catalog.Oil) {
		return
	}
	var named, bare Proposal[measure.Length]
	for i := range r.tokens {
		t := &r.tokens[i]
		if t.kind != number || t.used || t.zero || t.bad || t.value < leastLeg || t.value >= mostLeg || !r.freeBefore(i) {
			continue
		}
		if r.rangeAt(i) {
			return
		}
		switch a, b := r.legAt(i); {
		case b >= 0:
			only(&named, propose(r, t.value, a, b, Certain))
		case r.alone(i) && !r.amid(i) && met(t.value):
			only(&bare, propose(r, t.value, i, i, Uncertain))
		}
	}
	r.out.Leg = named
	if !named.Made() && named.From == 0 {
		r.out.Leg = bare
	}
}

// legAt gives the tokens that make a number the diameter of a leg, -1 where
// none do.
func (r *reader) legAt(at int) (a, b int) {
	next := at + 1
	if next < len(r.tokens) && r.tokens[next].sign == '-' && r.tokens[next].glued {
		next++
	}
	if next < len(r.tokens) && (r.tokens[next].is&mmWord != 0 || r.tokens[next].glued && r.key(next, next) == "er") {
		return at, next
	}
	a = at
	if a > 0 && (r.tokens[a-1].sign == 'o' || r.tokens[a-1].sign == '=') {
		a--
		if r.tokens[a].sign == '=' && a > 0 {
			a--
		}
		return a, at
	}
	if a > 0 && r.tokens[a-1].is&legWord != 0 && r.alone(at) {
		return a - 1, at
	}
	return 0, -1
}

// alone reports whether a number stands between spaces, brackets and commas.
func (r *reader) alone(at int) bool {
	before := at == 0 || !r.tokens[at].glued || isBracket(r.tokens[at-1].sign)
	return before && r.endsAt(at)
}

func isBracket(sign byte) bool {
	switch sign {
	case '(', ')', ',', ';', ':', '.', '_':
		return true
	}
	return false
}

// amid reports whether another number stands next to a number, or next but one,
// or a unit behind it: 50 g.
func (r *reader) amid(at int) bool {
	if next := at + 1; next < len(r.tokens) && r.tokens[next].kind == word && !r.tokens[next].known && r.tokens[next].to-r.tokens[next].from < 3 {
		return true
	}
	for i := max(at-2, 0); i < min(at+3, len(r.tokens)); i++ {
		if i != at && r.tokens[i].kind == number && !r.tokens[i].used && (i > at-2 && i < at+2 || r.tokens[(i+at)/2].kind == mark) {
			return true
		}
	}
	return false
}

// rangeAt reports whether a number is one end of a span: 39 bis 50 mm.
func (r *reader) rangeAt(at int) bool {
	i := at + 1
	if i < len(r.tokens) && r.tokens[i].is&mmWord != 0 {
		i++
	}
	return i+1 < len(r.tokens) && r.tokens[i+1].kind == number && (r.tokens[i].is&toWord != 0 || r.tokens[i].sign == '-') &&
		r.tokens[i+1].value > r.tokens[at].value && r.tokens[i+1].value <= mostLeg
}

// met reports whether a number alone can be the diameter of a leg.
func met(l measure.Length) bool {
	switch l {
	case 34900, 38500, 41300:
		return true
	}
	return l%measure.Millimetre == 0 && l >= 30*measure.Millimetre && l <= 51*measure.Millimetre
}
