package scanner

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const pictures = "../testdata/pictures"

// A sheet is one picture of the manifest with the symbols that were put in it.
type sheet struct {
	file  string
	clean bool
	want  []string // "symbology text", sorted
	bars  bool     // bars are seen that cannot be read
}

// sheets reads the manifest. The pictures and their texts come from zint and
// ImageMagick, see make.sh there.
func sheets(t testing.TB) (all []sheet) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(pictures, "manifest.tsv"))
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for line := range strings.Lines(string(data)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if strings.HasPrefix(line, "#") || len(f) != 5 {
			continue
		}
		i, ok := at[f[0]]
		if !ok {
			i = len(all)
			at[f[0]] = i
			all = append(all, sheet{file: f[0], clean: f[3] == "yes"})
		}
		all[i].bars = f[2] == "bars"
		if f[1] != "-" {
			all[i].want = append(all[i].want, f[1]+" "+strings.ReplaceAll(f[2], "{GS}", "\x1d"))
		}
	}
	for _, s := range all {
		slices.Sort(s.want)
	}
	return all
}

func readFile(t testing.TB, file string) Picture {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(pictures, file))
	if err != nil {
		t.Fatal(err)
	}
	p, err := Read(context.Background(), data, Options{})
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	return p
}

// All clean pictures are read right, no picture is read wrong or counted
// twice, and of the worse ones at least worstRate symbols in a hundred are
// read.
func TestPictures(t *testing.T) {
	const worstRate = 90
	all := sheets(t)
	if len(all) < 60 {
		t.Fatalf("%d pictures, want 60 or more", len(all))
	}
	read, worse := 0, 0
	for _, s := range all {
		p := readFile(t, s.file)
		var got []string
		for _, symbol := range p.Symbols {
			got = append(got, symbol.Symbology+" "+symbol.Text)
		}
		if s.bars != (len(p.Unread) > 0) {
			t.Errorf("%s: unread bars at %v, want some: %v", s.file, p.Unread, s.bars)
		}
		slices.Sort(got)
		missing, extra := compare(got, s.want)
		if len(extra) > 0 {
			t.Errorf("%s: read %q, which is not there or not so often", s.file, extra)
		}
		if s.clean {
			if len(missing) > 0 {
				t.Errorf("%s: did not read %q", s.file, missing)
			}
			continue
		}
		worse += len(s.want)
		read += len(s.want) - len(missing)
		if len(missing) > 0 {
			t.Logf("%s: unread %q", s.file, missing)
		}
	}
	t.Logf("of the worse pictures %d of %d symbols were read", read, worse)
	if read*100 < worse*worstRate {
		t.Errorf("%d of %d symbols read, want %d %%", read, worse, worstRate)
	}
}

// compare gives what is only in want and what is only in got.
func compare(got, want []string) (missing, extra []string) {
	left := map[string]int{}
	for _, s := range want {
		left[s]++
	}
	for _, s := range got {
		if left[s]--; left[s] < 0 {
			extra = append(extra, s)
		}
	}
	for _, s := range want {
		if left[s] > 0 {
			left[s]--
			missing = append(missing, s)
		}
	}
	return missing, extra
}

// Where the symbols of four.png and slip.png lie is known from make.sh.
func TestPlaces(t *testing.T) {
	type place struct {
		Text    string
		Ordinal int
		X, Y    int // of the box, rounded down to 50 pixels from five less
	}
	for _, tt := range []struct {
		file string
		want []place
	}{
		{"four.png", []place{
			{"9521000395213", 0, 0, 0},
			{"9521000395213", 1, 300, 0},
			{"9521000395213", 2, 0, 150},
			{"9521000395213", 3, 300, 150},
		}},
		{"slip.png", []place{
			{"KB-39-52-11", 0, 50, 50},
			{"KB-43-55-10", 0, 400, 50},
			{"WP-41-54", 0, 50, 200},
			{"BU-41-20", 0, 400, 200},
			{"CL-54", 0, 50, 300},
			{"OR-24-2.5", 0, 400, 300},
			{"KB-39-52-11", 1, 50, 450},
			{"9521000395213", 0, 400, 450},
			{"9521000415317", 0, 50, 600},
			{"KB-39-52-11;2;pair", 0, 400, 650},
		}},
	} {
		var got []place
		for _, s := range readFile(t, tt.file).Symbols {
			box := s.Bounds()
			got = append(got, place{s.Text, s.Ordinal, (box.Min.X + 5) / 50 * 50, (box.Min.Y + 5) / 50 * 50})
		}
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("%s: -got +want\n%s", tt.file, diff)
		}
	}
}

// The same bytes give the same answer.
func TestSameTwice(t *testing.T) {
	a, b := readFile(t, "slip-photo.jpg"), readFile(t, "slip-photo.jpg")
	if diff := cmp.Diff(a, b); diff != "" {
		t.Errorf("second reading differs: %s", diff)
	}
}
