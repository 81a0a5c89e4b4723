package shop

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"forkstock/internal/sheet"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// CountSheet draws a sheet to count by on paper: what the book has in some bins
// (in all for none), with room for a number; with blind the book's own numbers are
// left out. Error: NotFound.
func (s *Shop) CountSheet(ctx context.Context, bins []string, blind bool) ([]byte, error) {
	w := words.For(s.settings.Language)
	var pdf []byte
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		var only []string
		for _, name := range bins {
			b, err := inventory.BinNamed(ctx, tx, name)
			if err != nil {
				return err
			}
			only = append(only, b.ID)
		}
		lines, err := inventory.Stock(ctx, tx, "")
		if err != nil {
			return err
		}
		told, err := s.tellLines(ctx, tx, slices.DeleteFunc(lines, func(l inventory.Line) bool {
			return len(only) > 0 && !slices.Contains(only, l.Bin.ID)
		}))
		if err != nil {
			return err
		}
		pdf, err = countSheet(w, told, blind, tx)
		return err
	})
	return pdf, err
}

func countSheet(w *words.Printer, lines []StockLine, blind bool, tx *store.Tx) ([]byte, error) {
	type row struct{ bin, part, size, role, unit string }
	book := map[row]int64{}
	var order []row
	for _, l := range lines {
		r := row{l.Bin, l.Maker + " " + l.Number, l.Size, w.Say("role." + string(l.Role)), l.Unit}
		if _, seen := book[r]; !seen {
			order = append(order, r)
		}
		book[r] += l.Amount
	}
	slices.SortStableFunc(order, func(a, b row) int { return cmp.Or(strings.Compare(a.bin, b.bin), strings.Compare(a.part, b.part)) })
	var rows [][]string
	for _, r := range order {
		amount := w.Say("unit."+r.unit, book[r])
		if blind {
			amount = ""
		}
		rows = append(rows, []string{r.bin, r.part, r.role + " " + r.size, amount, ""})
	}
	d := sheet.New(sheet.A4, w.Say("count.sheet.title"), tx.Now)
	d.Page()
	d.Line(sheet.Box{X: sheetLeft, Y: sheetTop, Width: 180, Height: 9}, sheet.Font{Points: 16, Bold: true}, sheet.Left,
		w.Say("count.sheet.head", tx.Today()))
	sheet.Table{
		Columns: []sheet.Column{
			{Title: w.Say("count.sheet.bin"), Width: 26},
			{Title: w.Say("count.sheet.part"), Width: 48},
			{Title: w.Say("count.sheet.what"), Width: 60},
			{Title: w.Say("count.sheet.book"), Width: 22, Align: sheet.Right},
			{Title: w.Say("count.sheet.counted"), Width: 24},
		},
		Font: sheet.Font{Points: 11}, Top: sheetTop, Bottom: sheetBottom,
	}.Draw(d, sheetLeft, sheetTop+12, rows, nil)
	return d.Bytes()
}
