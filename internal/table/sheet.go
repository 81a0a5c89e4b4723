package table

import (
	"bufio"
	"encoding/xml"
	"errors"
	"io"
	"strconv"

	"github.com/xuri/excelize/v2"
)

// sheetRows gives the rows of a worksheet: the texts are those of excelize, in
// step with what the sheet's own XML says of each cell.
type sheetRows struct {
	name  string
	book  *workbook // to close with it
	from  *workbook
	part  io.ReadCloser
	xml   *xml.Decoder
	shown *excelize.Rows
	line  int // of the row in work
	at    int // row that shown stands at
	done  bool
}

func (w *workbook) rows(name string, s worksheet) (*sheetRows, error) {
	part, err := w.open(s.part)
	if err != nil {
		return nil, unread(name, err)
	}
	shown, err := w.excel.Rows(s.name)
	if err != nil {
		part.Close()
		return nil, unread(name, err)
	}
	r := &sheetRows{name: name, from: w, part: part, shown: shown, xml: xml.NewDecoder(bufio.NewReaderSize(part, 64<<10))}
	r.xml.CharsetReader = w.excel.CharsetReader
	return r, nil
}

// Close closes the worksheet, and the workbook where this was its reading.
func (r *sheetRows) Close() error {
	errs := []error{r.shown.Close(), r.part.Close()}
	if r.book != nil {
		errs = append(errs, r.book.excel.Close())
	}
	return errors.Join(errs...)
}

// a note is what the XML says of one cell (ECMA-376 part 1, 18.3.1.4).
type note struct {
	column  int
	kind    string // s, str, inlineStr, b, e, d, n
	style   int
	value   string
	formula string
	has     bool // a formula
	valued  bool // and its value, even an empty one
}

// next gives the next row of the sheet; rows that it leaves out are left out.
func (r *sheetRows) next() (Row, error) {
	notes, err := r.notes()
	if err == io.EOF {
		return Row{}, err
	}
	if err != nil {
		return Row{}, unread(r.name, err)
	}
	var shown []string
	for r.at < r.line {
		if !r.shown.Next() {
			return Row{}, unread(r.name, errors.Join(io.ErrUnexpectedEOF, r.shown.Error()))
		}
		r.at++
		if shown, err = r.shown.Columns(); err != nil {
			return Row{}, unread(r.name, err)
		}
	}
	row := Row{Line: r.line}
	for _, n := range notes {
		if n.column >= excelize.MaxColumns {
			return Row{}, unread(r.name, excelize.ErrColumnNumber)
		}
		text := ""
		if n.column < len(shown) {
			text = shown[n.column]
		}
		if text == "" && !n.has {
			continue
		}
		for len(row.Cells) <= n.column {
			row.Cells = append(row.Cells, Cell{})
		}
		row.Cells[n.column] = r.cell(n, text)
	}
	return row, nil
}

// notes reads the XML of the next row; io.EOF behind the last.
func (r *sheetRows) notes() ([]note, error) {
	var notes []note
	for !r.done {
		token, err := r.xml.RawToken()
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		if err != nil {
			return nil, err
		}
		switch e := token.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "row":
				next := r.line + 1
				if n, err := strconv.Atoi(attribute(e, "r")); err == nil {
					next = n
				}
				if next <= r.line || next > excelize.TotalRows {
					return nil, errors.New("rows out of order, or too many")
				}
				r.line, notes = next, notes[:0]
			case "c":
				before := -1
				if len(notes) > 0 {
					before = notes[len(notes)-1].column
				}
				n, err := r.note(e, before)
				if err != nil {
					return nil, err
				}
				notes = append(notes, n)
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "row":
				return notes, nil
			case "sheetData":
				r.done = true
			}
		}
	}
	return nil, io.EOF
}

// note reads the XML of one cell, whose start was read; before is the column
// of the cell before it.
func (r *sheetRows) note(start xml.StartElement, before int) (note, error) {
	n := note{column: before + 1, kind: attribute(start, "t")}
	n.style, _ = strconv.Atoi(attribute(start, "s"))
	if place := attribute(start, "r"); place != "" {
		column, _, err := excelize.CellNameToCoordinates(place)
		if err != nil {
			return n, err
		}
		n.column = column - 1
	}
	inside := ""
	for {
		token, err := r.xml.RawToken()
		if err == io.EOF {
			err = io.ErrUnexpectedEOF
		}
		if err != nil {
			return n, err
		}
		switch e := token.(type) {
		case xml.StartElement:
			inside = e.Name.Local
			n.has = n.has || inside == "f"
			n.valued = n.valued || inside == "v"
		case xml.EndElement:
			if e.Name.Local == "c" {
				return n, nil
			}
			inside = ""
		case xml.CharData:
			switch inside {
			case "v":
				n.value += string(e)
			case "f":
				n.formula += string(e)
			}
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}
