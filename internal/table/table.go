// Package table writes rows of text as files that spreadsheets open: CSV by
// RFC 4180, UTF-8, comma, CRLF-free lines. The first row names the columns.
//
// Non-goals: numbers, dates, styles: every cell is text.
package table

import (
	"crypto/rand"
	"encoding/csv"
	"io"
	"os"
	"path/filepath"
	"strings"

	"forkstock/internal/fault"
)

// WriteCSV writes rows to w.
func WriteCSV(w io.Writer, rows [][]string) error {
	c := csv.NewWriter(w)
	return c.WriteAll(rows) // flushes
}

// WriteFile writes rows to a file, by its ending. The file is there whole or,
// after an error, as it was before. Errors: Invalid (an ending that is not
// known), NotFound (the folder), Denied.
func WriteFile(path string, rows [][]string) (err error) {
	if !strings.EqualFold(filepath.Ext(path), ".csv") {
		return fault.New(fault.Invalid, "table.ending", path).WithHint("table.ending.hint")
	}
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	f, err := os.OpenFile(filepath.Join(filepath.Dir(path), ".export-"+rand.Text()), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
	if err != nil {
		return explain(path, err)
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err := WriteCSV(f, rows); err != nil {
		return explain(path, err)
	}
	if err := f.Close(); err != nil {
		return explain(path, err)
	}
	if err := os.Rename(f.Name(), path); err != nil {
		return explain(path, err)
	}
	return nil
}

func explain(path string, err error) error {
	switch {
	case os.IsNotExist(err):
		return fault.New(fault.NotFound, "table.no_folder", path).WithCause(err)
	case os.IsPermission(err):
		return fault.New(fault.Denied, "table.denied", path).WithCause(err)
	}
	return fault.New(fault.Full, "table.unwritten", path).WithCause(err)
}
