package catalog

import (
	"slices"
	"testing"
)

// 9521016150103 is valid: 9+5*3+2+1*3+0+1*3+6+1*3+5+0*3+1+0*3 = 47, and 3 more
// make 50 (worked by hand from GS1 General Specifications 7.9.1).
func TestSlipsOf(t *testing.T) {
	const right = "9521016150103"
	for _, tt := range []struct {
		typed string
		found bool
	}{
		{"9521016150108", true},  // the check digit
		{"9521016750103", true},  // a digit within
		{"9521016150013", true},  // 1 and 0 swapped
		{"9521016150130", true},  // 0 and 3 swapped
		{"9521061510103", false}, // two swaps
		{"952101615010", false},  // a digit lost
		{"95210161501O3", true},  // a letter for a digit
		{right, false},           // nothing is wrong with it
		{"OB395211", false},
	} {
		if got := slices.Contains(slipsOf(tt.typed), right); got != tt.found {
			t.Errorf("%s: %v, want %v", tt.typed, got, tt.found)
		}
	}
}
