// Package table reads and writes tables of text: CSV as RFC 4180 describes it
// and as shops really get it, and XLSX (ECMA-376). The first row that fills
// its columns names them; every cell is text.
//
// Reading is a stream: Open or Read find out what the file is and read its
// header, Next gives one row after the other. What only spoils one row (too
// few cells, a NUL byte) stands in Row.Err and the rows after it go on; what
// spoils the file (not a table, broken off) is an error of the call. Helpers
// judge one cell: Damage, Money, Integer; Match finds the columns.
//
// Non-goals: what a column means, styles, more than one worksheet at a time,
// the old binary XLS.
package table

import (
	"io"
	"iter"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"forkstock/internal/fault"
)

// Options say what is known of a file beforehand. The zero Options let
// everything be found out.
type Options struct {
	Encoding  string // one of Encodings; "": by mark, else UTF-8, else Windows-1252
	Delimiter rune   // , ; tab or |; 0: found out
	Decimal   rune   // . or , in numbers; 0: found out by what the columns hold
	Sheet     string // name of the worksheet; "": the first with a header
}

// Form is what was found out about a file.
type Form struct {
	Format    string   // "csv" or "xlsx"
	Encoding  string   // one of Encodings; "" for xlsx
	Mark      bool     // the file begins with a byte order mark
	Delimiter rune     // 0 for xlsx
	Decimal   rune     // the mark of decimals, 0 where the file does not tell or mixes both
	SepLine   bool     // the first line was "sep=;" or the like, and passed over
	Sheet     string   // the worksheet that is read
	Others    []string // the worksheets that are not
	Header    int      // line (or row) of the header, from 1
	Above     []int    // lines above the header that hold text: a title, a date
}

// Kind tells what a file says of a cell beside its text.
type Kind uint8

// The kinds of cell.
const (
	Plain    Kind = iota // text
	Number               // a number of a spreadsheet; Text is what the sheet shows, all digits of a long one
	Date                 // a date of a spreadsheet
	Formula              // a formula of a spreadsheet without a value; Text is the formula
	Guarded              // a guard against spreadsheets was taken off: ="0391" or '0391
	Repaired             // begins with a quote that is never closed, or holds a bare one: kept as text
	RunOn                // runs over lines that look like rows: a quote may be missing
)

// A Cell is one cell of a row.
type Cell struct {
	Text    string // not trimmed; line ends inside are \n where the file's own are CR LF
	Kind    Kind
	Decimal rune // the mark of decimals in this column, 0 where it is not known
}

// A Row is one row below the header, with as many cells as the header has.
type Row struct {
	Line  int // of the file, from 1: that of its first cell; in a spreadsheet the row
	Cells []Cell
	// Err says why the row cannot be used; Cells then holds what there is, and
	// may be longer or shorter than the header.
	Err *fault.Error
}

// A Table is a file that is being read.
type Table struct {
	Form   Form
	Header []string // names of the columns as they stand, trimmed

	source   source
	decimals []rune // by column
	blank    int
}

// source gives the rows of a file, the blank ones too.
type source interface {
	// next gives a row; its Err is set where the row as such is broken.
	next() (Row, error) // io.EOF after the last
	io.Closer
}

// Open opens a file for reading; Close it. Errors: NotFound, Denied, Invalid
// (not a table, no header, an unknown option: one line, with what to do).
func Open(path string, o Options) (*Table, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, unread(path, err)
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, refuse(filepath.Base(path), "table.is.folder")
	}
	t, err := Read(filepath.Base(path), f, o)
	if err != nil {
		f.Close()
		return nil, err
	}
	t.source = &closing{t.source, f}
	return t, nil
}

// closing closes a file after its source.
type closing struct {
	source
	file io.Closer
}

func (c *closing) Close() error {
	err := c.source.Close()
	if e := c.file.Close(); err == nil {
		err = e
	}
	return err
}

