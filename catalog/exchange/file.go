package exchange

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/table"
)

// Options say how to read a file.
type Options struct {
	Kind     *Kind  // nil: guessed from the header
	Prefer   *Kind  // guessed where several kinds are possible
	Currency string // of the shop; amounts in any other are refused
}

// A Flaw is what was wrong with a cell, or with a row.
type Flaw struct {
	Line   int
	Column string // its header; empty: the row as a whole
	Why    fault.Message
	Hint   fault.Message
	Row    bool // the row cannot be used; else only the cell
}

// A Row is one row of a file.
type Row struct {
	Line  int
	Cells []string // canonical, by the kind's columns
	Note  string   // columns that the kind has not
}

// divider stands between the cells of a packed row; no cell has it.
const divider = "\x1f"

// Pack gives cells and note as one text.
func (r *Row) Pack() string { return strings.Join(r.Cells, divider) + divider + r.Note }

// Unpack sets cells and note to what was packed of a row of a kind; false:
// it is none.
func (r *Row) Unpack(packed string, kind *Kind) bool {
	cells := strings.Split(packed, divider)
	last := len(cells) - 1
	r.Cells, r.Note = cells[:last], cells[last]
	return last == len(kind.Columns)
}

// Get gives the cell of a column, "" where the row does not tell it.
func (r *Row) Get(column int) string { return r.Cells[column] }

// A File is a file that is being read.
type File struct {
	Kind    *Kind
	Form    table.Form
	Columns []Found  // in the order of the kind
	Unknown []string // headers of the columns that go into the note
	Noted   []Flaw   // what was taken off or repaired while reading, the first of it

	table *table.Table
	opt   Options
	at    []int    // column of the kind -> column of the file, -1: none
	units []string // by column of the kind
	keep  []int    // columns of the file that go into the note
}

// Found tells which header holds a column.
type Found struct {
	Column string `json:"column"`
	Header string `json:"header"`
}

// mostNoted is how many notes a File keeps.
const mostNoted = 100

// Open opens a file. Errors: those of table.Open and Guess; Invalid where
// columns that the kind needs are not there, or there twice.
func Open(path string, opt Options) (*File, error) {
	t, err := table.Open(path, table.Options{})
	if err != nil {
		return nil, err
	}
	f := &File{table: t, Form: t.Form, Kind: opt.Kind, opt: opt}
	if err := f.begin(filepath.Base(path)); err != nil {
		return nil, errors.Join(err, t.Close())
	}
	return f, nil
}

// Close ends the reading.
func (f *File) Close() error { return f.table.Close() }

func (f *File) begin(name string) error {
	if f.Kind == nil {
		kind, err := Guess(name, f.table.Header)
		if fault.KindOf(err) == fault.Ambiguous && f.opt.Prefer != nil {
			kind, err = f.opt.Prefer, nil
		}
		if err != nil {
			return err
		}
		f.Kind = kind
	}
	if err := f.isLedger(name); err != nil {
		return err
	}
	found := table.Match(f.table.Header, f.Kind.fields())
	taken := map[int]bool{}
	for _, c := range f.Kind.Columns {
		if twice := found.Twice[c.Name]; twice != nil && c.Needed {
			return fault.New(fault.Invalid, "exchange.twice", f.table.Header[twice[0]], f.table.Header[twice[1]], c.Name).
				WithHint("exchange.twice.hint")
		}
		i, here := found.At[c.Name]
		if !here {
			i = -1
			if c.Needed {
				return f.lacks(c)
			}
		} else {
			taken[i] = true
			f.Columns = append(f.Columns, Found{c.Name, f.table.Header[i]})
		}
		f.at, f.units = append(f.at, i), append(f.units, found.Units[c.Name])
	}
	if !f.Kind.either(f.Has) {
		return f.lacks(f.Kind.Columns[f.Kind.At(f.Kind.Either[0])])
	}
	for i, name := range f.table.Header {
		if !taken[i] && name != "" {
			f.Unknown, f.keep = append(f.Unknown, name), append(f.keep, i)
		}
	}
	return nil
}

// isLedger refuses movements where a file should say what is there: their
// amounts are what came and went.
func (f *File) isLedger(name string) error {
	if f.Kind.Name != "stock" {
		return nil
	}
	for _, header := range f.table.Header {
		switch catalog.Normal(header) {
		case catalog.Normal("posting"), catalog.Normal("seq"), catalog.Normal("corrects"):
			return fault.New(fault.Invalid, "exchange.ledger", name, header).WithHint("exchange.ledger.hint", header)
		}
	}
	return nil
}

