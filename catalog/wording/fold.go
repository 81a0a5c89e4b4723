package wording

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

var umlauts = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss", "æ", "ae", "ø", "o")

// Fold gives the form in which two spellings of a word are one: lower case,
// German umlauts as two letters, without other accents.
func Fold(s string) string {
	if isASCII(s) {
		return strings.ToLower(s)
	}
	s = umlauts.Replace(strings.ToLower(norm.NFC.String(s)))
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// twoLetters are the umlauts that need no table to be folded.
func twoLetters(r rune) string {
	switch r {
	case 'ä', 'Ä':
		return "ae"
	case 'ö', 'Ö':
		return "oe"
	case 'ü', 'Ü':
		return "ue"
	case 'ß', 'ẞ':
		return "ss"
	}
	return ""
}

// appendFolded appends word, letters only, as Fold gives it.
func appendFolded(to []byte, word string) []byte {
	from := len(to)
	for _, r := range word {
		switch two := twoLetters(r); {
		case r < utf8.RuneSelf:
			to = append(to, byte(r)|0x20)
		case two != "":
			to = append(to, two...)
		default:
			return append(to[:from], Fold(word)...)
		}
	}
	return to
}
