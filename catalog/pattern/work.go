package pattern

import (
	"slices"
	"strconv"
	"strings"
)

// Working a rule out from one label. The number is looked for as it was told,
// whatever separates its letters and digits, and with zeros in front. Where
// marks part the fields of the label, they say where the number begins and
// ends; else its place does. What stands in front of the first digit is taken
// to be the same on every label, and so is the length, where nothing in it can
// be longer or shorter. Each rule that comes out reads its example rightly.

// Work gives the rules by which a label can hold a number, and how many where
// pieces is not 0; none where it does not hold them, several where they stand
// in it more than once.
func Work(symbology, text, number string, pieces int64) []Rule {
	runes := []rune(text)
	var all []Rule
	for _, at := range places(runes, number) {
		part, ok := at.span(runes, func(s Span) bool { return Rule{Part: s, Zeros: !at.zeros}.reads(text, number, 0) })
		if !ok {
			continue
		}
		r := Rule{Shape: Shape{Symbology: symbology, Begins: front(runes[:at.from])}, Part: part, Zeros: !at.zeros}
		if pieces == 0 {
			all = append(all, r.fixed(runes))
			continue
		}
		for _, amount := range amounts(runes, at, pieces) {
			with := r
			with.Pieces, ok = amount.span(runes, func(s Span) bool {
				with.Pieces = s
				return with.reads(text, number, pieces)
			})
			if ok {
				with.Begins = front(runes[:min(at.from, amount.from)])
				all = append(all, with.fixed(runes))
			}
		}
	}
	return all
}

// reads reports whether the rule reads that of its example.
func (r Rule) reads(text, number string, pieces int64) bool {
	got, n, ok := r.Read("", text)
	return ok && n == pieces && (normal(got) == normal(number) || normal(got) == strings.TrimLeft(normal(number), "0"))
}

// fixed gives r with the length of its example, where no other fits it: where
// no mark parts the fields, and the last does not go on to the end behind
// letters that tell the label.
func (r Rule) fixed(text []rune) Rule {
	for _, s := range []Span{r.Part, r.Pieces} {
		if s.Mark != "" || s.Until != "" || s != (Span{}) && s.Length == 0 && r.Begins != "" {
			return r
		}
	}
	r.Length = len(text)
	return r
}

// front gives the characters before the first digit.
func front(text []rune) string {
	if at := slices.IndexFunc(text, isDigit); at >= 0 {
		text = text[:at]
	}
	return string(text)
}

// A place is where something stands in a text, from the one index to before
// the other.
type place struct {
	from, to int
	zeros    bool // the first of it are zeros that do not belong to it
}

// places gives where a number stands in a text: as it was told, in a field of
// its own; where it does not, inside others; else with marks that were not told.
func places(text []rune, number string) []place {
	want := []rune(normal(number))
	if len(want) == 0 {
		return nil
	}
	var found [4][]place // the likeliest first
	for from := range text {
		to, ok := match(text, from, want)
		if !ok {
			continue
		}
		likely := 0
		if !strings.EqualFold(string(text[from:to]), strings.TrimSpace(number)) {
			likely = 2
		}
		at := place{from: from, to: to}
		for want[0] != '0' && at.from > 0 && text[at.from-1] == '0' {
			at.from, at.zeros = at.from-1, true
		}
		if at.from > 0 && alike(text[at.from-1], text[at.from]) || to < len(text) && alike(text[to-1], text[to]) {
			likely++
		}
		found[likely] = append(found[likely], at)
	}
	for _, all := range found {
		if len(all) > 0 {
			return all
		}
	}
	return nil
}

// alike reports whether two characters are both digits, or both letters.
func alike(a, b rune) bool { return !isMark(a) && !isMark(b) && isDigit(a) == isDigit(b) }

// match gives where letters and digits that begin at an index end; not ok where
// others stand there.
func match(text []rune, from int, want []rune) (to int, ok bool) {
	at := from
	for i, w := range want {
		for i > 0 && at < len(text) && isMark(text[at]) {
			at++
		}
		if at == len(text) || normal(string(text[at])) != string(w) {
			return 0, false
		}
		at++
	}
	return at, true
}

// amounts gives the whole numbers in a text outside a place that are n.
func amounts(text []rune, outside place, n int64) (all []place) {
	for from := 0; from < len(text); from++ {
		if !isDigit(text[from]) || from >= outside.from && from < outside.to {
			continue
		}
		to := from
		for to < len(text) && isDigit(text[to]) && to != outside.from {
			to++
		}
		if v, err := strconv.ParseUint(string(text[from:to]), 10, 32); err == nil && int64(v) == n {
			all = append(all, place{from: from, to: to})
		}
		from = to - 1
	}
	return all
}

// span gives the first way to say where a place is that is right: from a mark
// before counting from the beginning, as far as a mark or the end before
// counting characters.
func (p place) span(text []rune, right func(Span) bool) (Span, bool) {
	begins := []Span{{From: p.from + 1}}
	if mark := lastMark(text[:p.from]); mark >= 0 {
		nth := 0
		for _, r := range text[:mark+1] {
			if r == text[mark] {
				nth++
			}
		}
		begins = []Span{{Mark: string(text[mark]), Nth: nth, From: p.from - mark}, begins[0]}
	}
	for _, s := range begins {
		ends := []Span{s, s}
		ends[1].Length = p.to - p.from
		if p.to < len(text) {
			ends = ends[1:]
			if isMark(text[p.to]) {
				s.Until = string(text[p.to])
				ends = []Span{s, ends[0]}
			}
		}
		if i := slices.IndexFunc(ends, right); i >= 0 {
			return ends[i], true
		}
	}
	return Span{}, false
}

// lastMark gives the index of the last mark, below 0 for none.
func lastMark(text []rune) int {
	for i := len(text) - 1; i >= 0; i-- {
		if isMark(text[i]) {
			return i
		}
	}
	return -1
}
