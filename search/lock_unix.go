//go:build unix

package search

import (
	"os"
	"syscall"
)

// lock takes f for this process alone, or fails at once. Closing f, or the end
// of the process however it comes, lets go.
func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }
