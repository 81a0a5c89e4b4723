package pages

import "golang.org/x/sys/unix"

// Limits of a program that draws PDF pages: a page of MaxPixels, grey, and as
// much again thrice; and so many seconds of work for a whole file.
const (
	drawMemory  = 1536 << 20 // bytes of address space
	drawSeconds = 600
)

// limit keeps a program that was just started from taking more. One that has
// ended already needs none.
func limit(pid int) {
	for resource, most := range map[int]uint64{unix.RLIMIT_AS: drawMemory, unix.RLIMIT_CPU: drawSeconds} {
		_ = unix.Prlimit(pid, resource, &unix.Rlimit{Cur: most, Max: most}, nil)
	}
}
