package table

import (
	"io"
	"strings"
	"testing"

	"forkstock/internal/fault"

	"github.com/google/go-cmp/cmp"
)

// mustRead reads a text as a table.
func mustRead(t *testing.T, text string, o Options) (*Table, []Row) {
	t.Helper()
	table, err := Read("list.csv", strings.NewReader(text), o)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	t.Cleanup(func() { table.Close() })
	var rows []Row
	for row, err := range table.All() {
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		rows = append(rows, row)
	}
	if _, err := table.Next(); err != io.EOF {
		t.Errorf("%q: after the last row: %v", text, err)
	}
	return table, rows
}

// texts gives the texts of rows; of one that cannot be used the id of why.
func texts(rows []Row) [][]string {
	var all [][]string
	for _, r := range rows {
		var row []string
		for _, c := range r.Cells {
			row = append(row, c.Text)
		}
		if r.Err != nil {
			row = []string{r.Err.Message.ID}
		}
		all = append(all, row)
	}
	return all
}

// RFC 4180, section 2, rules 1 to 7, and what shops have beyond them.
func TestRecords(t *testing.T) {
	for name, tt := range map[string]struct {
		text string
		want [][]string
	}{
		"rule 1, CR LF":            {"a,b\r\nc,d\r\n", [][]string{{"c", "d"}}},
		"rule 2, no end":           {"a,b\nc,d", [][]string{{"c", "d"}}},
		"rule 4, blanks are text":  {"a,b\n c , d\n", [][]string{{" c ", " d"}}},
		"rule 5, quoted or not":    {"a,b\n\"c\",d\n", [][]string{{"c", "d"}}},
		"rule 6, comma, line end":  {"a,b\n\"c,\nd\",e\n", [][]string{{"c,\nd", "e"}}},
		"CR LF inside as the file": {"a,b\r\n\"c\r\nd\",e\r\n", [][]string{{"c\nd", "e"}}},
		"CR LF inside of LF lines": {"a,b\n\"c\r\nd\",e\n", [][]string{{"c\r\nd", "e"}}},
		"rule 7, doubled quotes":   {"a,b\n\"c \"\"d\"\"\",\"\"\n", [][]string{{`c "d"`, ""}}},
		"CR alone ends lines":      {"a,b\rc,d\r\"e\rf\",g\r", [][]string{{"c", "d"}, {"e\nf", "g"}}},
		"inch mark":                {"a,b\n1,Socket 1/2\" drive\n2,x\n", [][]string{{"1", `Socket 1/2" drive`}, {"2", "x"}}},
		"inch mark in quotes":      {"a,b\n1,\"Hose 3/8\" x 1 m\"\n2,x\n", [][]string{{"1", `Hose 3/8" x 1 m`}, {"2", "x"}}},
		"quote never closed":       {"a,b\n1,\"Hose 3/8\n2,x\n", [][]string{{"1", `"Hose 3/8`}, {"2", "x"}}},
		"closed by the next line":  {"a,b\n1,\"Hose\n2,\"x\"\n3,y\n", [][]string{{"1", `"Hose`}, {"2", "x"}, {"3", "y"}}},
		"text behind the quotes":   {"a,b\n1,\"Hose\" 3/8\n2,x\n", [][]string{{"1", `"Hose" 3/8`}, {"2", "x"}}},
		"quote in the next line":   {"a,b\n1,\"Hose\" 3/8\n2,x\"\n3,y\n", [][]string{{"1", `"Hose" 3/8`}, {"2", `x"`}, {"3", "y"}}},
		"bare in the next line":    {"a,b\n1,\"Hose\n2,1/2\" x\"\n3,y\n", [][]string{{"1", `"Hose`}, {"2", `1/2" x"`}, {"3", "y"}}},
		"next cell quoted":         {"a,b,c\n1,\"Hose 3/8,\"9,5\"\n2,x,y\n", [][]string{{"1", `"Hose 3/8`, "9,5"}, {"2", "x", "y"}}},
		"bare and next cell":       {"a,b,c\n1,\"Hose 3/8\" m,\"9,5\"\n", [][]string{{"1", `"Hose 3/8" m`, "9,5"}}},
		"blank rows":               {"a,b\n\n,\n1,2\n , \n", [][]string{{"1", "2"}}},
		"too few and too many":     {"a,b\n1\n1,2\n1,2,3\n1,2,,\n", [][]string{{"table.ragged"}, {"1", "2"}, {"table.ragged"}, {"1", "2"}}},
		"NUL":                      {"a,b\n1,2\n0\x003,2\n4,2", [][]string{{"1", "2"}, {"table.nul"}, {"4", "2"}}},
		"one column":               {"code\n123\n456", [][]string{{"123"}, {"456"}}},
		"formulas are text":        {"a,b\n\"=HYPERLINK(\"\"x\"\",\"\"y\"\")\",@SUM(A1)\n", [][]string{{`=HYPERLINK("x","y")`, "@SUM(A1)"}}},
	} {
		_, rows := mustRead(t, tt.text, Options{})
		if diff := cmp.Diff(tt.want, texts(rows)); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
	}
}

