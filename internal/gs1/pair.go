package gs1

import "strings"

// pairAlphabet32 is the alphabet of the two check characters.
const pairAlphabet32 = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"

// pairWeights are the primes from 2 to 83, one for each character before the
// pair, the smallest on the right.
var pairWeights = [...]int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83}

// pairChecked reports whether the last two characters of text are its check
// character pair: each character's place in the 82-character set times a
// prime, the sum modulo 1021, written in base 32. Source: General
// Specifications 7.9.5.
func pairChecked(text string) bool {
	body := len(text) - 2
	if body < 0 || body > len(pairWeights) {
		return false
	}
	sum := 0
	for i := range body {
		sum += strings.IndexByte(alphabets['X'], text[i]) * pairWeights[body-1-i]
	}
	sum %= 1021
	return text[body] == pairAlphabet32[sum>>5] && text[body+1] == pairAlphabet32[sum&31]
}
