package table

import (
	"errors"
	"io"
	"unicode/utf16"

	"forkstock/internal/fault"

	"github.com/xuri/excelize/v2"
)

// xlsxWriter writes one worksheet of an XLSX file, every cell as text.
type xlsxWriter struct {
	out    io.Writer
	excel  *excelize.File
	stream *excelize.StreamWriter
	style  int
	line   int
	err    error
}

// asText is the number format that keeps spreadsheets from reading a text as a
// number when somebody edits it (ECMA-376 part 1, 18.8.30).
const asText = 49

// NewXLSX gives a Writer of an XLSX file into w, which Close leaves open. Texts
// stand as they are, formulas too: a cell of text is not computed. Error of
// Write: Invalid where a worksheet cannot hold a text or the row.
func NewXLSX(w io.Writer) Writer {
	x := &xlsxWriter{out: w, excel: excelize.NewFile()}
	x.style, x.err = x.excel.NewStyle(&excelize.Style{NumFmt: asText})
	if x.err == nil {
		x.stream, x.err = x.excel.NewStreamWriter(x.excel.GetSheetName(0))
	}
	return x
}

func (x *xlsxWriter) Write(row []string) error {
	if x.err != nil {
		return x.err
	}
	x.line++
	if x.line > excelize.TotalRows || len(row) > excelize.MaxColumns {
		return fault.New(fault.Invalid, "table.too_many", excelize.TotalRows).WithHint("table.too_many.hint")
	}
	cells := make([]any, len(row))
	for i, text := range row {
		if len(utf16.Encode([]rune(text))) > excelize.TotalCellChars {
			return fault.New(fault.Invalid, "table.long_text", letters(i), x.line).WithHint("table.too_many.hint")
		}
		if unguard(text, Plain).Kind == Guarded {
			text = "'" + text // that Read takes off again
		}
		cells[i] = excelize.Cell{StyleID: x.style, Value: text}
	}
	place, err := excelize.CoordinatesToCellName(1, x.line)
	if err != nil {
		return err
	}
	return x.stream.SetRow(place, cells)
}

func (x *xlsxWriter) Close() error {
	err := x.err
	if err == nil {
		err = x.stream.Flush()
	}
	if err == nil {
		err = x.excel.Write(x.out)
	}
	return errors.Join(err, x.excel.Close())
}
