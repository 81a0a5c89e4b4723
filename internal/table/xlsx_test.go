package table

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"
	"time"

	"forkstock/internal/fault"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
)

// A file that a spreadsheet program saved (testdata/README.md): numbers as they
// show, long ones whole, dates as dates, texts as texts.
func TestSavedFormats(t *testing.T) {
	table, rows := openAll(t, "testdata/formats.xlsx", Options{})
	form := Form{Format: "xlsx", Sheet: "Preise", Others: []string{"Notes"}, Header: 3, Above: []int{1}}
	if diff := cmp.Diff(form, table.Form); diff != "" {
		t.Error(diff)
	}
	want := []Row{
		{Line: 4, Cells: []Cell{
			{"0391", Number, '.'},
			{"9520123456788", Number, '.'},
			{"1,250.50 €", Number, '.'},
			{"38.5 mm", Number, '.'},
			{"2026-03-10", Date, 0},
			{"Ring 3/8\"\nzweite Zeile", Plain, 0},
		}},
		{Line: 5, Cells: []Cell{
			{"0412", Plain, 0}, {"9520123456795", Number, '.'}, {"0.4", Number, '.'}, {"1.125", Number, '.'}, {}, {"Ring 0412", Plain, 0},
		}},
		{Line: 7, Cells: []Cell{
			{"2026-03-10", Date, 0}, {"9520123456788", Guarded, 0}, {"1.250", Plain, 0}, {}, {}, {"#NV", Plain, 0},
		}},
		{Line: 8, Cells: []Cell{{"Summe", Plain, 0}, {}, {"1250.9", Number, '.'}, {}, {}, {}}},
	}
	if diff := cmp.Diff(want, rows); diff != "" {
		t.Error(diff)
	}
	if minor, currency, err := Money(rows[0].Cells[2]); minor != 125050 || currency != "EUR" || err != nil {
		t.Errorf("price: %d %s %v", minor, currency, err)
	}
	if !rows[3].Total() || rows[2].Total() {
		t.Error("the total is not told from the rest")
	}
	columns := Match(table.Header, []Field{{"price", []string{"Preis"}}, {"inner", []string{"Inner Ø"}}})
	if columns.At["price"] != 2 || columns.Units["price"] != "EUR" || columns.Units["inner"] != "mm" {
		t.Errorf("columns: %+v", columns)
	}
	if got := table.Column(2) + table.Column(25) + table.Column(26) + table.Column(701) + table.Column(702); got != "CZAAZZAAA" {
		t.Errorf("letters of columns: %s", got)
	}
}

// What a spreadsheet program made of a CSV file on opening it.
func TestSavedGuesses(t *testing.T) {
	_, rows := openAll(t, "testdata/guessed.xlsx", Options{})
	want := [][]string{
		{"391", "9520123456788", "39x52x11", "12.5"},
		{"300000", "952012345678800000", "10-1234", "1250"},
		{"1/2/2026", "4006380000000", "2026-03-10", "0.4"},
		{"10-Mar", "TRUE", "3-10", "9"},
	}
	if diff := cmp.Diff(want, texts(rows)); diff != "" {
		t.Error(diff)
	}
	for _, tt := range []struct {
		row, cell int
		want      string
	}{{1, 1, "table.harm.digits"}, {2, 0, "table.harm.date"}, {2, 2, "table.harm.date"}, {3, 0, "table.harm.date"}, {0, 1, ""}, {1, 2, ""}} {
		if got := Damage(rows[tt.row].Cells[tt.cell]); got.ID != tt.want {
			t.Errorf("row %d cell %d: %q, want %q", tt.row, tt.cell, got.ID, tt.want)
		}
	}
}

// book makes an XLSX file.
func book(t *testing.T, fill func(f *excelize.File), o ...excelize.Options) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	var b bytes.Buffer
	if err := f.Write(&b, o...); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// set puts a row into a sheet.
func set(f *excelize.File, sheet, place string, cells ...any) { f.SetSheetRow(sheet, place, &cells) }

