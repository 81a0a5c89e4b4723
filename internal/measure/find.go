package measure

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// A number of a size in free text: at most three digits before the mark.
const (
	plain = `\d{1,3}(?:[.,]\d{1,3})?`
	unit  = `(?: ?mm)?`
)

// The forms of a size in free text, tried in this order at each place.
var sizeForms = []*regexp.Regexp{
	regexp.MustCompile(`(?i)^[ø⌀∅]?` + plain + unit + `(?:[x×*]` + plain + unit + `){1,3}(?:/` + plain + unit + `)?`),
	regexp.MustCompile(`(?i)^[ø⌀∅]?` + plain + unit + `(?: [x×*] ` + plain + unit + `){1,3}(?: ?/ ?` + plain + unit + `)?`),
	regexp.MustCompile(`^` + plain + `-` + plain + `-` + plain + `(?:-` + plain + `|/` + plain + `)?`),
}

var diameterForm = regexp.MustCompile(`(?i)^(?:[ø⌀∅] ?` + plain + unit + `|` + plain + ` ?mm)`)

// FindSizes takes the sizes of rings out of free text, such as "FORK SEAL
// 39X52X11 PAIR", and gives what is left with single spaces. A size is taken
// only where it
//
//   - stands free: between spaces, brackets and quotes, behind a colon, before the
//     marks of a sentence, so not in KB-39-52-11 or M10x1.25;
//   - has crosses, all with a space on both sides or none, or hyphens without
//     spaces; slashes only before an overall height;
//   - has no number with a leading zero or above 999, and passes Check;
//   - with two numbers: the inner is 4 mm or more and the outer at most twice
//     that, so that "2x50" stays a count;
//   - with hyphens: three numbers or four, the inner above 12 mm, the outer at
//     most twice the inner, the height below the inner. No date passes, in
//     whatever order its day, month and year stand.
//
// A free-standing 39-52-11 is taken although a part may have that number.
func FindSizes(text string) (sizes []Size, rest string) {
	rest = take(text, func(at string) int {
		for i, form := range sizeForms {
			found := form.FindString(at)
			if found == "" || !freeAfter(at[len(found):]) {
				continue
			}
			if s, ok := plausible(found, i == 2); ok {
				sizes = append(sizes, s)
				return len(found)
			}
		}
		return 0
	})
	return sizes, rest
}

// plausible reads a size of free text, with the rules of FindSizes.
func plausible(found string, hyphens bool) (Size, bool) {
	s, err := ParseSize(found)
	switch {
	case err != nil || leadingZero(found):
		return s, false
	case hyphens:
		return s, s.Inner > 12*Millimetre && s.Outer <= 2*s.Inner && s.Height < s.Inner
	case s.Height == 0:
		return s, s.Inner >= 4*Millimetre && s.Outer <= 2*s.Inner
	}
	return s, true
}

// FindLengths takes lengths that name themselves out of free text: "39 mm",
// "39mm", "Ø39", "Ø 39.5 mm". It gives what is left with single spaces; a bare
// number is left to the caller. A length has to stand free and to be without
// a leading zero, as in FindSizes, which comes first where both are asked.
func FindLengths(text string) (lengths []Length, rest string) {
	rest = take(text, func(at string) int {
		found := diameterForm.FindString(at)
		if found == "" || !freeAfter(at[len(found):]) || leadingZero(found) {
			return 0
		}
		l, err := ParseLength(found)
		if err != nil {
			return 0
		}
		lengths = append(lengths, l)
		return len(found)
	})
	return lengths, rest
}

// take drops what found measures at each free place of text.
func take(text string, found func(at string) int) string {
	var rest strings.Builder
	free := true
	text = strings.Join(strings.Fields(text), " ")
	for i := 0; i < len(text); {
		c := text[i]
		if digit := c >= '0' && c <= '9'; free && (digit || c >= utf8.RuneSelf) {
			if n := found(text[i:]); n > 0 {
				rest.WriteByte(' ')
				i += n
				free = false
				continue
			}
		}
		rest.WriteByte(c)
		free = strings.IndexByte(" ()[]{}\"'=;:", c) >= 0
		i++
	}
	return strings.Join(strings.Fields(rest.String()), " ")
}

var endForm = regexp.MustCompile(`^(?:$|[ ()\[\]{}"'=;]|[.,:!?](?: |$))`)

// freeAfter reports whether what stands in front of rest ends there.
func freeAfter(rest string) bool { return endForm.MatchString(rest) }

var zeroForm = regexp.MustCompile(`(?:^|[^\d.,])0\d`)

func leadingZero(found string) bool { return zeroForm.MatchString(found) }
