package pattern

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// A Span says which characters of a text are meant.
type Span struct {
	Mark   string `json:"mark,omitempty"`   // From counts behind the Nth of these; empty: from the beginning
	Nth    int    `json:"nth,omitempty"`    // from 1
	From   int    `json:"from"`             // from 1
	Length int    `json:"length,omitempty"` // 0: as far as Until
	Until  string `json:"until,omitempty"`  // empty: to the end
}

// cut gives the characters that are meant, without space around them; not ok
// where they are not all there.
func (s Span) cut(text []rune) (string, bool) {
	base := 0
	if s.Mark != "" {
		mark := []rune(s.Mark)[0]
		for nth := 0; nth < s.Nth; nth++ {
			at := slices.Index(text[base:], mark)
			if at < 0 {
				return "", false
			}
			base += at + 1
		}
	}
	begin, end := base+s.From-1, len(text)
	switch {
	case s.From < 1 || begin >= end:
		return "", false
	case s.Length > 0:
		end = begin + s.Length
	case s.Until != "":
		if at := slices.Index(text[begin:], []rune(s.Until)[0]); at >= 0 {
			end = begin + at
		} else {
			end = len(text) + 1
		}
	}
	if end > len(text) {
		return "", false
	}
	cut := strings.TrimSpace(string(text[begin:end]))
	return cut, cut != ""
}

// A Rule reads the labels of a supplier.
type Rule struct {
	Shape
	Part   Span // the part number
	Zeros  bool // leading zeros belong to it
	Pieces Span // how many; the zero Span: the label does not say
}

// MostPieces is the largest number that a label can say.
const MostPieces = 9999

// Read gives the part number on a label, and how many of it are in the pack,
// 0 where the rule knows no place for that. It is not ok where the label is
// another kind.
func (r Rule) Read(symbology, text string) (number string, pieces int64, ok bool) {
	if !r.Fits(symbology, text) {
		return "", 0, false
	}
	runes := []rune(text)
	number, ok = r.Part.cut(runes)
	if !r.Zeros {
		number = strings.TrimLeft(number, "0")
	}
	if !ok || normal(number) == "" {
		return "", 0, false
	}
	if (r.Pieces == Span{}) {
		return number, 0, true
	}
	digits, ok := r.Pieces.cut(runes)
	n, err := strconv.ParseUint(digits, 10, 32)
	if !ok || err != nil || n < 1 || n > MostPieces {
		return "", 0, false
	}
	return number, int64(n), true
}

// normal is catalog.Normal, which imports this package.
func normal(s string) string {
	return strings.Map(func(r rune) rune {
		if isMark(r) {
			return -1
		}
		return unicode.ToUpper(r)
	}, s)
}
