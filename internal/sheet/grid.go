package sheet

import (
	"fmt"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Grid is how labels lie on what is printed: in columns and rows on a sheet of
// paper, or one after the other on a roll.
type Grid struct {
	Paper         string // "A4", "Letter"; empty: a roll, a page for each label
	Columns, Rows int    // 1 and 1 of a roll
	Width, Height measure.Length
	Left, Top     measure.Length // margins of the sheet
	GapX, GapY    measure.Length // between columns and between rows
}

// mostLabels bounds columns and rows.
const mostLabels = 100

// Roll reports whether labels come one after the other.
func (g Grid) Roll() bool { return g.Paper == "" }

// Labels gives how many labels a page has.
func (g Grid) Labels() int { return g.Columns * g.Rows }

// Label gives the size of a label.
func (g Grid) Label() Size { return Size{mm(g.Width), mm(g.Height)} }

// Page gives the size of a page.
func (g Grid) Page() Size {
	switch g.Paper {
	case "A4":
		return A4
	case "Letter":
		return Letter
	}
	return g.Label()
}

func mm(l measure.Length) float64 { return float64(l) / 1000 }

// String gives the form that ParseGrid reads back:
// "A4 3x8 64x34 margin 7x12.5 gap 2x0", "roll 57x32".
func (g Grid) String() string {
	pair := func(a, b measure.Length) string { return length(a) + "x" + length(b) }
	if g.Roll() {
		return "roll " + pair(g.Width, g.Height)
	}
	return fmt.Sprintf("%s %dx%d %s margin %s gap %s", g.Paper, g.Columns, g.Rows,
		pair(g.Width, g.Height), pair(g.Left, g.Top), pair(g.GapX, g.GapY))
}

// length gives a length that may be zero.
func length(l measure.Length) string {
	if l == 0 {
		return "0"
	}
	return l.String()
}

// ParseGrid reads how labels lie: the paper (A4 or Letter), columns x rows, the
// size of a label, "margin" with those at the left and the top, "gap" with those
// between columns and rows, 0x0 where they are left out; or "roll" and the size
// of a label. Sizes are as measure.ParseLength takes them, without space in
// them. Error: Invalid, with the figures where it does not fit on the paper.
func ParseGrid(text string) (Grid, error) {
	bad := func() (Grid, error) {
		return Grid{}, fault.New(fault.Invalid, "sheet.bad_grid", text).WithHint("sheet.bad_grid.hint")
	}
	fields := strings.Fields(strings.ReplaceAll(text, "×", "x"))
	if len(fields) < 2 {
		return bad()
	}
	g := Grid{Columns: 1, Rows: 1}
	rest := fields[2:]
	switch strings.ToLower(fields[0]) {
	case "roll", "rolle":
		if len(rest) > 0 || !lengths(fields[1], &g.Width, &g.Height) {
			return bad()
		}
		return g, g.Check()
	case "a4":
		g.Paper = "A4"
	case "letter":
		g.Paper = "Letter"
	default:
		return bad()
	}
	if !counts(fields[1], &g.Columns, &g.Rows) || len(rest) == 0 || len(rest)%2 == 0 || !lengths(rest[0], &g.Width, &g.Height) {
		return bad()
	}
	seen := map[string]bool{}
	for i := 1; i < len(rest); i += 2 {
		word, ok := strings.ToLower(rest[i]), false
		switch word {
		case "margin", "rand":
			word, ok = "margin", lengths(rest[i+1], &g.Left, &g.Top)
		case "gap", "abstand":
			word, ok = "gap", lengths(rest[i+1], &g.GapX, &g.GapY)
		}
		if !ok || seen[word] {
			return bad()
		}
		seen[word] = true
	}
	return g, g.Check()
}

// lengths reads "70x37".
func lengths(text string, a, b *measure.Length) bool {
	first, second, ok := strings.Cut(strings.ToLower(text), "x")
	for _, f := range []struct {
		text string
		to   *measure.Length
	}{{first, a}, {second, b}} {
		if f.text == "0" {
			*f.to = 0
			continue
		}
		l, err := measure.ParseLength(f.text)
		ok = ok && err == nil
		*f.to = l
	}
	return ok
}

// counts reads "3x8".
func counts(text string, a, b *int) bool {
	first, second, ok := strings.Cut(strings.ToLower(text), "x")
	var err1, err2 error
	*a, err1 = strconv.Atoi(first)
	*b, err2 = strconv.Atoi(second)
	return ok && err1 == nil && err2 == nil
}

// Check tells whether the labels fit on the paper. Error: Invalid, with the
// figures.
func (g Grid) Check() error {
	const longest = 1_000_000 // um: no roll is wider than a metre
	switch {
	case g.Width <= 0 || g.Height <= 0 || g.Width > longest || g.Height > longest || g.Left < 0 || g.Top < 0 || g.GapX < 0 || g.GapY < 0:
		return fault.New(fault.Invalid, "sheet.bad_label", length(g.Width), length(g.Height)).WithHint("sheet.bad_grid.hint")
	case g.Columns < 1 || g.Rows < 1 || g.Columns > mostLabels || g.Rows > mostLabels:
		return fault.New(fault.Invalid, "sheet.bad_count", g.Columns, g.Rows, mostLabels).WithHint("sheet.bad_grid.hint")
	case g.Roll():
		return nil
	}
	page := g.Page()
	for _, side := range []struct {
		id                 string
		n                  int
		label, gap, margin measure.Length
		page               float64
	}{
		{"sheet.too_wide", g.Columns, g.Width, g.GapX, g.Left, page.Width},
		{"sheet.too_high", g.Rows, g.Height, g.GapY, g.Top, page.Height},
	} {
		need := side.margin + measure.Length(side.n)*side.label + measure.Length(side.n-1)*side.gap
		if has := measure.Length(side.page*1000 + 0.5); need > has {
			return fault.New(fault.Invalid, side.id, side.n, side.label, screen(side.gap), screen(side.margin), need, g.Paper, has).
				WithHint("sheet.too_large.hint")
		}
	}
	return nil
}

// screen gives a length that may be zero, for a message.
func screen(l measure.Length) any {
	if l == 0 {
		return "0"
	}
	return l
}

// Place gives where the nth label of a page lies, from 0: row by row, from the
// left.
func (g Grid) Place(n int) Box {
	column, row := n%g.Columns, n/g.Columns
	return Box{
		mm(g.Left + measure.Length(column)*(g.Width+g.GapX)), mm(g.Top + measure.Length(row)*(g.Height+g.GapY)),
		mm(g.Width), mm(g.Height),
	}
}
