// Package pattern tells scanned texts apart by their looks: which are of one
// kind, such as the parcel labels of a carrier, and which characters on the
// labels of a supplier are the part number and how many are in the pack.
//
// Lengths and places are counted in characters, from 1. Everything here is a
// function of its text.
//
// Non-goals: what a number stands for (package catalog), and texts with GS1
// elements (package gs1).
//
// Sources: none; how labels are laid out is common practice.
package pattern

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Shape is how texts of one kind look.
type Shape struct {
	Symbology string // empty: whichever
	Begins    string // the characters in front
	Length    int    // of the text; 0: any
}

// Fits reports whether a text is of the shape. Where the scanner did not say
// which symbology it read, whichever does.
func (s Shape) Fits(symbology, text string) bool {
	return (s.Symbology == "" || symbology == "" || s.Symbology == symbology) && strings.HasPrefix(text, s.Begins) &&
		(s.Length == 0 || s.Length == utf8.RuneCountInString(text))
}

// fewest is how many characters in front ShapeOf takes at least.
const fewest = 4

// ShapeOf gives the shape of which a text is most likely to be an example: its
// length, and what stands in front of its digits, four characters at least. Of
// a web address it is the site, whatever follows.
func ShapeOf(symbology, text string) Shape {
	if site, ok := site(text); ok {
		return Shape{Symbology: symbology, Begins: site}
	}
	runes := []rune(text)
	n := 0
	for n < len(runes) && !isDigit(runes[n]) {
		n++
	}
	n = min(max(n, fewest), len(runes))
	return Shape{symbology, string(runes[:n]), len(runes)}
}

// site gives scheme and host of a web address, with the slash behind them.
func site(text string) (string, bool) {
	for _, scheme := range []string{"https://", "http://"} {
		if len(text) < len(scheme) || !strings.EqualFold(text[:len(scheme)], scheme) {
			continue
		}
		host, _, more := strings.Cut(text[len(scheme):], "/")
		if host == "" {
			return "", false
		}
		end := len(scheme) + len(host)
		if more {
			end++
		}
		return text[:end], true
	}
	return "", false
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// isMark reports whether a character parts the fields of a label: no letter
// and no digit.
func isMark(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }
