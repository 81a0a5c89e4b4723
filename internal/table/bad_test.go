package table

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Each file of testdata/bad has one fault that shops meet (common practice, no
// source); a row that cannot be used shows as the id of why.
func TestBadFiles(t *testing.T) {
	for _, tt := range []struct {
		file string
		o    Options
		form Form
		want [][]string
	}{
		{
			"decimal_comma_1252.csv",
			Options{},
			Form{Encoding: "windows-1252", Delimiter: ';', Decimal: ',', Header: 1},
			[][]string{{"0507", "Gabelöl – dünn", "1", "14,90", "9520000000011"}, {"0508", "Dichtsatz € ", "2", "1.014,90", "9520000000028"}},
		},
		{"byte_order_mark.csv", Options{}, Form{Encoding: "utf-8", Mark: true, Delimiter: ',', Decimal: '.', Header: 1}, [][]string{{"0507", "14.90"}}},
		{"utf16le_tab.txt", Options{}, Form{Encoding: "utf-16le", Mark: true, Delimiter: '\t', Decimal: '.', Header: 1}, [][]string{{"0507", "14.90"}}},
		{"utf16be_tab.txt", Options{}, Form{Encoding: "utf-16be", Mark: true, Delimiter: '\t', Decimal: '.', Header: 1}, [][]string{{"0507", "14.90"}}},
		{"cp850.csv", Options{Encoding: "cp850"}, Form{Encoding: "cp850", Delimiter: ';', Header: 1}, [][]string{{"0507", "Gabelöl für außen"}}},
		{"sep_line.csv", Options{}, Form{Encoding: "utf-8", Delimiter: '|', Decimal: ',', SepLine: true, Header: 2}, [][]string{{"0507", "14,90"}}},
		{"zeros_lost.csv", Options{}, Form{Encoding: "utf-8", Delimiter: ',', Header: 1}, [][]string{{"507", "Gabelring"}}},
		{
			"formulas.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Header: 1},
			[][]string{{"=SUM(B2:B9)", "x"}, {"+49", "y"}, {"-7", "z"}, {"@x", "u"}, {"\tx", "v"}, {"\rx", "w"}},
		},
		{
			"quotes_and_lines.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Header: 1},
			[][]string{{"0507", "Ring \"weich\",\nzweite Zeile"}, {"0508", "Ring"}},
		},
		{
			"ragged.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Decimal: '.', Header: 1},
			[][]string{{"table.ragged"}, {"0508", "Ring", "1.10"}, {"table.ragged"}},
		},
		{
			"inch_marks.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Header: 1},
			[][]string{{"0507", `Stecknuss 3/8"`}, {"0508", `Schlauch 1/4" lang`}, {"0509", `"Schlauch 1/2`}, {"0510", "Ring"}},
		},
		{
			"total_and_blank.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Decimal: '.', Header: 1},
			[][]string{{"0507", "4", "1.10"}, {"Summe:", "4", "4.40"}},
		},
		{
			"nul_no_last_newline.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Decimal: '.', Header: 1},
			[][]string{{"0507", "1.10"}, {"table.nul"}, {"0509", "1.30"}},
		},
		{
			"guards.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Header: 1},
			[][]string{{"0507", "9520000000011"}, {"0508", "9520000000028"}},
		},
		{
			"title_above.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ';', Decimal: ',', Header: 4, Above: []int{1, 2}},
			[][]string{{"0507", "1", "1,10", "9520000000011"}},
		},
		{
			"bad_byte.csv",
			Options{},
			Form{Encoding: "utf-8", Delimiter: ',', Header: 1},
			[][]string{{"A", "Größe"}, {"table.no_character"}, {"C", "Stück"}},
		},
	} {
		table, rows := openAll(t, "testdata/bad/"+tt.file, tt.o)
		tt.form.Format = "csv"
		if diff := cmp.Diff(tt.form, table.Form); diff != "" {
			t.Errorf("%s: %s", tt.file, diff)
		}
		if diff := cmp.Diff(tt.want, texts(rows)); diff != "" {
			t.Errorf("%s: %s", tt.file, diff)
		}
	}
}

// openAll reads a file to its end.
func openAll(t *testing.T, path string, o Options) (*Table, []Row) {
	t.Helper()
	table, err := Open(path, o)
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	t.Cleanup(func() {
		if err := table.Close(); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	})
	var rows []Row
	for row, err := range table.All() {
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		rows = append(rows, row)
	}
	return table, rows
}

// What was done to single cells is said beside them, and where they stand.
func TestBadCells(t *testing.T) {
	_, rows := openAll(t, "testdata/bad/guards.csv", Options{})
	for _, r := range rows {
		for i, c := range r.Cells {
			if c.Kind != Guarded {
				t.Errorf("guards: line %d cell %d: kind %d", r.Line, i, c.Kind)
			}
		}
	}
	_, rows = openAll(t, "testdata/bad/inch_marks.csv", Options{})
	for i, want := range []Cell{{Text: `Stecknuss 3/8"`}, {`Schlauch 1/4" lang`, Repaired, 0}, {`"Schlauch 1/2`, Repaired, 0}, {Text: "Ring"}} {
		if got := rows[i]; got.Line != i+2 || got.Cells[1] != want {
			t.Errorf("inch_marks: line %d %+v, want line %d %+v", got.Line, got.Cells[1], i+2, want)
		}
	}
	table, rows := openAll(t, "testdata/bad/total_and_blank.csv", Options{})
	if table.Blank() != 2 || rows[0].Total() || !rows[1].Total() || rows[1].Line != 5 {
		t.Errorf("total_and_blank: %d blank rows, %+v", table.Blank(), rows)
	}
	_, rows = openAll(t, "testdata/bad/nul_no_last_newline.csv", Options{})
	if rows[1].Line != 3 || rows[1].Err == nil || rows[1].Err.Hint.IsZero() {
		t.Errorf("nul: %+v", rows[1])
	}
	damaged := map[string][]bool{
		"barcode_shortened.csv": {true, true, false, false}, // the third has a wrong check digit, which the importer sees
		"numbers_as_dates.csv":  {true, true, true, true, true, false, false},
	}
	column := map[string]int{"barcode_shortened.csv": 1}
	for file, want := range damaged {
		_, rows := openAll(t, "testdata/bad/"+file, Options{})
		for i, r := range rows {
			if got := Damage(r.Cells[column[file]]); got.IsZero() == want[i] {
				t.Errorf("%s line %d: %v", file, r.Line, got)
			}
		}
	}
}
