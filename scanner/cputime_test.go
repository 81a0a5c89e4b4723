//go:build unix

package scanner

import (
	"syscall"
	"testing"
	"time"
)

// processorTime is that of this process in milliseconds, collecting garbage
// included: what counts on a machine that does other things as well.
func processorTime(t testing.TB) float64 {
	t.Helper()
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return float64(u.Utime.Nano()+u.Stime.Nano()) / float64(time.Millisecond)
}