// Read reads a table from r; name is what errors call it. What cannot seek is
// kept in a temporary file until Close. Errors as those of Open.
func Read(name string, r io.Reader, o Options) (*Table, error) {
	file, err := seekable(r)
	if err != nil {
		return nil, unread(name, err)
	}
	t, err := read(name, file, o)
	if err != nil {
		file.Close()
		return nil, err
	}
	t.source = &closing{t.source, file}
	return t, nil
}

func read(name string, file seekCloser, o Options) (*Table, error) {
	if o.Decimal != 0 && o.Decimal != '.' && o.Decimal != ',' {
		return nil, fault.New(fault.Invalid, "table.decimal", string(o.Decimal)).WithHint("table.decimal.hint")
	}
	head := make([]byte, 4096)
	n, err := io.ReadFull(file, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, unread(name, err)
	}
	if is, isXLSX := know(head[:n]); isXLSX {
		return readXLSX(name, file, o)
	} else if is != "" {
		if is == "table.is.old" && encrypted(file) {
			is = "table.is.encrypted"
		}
		return nil, refuse(name, is)
	}
	return readCSV(name, file, o)
}

// Next gives the next row that is not blank, io.EOF after the last. Any other
// error is of the file and final: Damaged or Invalid.
func (t *Table) Next() (Row, error) {
	for {
		row, err := t.source.next()
		if err != nil {
			return Row{}, err
		}
		if row.Err == nil && blank(row.Cells) {
			t.blank++
			continue
		}
		t.fit(&row)
		return row, nil
	}
}

// All gives the rows one after the other; after an error it ends.
func (t *Table) All() iter.Seq2[Row, error] {
	return func(yield func(Row, error) bool) {
		for {
			row, err := t.Next()
			if err == io.EOF || !yield(row, err) || err != nil {
				return
			}
		}
	}
}

// Blank counts the blank rows passed over so far.
func (t *Table) Blank() int { return t.blank }

// Column names a column by its place, from 0: "3" in CSV, "C" in a spreadsheet.
func (t *Table) Column(i int) string {
	if t.Form.Format == "xlsx" {
		return letters(i)
	}
	return strconv.Itoa(i + 1)
}

// Close ends the reading.
func (t *Table) Close() error { return t.source.Close() }

// fit gives a row as many cells as the header has and tells its cells the mark
// of decimals. Cells that are missing in CSV, or hold text beyond the header,
// are the row's error.
func (t *Table) fit(row *Row) {
	width := len(t.Header)
	for len(row.Cells) > width && strings.TrimSpace(row.Cells[len(row.Cells)-1].Text) == "" {
		row.Cells = row.Cells[:len(row.Cells)-1]
	}
	for t.Form.Format == "xlsx" && len(row.Cells) < width {
		row.Cells = append(row.Cells, Cell{})
	}
	if n := len(row.Cells); n != width && row.Err == nil {
		row.Err = fault.New(fault.Invalid, "table.ragged", n, width).WithHint("table.ragged.hint")
	}
	for i := range row.Cells {
		c := &row.Cells[i]
		if c.Decimal == 0 && i < len(t.decimals) {
			c.Decimal = t.decimals[i]
		}
		if c.Kind == Plain && width > 2 && runOn(c.Text, t.Form.Delimiter, width) {
			c.Kind = RunOn
		}
	}
}

// runOn reports whether text has a second or later line with as many
// delimiters as a row has.
func runOn(text string, delimiter rune, width int) bool {
	_, rest, more := strings.Cut(text, "\n")
	for more && delimiter != 0 {
		var line string
		line, rest, more = strings.Cut(rest, "\n")
		if strings.Count(line, string(delimiter)) >= width-1 {
			return true
		}
	}
	return false
}

func blank(cells []Cell) bool {
	for _, c := range cells {
		if strings.TrimSpace(c.Text) != "" {
			return false
		}
	}
	return true
}

// letters names a column of a spreadsheet: A for 0, AA for 26.
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + string(rune('A'+i%26))
}
