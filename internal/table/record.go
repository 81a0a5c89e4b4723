package table

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"

	"forkstock/internal/fault"
)

const (
	maxRecord = 1 << 20  // bytes of one record
	maxQuoted = 64 << 10 // bytes of one quoted cell; spreadsheets keep 32,767 characters
	window    = 64 << 10 // bytes read at a time
)

// records reads the records of a CSV file in UTF-8 (RFC 4180) and forgives
// what encoding/csv does not: a quote inside of a cell that is not quoted is
// text (3/8"), and so is one that opens a cell and is never rightly closed; a
// quoted cell runs over lines only where it ends properly, so that a stray
// quote never takes following lines with it.
type records struct {
	name  string // of the file, for errors
	src   io.Reader
	buf   []byte // what was read and not yet used
	store []byte // buf's memory
	err   error  // of src, io.EOF at its end
	line  int    // of the next record
	comma byte
	crlf  bool // lines end in CR LF, and so do those inside of cells
	check bool // look for what is not UTF-8

	text []byte // of the record at work, its cells one after the other
	ends []int
	kind []Kind
}

// newRecords reads from src, whose first line is number line.
func newRecords(src io.Reader, comma byte, crlf bool, line int) *records {
	return &records{src: src, comma: comma, crlf: crlf, line: line}
}

// Close does nothing: a source's file is closed by who opened it.
func (r *records) Close() error { return nil }

// fill reads more; it reports whether there was more.
func (r *records) fill() bool {
	if r.err != nil {
		return false
	}
	if len(r.store) < len(r.buf)+window {
		r.store = make([]byte, 2*len(r.buf)+window)
	}
	copy(r.store, r.buf)
	n := len(r.buf)
	m := 0
	for m == 0 && r.err == nil {
		m, r.err = r.src.Read(r.store[n:])
	}
	r.buf = r.store[:n+m]
	return m > 0
}

// at gives byte i of what is left, false at the end of the file.
func (r *records) at(i int) (byte, bool) {
	for i >= len(r.buf) {
		if !r.fill() {
			return 0, false
		}
	}
	return r.buf[i], true
}

// lineEnd gives the length of the line that begins at from, without its end.
func (r *records) lineEnd(from int) int {
	for looked := from; ; {
		if i := bytes.IndexByte(r.buf[looked:], '\n'); i >= 0 {
			return looked + i
		}
		looked = len(r.buf)
		if looked-from > maxRecord || !r.fill() {
			return looked
		}
	}
}

// next gives the next record. Its Err is set where it holds a NUL byte or what
// is no character. Errors: io.EOF; Invalid for a line without end; what the
// file's reader gives.
func (r *records) next() (Row, error) {
	end := r.lineEnd(0)
	if end > maxRecord {
		return Row{}, r.endless()
	}
	if len(r.buf) == 0 {
		if r.err == io.EOF {
			return Row{}, io.EOF
		}
		return Row{}, unread(r.name, r.err)
	}
	row := Row{Line: r.line}
	if bytes.IndexByte(r.buf[:end], '"') < 0 {
		row.Cells = r.split(r.trimmed(0, end))
		r.advance(end)
	} else {
		cells, ok := r.quotes()
		if !ok {
			return Row{}, r.endless()
		}
		row.Cells = cells
	}
	row.Err = r.flaw(row.Cells)
	return row, nil
}

func (r *records) endless() error {
	return fault.New(fault.Invalid, "table.long_line", r.line).WithHint("table.save.hint")
}

// trimmed gives the bytes from i to end without a final CR.
func (r *records) trimmed(i, end int) []byte {
	if end > i && r.buf[end-1] == '\r' {
		end--
	}
	return r.buf[i:end]
}

