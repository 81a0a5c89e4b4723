package sheet

import (
	"fmt"
	"time"

	"forkstock/internal/measure"
)

// ruler is how long the rulers of a test page are, in mm.
const ruler = 100.0

// Trial is a page to try a printer with: rulers that show whether it prints at
// full size, and symbols of several widths. The texts are in the language of who
// prints.
type Trial struct {
	Title  string
	Advice []string // below the title
	Across string   // beside the ruler from left to right
	Down   string   // beside the one from top to bottom
	Mark   rune     // between whole and part of a number
	Rows   []TrialRow
}

// TrialRow is the symbols of one kind, from the narrowest modules on.
type TrialRow struct {
	Name    string
	Symbols []TrialSymbol
}

// TrialSymbol is a symbol with modules so wide.
type TrialSymbol struct {
	Caption string
	Modules [][]bool
	Width   measure.Length
}

// Page prints the page on a paper, for a printer with so many dots to the inch;
// modules are made whole dots where that is not 0.
func (t Trial) Page(paper Size, dpi int, made time.Time) ([]byte, error) {
	if err := (Print{DPI: dpi}).Check(); err != nil {
		return nil, err
	}
	d := New(paper, t.Title, made)
	d.Page()
	const left = 15.0
	width := paper.Width - 2*left
	y := 15.0
	d.Line(Box{left, y, width, 8}, Font{16, true}, Left, t.Title)
	y += 11
	for _, text := range t.Advice {
		for _, line := range d.Wrap(Font{Points: 10}, text, width, 4) {
			d.Line(Box{left, y, width, 5}, Font{Points: 10}, Left, line)
			y += 5
		}
	}
	y += 4
	d.Line(Box{left, y, width, 5}, Font{Points: 9}, Left, t.Across)
	d.across(left, y+6)
	down := y + 24
	d.Line(Box{left, down - 6, width, 5}, Font{Points: 9}, Left, t.Down)
	d.down(left, down)
	t.symbols(d, Box{left + 22, down, width - 22, paper.Height - down - 15}, dpi)
	return d.Bytes()
}

// symbols draws the rows of symbols.
func (t Trial) symbols(d *Doc, b Box, dpi int) {
	y := b.Y
	for _, row := range t.Rows {
		d.Line(Box{b.X, y, b.Width, 5}, Font{10, true}, Left, row.Name)
		y += 6
		x, low := b.X, y
		for _, s := range row.Symbols {
			module, _ := Print{DPI: dpi, Module: s.Width}.module(1, ruler, ruler)
			wide := module * float64(len(s.Modules[0]))
			if x > b.X && x+wide > b.X+b.Width {
				x, y = b.X, low+1
			}
			size := d.Symbol(onDot(x, dpi), onDot(y, dpi), s.Modules, module, 10)
			d.Line(Box{x, y + size.Height, max(wide, 30), 4}, Font{Points: 7}, Left, um(module).Screen(t.Mark)+" mm  "+s.Caption)
			low = max(low, y+size.Height+4)
			x += max(wide, 30) + 4
		}
		y = low + 3
	}
}

// tick is how thick the lines of a ruler are, in mm.
const tick = 0.15

// The rulers begin and end at the outer edges of their first line and of the
// one at 100: measured from the left edge of the one to that of the other they
// are exact.
func (d *Doc) across(x, y float64) {
	d.Fill(Box{x, y, ruler, 0.3})
	for n := 0; n <= ruler; n++ {
		d.Fill(Box{x + float64(n), y, tick, tickLength(n)})
		if n%10 == 0 {
			d.Line(Box{x + float64(n) - 5, y + 6, 10, 3}, Font{Points: 7}, Center, fmt.Sprint(n))
		}
	}
}

func (d *Doc) down(x, y float64) {
	d.Fill(Box{x, y, 0.3, ruler})
	for n := 0; n <= ruler; n++ {
		d.Fill(Box{x, y + float64(n), tickLength(n), tick})
		if n%10 == 0 {
			d.Line(Box{x + 6.5, y + float64(n) - 1.5, 8, 3}, Font{Points: 7}, Left, fmt.Sprint(n))
		}
	}
}

// tickLength gives how long the line at n millimetres is.
func tickLength(n int) float64 {
	switch {
	case n%10 == 0:
		return 6
	case n%5 == 0:
		return 4.5
	}
	return 3
}
