package sheet

import (
	"fmt"
	"strings"
	"testing"
)

// A table goes on on further pages, each with the head, no row is lost or
// drawn below the page, and the caller hears of each page.
func TestTable(t *testing.T) {
	d := New(A4, "", noon)
	d.Page()
	table := Table{
		Columns: []Column{{"Fach", 30, Left}, {"Bezeichnung", 100, Left}, {"Stück", 20, Right}},
		Font:    Font{Points: 10}, Wrap: 2, Top: 20, Bottom: 280,
	}
	var rows [][]string
	for n := range 120 {
		rows = append(rows, []string{fmt.Sprintf("A-%03d", n), "Öldichtring", fmt.Sprint(n)})
	}
	rows[7][1] = strings.Repeat("Gleitbuchse außen ", 9)
	rows[8] = rows[8][:1]
	var begun []int
	end := table.Draw(d, 15, 40, rows, func(page int) { begun = append(begun, page) })
	if end <= 20 || end > 280 {
		t.Errorf("ends at %v mm", end)
	}
	pdf, err := d.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	pages := contents(t, pdf)
	if len(pages) != len(begun)+1 || len(begun) != 2 || begun[0] != 2 || begun[1] != 3 {
		t.Errorf("%d pages, begun %v", len(pages), begun)
	}
	drawn := 0
	for n, page := range pages {
		for _, path := range boxes(t, page, A4.Height) {
			for _, b := range path {
				drawn++
				if b.Y+b.Height > 280+1e-3 || !near(b.Width, 150) || !near(b.X, 15) {
					t.Errorf("page %d: a line at %+v", n+1, b)
				}
			}
		}
	}
	if want := len(rows) + len(pages); drawn != want { // one below each row and head
		t.Errorf("%d lines, want %d", drawn, want)
	}
}

// A row that is higher than a page is drawn once, not for ever.
func TestTableLow(t *testing.T) {
	d := New(Size{60, 20}, "", noon)
	d.Page()
	table := Table{Columns: []Column{{"Fach", 50, Left}}, Font: Font{Points: 12}, Top: 2, Bottom: 4}
	pages := 1
	table.Draw(d, 2, 2, [][]string{{"A"}, {"B"}, {"C"}}, func(int) { pages++ })
	if pages != 3 {
		t.Errorf("%d pages, want one for each row", pages)
	}
}
