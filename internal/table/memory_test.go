package table

import (
	"fmt"
	"io"
	"os"
	"runtime"
	"testing"
)

// endless gives a header and then n rows, made as they are read.
type endless struct {
	n, i int
	rest []byte
}

func (e *endless) Read(p []byte) (int, error) {
	for len(e.rest) < len(p) && e.i <= e.n {
		if e.i == 0 {
			e.rest = append(e.rest, "number,description,price,code\n"...)
		} else {
			e.rest = fmt.Appendf(e.rest, "%07d,\"Oil seal, 39x52x11\",%d.%02d,95201%08d\n", e.i, e.i%90+1, e.i%100, e.i)
		}
		e.i++
	}
	if len(e.rest) == 0 {
		return 0, io.EOF
	}
	n := copy(p, e.rest)
	e.rest = append(e.rest[:0], e.rest[n:]...)
	return n, nil
}

// TestTrialFlat reads a long list in the memory that a short one takes, a tenth
// of it outside of the trials. A million rows of this list are 45 MB.
func TestTrialFlat(t *testing.T) {
	n := 100_000
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		n = 1_000_000
	}
	table, err := Read("long.csv", &endless{n: n}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	heap := func() int64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	before, most, rows := heap(), int64(0), 0
	for row, err := range table.All() {
		if err != nil || row.Err != nil {
			t.Fatal(err, row.Err)
		}
		if rows++; rows%(n/10) == 0 {
			most = max(most, heap()-before)
		}
	}
	if rows != n {
		t.Errorf("%d rows of %d", rows, n)
	}
	if most > 1<<20 {
		t.Errorf("the heap grew by %d bytes while reading", most)
	}
}
