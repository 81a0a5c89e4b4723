package gs1

import "strings"

// pairAlphabet32 is the alphabet of the two check characters.
const pairAlphabet32 = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"

// pairChecked reports whether the last two characters of text are its check
// character pair: each character's place in the 82-character set times a
// prime, the smallest prime on the right, the sum modulo 1021, written in base
// 32. Source: General Specifications 7.9.5.
func pairChecked(text string) bool {
	body := len(text) - 2
	if body < 0 || body > 97 { // 97 primes before 521, as far as GS1 goes
		return false
	}
	sum, prime := 0, 1
	for i := body - 1; i >= 0; i-- {
		place := strings.IndexByte(alphabets['x'], text[i])
		if place < 0 {
			return false
		}
		prime = nextPrime(prime)
		sum += place * prime
	}
	sum %= 1021
	return text[body] == pairAlphabet32[sum>>5] && text[body+1] == pairAlphabet32[sum&31]
}

// nextPrime gives the smallest prime above n.
func nextPrime(n int) int {
	for n++; ; n++ {
		prime := true
		for d := 2; d*d <= n; d++ {
			prime = prime && n%d != 0
		}
		if prime {
			return n
		}
	}
}