func TestWhichSheet(t *testing.T) {
	file := book(t, func(f *excelize.File) {
		for _, s := range []string{"Deckblatt", "Teile", "Alt", "Versteckt"} {
			f.NewSheet(s)
		}
		set(f, "Deckblatt", "B2", 2026)
		set(f, "Versteckt", "A1", "number", "price")
		set(f, "Teile", "B3", "number", "price")
		set(f, "Teile", "B5", "0391", 1.5)
		set(f, "Teile", "B5000", "0392", "x", "", "", "more")
		set(f, "Alt", "A1", "number", "old")
		f.SetSheetVisible("Versteckt", false)
		f.MoveSheet("Versteckt", "Sheet1")
	})
	table, err := Read("parts.xlsx", bytes.NewReader(file), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	form := Form{Format: "xlsx", Sheet: "Teile", Others: []string{"Sheet1", "Deckblatt", "Alt", "Versteckt"}, Header: 3}
	if diff := cmp.Diff(form, table.Form); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"", "number", "price"}, table.Header); diff != "" {
		t.Error(diff)
	}
	for _, want := range []Row{{Line: 5, Cells: []Cell{{}, {Text: "0391"}, {"1.5", Number, '.'}}}, {Line: 5000}} {
		row, err := table.Next()
		if err != nil || row.Line != want.Line || want.Cells != nil && !cmp.Equal(want.Cells, row.Cells) || want.Cells == nil && row.Err == nil {
			t.Errorf("row %+v, %v; want %+v", row, err, want)
		}
	}
	if _, err := table.Next(); err != io.EOF {
		t.Errorf("after the last row: %v", err)
	}
	old, err := Read("parts.xlsx", bytes.NewReader(file), Options{Sheet: "Alt"})
	if err != nil || old.Header[1] != "old" {
		t.Errorf("a sheet by name: %v", err)
	}
	if _, err := Read("parts.xlsx", bytes.NewReader(file), Options{Sheet: "Neu"}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a sheet that is not there: %v", err)
	}
	if _, err := Read("parts.xlsx", bytes.NewReader(file), Options{Sheet: "Deckblatt"}); fault.Of(err).Message.ID != "table.no_header" {
		t.Errorf("a sheet without a header: %v", err)
	}
}

// Dates count from 1900, or in some files from 1904 (ECMA-376 part 1, 18.17.4.1:
// 2003-02-26 is day 37678 and 36216).
func TestDates(t *testing.T) {
	for _, from1904 := range []bool{false, true} {
		day := map[bool]float64{false: 37678, true: 36216}[from1904]
		file := book(t, func(f *excelize.File) {
			f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &from1904})
			set(f, "Sheet1", "A1", "a", "b", "c", "d", "e", "f")
			set(f, "Sheet1", "A2", day, day+0.5, 0.25, day, day, day)
			for place, s := range map[string]*excelize.Style{
				"A2": {NumFmt: 14},
				"B2": {NumFmt: 22},
				"C2": {NumFmt: 20},
				"D2": {CustomNumFmt: new(`[$-407]d". Tag" mmm\ yy`)},
				"E2": {CustomNumFmt: new(`0" days"`)},
				"F2": {CustomNumFmt: new(`[Red]0.0\d`)},
			} {
				style, _ := f.NewStyle(s)
				f.SetCellStyle("Sheet1", place, place, style)
			}
		})
		table, err := Read("dates.xlsx", bytes.NewReader(file), Options{})
		if err != nil {
			t.Fatal(err)
		}
		row, err := table.Next()
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []string{"2003-02-26", "2003-02-26 12:00:00", "06:00:00", "2003-02-26"} {
			if from1904 && i == 2 {
				want = "1904-01-01 06:00:00" // day 0 is a day there
			}
			if c := row.Cells[i]; c.Kind != Date || c.Text != want {
				t.Errorf("from 1904 %v: cell %d is %+v, want %s", from1904, i, c, want)
			}
		}
		for i := 4; i < 6; i++ {
			if c := row.Cells[i]; c.Kind != Number {
				t.Errorf("cell %d is no date: %+v", i, c)
			}
		}
		table.Close()
	}
	if !isDateFormat("[h]:mm") || isDateFormat("General") || isDateFormat(`"year"0`) || isDateFormat("[Red]0") || isDateFormat(`0"`) {
		t.Error("formats are not told apart")
	}
}

// A number is never shortened by a power of ten, whatever the file holds.
func TestAllDigits(t *testing.T) {
	for _, tt := range []struct{ shown, value, want string }{
		{"9.52E+12", "9520123456788", "9520123456788"},
		{"9.520123456788E+12", "9.520123456788E+12", "9520123456788"},
		{"9520123456788", "9.520123456788E12", "9520123456788"},
		{"0952", "952", "0952"},
		{"1,250.00", "1.25E+3", "1,250.00"},
		{"1.5E-05", "1.5E-5", "0.000015"},
		{"-1.5E+03", "-1500", "-1500"},
		{"1.25E+01", "12.5", "12.5"},
		{"1.20E+02", "1.2E2", "120"},
		{"1E+999", "1E+999", "1E+999"},
		{"1E+12", "x", "1E+12"},
	} {
		if got := allDigits(tt.shown, tt.value); got != tt.want {
			t.Errorf("allDigits(%q, %q) = %q, want %q", tt.shown, tt.value, got, tt.want)
		}
	}
}

