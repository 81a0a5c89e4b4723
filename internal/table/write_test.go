package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"forkstock/internal/fault"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"
)

// RFC 4180, rules 5 to 7: cells with commas, quotes and line breaks are
// quoted, quotes doubled.
func TestWriteCSV(t *testing.T) {
	rows := [][]string{{"number", "description"}, {"1", `seal, "39"`}, {"2", "two\nlines"}, {"", "Größe 39×52"}}
	var b bytes.Buffer
	if err := WriteCSV(&b, rows); err != nil {
		t.Fatal(err)
	}
	want := "number,description\n1,\"seal, \"\"39\"\"\"\n2,\"two\nlines\"\n,Größe 39×52\n"
	if b.String() != want {
		t.Errorf("WriteCSV = %q, want %q", b.String(), want)
	}
	back, err := csv.NewReader(&b).ReadAll()
	if diff := cmp.Diff(rows, back); diff != "" || err != nil {
		t.Errorf("read back: %v %s", err, diff)
	}
}

// OWASP ASVS 5.0, v5.0.0-1.2.10: = + - @, tab and NUL at the beginning of a
// cell are made harmless with a single quote.
func TestNeutralised(t *testing.T) {
	for _, begins := range []string{"=", "+", "-", "@", "\t", "\x00"} {
		var b bytes.Buffer
		if err := WriteCSV(&b, [][]string{{begins + "cmd"}}); err != nil {
			t.Fatal(err)
		}
		back, err := csv.NewReader(&b).ReadAll()
		if err != nil || back[0][0] != "'"+begins+"cmd" {
			t.Errorf("%q: %q %v", begins, back, err)
		}
	}
}

func TestWriteFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "parts.CSV")
	for range 2 { // a second time it replaces the first
		if err := WriteFile(path, [][]string{{"a"}}); err != nil {
			t.Fatal(err)
		}
	}
	if b, err := os.ReadFile(path); string(b) != "a\n" || err != nil {
		t.Errorf("file = %q, %v", b, err)
	}
	if err := WriteFile(filepath.Join(dir, "x.pdf"), nil); fault.KindOf(err) != fault.Invalid {
		t.Errorf("an ending that is not known: %v", err)
	}
	if err := WriteFile(filepath.Join(dir, "no", "x.csv"), nil); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a folder that is not there: %v", err)
	}
	stop := errors.New("stop")
	for _, ending := range []string{".csv", ".xlsx"} {
		err := StreamFile(filepath.Join(dir, "half"+ending), func(w Writer) error {
			if err := w.Write([]string{"a"}); err != nil {
				t.Error(err)
			}
			return fault.New(fault.Conflict, "x").WithCause(stop)
		})
		if _, there := os.Stat(filepath.Join(dir, "half"+ending)); !errors.Is(err, stop) || fault.KindOf(err) != fault.Conflict || there == nil {
			t.Errorf("%s given up halfway: %v, %v", ending, err, there)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(dir, ".export-*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}

// Every cell of an XLSX file is text, in a format that stays text.
func TestWriteXLSX(t *testing.T) {
	path := filepath.Join(t.TempDir(), "parts.xlsx")
	rows := [][]string{{"number", "minimum"}, {"0391", "=1+1"}, {"3-10", "9520123456788"}}
	if err := WriteFile(path, rows); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got, err := f.GetRows("Sheet1")
	if diff := cmp.Diff(rows, got); diff != "" || err != nil {
		t.Error(diff, err)
	}
	for _, place := range []string{"A2", "B2", "B3"} {
		kind, _ := f.GetCellType("Sheet1", place)
		id, _ := f.GetCellStyle("Sheet1", place)
		style, err := f.GetStyle(id)
		if err != nil || kind != excelize.CellTypeInlineString || style.NumFmt != asText {
			t.Errorf("%s: type %v, %+v, %v", place, kind, style, err)
		}
	}
	for _, row := range [][]string{{strings.Repeat("x", 32768)}, make([]string, 16385)} {
		if err := WriteFile(path, [][]string{row}); fault.KindOf(err) != fault.Invalid {
			t.Errorf("more than a worksheet holds: %v", err)
		}
	}
	if again, err := os.ReadFile(path); err != nil || !bytes.HasPrefix(again, []byte("PK")) {
		t.Errorf("the file is not as it was: %v", err)
	}
}

// backAgain writes rows and reads them.
func backAgain(make func(*bytes.Buffer) Writer, rows [][]string) ([][]string, error) {
	var b bytes.Buffer
	if err := writeAll(make(&b), rows); err != nil {
		return nil, err
	}
	table, err := Read("own", bytes.NewReader(b.Bytes()), Options{})
	if err != nil {
		return nil, err
	}
	defer table.Close()
	back := [][]string{table.Header}
	for row, err := range table.All() {
		if err != nil {
			return back, err
		}
		if row.Err != nil {
			return back, row.Err
		}
		var texts []string
		for _, c := range row.Cells {
			texts = append(texts, c.Text)
		}
		back = append(back, texts)
	}
	return back, nil
}

var ownWriters = map[string]func(*bytes.Buffer) Writer{
	"csv":  func(b *bytes.Buffer) Writer { return NewCSV(b) },
	"xlsx": func(b *bytes.Buffer) Writer { return NewXLSX(b) },
}

// What was exported reads back as it was, whatever a text begins with.
func TestOwnExportReadsBack(t *testing.T) {
	rows := [][]string{{"number", "text", "more"}}
	for i, text := range []string{
		"x", "=1+1", "'0391", "'=1", "''x", "'s", "'", "=\"0391\"", "=\"\"", "-12", "+49", "@x", "\ttab", "a\tb", "a\nb", "a\r\nb", "\rcr",
		" lead", "trail ", "_x0041_", "_x000D_", "_x005F_x0041_", "a&b<c>\"", "ä€😀", "00391", "1e5", "true", "#N/A", "\u00a0x", "a\u2028b",
		"3/8\"", "\"", "\"\"", "a,b;c", "sep=;", "9520123456788", "2026-03-10", "1,5\n2,5,3,4", "Total",
	} {
		rows = append(rows, []string{fmt.Sprint("N", i), text, text})
	}
	for kind, make := range ownWriters {
		back, err := backAgain(make, rows)
		if diff := cmp.Diff(rows, back); diff != "" || err != nil {
			t.Errorf("%s: %v %s", kind, err, diff)
		}
	}
}

// The same for texts that nobody thought of. NUL no file keeps, and XML no
// other control character than tab and line ends.
func TestAnyExportReadsBack(t *testing.T) {
	for kind, make := range ownWriters {
		rapid.Check(t, func(t *rapid.T) {
			// The header's names are plain, the first cell keeps the row from being blank.
			rows := [][]string{{"number", "a", "b"}}
			text := rapid.StringOf(rapid.OneOf(
				rapid.SampledFrom([]rune("='\"+-@,;|\t\n\r 0x_")), rapid.Rune().Filter(func(c rune) bool {
					return c != 0 && (kind == "csv" || c >= ' ' && c != 0xfffe && c != 0xffff)
				}),
			))
			for range rapid.IntRange(0, 5).Draw(t, "rows") {
				rows = append(rows, []string{"N", text.Draw(t, "a"), text.Draw(t, "b")})
			}
			back, err := backAgain(make, rows)
			if diff := cmp.Diff(rows, back); diff != "" || err != nil {
				t.Fatalf("%s: %v %s", kind, err, diff)
			}
		})
	}
}
