package search

import (
	"strings"
	"unicode"

	"forkstock/catalog/wording"
)

// key gives the folded letters and digits of s alone, so that "O-ring",
// "o ring" and "Oring" are one.
func key(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, wording.Fold(s))
}

// split takes a text apart into words as they were typed. Commas, slashes and
// the like part words unless they stand inside a number: "41,3".
func split(s string) []string {
	runes := []rune(s)
	digit := func(i int) bool { return i >= 0 && i < len(runes) && unicode.IsDigit(runes[i]) }
	for i, r := range runes {
		switch {
		case strings.ContainsRune(",./", r) && digit(i-1) && digit(i+1):
		case strings.ContainsRune(`,;:/()[]{}"!?+|<>`, r):
			runes[i] = ' '
		}
	}
	return strings.Fields(string(runes))
}

// terms gives the folded words of s for the index: runs of letters and digits.
func terms(s string) []string {
	return strings.FieldsFunc(wording.Fold(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
}

// hasDigit reports whether s holds a digit.
func hasDigit(s string) bool { return strings.ContainsFunc(s, unicode.IsDigit) }

// edits gives how many letters of a word may be wrong: none below four
// letters, else one. Digits do not count as letters.
func edits(word string) int {
	n := 0
	for _, r := range word {
		if unicode.IsLetter(r) {
			n++
		}
	}
	if n < 4 {
		return 0
	}
	return 1
}

// slips gives how many letters are wrong, missing, too many or swapped with
// their neighbour between a and b (the optimal string alignment distance), or
// most+1 where it is more than most, where the words begin differently, or
// where the digits differ: 39 is not 38.
func slips(a, b string, most int) int {
	x, y := []rune(a), []rune(b)
	switch {
	case a == b:
		return 0
	case most < 1 || len(x) == 0 || len(y) == 0 || max(len(x)-len(y), len(y)-len(x)) > most || x[0] != y[0] || digitsOf(a) != digitsOf(b):
		return most + 1
	}
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := range x {
		row[0] = i + 1
		for j := range y {
			change := last[j]
			if x[i] != y[j] {
				change++
			}
			row[j+1] = min(change, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return min(last[len(y)], most+1)
}

func digitsOf(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, s)
}
