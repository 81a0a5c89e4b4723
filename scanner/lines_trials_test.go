//go:build trials

package scanner

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/gs1"
)

// What scanners send, in the vectors of ../shared/checks/gs1 (sources in its
// README): those of scandata_process are read as they are; those of
// scandata_generate, which say what a symbol sends, are read back.
func TestTrialScanData(t *testing.T) {
	type vector struct {
		Scan, Sym, DataStr string
		OK                 bool
	}
	read := 0
	for _, name := range []string{"scandata_process", "scandata_generate"} {
		data, err := os.ReadFile(beside + "checks/gs1/" + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var file struct{ Vectors []vector }
		if err := json.Unmarshal(data, &file); err != nil {
			t.Fatal(err)
		}
		for _, v := range file.Vectors {
			switch {
			case name == "scandata_generate" && v.Scan == "":
				continue // nothing is sent: the text does not fit its symbol
			case v.Scan == "]Q1" || v.Scan == "]d1" || v.Scan == "]J0":
				continue // an empty symbol: nothing to receive
			case v.Scan == "]Q1https://a/NOPRIMARYAI":
				continue // a web address that is no GS1 Digital Link: text here, not wrong
			case v.Scan == "]E0123456789012":
				continue // thirteen digits to the engine; here a UPC-A as printed may follow, and is one
			case v.Scan == "" || v.Scan[0] != ']' || v.Scan == "]" || strings.HasPrefix(v.Scan, "]X"):
				continue // no AIM identifier: the engine takes none, a hand scanner here may
			}
			read++
			wedge(t, v.Scan, v.Sym, v.DataStr, v.OK || name == "scandata_generate")
		}
	}
	if read < 79 {
		t.Errorf("%d vectors, want 79", read)
	}
}

func wedge(t *testing.T, scan, sym, data string, good bool) {
	t.Helper()
	lines, bad, err := Lines(strings.NewReader(scan), nil)
	if err != nil || len(lines)+len(bad) != 1 {
		t.Fatalf("%q: %v, %v, %v", scan, lines, bad, err)
	}
	isGS1 := strings.HasPrefix(scan, "]C1") || strings.HasPrefix(scan, "]e0") || strings.HasPrefix(scan, "]d2") ||
		strings.HasPrefix(scan, "]Q3") || strings.HasPrefix(scan, "]J1")
	if !good {
		// A GS1 label that breaks the rules waits as text, without elements.
		if len(lines) == 1 && (!isGS1 || lines[0].Elements != nil) {
			t.Errorf("%q is taken as %+v", scan, lines[0])
		}
		return
	}
	if len(lines) == 0 {
		t.Errorf("%q is refused: %v", scan, bad[0].Err)
		return
	}
	l := lines[0]
	if isGS1 {
		want, err := gs1.Parse(strings.TrimPrefix(scan[3:], "\x1d"))
		if diff := cmp.Diff(l.Elements, want); diff != "" || err != nil {
			t.Errorf("%q: %v, -got +want\n%s", scan, err, diff)
		}
		return
	}
	text, _, _ := strings.Cut(scan[3:], "|]e0")
	if l.Text != text {
		t.Errorf("%q (%s %q) is read as %q", scan, sym, data, l.Text)
	}
}
