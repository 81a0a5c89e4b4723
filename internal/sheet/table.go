package sheet

// Column is a column of a table.
type Column struct {
	Title string
	Width float64 // mm
	Align Align
}

// Table is rows of text in columns, which go on on further pages under the same
// head. A cell that is too long is cut with an ellipsis, or broken into lines
// where Wrap allows more than one.
type Table struct {
	Columns []Column
	Font    Font
	Wrap    int     // lines that a cell may have; 0 is 1
	Top     float64 // where it begins on further pages, mm
	Bottom  float64 // where a page ends, mm
}

// cellSide is the room at each side of a cell, mm.
const cellSide = 1.0

// Draw draws the table from y on, over as many pages as it needs, and gives
// where it ends. begun is called when a page has been begun, with its number in
// the table from 2 on, and may be nil.
func (t Table) Draw(d *Doc, x, y float64, rows [][]string, begun func(page int)) (end float64) {
	y = t.head(d, x, y)
	page, top := 1, true
	for _, row := range rows {
		cells, high := t.cells(d, row)
		if y+high > t.Bottom && !top {
			page++
			d.Page()
			if begun != nil {
				begun(page)
			}
			y = t.head(d, x, t.Top)
		}
		t.row(d, x, y, t.Font, cells)
		y += high
		top = false
		d.Fill(Box{x, y - 0.1, t.width(), 0.1})
	}
	return y
}

func (t Table) width() (w float64) {
	for _, c := range t.Columns {
		w += c.Width
	}
	return w
}

// head draws the titles, and gives where the rows begin.
func (t Table) head(d *Doc, x, y float64) float64 {
	bold := t.Font
	bold.Bold = true
	var cells [][]string
	for _, c := range t.Columns {
		cells = append(cells, []string{c.Title})
	}
	t.row(d, x, y, bold, cells)
	y += bold.Height() + cellSide
	d.Fill(Box{x, y - 0.3, t.width(), 0.3})
	return y
}

// cells breaks the cells of a row into lines, and gives how high it is.
func (t Table) cells(d *Doc, row []string) (cells [][]string, high float64) {
	lines := 1
	for i, c := range t.Columns {
		text := ""
		if i < len(row) {
			text = row[i]
		}
		cells = append(cells, d.Wrap(t.Font, text, c.Width-2*cellSide, max(t.Wrap, 1)))
		lines = max(lines, len(cells[i]))
	}
	return cells, float64(lines)*t.Font.Height() + cellSide
}

func (t Table) row(d *Doc, x, y float64, f Font, cells [][]string) {
	for i, c := range t.Columns {
		for n, line := range cells[i] {
			d.Line(Box{x + cellSide, y + cellSide/2 + float64(n)*f.Height(), c.Width - 2*cellSide, f.Height()}, f, c.Align, line)
		}
		x += c.Width
	}
}
