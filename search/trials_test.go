//go:build trials

package search

import (
	"testing"
	"time"
)

// Killed at many moments of making, filling and closing, some indexes have to
// be built anew and some not; none stops a program.
func TestTrialKilled(t *testing.T) {
	anew := 0
	for i := range 80 {
		if kill(t, time.Duration(i)*time.Millisecond) {
			anew++
		}
	}
	if anew == 0 || anew == 80 {
		t.Errorf("%d of 80 built anew: the kills missed their moments", anew)
	}
	t.Logf("%d of 80 built anew", anew)
}
