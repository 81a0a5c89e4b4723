//go:build trials

package table

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"forkstock/internal/fault"

	"github.com/google/go-cmp/cmp"
)

const shared = "../../../shared/checks/csv/"

// TestTrialSpectrum reads csv-spectrum (github.com/max-mapper/csv-spectrum, by
// Max Ogden and others, BSD 2-Clause): files with what a table reads as in JSON.
func TestTrialSpectrum(t *testing.T) {
	files, err := filepath.Glob(shared + "spectrum/csvs/*.csv")
	if err != nil || len(files) < 11 {
		t.Fatalf("%d files of csv-spectrum, want 11 or more (%v)", len(files), err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".csv")
		text, err := os.ReadFile(shared + "spectrum/json/" + name + ".json")
		if err != nil {
			t.Fatal(err)
		}
		var want []map[string]string
		if err := json.Unmarshal(text, &want); err != nil {
			t.Fatal(err)
		}
		table, rows := openAll(t, file, Options{})
		var got []map[string]string
		for _, r := range rows {
			if r.Err != nil {
				t.Errorf("%s line %d: %v", name, r.Line, r.Err)
				continue
			}
			cells := map[string]string{}
			for i, c := range r.Cells {
				cells[table.Header[i]] = c.Text
			}
			got = append(got, cells)
		}
		for _, row := range want { // newlines_crlf has its JSON from a reader that keeps CR LF inside of cells
			for k, v := range row {
				if strings.HasSuffix(name, "_crlf") {
					row[k] = strings.ReplaceAll(v, "\r\n", "\n")
				}
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// The faults of shared/checks/csv/bad, with what its cases.json expects.
func TestTrialBad(t *testing.T) {
	text, err := os.ReadFile(shared + "bad/cases.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases struct {
		Cases []struct {
			File   string
			Expect struct {
				Delimiter, Decimal, Encoding string
				Rows                         int
				Row1                         json.RawMessage
			}
		}
	}
	if err := json.Unmarshal(text, &cases); err != nil || len(cases.Cases) < 15 {
		t.Fatalf("%d cases, want 15 or more (%v)", len(cases.Cases), err)
	}
	tables, all := map[string]*Table{}, map[string][]Row{}
	for _, c := range cases.Cases {
		table, rows := openAll(t, shared+"bad/"+c.File, Options{})
		tables[c.File[:2]], all[c.File[:2]] = table, rows
		f := table.Form
		delimiter := strings.ReplaceAll(c.Expect.Delimiter, `\t`, "\t")
		if delimiter != "" && string(f.Delimiter) != delimiter || c.Expect.Decimal != "" && string(f.Decimal) != c.Expect.Decimal ||
			c.Expect.Encoding != "" && f.Encoding != c.Expect.Encoding {
			t.Errorf("%s: %+v, want %+v", c.File, f, c.Expect)
		}
		parts := 0
		for _, r := range rows {
			if !r.Total() {
				parts++
			}
		}
		if c.Expect.Rows != 0 && parts != c.Expect.Rows {
			t.Errorf("%s: %d rows, want %d", c.File, parts, c.Expect.Rows)
		}
	}
	cell := func(file string, row, column int) Cell { return all[file][row].Cells[column] }
	for _, tt := range []struct {
		file        string
		row, column int
		want        string
	}{
		{"01", 0, 0, "0391"},
		{"01", 1, 1, "Kupferdichtring 8x12x1 – €"},
		{"02", 0, 0, "0391"},
		{"03", 0, 0, "0391"},
		{"04", 0, 1, "9,95"},
		{"05", 0, 0, "391"},
		{"08", 0, 0, `=HYPERLINK("http://x.invalid","a")`},
		{"08", 4, 0, "\ttab"},
		{"08", 5, 0, "\rcr"},
		{"09", 0, 1, "Seal \"dual lip\", 39x52x11\nsecond line"},
		{"11", 0, 1, `Socket 1/2" drive`},
		{"11", 1, 1, `Hose 3/8" x 1m`},
		{"15", 0, 0, "0391"},
		{"17", 0, 0, "0391"},
		{"17", 0, 1, "9520123456788"},
		{"17", 1, 0, "0391"},
	} {
		if got := cell(tt.file, tt.row, tt.column).Text; got != tt.want {
			t.Errorf("%s row %d: %q, want %q", tt.file, tt.row, got, tt.want)
		}
	}
	for row, want := range []int64{1250, 40} {
		if minor, _, err := Money(cell("01", row, 3)); minor != want || err != nil {
			t.Errorf("01: price %d, %v, want %d", minor, err, want)
		}
	}
	if pack, err := Integer(cell("01", 0, 2)); pack != 2 || err != nil {
		t.Errorf("01: pack %d, %v", pack, err)
	}
	if got := tables["02"].Header[0]; got != "part_no" || !tables["04"].Form.SepLine {
		t.Errorf("02: first header %q; 04: %+v", got, tables["04"].Form)
	}
	for file, want := range map[string]string{"06": "110", "07": "11110"} {
		for row, damaged := range want {
			column := map[string]int{"06": 1}[file]
			if got := Damage(cell(file, row, column)); got.IsZero() == (damaged == '1') {
				t.Errorf("%s row %d: %v", file, row, got)
			}
		}
	}
	if r := all["10"]; len(r) != 2 || why(r[0]) != "table.ragged" || why(r[1]) != "table.ragged" || r[0].Line != 2 || r[1].Line != 3 {
		t.Errorf("10: %+v", r)
	}
	if c := cell("11", 1, 1); c.Kind != Repaired {
		t.Errorf("11: the repair is not told: %+v", c)
	}
	if tables["13"].Blank() != 2 || !all["13"][1].Total() {
		t.Errorf("13: %d blank, %+v", tables["13"].Blank(), all["13"])
	}
	if r := all["15"][1]; why(r) != "table.nul" || r.Line != 3 {
		t.Errorf("15: %+v", r)
	}
	if c := cell("17", 1, 0); c.Kind != Guarded {
		t.Errorf("17: the guard is not told: %+v", c)
	}
}

// why gives the id of a row's error.
func why(r Row) string {
	if r.Err == nil {
		return ""
	}
	return fault.Of(r.Err).Message.ID
}

// What the faulty files hold comes back from our own export as it was read,
// formulas too (08).
func TestTrialBadBackAgain(t *testing.T) {
	table, rows := openAll(t, shared+"bad/08_formula_cells.csv", Options{})
	want := append([][]string{table.Header}, texts(rows)...)
	for kind, make := range ownWriters {
		back, err := backAgain(make, want)
		if diff := cmp.Diff(want, back); diff != "" || err != nil {
			t.Errorf("%s: %v %s", kind, err, diff)
		}
	}
}
