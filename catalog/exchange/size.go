package exchange

import (
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// spread puts what a whole size says into the columns of its own, and gives the
// flaw of a row whose columns say something else.
func (f *File) spread(row *Row) (flaw Flaw, bad bool) {
	i := f.Kind.At("size")
	if i < 0 || row.Cells[i] == "" {
		return flaw, false
	}
	whole := spreadOut(row.Cells[i])
	for c := range f.Kind.Columns {
		text := whole[f.Kind.Columns[c].Name]
		switch row.Cells[c] {
		case "":
			row.Cells[c] = text
		case text:
		default:
			if text == "" {
				continue
			}
			return Flaw{
				Line: row.Line, Column: f.table.Header[f.at[i]], Row: true,
				Why: fault.Say("exchange.size_differs", row.Cells[i], row.Cells[c]), Hint: fault.Say("exchange.size_differs.hint"),
			}, true
		}
	}
	return flaw, false
}

// spreadOut gives the columns that a size as readSize gives it tells, with their cells.
func spreadOut(text string) map[string]string {
	size, err := measure.ParseSize(text)
	if err != nil {
		return map[string]string{"thread": text}
	}
	cells := map[string]string{}
	for name, l := range map[string]measure.Length{
		"inner_mm": size.Inner, "outer_mm": size.Outer, "height_mm": size.Height, "overall_mm": size.Overall,
	} {
		if l != 0 {
			cells[name] = l.String()
		}
	}
	return cells
}
