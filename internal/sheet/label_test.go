package sheet

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

var seal = Label{Heads: []string{"39×52×11", "TM-39"}, Lines: []string{"Öldichtring", "A-03-2", "Tolmek"}, Number: "0400000000176"}

// with gives a label with a symbol.
func with(l Label, symbol [][]bool) Label {
	l.Symbol = symbol
	return l
}

func grid(t *testing.T, text string) Grid {
	t.Helper()
	g, err := ParseGrid(text)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// Modules are whole dots of the printer and not narrower than 0.25 mm, less a
// thousandth: 2 of 203, 3 of 300, 6 of 600 to the inch (25.4 mm) at the least.
// 143 modules of bars go into the width of the label.
func TestModule(t *testing.T) {
	for _, tt := range []struct {
		grid   string
		symbol [][]bool
		print  Print
		want   float64
	}{
		{"roll 36x30", bars, Print{DPI: 203}, 2 * 25.4 / 203}, // 35.8 mm
		{"roll 57x30", bars, Print{DPI: 203}, 3 * 25.4 / 203}, // 53.7 mm
		{"roll 90x30", bars, Print{DPI: 203}, 3 * 25.4 / 203}, // at most 0.5 mm
		{"roll 37x30", bars, Print{DPI: 300}, 3 * 25.4 / 300},
		{"roll 57x30", bars, Print{DPI: 300}, 4 * 25.4 / 300},
		{"roll 37x30", bars, Print{DPI: 600}, 6 * 25.4 / 600},
		{"roll 45x30", bars, Print{DPI: 600}, 7 * 25.4 / 600},
		{"roll 45x30", bars, Print{}, 0.314}, // 45 / 143
		{"roll 57x30", bars, Print{DPI: 600, Module: 300}, 7 * 25.4 / 600},
		{"roll 57x30", bars, Print{DPI: 203, Module: 260}, 2 * 25.4 / 203},
		{"roll 57x30", bars, Print{Module: 333}, 0.333},
		{"roll 30x15", matrix, Print{DPI: 203}, 6 * 25.4 / 203},
		{"roll 90x60", matrix, Print{DPI: 203}, 9 * 25.4 / 203}, // at most 1.2 mm
		{"roll 12x6", matrix, Print{DPI: 203}, 2 * 25.4 / 203},
		{"roll 30x15", matrix, Print{DPI: 300, Module: 508}, 6 * 25.4 / 300},
	} {
		out, err := Labels(grid(t, tt.grid), tt.print, []Label{with(seal, tt.symbol)}, "", noon)
		if err != nil {
			t.Errorf("%s, %+v: %v", tt.grid, tt.print, err)
			continue
		}
		if want := measure.Length(math.Round(tt.want * 1000)); out.Module[0] != want {
			t.Errorf("%s, %+v: module %v mm, want %v", tt.grid, tt.print, out.Module[0], want)
		}
		narrowest := math.Inf(1)
		for _, b := range boxes(t, contents(t, out.PDF)[0], grid(t, tt.grid).Page().Height)[0] {
			narrowest = min(narrowest, b.Width)
			if n := b.Width / tt.want; !whole(n) {
				t.Errorf("%s, %+v: a bar of %v modules", tt.grid, tt.print, n)
			}
			if dot := 25.4 / float64(tt.print.DPI); tt.print.DPI != 0 && !whole(b.X/dot) {
				t.Errorf("%s, %+v: a bar begins at dot %v", tt.grid, tt.print, b.X/dot)
			}
		}
		if !near(narrowest, tt.want) {
			t.Errorf("%s, %+v: the narrowest bar is %v mm", tt.grid, tt.print, narrowest)
		}
	}
}

// Symbols with their quiet zones and all text lie inside of their labels, from
// the label on that is free, page after page.
func TestLabels(t *testing.T) {
	for _, tt := range []struct {
		grid  string
		start int
		n     int
		pages []int // labels on each
	}{
		{"A4 3x8 64x34 margin 7x12.5 gap 2x0", 0, 3, []int{3}},
		{"A4 3x8 64x34 margin 7x12.5 gap 2x0", 23, 28, []int{2, 24, 2}},
		{"Letter 2x2 100x100 margin 5x5", 4, 5, []int{1, 4}},
		{"roll 57x32", 1, 3, []int{1, 1, 1}},
	} {
		for _, symbol := range [][][]bool{bars, matrix} {
			g := grid(t, tt.grid)
			out, err := Labels(g, Print{DPI: 300, Start: tt.start}, slices.Repeat([]Label{with(seal, symbol)}, tt.n), "Etiketten", noon)
			if err != nil {
				t.Errorf("%s: %v", tt.grid, err)
				continue
			}
			pages := contents(t, out.PDF)
			if out.Pages != len(tt.pages) || len(pages) != len(tt.pages) {
				t.Errorf("%s: %d pages, %d with drawings, want %d", tt.grid, out.Pages, len(pages), len(tt.pages))
				continue
			}
			at := max(tt.start-1, 0)
			for i, page := range pages {
				paths := boxes(t, page, g.Page().Height)
				if len(paths) != tt.pages[i] {
					t.Errorf("%s: %d symbols on page %d, want %d", tt.grid, len(paths), i+1, tt.pages[i])
				}
				for _, path := range paths {
					if place := g.Place(at % g.Labels()); !inside(path, place) {
						t.Errorf("%s: symbol %d is not inside of %+v", tt.grid, at, place)
					}
					at++
				}
			}
		}
	}
}

// inside reports whether all boxes lie inside of a place.
func inside(all []Box, place Box) bool {
	return !slices.ContainsFunc(all, func(b Box) bool {
		return b.X < place.X || b.Y < place.Y || b.X+b.Width > place.X+place.Width || b.Y+b.Height > place.Y+place.Height
	})
}

// Bars are high enough to be scanned by hand: 5 mm or 15 % of their width.
func TestBarsHigh(t *testing.T) {
	for _, text := range []string{"roll 36x13", "roll 57x32", "roll 80x16", "roll 100x150"} {
		out, err := Labels(grid(t, text), Print{DPI: 203}, []Label{with(seal, bars)}, "", noon)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		bar := boxes(t, contents(t, out.PDF)[0], grid(t, text).Page().Height)[0][0]
		if least := max(5, 0.15*143*float64(out.Module[0])/1000); bar.Height < least-1e-3 {
			t.Errorf("%s: bars %v mm high, want %v", text, bar.Height, least)
		}
	}
}

func TestLabelsRefuse(t *testing.T) {
	for _, tt := range []struct {
		grid   string
		print  Print
		symbol [][]bool
		id     string
		args   []any
	}{
		{"roll 30x30", Print{DPI: 203}, bars, "sheet.too_narrow", []any{"0400000000176", measure.Length(36000), measure.Length(30000)}},
		{"roll 57x30", Print{DPI: 203, Module: 500}, bars, "sheet.too_narrow", []any{"0400000000176", measure.Length(72000), measure.Length(57000)}},
		{"roll 57x11", Print{DPI: 203}, bars, "sheet.too_low", nil},
		{"roll 8x4", Print{DPI: 203}, matrix, "sheet.too_small", nil},
		{"roll 5x5", Print{DPI: 203}, matrix, "sheet.too_small", nil},
		{"A4 3x8 64x34", Print{Start: 25}, bars, "sheet.bad_start", []any{25, 24}},
		{"roll 57x32", Print{Start: 2}, bars, "sheet.bad_start", nil},
		{"roll 57x32", Print{Start: -1}, bars, "sheet.bad_start", nil},
		{"roll 57x32", Print{DPI: 72}, bars, "sheet.bad_dpi", nil},
		{"roll 57x32", Print{Module: 249}, bars, "sheet.bad_module", nil},
	} {
		_, err := Labels(grid(t, tt.grid), tt.print, []Label{with(seal, tt.symbol)}, "", noon)
		e := fault.Of(err)
		if e == nil || e.Kind != fault.Invalid || e.Message.ID != tt.id || e.Hint.IsZero() {
			t.Errorf("%s, %+v: %v, want %s with a hint", tt.grid, tt.print, err, tt.id)
			continue
		}
		for i, want := range tt.args {
			if e.Message.Args[i] != want {
				t.Errorf("%s: argument %d is %v, want %v", tt.id, i, e.Message.Args[i], want)
			}
		}
	}
	_, err := Labels(Grid{Paper: "A4", Columns: 9, Rows: 9, Width: 64000, Height: 34000}, Print{}, nil, "", noon)
	if fault.KindOf(err) != fault.Invalid {
		t.Errorf("a grid larger than its paper: %v", err)
	}
}

// A refusal says what would fit, and that fits.
func TestRefusalFits(t *testing.T) {
	_, err := Labels(grid(t, "roll 30x30"), Print{DPI: 300}, []Label{with(seal, bars)}, "", noon)
	wide := fault.Of(err).Hint.Args[0].(measure.Length)
	g := grid(t, "roll 30x30")
	g.Width = wide
	if _, err := Labels(g, Print{DPI: 300}, []Label{with(seal, bars)}, "", noon); err != nil {
		t.Errorf("%v mm wide: %v", wide, err)
	}
	_, err = Labels(grid(t, "roll 57x9"), Print{DPI: 300}, []Label{with(seal, bars)}, "", noon)
	g = grid(t, "roll 57x9")
	g.Height = fault.Of(err).Hint.Args[0].(measure.Length)
	if _, err := Labels(g, Print{DPI: 300}, []Label{with(seal, bars)}, "", noon); err != nil {
		t.Errorf("%v mm high: %v", g.Height, err)
	}
}

// Text is never larger than the box that is set: heads are broken into lines and
// made smaller, a whole head is not cut, and the number stays.
func TestSet(t *testing.T) {
	long := strings.Repeat("Gleitbuchse außen, ", 6)
	for _, l := range []Label{
		seal,
		{Heads: []string{long}, Lines: []string{long, "A-03-2"}, Number: "0400000000176"},
		{Heads: []string{"WERKSTATT-REGAL-03.12-AB"}, Whole: true, Number: "0400000000176"},
		{Heads: []string{"A-03-2"}, Whole: true, Number: "0400000000176"},
		{Heads: []string{""}, Lines: []string{"", " "}, Number: "0400000000176"},
	} {
		for _, b := range []Box{{0, 0, 60, 20}, {0, 0, 25, 18}, {0, 0, 30, 2 * lineHeight(leastText)}, {0, 0, 90, 140}} {
			d := New(A4, "", noon)
			d.Page()
			lines := d.set(b, l, true)
			if len(lines) == 0 || lines[len(lines)-1].text != l.Number {
				t.Errorf("%q in %v: the number is not there: %v", l.Heads, b, lines)
			}
			high := 0.0
			for _, line := range lines {
				high += line.high
			}
			if high > max(b.Height, lineHeight(leastHead)+lineHeight(leastText))+1e-6 {
				t.Errorf("%q in %v: %v mm of text", l.Heads, b, high)
			}
			if l.Whole && d.Width(lines[0].font, l.Heads[0]) > b.Width {
				t.Errorf("%q in %v: cut", l.Heads, b)
			}
		}
	}
}

// The heads of one file share the largest letters in which all go onto their
// labels; one that would make all others tiny stands alone.
func TestHeadsShare(t *testing.T) {
	label := func(number string, heads ...string) Label {
		return with(Label{Heads: heads, Lines: []string{"Öldichtring"}, Number: number}, bars)
	}
	short, middle := label("0400000000176", "8×12", "K1"), label("0400000000183", "39×52×11/12.5", "TM-39-52-11-125-NB-SET")
	endless := label("0400000000190", strings.Repeat("0123456789", 5))
	for _, tt := range []struct {
		labels []Label
		sizes  func(short, middle float64) float64
	}{
		{[]Label{short, middle}, func(short, middle float64) float64 { return min(short, middle) }},
		{[]Label{short, endless}, func(float64, float64) float64 { return leastShared }},
	} {
		g := grid(t, "roll 57x32")
		var alone []float64
		for _, l := range []Label{short, middle} {
			d := New(g.Page(), "", noon)
			if err := d.share(g, Print{DPI: 203}, []Label{l}); err != nil {
				t.Fatal(err)
			}
			alone = append(alone, d.most)
		}
		if alone[0] <= alone[1] {
			t.Fatalf("alone, the short head has %v points, the middle one %v", alone[0], alone[1])
		}
		d := New(g.Page(), "", noon)
		if err := d.share(g, Print{DPI: 203}, tt.labels); err != nil {
			t.Fatal(err)
		}
		if want := tt.sizes(alone[0], alone[1]); d.most != want {
			t.Errorf("shared %v points, want %v", d.most, want)
		}
	}
}

// The trial page: both rulers are 100 mm between the left edges of their first
// and last line, the upper ones of the other; symbols have the widths that they
// say, and none lies outside of the page.
func TestTrial(t *testing.T) {
	page := Trial{
		Title: "Probeseite", Advice: []string{"Mit 100 % drucken."}, Across: "waagrecht", Down: "senkrecht", Mark: ',',
		Rows: []TrialRow{
			{"Code 128", []TrialSymbol{{"A", bars, 250}, {"B", bars, 375}, {"C", bars, 500}}},
			{"Data Matrix", []TrialSymbol{{"A", matrix, 250}, {"B", matrix, 500}, {"C", matrix, 750}}},
		},
	}
	for _, paper := range []Size{A4, Letter} {
		pdf, err := page.Page(paper, 203, noon)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := page.Page(paper, 203, noon)
		if !bytes.Equal(pdf, again) {
			t.Error("the same page gives other bytes")
		}
		var across, down, first, last int
		var narrow []float64
		for _, path := range boxes(t, contents(t, pdf)[0], paper.Height) {
			if b := path[0]; len(path) == 1 {
				switch {
				case near(b.Width, 100) && near(b.Height, 0.3):
					across++
				case near(b.Height, 100) && near(b.Width, 0.3):
					down++
				case near(b.Height, 6) && near(b.X, 15):
					first++
				case near(b.Height, 6) && near(b.X, 115):
					last++
				}
				continue
			}
			narrowest := math.Inf(1)
			for _, b := range path {
				narrowest = min(narrowest, b.Width)
			}
			narrow = append(narrow, narrowest/(25.4/203))
			if !inside(path, Box{5, 5, paper.Width - 10, paper.Height - 10}) {
				t.Errorf("a symbol lies outside of %v", paper)
			}
		}
		if across != 1 || down != 1 || first != 1 || last != 1 {
			t.Errorf("%d and %d rulers of 100 mm, %d and %d long lines at their ends", across, down, first, last)
		}
		want := []float64{2, 3, 4, 2, 4, 6} // dots
		if len(narrow) != len(want) {
			t.Fatalf("%d symbols, want %d", len(narrow), len(want))
		}
		for i := range want {
			if !near(narrow[i], want[i]) {
				t.Errorf("symbol %d has modules of %v dots, want %v", i, narrow[i], want[i])
			}
		}
	}
	if _, err := page.Page(A4, 1, noon); fault.KindOf(err) != fault.Invalid {
		t.Errorf("one dot to the inch: %v", err)
	}
}
