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

// A Writer writes rows, the header first, as they come. Nothing is whole
// before Close.
type Writer interface {
	Write(row []string) error
	io.Closer
}

// csvWriter writes CSV: UTF-8, comma, lines that end in LF.
type csvWriter struct {
	csv *csv.Writer
	row []string
}

// NewCSV gives a Writer of CSV into w, which Close leaves open. A text that a
// spreadsheet could take for a formula gets an apostrophe before it, which
// Read takes off again (OWASP ASVS 5.0, v5.0.0-1.2.10); bytes that are no
// UTF-8 become U+FFFD.
func NewCSV(w io.Writer) Writer { return &csvWriter{csv: csv.NewWriter(w)} }

func (w *csvWriter) Write(row []string) error {
	w.row = w.row[:0]
	for _, text := range row {
		if needsGuard(text) {
			text = "'" + text
		}
		w.row = append(w.row, strings.ToValidUTF8(text, "\ufffd"))
	}
	return w.csv.Write(w.row)
}

func (w *csvWriter) Close() error {
	w.csv.Flush()
	return w.csv.Error()
}

// WriteCSV writes rows to w as NewCSV does.
func WriteCSV(w io.Writer, rows [][]string) error { return writeAll(NewCSV(w), rows) }

func writeAll(w Writer, rows [][]string) error {
	for _, row := range rows {
		if err := w.Write(row); err != nil {
			return err
		}
	}
	return w.Close()
}

// makers give a Writer by the ending of a file.
var makers = map[string]func(io.Writer) Writer{".csv": NewCSV, ".xlsx": NewXLSX}

// WriteFile writes rows to a file, by its ending. The file is there whole or,
// after an error, as it was before. Errors: Invalid (an ending that is not
// known), NotFound (the folder), Denied.
func WriteFile(path string, rows [][]string) error {
	return StreamFile(path, func(w Writer) error {
		for _, row := range rows {
			if err := w.Write(row); err != nil {
				return err
			}
		}
		return nil
	})
}

// StreamFile is WriteFile for rows that fill writes one after the other; an
// error of fill's own is given back as it is.
func StreamFile(path string, fill func(Writer) error) error {
	make, known := makers[strings.ToLower(filepath.Ext(path))]
	if !known {
		return fault.New(fault.Invalid, "table.ending", path).WithHint("table.ending.hint")
	}
	return Replace(path, func(f io.Writer) error {
		w := make(f)
		if err := fill(w); err != nil {
			return err
		}
		return w.Close()
	})
}

// Replace writes a file whole or not at all: what fill writes takes the place
// of the file at path when it is complete. Errors: those of WriteFile, and
// fill's own as it is.
func Replace(path string, fill func(io.Writer) error) (err error) {
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
	if err := fill(f); err != nil {
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

// explain says why a file was not written; an error that says so itself stays.
func explain(path string, err error) error {
	switch {
	case fault.KindOf(err) != fault.Internal:
		return err
	case os.IsNotExist(err):
		return fault.New(fault.NotFound, "table.no_folder", path).WithCause(err)
	case os.IsPermission(err):
		return fault.New(fault.Denied, "table.denied", path).WithCause(err)
	}
	return fault.New(fault.Full, "table.unwritten", path).WithCause(err)
}
