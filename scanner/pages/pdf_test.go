package pages

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"forkstock/internal/fault"
)

// pdfOf writes a PDF file of n empty pages, w by h points (ISO 32000-1, 7.5).
func pdfOf(n, w, h int) []byte { return pdfCut(n, w, h, "") }

// pdfCut is pdfOf with something more for each page.
func pdfCut(n, w, h int, more string) []byte {
	var b bytes.Buffer
	var places []int
	object := func(text string, args ...any) {
		places = append(places, b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n"+text+"\nendobj\n", append([]any{len(places)}, args...)...)
	}
	b.WriteString("%PDF-1.4\n")
	kids := new(strings.Builder)
	for i := range n {
		fmt.Fprintf(kids, "%d 0 R ", i+3)
	}
	object("<< /Type /Catalog /Pages 2 0 R >>")
	object("<< /Type /Pages /Count %d /Kids [%s] >>", n, kids)
	for range n {
		object("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %d %d] %s >>", w, h, more)
	}
	at := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(places)+1)
	for _, p := range places {
		fmt.Fprintf(&b, "%010d 00000 n \n", p)
	}
	fmt.Fprintf(&b, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(places)+1, at)
	return b.Bytes()
}

// Rights that are withheld from a file that opens without a password keep
// nobody from looking at it.
func TestPDFTakes(t *testing.T) {
	pages, err := all(t, file(t, "rights.pdf"))
	if err != nil || len(pages) != 3 {
		t.Errorf("%d pages, %v", len(pages), err)
	}
}

// Fifty pages are handed on, one at a time; of more the first fifty, and each
// says how many there are. A later page that is too large is not drawn.
func TestManyPages(t *testing.T) {
	for name, tt := range map[string]struct {
		data []byte
		of   int
	}{
		"PDF of 50": {pdfOf(50, 72, 72), 50}, "PDF of 53": {pdfOf(53, 72, 72), 53},
		"TIFF of 50": {tiffPages(50), 50}, "TIFF of 300": {tiffPages(300), 300},
	} {
		pages, err := all(t, tt.data)
		if err != nil || len(pages) != MaxPages || pages[0].Of != tt.of || pages[49].Of != tt.of || pages[49].Number != 50 {
			t.Errorf("%s: %d pages, %v", name, len(pages), err)
		}
	}
}

// What is looked at is what a viewer shows: the crop box, turned.
func TestPDFCropBox(t *testing.T) {
	pages, err := all(t, pdfCut(1, 2000, 2000, "/CropBox [0 0 720 360] /Rotate 90"))
	if err != nil || len(pages) != 1 || pages[0].Image.Bounds().Size() != image.Pt(1000, 2000) {
		t.Errorf("%d pages, %v", len(pages), err)
	}
}

// The program that draws cannot take more memory than it is given.
func TestPDFLimit(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("only Linux bounds another program")
	}
	bin := t.TempDir()
	t.Setenv("PATH", bin+":"+os.Getenv("PATH"))
	told := filepath.Join(bin, "told")
	for program, body := range map[string]string{
		"pdfinfo":  "echo 'Pages: 1'",
		"pdftoppm": "for i in 1 2 3 4 5 6 7 8 9; do sleep 0.1; grep 'Max address space' /proc/self/limits >" + told + "; done; exit 1",
	} {
		if err := os.WriteFile(filepath.Join(bin, program), []byte("#!/bin/sh\n"+body+"\n"), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := all(t, file(t, "three.pdf")); err == nil {
		t.Fatal("a program that draws nothing was taken for one")
	}
	if b, err := os.ReadFile(told); err != nil || !strings.Contains(string(b), "1610612736") {
		t.Errorf("the limit of the program: %s, %v", b, err)
	}
}

// Without poppler the error names the Debian package.
func TestPDFWithoutPoppler(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	_, err := all(t, file(t, "three.pdf"))
	e := fault.Of(err)
	if e == nil || e.Kind != fault.NotFound || e.Message.ID != "scanner.no_pdftoppm" || e.Hint.IsZero() {
		t.Errorf("without pdftoppm: %+v", e)
	}
}

// Nothing is left in the folder for temporary files, and a program that dies,
// hangs up or writes rubbish is told as a broken file.
func TestPDFPrograms(t *testing.T) {
	for name, tt := range map[string]struct{ info, draw, id string }{
		"good":            {"", "", ""},
		"dies":            {"echo 'Pages: 2'", "echo 'Syntax Error: no fonts' >&2; exit 1", "scanner.page"},
		"too few":         {"echo 'Pages: 2'", `printf 'P5\n1 1\n255\nx'`, "scanner.page"},
		"rubbish":         {"echo 'Pages: 1'", "echo hello there 1 2 3", "scanner.pdf_broken"},
		"huge":            {"echo 'Pages: 1'", `printf 'P5\n50000 50000\n255\n'`, "scanner.pdf_broken"},
		"fails late":      {"echo 'Pages: 1'", `printf 'P5\n1 1\n255\nx'; exit 3`, "scanner.pdf_broken"},
		"says no number":  {"echo 'Pages: many'", "exit 0", "scanner.pdf_empty"},
		"complains a lot": {"yes complaint | head -c 1000000 >&2; exit 1", "exit 0", "scanner.pdf_broken"},
	} {
		t.Run(name, func(t *testing.T) {
			temp := t.TempDir()
			t.Setenv("TMPDIR", temp)
			if tt.info != "" {
				bin := t.TempDir()
				for program, body := range map[string]string{"pdfinfo": tt.info, "pdftoppm": tt.draw} {
					if err := os.WriteFile(filepath.Join(bin, program), []byte("#!/bin/sh\n"+body+"\n"), 0o700); err != nil {
						t.Fatal(err)
					}
				}
				t.Setenv("PATH", bin+":"+os.Getenv("PATH"))
			}
			_, err := all(t, file(t, "three.pdf"))
			if e := fault.Of(err); (tt.id == "") != (e == nil) || e != nil && (e.Message.ID != tt.id || e.Kind != fault.Invalid) {
				t.Errorf("%+v, want %q", e, tt.id)
			}
			if left, _ := os.ReadDir(temp); len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// A program that hangs is ended when nobody waits any more.
func TestPDFHangs(t *testing.T) {
	for name, scripts := range map[string][2]string{
		"pdfinfo": {"exec sleep 600", "exit 0"}, "pdftoppm": {"echo 'Pages: 1'", "exec sleep 600"},
	} {
		bin := t.TempDir()
		for i, program := range []string{"pdfinfo", "pdftoppm"} {
			if err := os.WriteFile(filepath.Join(bin, program), []byte("#!/bin/sh\n"+scripts[i]+"\n"), 0o700); err != nil {
				t.Fatal(err)
			}
		}
		t.Setenv("PATH", bin+":"+os.Getenv("PATH"))
		ctx, cancel := context.WithTimeout(t.Context(), 100*time.Millisecond)
		defer cancel()
		err := Each(ctx, file(t, "three.pdf"), func(Page) error { return nil })
		if fault.KindOf(err) != fault.Busy {
			t.Errorf("%s hangs: %v, want busy", name, err)
		}
	}
}

func TestFirstLine(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "Syntax Error: Couldn't find trailer dictionary\nSyntax Error: more\n": "Couldn't find trailer dictionary",
		"Command Line Error: Incorrect password": "Incorrect password", strings.Repeat("é", 200): strings.Repeat("é", 100),
	} {
		if got := firstLine(text); got != want {
			t.Errorf("firstLine(%q) = %q, want %q", text, got, want)
		}
	}
}
