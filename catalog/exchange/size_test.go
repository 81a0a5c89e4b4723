package exchange

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
)

// A whole size, under whichever header, fills the columns of its own; one that
// says another thing than they do is refused, one that is none is left out.
func TestWholeSize(t *testing.T) {
	type cells map[string]string
	for _, tt := range []struct {
		header, row string
		want        cells
		bad         []string
	}{
		{"Größe", "39x52x11", cells{"inner_mm": "39", "outer_mm": "52", "height_mm": "11"}, nil},
		{"Maß", "39×52×11/12.5", cells{"inner_mm": "39", "outer_mm": "52", "height_mm": "11", "overall_mm": "12.5"}, nil},
		{"Abmessung", "43x55x9,5", cells{"inner_mm": "43", "outer_mm": "55", "height_mm": "9.5"}, nil},
		{"Maße", "10/14", cells{"inner_mm": "10", "outer_mm": "14"}, nil},
		{"size", "M10x1.25", cells{"thread": "M10x1.25"}, nil},
		{"size", "gross", cells{}, []string{"size measure.bad_size"}},
		{"size;Innen", "39x52x11;39", cells{"inner_mm": "39", "outer_mm": "52", "height_mm": "11"}, nil},
		{"size;Innen", "39x52x11;38", cells{"inner_mm": "38"}, []string{"size exchange.size_differs row"}},
	} {
		got, bad := read(t, "parts", "Teilenummer;Hersteller;"+tt.header+"\nTQ-1;Tolmek;"+tt.row+"\n")
		only := cells{}
		for _, name := range []string{"inner_mm", "outer_mm", "height_mm", "overall_mm", "thread"} {
			if got[name] != "" && (tt.bad == nil || name == "inner_mm") {
				only[name] = got[name]
			}
		}
		if diff := cmp.Diff(only, tt.want); diff != "" {
			t.Errorf("%s: %s (-got +want)\n%s", tt.header, tt.row, diff)
		}
		if diff := cmp.Diff(bad, tt.bad); diff != "" {
			t.Errorf("%s: %s (-got +want)\n%s", tt.header, tt.row, diff)
		}
	}
}

// A file that is no list is named by its own name, not by where it lies.
func TestOpenNamesFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "list.csv")
	if err := os.WriteFile(path, []byte("Wetter;Temperatur\nnass;7\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, err := Open(path, Options{Currency: "EUR"})
	if e := fault.Of(err); e.Message.ID != "exchange.no_kind" || e.Message.Args[0] != "list.csv" {
		t.Errorf("%v", err)
	}
}

// Amounts that cannot be come with a word on what to write.
func TestNumbersAdvise(t *testing.T) {
	for _, row := range []string{"-3;20", "3;135"} {
		f, err := open(t, "prices", "Bestellnummer;Lieferzeit;Rabatt\nH-1;"+row+"\n")
		if err != nil {
			t.Fatal(err)
		}
		if _, flaws, _, err := f.Next(); err != nil || len(flaws) != 1 || flaws[0].Hint.IsZero() {
			t.Errorf("%s: %+v, %v", row, flaws, err)
		}
	}
}
