package table

import (
	"io"
	"slices"
	"strings"

	"forkstock/internal/fault"
)

func readXLSX(name string, file seekCloser, o Options) (*Table, error) {
	w, err := openWorkbook(name, file)
	if err != nil {
		return nil, err
	}
	t, err := w.table(name, o)
	if err != nil {
		w.excel.Close()
	}
	return t, err
}

// table gives the worksheet that was asked for, or the first with a header.
func (w *workbook) table(name string, o Options) (*Table, error) {
	none := fault.New(fault.Invalid, "table.no_header", name).WithHint("table.no_header.hint")
	for _, s := range w.sheets {
		if o.Sheet != "" && s.name != o.Sheet {
			continue
		}
		rows, err := w.sample(name, s)
		if err != nil {
			return nil, err
		}
		t := &Table{Form: Form{Format: "xlsx", Sheet: s.name, Others: w.names(s.name), Decimal: o.Decimal}}
		if t.begin(name, rows) != nil {
			continue
		}
		source, err := w.rows(name, s)
		if err != nil {
			return nil, err
		}
		source.book = w
		t.source = source
		return t, t.skip()
	}
	if o.Sheet != "" && !slices.Contains(w.names(""), o.Sheet) {
		return nil, fault.New(fault.NotFound, "table.no_sheet", name, o.Sheet).
			WithHint("table.no_sheet.hint", strings.Join(w.names(""), ", "))
	}
	return nil, none
}

// sample reads the first rows of a worksheet.
func (w *workbook) sample(name string, s worksheet) ([]Row, error) {
	source, err := w.rows(name, s)
	if err != nil {
		return nil, err
	}
	defer source.Close()
	var rows []Row
	for len(rows) < sampleRows {
		row, err := source.next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}
