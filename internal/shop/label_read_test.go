package shop_test

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forkstock/internal/sheet"
	"forkstock/internal/shop"
	"forkstock/scanner"
)

// Every label that is made reads back as a printer of 203 or 300 dots to the
// inch would print it: by our own scanner, and Code 128 and QR by zbarimg (Debian
// zbar-tools), which is no work of ours. Data Matrix, which zbar does not know,
// reads back by zxing-wasm in TestTrialLabels.
func TestLabelsReadBack(t *testing.T) {
	for _, program := range []string{"pdftoppm", "zbarimg"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("%s is not installed: scripts/setup test", program)
		}
	}
	for _, tt := range []struct {
		language, lies string
		dpi            int
	}{
		{"en", "A4 3x8 64x34 margin 7x12.5 gap 2x0", 203},
		{"de", "A4 5x13 38.1x21.2 margin 4.75x10.7 gap 2.5x0", 300},
		{"de", "roll 57x32", 203},
	} {
		s := labelShop(t, tt.language)
		for _, code := range shop.LabelCodes {
			q := labelsOf(shop.LabelSheet{Sheet: tt.lies, Code: code, DPI: tt.dpi})
			out, err := s.Label(t.Context(), q)
			if err != nil {
				t.Errorf("%s, %s: %v", code, tt.lies, err)
				continue
			}
			readBack(t, out, fmt.Sprintf("%s, %s, %s, %d dpi", tt.language, code, tt.lies, tt.dpi))
		}
	}
}

// readBack draws labels as a printer would, and reads them: we whole pages, zbar
// label by label, since of many QR symbols on a page it finds some only.
func readBack(t *testing.T, out shop.Labelled, what string) {
	t.Helper()
	var want []string
	for _, l := range out.Labels {
		want = append(want, l.Text)
	}
	slices.Sort(want)
	var ours, cut []string
	for n, page := range drawn(t, out.PDF, out.DPI) {
		data, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		pic, err := scanner.Read(t.Context(), data, scanner.Options{})
		if err != nil {
			t.Fatal(err)
		}
		for _, y := range pic.Symbols {
			if y.Symbology != out.Code {
				t.Errorf("%s: read %s as %s", what, y.Text, y.Symbology)
			}
			ours = append(ours, y.Text)
		}
		cut = append(cut, cutOut(t, data, out, page, n)...)
	}
	if slices.Sort(ours); !slices.Equal(ours, want) {
		t.Errorf("%s: we read\n%v, want\n%v", what, ours, want)
	}
	if out.Code == scanner.DataMatrix {
		return
	}
	said, _ := exec.Command("zbarimg", append([]string{"--quiet", "--raw"}, cut...)...).Output()
	zbars := strings.Fields(string(said))
	if slices.Sort(zbars); !slices.Equal(zbars, want) {
		t.Errorf("%s: zbar reads\n%v, want\n%v", what, zbars, want)
	}
}

// cutOut cuts the labels out of the nth page, into files beside it.
func cutOut(t *testing.T, data []byte, out shop.Labelled, page string, n int) (files []string) {
	t.Helper()
	g, err := sheet.ParseGrid(out.Sheet)
	if err != nil {
		t.Fatal(err)
	}
	pic, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	dots := func(mm float64) int { return int(math.Round(mm * float64(out.DPI) / 25.4)) }
	for at := range min(g.Labels(), out.Count-n*g.Labels()) {
		b := g.Place(at)
		label := pic.(interface {
			SubImage(image.Rectangle) image.Image
		}).SubImage(image.Rect(dots(b.X), dots(b.Y), dots(b.X+b.Width), dots(b.Y+b.Height)))
		var file bytes.Buffer
		if err := png.Encode(&file, label); err != nil {
			t.Fatal(err)
		}
		files = append(files, fmt.Sprintf("%s-%d.png", page, at))
		if err := os.WriteFile(files[at], file.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// drawn gives the pages of a PDF file as pictures.
func drawn(t *testing.T, pdf []byte, dpi int) []string {
	t.Helper()
	dir := t.TempDir()
	cmd := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-gray", "-png", "-", filepath.Join(dir, "page"))
	cmd.Stdin = bytes.NewReader(pdf)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v\n%s", err, said)
	}
	pages, err := filepath.Glob(filepath.Join(dir, "*.png"))
	if err != nil || len(pages) == 0 {
		t.Fatalf("pages: %v, %v", pages, err)
	}
	return pages
}