// A record's line is that of its beginning, whatever stands before it.
func TestLines(t *testing.T) {
	_, rows := mustRead(t, "\r\na,b\r\n1,\"x\r\ny\"\r\n\r\n2,\"z\r\n3,w\r\n", Options{})
	var lines []int
	for _, r := range rows {
		lines = append(lines, r.Line)
	}
	if diff := cmp.Diff([]int{3, 6, 7}, lines); diff != "" {
		t.Errorf("lines: %s", diff)
	}
}

func TestKinds(t *testing.T) {
	_, rows := mustRead(t, "a,b,c\n\"=\"\"0391\"\"\",'0391,\"1/2\" x\"\n'=1,''x,'s\n\"1\n2,3,4\n5\",b,c\n", Options{})
	want := [][]Cell{
		{{"0391", Guarded, 0}, {"0391", Guarded, 0}, {`1/2" x`, Repaired, 0}},
		{{"=1", Guarded, 0}, {"'x", Guarded, 0}, {"'s", Plain, 0}},
		{{"1\n2,3,4\n5", RunOn, 0}, {"b", Plain, 0}, {"c", Plain, 0}},
	}
	for i, row := range rows {
		if diff := cmp.Diff(want[i], row.Cells); diff != "" {
			t.Errorf("row %d: %s", i, diff)
		}
	}
}

func TestForm(t *testing.T) {
	for name, tt := range map[string]struct {
		text string
		o    Options
		want Form
	}{
		"comma": {"a,b\n1,2.5\n", Options{}, Form{Encoding: "utf-8", Delimiter: ',', Decimal: '.', Header: 1}},
		"semicolon, decimal comma, Windows-1252": {
			"Nr;Text;Preis\r\n0391;Gr\xf6\xdfe \x80;\"12,50\"\r\n",
			Options{},
			Form{Encoding: "windows-1252", Delimiter: ';', Decimal: ',', Header: 1},
		},
		"byte order mark": {"\xef\xbb\xbf\"a\"|b\n1|2\n", Options{}, Form{Encoding: "utf-8", Mark: true, Delimiter: '|', Header: 1}},
		"UTF-16":          {"\xff\xfea\x00\t\x00b\x00\n\x001\x00\t\x002\x00", Options{}, Form{Encoding: "utf-16le", Mark: true, Delimiter: '\t', Header: 1}},
		"UTF-16, no mark": {"\x00a\x00\t\x00b\x00\n\x001\x00\t\x002", Options{}, Form{Encoding: "utf-16be", Delimiter: '\t', Header: 1}},
		"sep line":        {"sep=;\r\na,x;b\r\n1,x;2\r\n", Options{}, Form{Encoding: "utf-8", Delimiter: ';', SepLine: true, Header: 2}},
		"title":           {"List of 2026\n\na;b;c\n1;2;3\n1;2;3\n", Options{}, Form{Encoding: "utf-8", Delimiter: ';', Header: 3, Above: []int{1}}},
		"blank columns":   {"a;b;;;;;\n1;2;;;;;\n;2;;;;;\n", Options{}, Form{Encoding: "utf-8", Delimiter: ';', Header: 1}},
		"sparse":          {"Title;x;;;;;;\na;b;c;d;e;f;g;h\n1;;;;;;;8\n2;;;;;;7;\n", Options{}, Form{Encoding: "utf-8", Delimiter: ';', Header: 2, Above: []int{1}}},
		"both marks":      {"a;b\n1.50;2,50\n", Options{}, Form{Encoding: "utf-8", Delimiter: ';', Header: 1}},
		"said":            {"a;b\n\x81;2\n", Options{Encoding: "cp850", Delimiter: ';', Decimal: ','}, Form{Encoding: "cp850", Delimiter: ';', Decimal: ',', Header: 1}},
	} {
		table, rows := mustRead(t, tt.text, tt.o)
		tt.want.Format = "csv"
		if diff := cmp.Diff(tt.want, table.Form); diff != "" {
			t.Errorf("%s: %s", name, diff)
		}
		if len(rows) == 0 || rows[0].Err != nil {
			t.Errorf("%s: %v", name, rows)
		}
	}
}

// What is no table is refused whole, with what it is and what to do.
func TestRefused(t *testing.T) {
	for text, want := range map[string]string{
		"":                                 "table.not table.is.empty",
		"\xef\xbb\xbf \r\n":                "table.not table.is.empty",
		"%PDF-1.7\n":                       "table.not table.is.pdf",
		"\x89PNG\r\n\x1a\n":                "table.not table.is.picture",
		"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1": "table.not table.is.old",
		"<html><table>":                    "table.not table.is.page",
		"\x7fELF\x02\x01\x00\x00\x00\x00\x00\x00": "table.not table.is.binary",
		"1,2\n3,4\n":           "table.no_header",
		"Nr;Text\n1;Gr\x81n\n": "table.which_encoding",
	} {
		_, err := Read("list.csv", strings.NewReader(text), Options{})
		e := fault.Of(err)
		got := e.Message.ID
		if got == "table.not" {
			got += " " + e.Message.Args[1].(fault.Message).ID
		}
		if got != want || e.Kind != fault.Invalid || e.Hint.IsZero() {
			t.Errorf("%q: %v, want %s", text, e, want)
		}
	}
}
