package table

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"testing"

	"forkstock/internal/fault"

	"github.com/google/go-cmp/cmp"
)

// RFC 4180, rules 5 to 7: cells with commas, quotes and line breaks are
// quoted, quotes doubled.
func TestWriteCSV(t *testing.T) {
	rows := [][]string{{"number", "description"}, {"1", `seal, "39"`}, {"2", "two\nlines"}, {"", "Größe 39×52"}}
	var b bytes.Buffer
	if err := WriteCSV(&b, rows); err != nil {
		t.Fatal(err)
	}
	want := "number,description\n1,\"seal, \"\"39\"\"\"\n2,\"two\nlines\"\n,Größe 39×52\n"
	if b.String() != want {
		t.Errorf("WriteCSV = %q, want %q", b.String(), want)
	}
	back, err := csv.NewReader(&b).ReadAll()
	if diff := cmp.Diff(rows, back); diff != "" || err != nil {
		t.Errorf("read back: %v %s", err, diff)
	}
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "parts.CSV")
	for range 2 { // a second time it replaces the first
		if err := WriteFile(path, [][]string{{"a"}}); err != nil {
			t.Fatal(err)
		}
	}
	if b, err := os.ReadFile(path); string(b) != "a\n" || err != nil {
		t.Errorf("file = %q, %v", b, err)
	}
	if err := WriteFile(filepath.Join(dir, "x.pdf"), nil); fault.KindOf(err) != fault.Invalid {
		t.Errorf("an ending that is not known: %v", err)
	}
	if err := WriteFile(filepath.Join(dir, "no", "x.csv"), nil); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a folder that is not there: %v", err)
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".export-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