// lacks says that a column is not there.
func (f *File) lacks(c Column) error {
	return fault.New(fault.Invalid, "exchange.no_column", c.Name, fault.Say("exchange.kind."+f.Kind.Name), strings.Join(f.table.Header, ", ")).
		WithHint("exchange.no_column.hint", c.Words)
}

// Has reports whether the file has a column of the kind.
func (f *File) Has(name string) bool { return f.at[f.Kind.At(name)] >= 0 }

// Next gives the next row and what was wrong with it; ok is false where the
// row cannot be used. Errors: io.EOF after the last; Damaged or Invalid where
// the file breaks off.
func (f *File) Next() (row Row, flaws []Flaw, ok bool, err error) {
	raw, err := f.table.Next()
	if err != nil {
		return row, nil, false, err
	}
	row = Row{Line: raw.Line, Cells: make([]string, len(f.Kind.Columns))}
	switch {
	case raw.Err != nil:
		return row, []Flaw{{Line: raw.Line, Why: raw.Err.Message, Hint: raw.Err.Hint, Row: true}}, false, nil
	case raw.Total():
		return row, []Flaw{{Line: raw.Line, Why: fault.Say("exchange.total"), Row: true}}, false, nil
	}
	ok = true
	for i := range f.Kind.Columns {
		c := &f.Kind.Columns[i]
		if f.at[i] < 0 {
			continue
		}
		cell := raw.Cells[f.at[i]]
		header := f.table.Header[f.at[i]]
		if strings.TrimSpace(cell.Text) == "" {
			if c.Needed {
				flaws, ok = append(flaws, Flaw{raw.Line, header, fault.Say("exchange.empty", c.Name), fault.Message{}, true}), false
			}
			continue
		}
		f.note(raw.Line, header, cell)
		text, err := c.read(cell, f.units[i], f.opt.Currency)
		if err != nil {
			e := fault.Of(err)
			flaws = append(flaws, Flaw{raw.Line, header, e.Message, e.Hint, c.Needed})
			ok = ok && !c.Needed
			continue
		}
		row.Cells[i] = text
	}
	if flaw, bad := f.spread(&row); bad {
		flaws, ok = append(flaws, flaw), false
	}
	if ok && !f.Kind.either(func(name string) bool { return row.Cells[f.Kind.At(name)] != "" }) {
		flaws, ok = append(flaws, Flaw{Line: raw.Line, Why: fault.Say("exchange.empty", f.Kind.Either[0]), Row: true}), false
	}
	row.Note = f.others(raw.Cells)
	return row, flaws, ok, nil
}

// note keeps what was not quite as it stands.
func (f *File) note(line int, header string, cell table.Cell) {
	id := map[table.Kind]string{
		table.Guarded: "exchange.guarded", table.Repaired: "exchange.repaired", table.RunOn: "exchange.run_on",
	}[cell.Kind]
	if id != "" && len(f.Noted) < mostNoted {
		f.Noted = append(f.Noted, Flaw{Line: line, Column: header, Why: fault.Say(id, clipped(cell.Text))})
	}
}

// others gives the cells that no column of the kind takes, with their headers.
func (f *File) others(cells []table.Cell) string {
	var b strings.Builder
	for _, i := range f.keep {
		text := strings.Join(strings.Fields(cells[i].Text), " ")
		if text == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteString("; ")
		}
		fmt.Fprintf(&b, "%s: %s", f.table.Header[i], text)
	}
	if note, err := printable(b.String(), false); err == nil && len([]rune(note)) <= mostText {
		return note
	}
	return clipped(b.String())
}

// clipped keeps a cell from filling the screen.
func clipped(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return text
}

// Rest reads rows until the file ends and calls f with each.
func (f *File) Rest(each func(Row, []Flaw, bool) error) error {
	for {
		row, flaws, ok, err := f.Next()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if err := each(row, flaws, ok); err != nil {
			return err
		}
	}
}

// key gives what two spellings of the cells of a row have in common.
func key(row *Row, columns []int) string {
	var b strings.Builder
	for _, i := range columns {
		b.WriteString(catalog.Normal(row.Cells[i]))
		b.WriteByte(0)
	}
	return b.String()
}
