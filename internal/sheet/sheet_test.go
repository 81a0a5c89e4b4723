package sheet

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// The same calls give the same bytes, another time others; and the file says
// the time it was told, not that of the clock.
func TestBytes(t *testing.T) {
	pdf := func(made time.Time) []byte {
		d := New(A4, "Etiketten für Öl", made)
		d.Page()
		d.Line(Box{10, 10, 100, 10}, Font{Points: 12}, Left, "Gleitbuchse außen, Öl, 39×52")
		d.Line(Box{10, 30, 100, 10}, Font{Points: 12, Bold: true}, Left, "Simmerring")
		d.Symbol(10, 50, matrix, 0.5, 0)
		b, err := d.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	first := pdf(noon)
	for range 5 {
		if !bytes.Equal(first, pdf(noon)) {
			t.Fatal("the same page gives other bytes")
		}
	}
	if n := bytes.Count(first, []byte("D:20261128120000")); n != 2 { // made and changed
		t.Errorf("the file tells its time %d times, want twice", n)
	}
	if bytes.Equal(first, pdf(noon.Add(time.Second))) {
		t.Error("another time gives the same bytes")
	}
	for _, font := range []string{"/FontFile2", "/BaseFont /utf8sans"} {
		if !bytes.Contains(first, []byte(font)) {
			t.Errorf("no %s: the fonts are not embedded", font)
		}
	}
	if len(first) > 100_000 {
		t.Errorf("%d bytes: the fonts are embedded whole", len(first))
	}
}

// Every bar is a whole number of modules, to a millionth of a millimetre, and
// what is dark is all of it and nothing else.
func TestSymbol(t *testing.T) {
	for _, tt := range []struct {
		modules [][]bool
		module  float64
		height  float64
		want    Size
	}{
		{bars, 0.25, 12, Size{143 * 0.25, 12}},
		{bars, 25.4 / 203 * 3, 8, Size{143 * 25.4 / 203 * 3, 8}},
		{matrix, 25.4 / 300 * 3, 99, Size{16 * 25.4 / 100, 16 * 25.4 / 100}},
		{matrix, 0.333, 0, Size{16 * 0.333, 16 * 0.333}},
	} {
		d := New(Letter, "", noon)
		d.Page()
		size := d.Symbol(13.7, 21.3, tt.modules, tt.module, tt.height)
		if !near(size.Width, tt.want.Width) || !near(size.Height, tt.want.Height) {
			t.Errorf("module %v: size %v, want %v", tt.module, size, tt.want)
		}
		pdf, err := d.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		paths := boxes(t, contents(t, pdf)[0], Letter.Height)
		if len(paths) != 1 {
			t.Fatalf("%d paths, want one", len(paths))
		}
		rise := tt.module
		if len(tt.modules) == 1 {
			rise = tt.height
		}
		drawn := 0
		for _, b := range paths[0] {
			from, n, row := (b.X-13.7)/tt.module, b.Width/tt.module, (b.Y-21.3)/rise
			if !whole(from) || !whole(n) || !whole(row) || !near(b.Height, rise) {
				t.Errorf("module %v: a bar from %v, %v wide, in row %v, %v high", tt.module, from, n, row, b.Height)
				continue
			}
			for i := range int(n + 0.5) {
				if !tt.modules[int(row+0.5)][int(from+0.5)+i] {
					t.Errorf("module %d of row %d is dark", int(from+0.5)+i, int(row+0.5))
				}
				drawn++
			}
		}
		if want := dark(tt.modules); drawn != want {
			t.Errorf("module %v: %d dark modules, want %d", tt.module, drawn, want)
		}
	}
}

// whole reports whether a number of modules is whole, to 4e-6 of one: a
// millionth of a millimetre.
func whole(n float64) bool {
	off := n - float64(int(n+0.5))
	return -4e-5 < off && off < 4e-5
}

func TestLine(t *testing.T) {
	d := New(A4, "", noon)
	d.Page()
	f := Font{Points: 10}
	for _, tt := range []struct {
		text  string
		width float64
		cut   bool
	}{
		{"Öldichtring", 60, false},
		{"Öldichtring", d.Width(f, "Öldichtring"), false},
		{"Öldichtring", 15, true},
		{"Öldichtring", 0.5, true},
		{"", 10, false},
		{"line\nbreak\x00 \xff 😀", 60, false},
	} {
		got, cut := d.Cut(f, plain(tt.text), tt.width)
		if cut != tt.cut || cut != strings.HasSuffix(got, "…") || !cut && got != plain(tt.text) {
			t.Errorf("%q in %v mm: %q, %v", tt.text, tt.width, got, cut)
		}
		if wide := d.Width(f, got); got != "…" && wide > tt.width+1e-6 {
			t.Errorf("%q is %v mm wide, more than %v", got, wide, tt.width)
		}
		if d.Line(Box{10, 10, tt.width, 5}, f, Right, tt.text) != tt.cut {
			t.Errorf("%q: Line does not tell that it was cut", tt.text)
		}
	}
	if got := plain("a\nb\x00\xff😀"); got != "a b \ufffd\ufffd" {
		t.Errorf("plain: %q", got)
	}
	if _, err := d.Bytes(); err != nil {
		t.Error(err)
	}
}

func TestWrapShrunk(t *testing.T) {
	d := New(A4, "", noon)
	d.Page()
	f := Font{Points: 10}
	text := "Gleitbuchse außen, Standrohr 43 mm"
	for most, want := range map[int]int{1: 1, 2: 2, 9: 4} {
		lines := d.Wrap(f, text, 20, most)
		if len(lines) != want || strings.Join(lines, " ") != text {
			t.Errorf("at most %d lines: %q", most, lines)
		}
	}
	for _, width := range []float64{60, 15, 3, 0.1} {
		broken := d.Broken(f, text, width)
		if got := strings.ReplaceAll(broken, "- ", ""); got != text {
			t.Errorf("broken at %v mm: %q", width, broken)
		}
		for _, word := range strings.Fields(broken) {
			if width >= 15 && d.Width(f, word) > width {
				t.Errorf("%q is wider than %v mm", word, width)
			}
		}
	}
	if got := d.Shrunk(f, text, 40, 6); got.Points >= 10 || d.Width(got, text) > 40 || d.Width(Font{Points: got.Points + 0.5}, text) <= 40 {
		t.Errorf("shrunk to %v points, %v mm", got.Points, d.Width(got, text))
	}
	if got := d.Shrunk(f, text, 4, 6); got.Points != 6 {
		t.Errorf("shrunk to %v points, want 6", got.Points)
	}
}