func TestFormulas(t *testing.T) {
	file := book(t, func(f *excelize.File) {
		set(f, "Sheet1", "A1", "number", "price", "yes")
		set(f, "Sheet1", "A2", "0391", nil, true)
		f.SetCellFormula("Sheet1", "B2", "1+1")
	})
	table, err := Read("formulas.xlsx", bytes.NewReader(file), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	row, err := table.Next()
	want := []Cell{{Text: "0391"}, {Text: "=1+1", Kind: Formula}, {Text: "TRUE"}}
	if diff := cmp.Diff(want, row.Cells); diff != "" || err != nil {
		t.Error(diff, err)
	}
}

// repacked gives an archive with the parts that change gives in the place of
// those that were there.
func repacked(t *testing.T, file []byte, change func(name string, text []byte) []byte) []byte {
	t.Helper()
	from, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	to := zip.NewWriter(&b)
	for _, f := range from.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if text = change(f.Name, text); text == nil {
			continue
		}
		w, err := to.Create(f.Name)
		if err == nil {
			_, err = w.Write(text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// archive makes a ZIP of parts, each a name and a text.
func archive(t *testing.T, parts ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(parts); i += 2 {
		w, err := z.Create(parts[i])
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, parts[i+1])
	}
	z.Close()
	return b.Bytes()
}

// bomb makes an archive that says of itself that it unpacks to a terabyte.
func bomb(t *testing.T) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	_, err := z.CreateRaw(&zip.FileHeader{Name: "xl/workbook.xml", Method: zip.Deflate, UncompressedSize64: 1 << 40, CompressedSize64: 4, Modified: time.Time{}})
	if err != nil {
		t.Fatal(err)
	}
	z.Close()
	return b.Bytes()
}

// Archives and workbooks that are no table are refused whole.
func TestRefusedWorkbooks(t *testing.T) {
	good := book(t, func(f *excelize.File) {
		set(f, "Sheet1", "A1", "number", "price")
		set(f, "Sheet1", "A2", "0391", 1.5)
	})
	relation := func(target string) string {
		return `<Relationships><Relationship Id="r" Type="x/officeDocument" Target="` + target + `"/></Relationships>`
	}
	for name, tt := range map[string]struct {
		file []byte
		want string
	}{
		"bomb":          {bomb(t), "table.bomb"},
		"archive":       {archive(t, "list.csv", "a,b"), "table.not table.is.packed"},
		"text document": {archive(t, "_rels/.rels", relation("word/document.xml"), "word/document.xml", "<w/>"), "table.not table.is.document"},
		"binary":        {archive(t, "_rels/.rels", relation("xl/workbook.bin"), "xl/workbook.bin", "x"), "table.not table.is.old"},
		"open document": {archive(t, "mimetype", "application/x", "content.xml", "<x/>"), "table.not table.is.open_document"},
		"password":      {book(t, func(*excelize.File) {}, excelize.Options{Password: "geheim"}), "table.not table.is.encrypted"},
		"cut off":       {good[:len(good)/2], "table.broken"},
		"no header":     {book(t, func(f *excelize.File) { set(f, "Sheet1", "A1", 1, 2) }), "table.no_header"},
		"no cells":      {book(t, func(*excelize.File) {}), "table.no_header"},
		"sheet missing": {repacked(t, good, func(name string, text []byte) []byte {
			if strings.HasPrefix(name, "xl/worksheets/") {
				return nil
			}
			return text
		}), "table.broken"},
		"sheet cut off": {repacked(t, good, func(name string, text []byte) []byte {
			if i := bytes.Index(text, []byte("</row>")); strings.HasPrefix(name, "xl/worksheets/") && i > 0 {
				return text[:i+len("</row>")]
			}
			return text
		}), "table.broken"},
	} {
		table, err := Read("list.xlsx", bytes.NewReader(tt.file), Options{})
		if err == nil {
			_, err = table.Next()
		}
		e := fault.Of(err)
		got := e.Message.ID
		if got == "table.not" {
			got += " " + e.Message.Args[1].(fault.Message).ID
		}
		if got != tt.want || e.Hint.IsZero() {
			t.Errorf("%s: %v, want %s", name, e, tt.want)
		}
	}
}

// A worksheet that breaks off behind its first rows is an error of Next, not a
// shorter table.
func TestBrokenOff(t *testing.T) {
	good := book(t, func(f *excelize.File) {
		set(f, "Sheet1", "A1", "number", "price")
		for i := 2; i < sampleRows+500; i++ {
			place, _ := excelize.CoordinatesToCellName(1, i)
			set(f, "Sheet1", place, "x", i)
		}
	})
	file := repacked(t, good, func(name string, text []byte) []byte {
		if strings.HasPrefix(name, "xl/worksheets/") {
			return text[:len(text)-len(text)/20]
		}
		return text
	})
	table, err := Read("list.xlsx", bytes.NewReader(file), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	rows := 0
	for _, err = range table.All() {
		rows++
	}
	if fault.KindOf(err) != fault.Damaged || rows < sampleRows {
		t.Errorf("%d rows, %v", rows, err)
	}
}
