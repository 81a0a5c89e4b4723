package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"forkstock/internal/fault"

	"github.com/google/go-cmp/cmp"
)

// FuzzRead reads anything: it never panics, an error is one of ours, lines go
// up, and a row without an error has as many cells as the header.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"a,b\n1,2\n", "sep=;\r\na;b\r\n1;\"x\r\ny\"\r\n", "\xef\xbb\xbfa|b\n", "\xff\xfea\x00\n\x00", "a\tb\r1\t2\r", "a,b\n1,\"3/8\" x\n2,\"y\n",
		"a;b\n1.250;1,5\n", "a,b\n'0391,\"=\"\"1\"\"\"\n", "a\xf6;b\n1;2", "\x00a\x00\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(readsOrRefuses)
}

func readsOrRefuses(t *testing.T, file []byte) {
	table, err := Read("list", bytes.NewReader(file), Options{})
	if err != nil {
		refused(t, err)
		return
	}
	defer table.Close()
	line := table.Form.Header
	for row, err := range table.All() {
		if err != nil {
			refused(t, err)
			return
		}
		if row.Line <= line {
			t.Fatalf("line %d after line %d", row.Line, line)
		}
		line = row.Line
		if row.Err == nil && len(row.Cells) != len(table.Header) || row.Err != nil && row.Err.Hint.IsZero() {
			t.Fatalf("%d cells under %d columns, %v", len(row.Cells), len(table.Header), row.Err)
		}
		for _, c := range row.Cells {
			Damage(c)
			_, _, _ = Money(c)
		}
	}
}

// FuzzSheet reads a workbook whose worksheet is anything.
func FuzzSheet(f *testing.F) {
	const begins, ends = `<worksheet><sheetData>`, `</sheetData></worksheet>`
	for _, s := range []string{
		`<row r="1"><c r="A1" t="inlineStr"><is><t>a</t></is></c><c r="B1" t="str"><v>b</v></c></row><row r="2"><c r="A2"><v>1.5E+20</v></c><c><f>A2</f></c></row>`,
		`<row><c t="str"><v>a</v></c></row><row r="9"><c r="ZZ9" s="1" t="d"><v>2026-01-01</v></c></row><row r="9"/>`,
	} {
		f.Add([]byte(begins + s + ends))
	}
	saved, err := os.ReadFile("testdata/guessed.xlsx")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, sheet []byte) {
		readsOrRefuses(t, withSheet(t, saved, sheet))
	})
}

// withSheet gives a workbook another first worksheet.
func withSheet(t *testing.T, file, sheet []byte) []byte {
	return repacked(t, file, func(name string, text []byte) []byte {
		if name == "xl/worksheets/sheet1.xml" {
			return sheet
		}
		return text
	})
}

// refused holds an error to what Read promises.
func refused(t *testing.T, err error) {
	if k := fault.KindOf(err); k != fault.Invalid && k != fault.Damaged || fault.Of(err).Hint.IsZero() {
		t.Fatalf("not one of the promised errors: %v", err)
	}
}

// FuzzRecords holds the records against those of encoding/csv, wherever that
// reads a file without a complaint.
func FuzzRecords(f *testing.F) {
	for _, s := range []string{"a,b\n1,2", "\"a\"\"\",\"b\nc\"\r\n", ",\n\n,", "\"\"\n\"", "a\r\r\nb", "\"a\r\n\",b\r\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r := csv.NewReader(strings.NewReader(text))
		r.FieldsPerRecord = -1
		want, err := r.ReadAll()
		if err != nil || strings.ContainsAny(text, "='\x00") { // ours takes guards off
			return
		}
		// The line ends of CR LF files inside of cells become LF, as encoding/csv has it for every file.
		rows, ours := newRecords(strings.NewReader(text), ',', strings.Contains(text, "\r\n"), 1), [][]string(nil)
		for {
			row, err := rows.next()
			if errors.Is(err, io.EOF) {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			if len(row.Cells) == 1 && row.Cells[0].Text == "" && row.Cells[0].Kind == Plain {
				continue // a blank line, which encoding/csv passes over
			}
			var cells []string
			for _, c := range row.Cells {
				cells = append(cells, c.Text)
			}
			ours = append(ours, cells)
		}
		want = compact(want)
		if diff := cmp.Diff(want, ours); diff != "" {
			t.Errorf("%q: %s", text, diff)
		}
	})
}

// compact leaves out records of one empty cell, as a line with "" gives.
func compact(records [][]string) [][]string {
	var some [][]string
	for _, r := range records {
		if len(r) > 1 || r[0] != "" {
			some = append(some, r)
		}
	}
	return some
}

// FuzzNumber reads anything as a number: what reads as money writes itself in
// minor units that read as the same money.
func FuzzNumber(f *testing.F) {
	for _, s := range []string{"12.50", "1.250,00 €", "CHF 1'250.-", "(3,5)", "1 234", "-12,--"} {
		f.Add(s, true)
	}
	f.Fuzz(func(t *testing.T, text string, comma bool) {
		c := Cell{Text: text, Decimal: '.'}
		if comma {
			c.Decimal = ','
		}
		minor, _, err := Money(c)
		if err != nil {
			refused(t, err)
			return
		}
		sign, rest := "", uint64(minor)
		if minor < 0 {
			sign, rest = "-", uint64(-minor)
		}
		again, _, err := Money(Cell{Text: sign + decimalText(rest)})
		if err != nil || again != minor {
			t.Errorf("%q is %d, read again %d, %v", text, minor, again, err)
		}
	})
}

// decimalText prints minor units with a point.
func decimalText(minor uint64) string {
	var b []byte
	for i := 0; i < 3 || minor > 0; i++ {
		if i == 2 {
			b = append(b, '.')
		}
		b = append(b, byte('0'+minor%10))
		minor /= 10
	}
	for i, j := 0, len(b)-1; i < j; i, j = i+1, j-1 {
		b[i], b[j] = b[j], b[i]
	}
	return string(b)
}
