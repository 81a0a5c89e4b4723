//go:build trials

package search

import "testing"

// Killed at 50 random moments of each work, none stops a program.
func TestTrialKilled(t *testing.T) {
	if killAt(t, 50) == 0 {
		t.Error("none that was stopped had to be made anew: the kills missed their moments")
	}
}