// split cuts a line without quotes.
func (r *records) split(line []byte) []Cell {
	text := string(line)
	cells := make([]Cell, 0, strings.Count(text, string(rune(r.comma)))+1)
	for {
		i := strings.IndexByte(text, r.comma)
		if i < 0 {
			return append(cells, unguard(text, Plain))
		}
		cells = append(cells, unguard(text[:i], Plain))
		text = text[i+1:]
	}
}

// advance goes past a record that ends before offset end.
func (r *records) advance(end int) {
	r.line += 1 + bytes.Count(r.buf[:end], []byte{'\n'})
	r.buf = r.buf[min(end+1, len(r.buf)):]
}

// quotes cuts a record that has quotes in its first line; not ok: it is too long.
func (r *records) quotes() (cells []Cell, ok bool) {
	r.text, r.ends, r.kind = r.text[:0], r.ends[:0], r.kind[:0]
	i := 0
	for {
		kind := Plain
		c, _ := r.at(i)
		after, ok := i, false
		if c == '"' {
			after, kind, ok = r.quoted(i + 1)
		}
		if !ok {
			if c == '"' {
				kind = Repaired
			}
			after = r.bare(i)
		}
		r.ends, r.kind = append(r.ends, len(r.text)), append(r.kind, kind)
		if after > maxRecord {
			return nil, false
		}
		if c, more := r.at(after); !more || c != r.comma {
			r.advance(r.lineEnd(after))
			break
		}
		i = after + 1
	}
	text, start := string(r.text), 0
	cells = make([]Cell, len(r.ends))
	for n, end := range r.ends {
		cells[n] = unguard(text[start:end], r.kind[n])
		start = end
	}
	return cells, true
}

// bare takes the cell that begins at i as it stands, up to the next delimiter
// or the end of the line, and gives where it ends.
func (r *records) bare(i int) (after int) {
	end := r.lineEnd(i)
	cell := r.trimmed(i, end)
	after = i + len(cell)
	if n := bytes.IndexByte(cell, r.comma); n >= 0 {
		cell, after = cell[:n], i+n
	}
	r.text = append(r.text, cell...)
	return after
}

// quoted takes the cell whose opening quote stands before i and gives where it
// ends. It is not ok, and nothing is taken, where the opening quote is none: it
// is not closed, or a bare quote follows in a later line or begins a cell.
func (r *records) quoted(i int) (after int, kind Kind, ok bool) {
	start, length, crossed := i, len(r.text), false
	for c, more := r.at(i); more && i-start <= maxQuoted; c, more = r.at(i) {
		switch c {
		case '\n':
			if kind == Repaired {
				return r.none(length)
			}
			crossed = true
			if r.crlf && i > start && r.buf[i-1] == '\r' {
				r.text = r.text[:len(r.text)-1]
			}
		case '"':
			next, more := r.at(i + 1)
			switch {
			case next == '"' && more:
				i++
			case !more || next == r.comma || next == '\n' || next == '\r' && r.endsAt(i+1):
				return i + 1, kind, true
			case crossed || i > start && r.buf[i-1] == r.comma:
				return r.none(length)
			default:
				kind = Repaired
			}
		}
		r.text = append(r.text, c)
		i++
	}
	return r.none(length)
}

// none gives back the text of a cell that is none.
func (r *records) none(length int) (after int, kind Kind, ok bool) {
	r.text = r.text[:length]
	return 0, Plain, false
}

// endsAt reports whether the CR at i ends a line.
func (r *records) endsAt(i int) bool {
	c, more := r.at(i + 1)
	return !more || c == '\n'
}

// flaw says what makes the cells unfit as text.
func (r *records) flaw(cells []Cell) *fault.Error {
	for i, c := range cells {
		if strings.IndexByte(c.Text, 0) >= 0 {
			return fault.New(fault.Invalid, "table.nul", i+1).WithHint("table.nul.hint")
		}
		if r.check && !utf8.ValidString(c.Text) {
			return fault.New(fault.Invalid, "table.no_character", i+1).WithHint("table.no_character.hint")
		}
	}
	return nil
}
