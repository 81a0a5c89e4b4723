package sheet

import (
	"math"
	"slices"
	"strings"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Label is what stands on one label.
type Label struct {
	Head   string   // the largest: what it is, or the name of a bin
	Whole  bool     // the head is never cut: its letters become as small as it takes
	Lines  []string // below it
	Number string   // the text of the symbol, for people
	Symbol [][]bool // modules with their quiet zones; one row: bars
}

// linear reports whether the symbol is bars.
func (l Label) linear() bool { return len(l.Symbol) == 1 }

// Sizes of text on labels, in points.
const (
	mostText   = 28.0
	leastHead  = 6.5
	leastText  = 5.5 // smaller is hard to read at arm's length; common practice, no source
	leastWhole = 3.5
)

// leastBars gives how high bars have to be, in mm: 5 mm or 15 % of the width of
// the symbol, whichever is more (ISO/IEC 15417, for manual scanning).
func leastBars(width float64) float64 { return max(5, 0.15*width) }

// Printed is a file of labels.
type Printed struct {
	PDF    []byte
	Pages  int
	Module []measure.Length // of each label's symbol, rounded to a micrometre
}

// Labels prints labels in their order. A label that is too small for its symbol
// or its text is refused. Error: Invalid.
func Labels(g Grid, p Print, labels []Label, title string, made time.Time) (Printed, error) {
	var out Printed
	if err := firstFault(g.Check(), p.Check()); err != nil {
		return out, err
	}
	if p.Start < 0 || p.Start > g.Labels() {
		return out, fault.New(fault.Invalid, "sheet.bad_start", p.Start, g.Labels()).WithHint("sheet.bad_start.hint", g.Labels())
	}
	d := New(g.Page(), title, made)
	at := max(p.Start-1, 0)
	for i, l := range labels {
		if i == 0 || at == g.Labels() {
			d.Page()
			out.Pages++
			if i > 0 {
				at = 0
			}
		}
		module, err := d.label(g.Place(at), p, l)
		if err != nil {
			return out, err
		}
		out.Module = append(out.Module, measure.Length(math.Round(module*1000)))
		at++
	}
	var err error
	out.PDF, err = d.Bytes()
	return out, err
}

func firstFault(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// label draws a label into its place.
func (d *Doc) label(place Box, p Print, l Label) (module float64, err error) {
	pad := min(max(min(place.Width, place.Height)*0.05, 0.8), 2)
	in := Box{place.X + pad, place.Y + pad, place.Width - 2*pad, place.Height - 2*pad}
	switch {
	case l.linear():
		return d.barLabel(place, in, p, l)
	case in.Width > 1.3*in.Height:
		return d.besideLabel(in, p, l)
	}
	return d.belowLabel(in, p, l)
}

// barLabel draws a label with bars: text above them, their number below. The
// quiet zones at their ends may reach to the edge of the label.
func (d *Doc) barLabel(place, in Box, p Print, l Label) (float64, error) {
	across := len(l.Symbol[0])
	module, ok := p.module(across, place.Width, mostBar)
	wide := module * float64(across)
	if !ok {
		return 0, tooNarrow(l, wide, place)
	}
	number := d.Shrunk(Font{Points: min(max(in.Height*0.3, leastText), 12)}, l.Number, in.Width, leastText)
	text := in
	text.Height = in.Height - leastBars(wide) - number.Height() - gap
	if least := in.Height - text.Height + lineHeight(leastText); text.Height < lineHeight(leastText) {
		return 0, fault.New(fault.Invalid, "sheet.too_low", l.Number, up(least+2*(in.Y-place.Y)), um(place.Height)).
			WithHint("sheet.too_low.hint", up(least+2*(in.Y-place.Y)))
	}
	text.Height = min(text.Height, max(in.Height*0.55, lineHeight(leastText)))
	end := d.lines(text, d.set(text, l, false))
	bars := Box{X: onDot(place.X+(place.Width-wide)/2, p.DPI), Y: end + gap}
	bars.Height = min(in.Y+in.Height-number.Height()-bars.Y, 25)
	d.Symbol(bars.X, bars.Y, l.Symbol, module, bars.Height)
	d.Line(Box{in.X, bars.Y + bars.Height, in.Width, number.Height()}, number, Center, l.Number)
	return module, nil
}

// gap is the room between text and symbol, in mm.
const gap = 0.8

func lineHeight(points float64) float64 { return Font{Points: points}.Height() }

// besideLabel draws a label with a square symbol, its text beside it.
func (d *Doc) besideLabel(in Box, p Print, l Label) (float64, error) {
	across := len(l.Symbol)
	module, ok := p.module(across, min(in.Height, in.Width*0.5), mostSquare)
	side := module * float64(across)
	if !ok {
		return 0, tooSmall(l, side, side*2, in)
	}
	d.Symbol(onDot(in.X, p.DPI), onDot(in.Y+(in.Height-side)/2, p.DPI), l.Symbol, module, 0)
	text := Box{in.X + side + gap, in.Y, in.Width - side - gap, in.Height}
	lines := d.set(text, l, true)
	d.lines(middle(text, lines), lines)
	return module, nil
}

// belowLabel draws a label with a square symbol, its text below it.
func (d *Doc) belowLabel(in Box, p Print, l Label) (float64, error) {
	across := len(l.Symbol)
	least := lineHeight(leastText)*2 + gap
	module, ok := p.module(across, min(in.Width, max(in.Height*0.6, in.Height-mostText)), mostSquare)
	side := module * float64(across)
	if !ok || in.Height-side < least {
		return 0, tooSmall(l, side+least, side, in)
	}
	d.Symbol(onDot(in.X+(in.Width-side)/2, p.DPI), onDot(in.Y, p.DPI), l.Symbol, module, 0)
	text := Box{in.X, in.Y + side + gap, in.Width, in.Height - side - gap}
	d.lines(text, d.set(text, l, true))
	return module, nil
}

// A textLine is a line of text on a label.
type textLine struct {
	font Font
	text string
	high float64 // mm
}

// lines writes lines into a box from a height on, and gives where they end.
func (d *Doc) lines(b Box, lines []textLine) (y float64) {
	y = b.Y
	for _, l := range lines {
		d.Line(Box{b.X, y, b.Width, l.high}, l.font, Left, l.text)
		y += l.high
	}
	return y
}

// middle moves a box down so that lines stand in the middle of its height.
func middle(b Box, lines []textLine) Box {
	used := 0.0
	for _, l := range lines {
		used += l.high
	}
	b.Y += max(0, (b.Height-used)/2)
	return b
}

// set makes head and lines of a label as large as a box allows. What does not
// fit into its height is joined to the line before, or left out from the end;
// the head stays, and the last line where keep is set.
func (d *Doc) set(b Box, l Label, keep bool) []textLine {
	lines := slices.DeleteFunc(slices.Clone(l.Lines), func(s string) bool { return strings.TrimSpace(s) == "" })
	kept := 0
	if keep {
		lines, kept = append(lines, l.Number), 1
	}
	for len(lines) > kept && b.Height < float64(len(lines)+1)*lineHeight(leastText) {
		if n := len(lines) - kept; n > 1 {
			lines = slices.Replace(lines, n-2, n, lines[n-2]+" · "+lines[n-1])
		} else {
			lines = slices.Delete(lines, 0, n)
		}
	}
	small := func(head float64) Font { return Font{Points: max(min(head/headUnits, 11), leastText)} }
	room := func(head float64) float64 { return b.Height - float64(len(lines))*small(head).Height() }
	head, heads := d.setHead(b.Width, l, room)
	var all []textLine
	for _, text := range heads {
		all = append(all, textLine{head, text, head.Height()})
	}
	for _, text := range lines {
		f := small(head.Points)
		all = append(all, textLine{d.Shrunk(f, text, b.Width, leastText), text, f.Height()})
	}
	return all
}

// setHead gives the largest letters in which the head of a label goes into a
// width uncut, in up to three lines, and the height that room gives beside
// letters so large; where there are none, the smallest, with as many lines as
// go. A whole head stays on one line.
func (d *Doc) setHead(width float64, l Label, room func(points float64) float64) (Font, []string) {
	const slack = 1e-6
	most, least, most1 := mostText, leastHead, 3
	if l.Whole {
		most, least, most1 = 2*mostText, leastWhole, 1
	}
	for f := (Font{most, true}); f.Points >= least; f.Points -= 0.5 {
		lines := min(most1, int((room(f.Points)+slack)/f.Height()))
		if lines < 1 {
			continue
		}
		texts := d.Wrap(f, l.Head, width, lines)
		if !slices.ContainsFunc(texts, func(text string) bool { return d.Width(f, text) > width }) {
			return f, texts
		}
	}
	f := Font{least, true}
	text := l.Head
	if !l.Whole {
		text = d.Broken(f, text, width)
	}
	return f, d.Wrap(f, text, width, max(1, min(most1, int((room(least)+slack)/f.Height()))))
}

// headUnits is how much larger the head of a label is than its other text, up
// to 11 points of that.
const headUnits = 1.3

func um(l float64) measure.Length { return measure.Length(math.Round(l * 1000)) }

// up gives a length in mm for a message, rounded up to half a millimetre.
func up(l float64) measure.Length { return um(math.Ceil(l*2-1e-9) / 2) }

// tooNarrow refuses bars that are wider than their label.
func tooNarrow(l Label, wide float64, place Box) error {
	return fault.New(fault.Invalid, "sheet.too_narrow", l.Number, up(wide), um(place.Width)).WithHint("sheet.too_narrow.hint", up(wide))
}

// tooSmall refuses a square symbol for which a label has too little room.
func tooSmall(l Label, high, wide float64, in Box) error {
	return fault.New(fault.Invalid, "sheet.too_small", l.Number, up(wide), up(high), um(in.Width), um(in.Height)).
		WithHint("sheet.too_small.hint")
}
