package sheet

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Label is what stands on one label.
type Label struct {
	Heads  []string // the largest, a line each: size and number, or the name of a bin
	Whole  bool     // the head is never cut: its letters become as small as it takes
	Lines  []string // below it
	Number string   // the text of the symbol, for people
	Symbol [][]bool // modules with their quiet zones; one row: bars
}

// linear reports whether the symbol is bars.
func (l Label) linear() bool { return len(l.Symbol) == 1 }

// Sizes of text on labels, in points.
const (
	mostText    = 28.0
	mostWhole   = 56.0
	mostSmall   = 10.0
	leastHead   = 6.5
	leastShared = 9.0 // heads of one sheet share their size down to this; what needs less stands alone
	leastText   = 5.5 // smaller is hard to read at arm's length; common practice, no source
	leastWhole  = 3.5
)

// headUnits is how much larger the head of a label is than its other text.
const headUnits = 1.5

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
	if err := d.share(g, p, labels); err != nil {
		return out, err
	}
	at := max(p.Start-1, 0)
	for i, l := range labels {
		if i == 0 || at == g.Labels() {
			d.Page()
			out.Pages++
			if i > 0 {
				at = 0
			}
		}
		module, _, err := d.label(g.Place(at), p, l)
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

// share finds the size of letters in which the heads of all labels go onto
// them, so that a sheet is of one piece. Error: Invalid, of a label that is too
// small.
func (d *Doc) share(g Grid, p Print, labels []Label) error {
	trial := New(g.Page(), "", time.Time{})
	trial.Page()
	seen := map[string]bool{}
	least := mostText
	for _, l := range labels {
		if seen[l.Number] || l.Whole {
			continue
		}
		seen[l.Number] = true
		_, head, err := trial.label(g.Place(0), p, l)
		if err != nil {
			return err
		}
		least = min(least, max(head, leastShared))
	}
	d.most = least
	return nil
}

// label draws a label into its place, and gives the width of a module in mm and
// the size of its head in points.
func (d *Doc) label(place Box, p Print, l Label) (module, head float64, err error) {
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
func (d *Doc) barLabel(place, in Box, p Print, l Label) (module, head float64, err error) {
	across := len(l.Symbol[0])
	module, ok := p.module(across, place.Width, mostBar)
	wide := module * float64(across)
	if !ok {
		return 0, 0, tooNarrow(l, wide, place)
	}
	number := d.Shrunk(Font{Points: min(max(in.Height*0.3, leastText), 9)}, l.Number, in.Width, leastText)
	text := in
	text.Height = in.Height - leastBars(wide) - number.Height() - gap
	if least := in.Height - text.Height + lineHeight(leastText); text.Height < lineHeight(leastText) {
		return 0, 0, fault.New(fault.Invalid, "sheet.too_low", l.Number, up(least+2*(in.Y-place.Y)), um(place.Height)).
			WithHint("sheet.too_low.hint", up(least+2*(in.Y-place.Y)))
	}
	text.Height = min(text.Height, max(in.Height*0.66, lineHeight(leastText)))
	lines := d.set(text, l, false)
	bars := Box{X: onDot(place.X+(place.Width-wide)/2, p.DPI), Y: d.lines(text, lines) + gap}
	bars.Height = min(in.Y+in.Height-number.Height()-bars.Y, 25)
	d.Symbol(bars.X, bars.Y, l.Symbol, module, bars.Height)
	d.Line(Box{in.X, bars.Y + bars.Height, in.Width, number.Height()}, number, Center, l.Number)
	return module, headOf(lines), nil
}

// gap is the room between text and symbol, in mm.
const gap = 0.8

func lineHeight(points float64) float64 { return Font{Points: points}.Height() }

// besideLabel draws a label with a square symbol, its text beside it.
func (d *Doc) besideLabel(in Box, p Print, l Label) (module, head float64, err error) {
	across := len(l.Symbol)
	module, ok := p.module(across, min(in.Height, in.Width*0.45), mostSquare)
	side := module * float64(across)
	if !ok {
		return 0, 0, tooSmall(l, side, side*2, in)
	}
	d.Symbol(onDot(in.X, p.DPI), onDot(in.Y+(in.Height-side)/2, p.DPI), l.Symbol, module, 0)
	text := Box{in.X + side + gap, in.Y, in.Width - side - gap, in.Height}
	lines := d.set(text, l, true)
	d.lines(middle(text, lines), lines)
	return module, headOf(lines), nil
}

// belowLabel draws a label with a square symbol, its text below it.
func (d *Doc) belowLabel(in Box, p Print, l Label) (module, head float64, err error) {
	across := len(l.Symbol)
	least := lineHeight(leastText)*2 + gap
	module, ok := p.module(across, min(in.Width, max(in.Height*0.6, in.Height-mostText)), mostSquare)
	side := module * float64(across)
	if !ok || in.Height-side < least {
		return 0, 0, tooSmall(l, side+least, side, in)
	}
	d.Symbol(onDot(in.X+(in.Width-side)/2, p.DPI), onDot(in.Y, p.DPI), l.Symbol, module, 0)
	lines := d.set(Box{in.X, in.Y + side + gap, in.Width, in.Height - side - gap}, l, true)
	d.lines(Box{in.X, in.Y + side + gap, in.Width, in.Height - side - gap}, lines)
	return module, headOf(lines), nil
}

// A textLine is a line of text on a label.
type textLine struct {
	font Font
	text string
	high float64 // mm
}

// headOf gives the size of the first line, in points.
func headOf(lines []textLine) float64 {
	if len(lines) == 0 {
		return mostText
	}
	return lines[0].font.Points
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

// set makes heads and lines of a label as large as a box allows. What does not
// fit into its height is joined to the line before, or left out from the end;
// the heads stay, and the last line where keep is set.
func (d *Doc) set(b Box, l Label, keep bool) []textLine {
	heads, lines := filled(l.Heads), filled(l.Lines)
	kept := 0
	if keep {
		lines, kept = append(lines, l.Number), 1
	}
	for len(lines) > kept && b.Height < float64(len(lines)+len(heads))*lineHeight(leastText) {
		if n := len(lines) - kept; n > 1 {
			lines = slices.Replace(lines, n-2, n, lines[n-2]+" · "+lines[n-1])
		} else {
			lines = slices.Delete(lines, 0, n)
		}
	}
	most, least := cmp.Or(d.most, mostText), leastHead
	if l.Whole {
		most, least = mostWhole, leastWhole
	}
	for points := most; points >= least; points -= 0.5 {
		if all, fits := d.sized(b, points, heads, lines); fits {
			return all
		}
	}
	if !l.Whole && len(heads) > 0 {
		f := Font{leastHead, true}
		room := int((b.Height - float64(len(lines))*lineHeight(leastText) + 1e-6) / f.Height())
		heads = d.Wrap(f, d.Broken(f, strings.Join(heads, " "), b.Width), b.Width, min(max(room, 1), 3))
	}
	all, _ := d.sized(b, least, heads, lines)
	return all
}

// filled gives the texts that are not blank.
func filled(texts []string) []string {
	return slices.DeleteFunc(slices.Clone(texts), func(s string) bool { return strings.TrimSpace(s) == "" })
}

// sized gives heads in letters of so many points and lines in smaller ones,
// broken into up to three where there is room for it, and whether all goes into a box.
func (d *Doc) sized(b Box, points float64, heads, lines []string) (all []textLine, fits bool) {
	head, small := Font{points, true}, Font{Points: min(max(points/headUnits, leastText), mostSmall)}
	spare := int((b.Height - float64(len(heads))*head.Height() - float64(len(lines))*small.Height() + 1e-6) / small.Height())
	fits = float64(len(heads))*head.Height()+float64(len(lines))*small.Height() <= b.Height+1e-6
	for _, text := range heads {
		fits = fits && d.Width(head, text) <= b.Width
		all = append(all, textLine{head, text, head.Height()})
	}
	for _, text := range lines {
		f, broken := d.wrapped(small, text, b.Width, 1+min(max(spare, 0), 2))
		spare -= len(broken) - 1
		for _, part := range broken {
			all = append(all, textLine{f, part, small.Height()})
		}
	}
	return all, fits
}

// wrapped breaks a text into so many lines at the most, in letters that are made
// smaller where it takes that.
func (d *Doc) wrapped(f Font, text string, width float64, most int) (Font, []string) {
	for {
		lines := d.Wrap(f, text, width, most)
		wide := slices.ContainsFunc(lines, func(line string) bool { return d.Width(f, line) > width })
		if !wide || f.Points <= leastText {
			return f, lines
		}
		f.Points = max(f.Points-0.5, leastText)
	}
}

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
