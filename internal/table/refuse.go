package table

import (
	"bytes"
	"errors"
	"io/fs"

	"forkstock/internal/fault"
)

// signatures are how files begin that are often taken for tables. From the
// formats' own descriptions: PDF (ISO 32000-1, 7.5.2), PNG (W3C, 5.2), JPEG
// (T.81, B.1.1), GIF (GIF89a, 17), TIFF (6.0, section 2), RIFF, ZIP (APPNOTE
// 4.3), gzip (RFC 1952), compound files of Office before 2007 (MS-CFB 2.2).
var signatures = []struct{ begins, is string }{
	{"%PDF-", "table.is.pdf"},
	{"\x89PNG\r\n\x1a\n", "table.is.picture"},
	{"\xff\xd8\xff", "table.is.picture"},
	{"GIF8", "table.is.picture"},
	{"II*\x00", "table.is.picture"},
	{"MM\x00*", "table.is.picture"},
	{"RIFF", "table.is.picture"},
	{"\x1f\x8b", "table.is.packed"},
	{"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "table.is.old"},
	{"SQLite format 3\x00", "table.is.database"},
	{"{\\rtf", "table.is.document"},
}

// know says what a file that begins with head is, where that is no text: the
// id of a message, or isXLSX for a ZIP archive, which XLSX files are.
func know(head []byte) (is string, isXLSX bool) {
	if len(bytes.TrimSpace(head)) == 0 {
		return "table.is.empty", false
	}
	if bytes.HasPrefix(head, []byte("PK\x03\x04")) || bytes.HasPrefix(head, []byte("PK\x05\x06")) {
		return "", true
	}
	for _, s := range signatures {
		if bytes.HasPrefix(head, []byte(s.begins)) {
			return s.is, false
		}
	}
	text := bytes.ToLower(bytes.TrimSpace(bytes.TrimPrefix(head, []byte(marks["utf-8"]))))
	for _, begins := range []string{"<!doctype", "<html", "<table", "<?xml"} {
		if bytes.HasPrefix(text, []byte(begins)) {
			return "table.is.page", false
		}
	}
	if isBinary(head) {
		return "table.is.binary", false
	}
	return "", false
}

// isBinary reports whether more than one byte in twenty is NUL, and not just a
// few stray ones, in what is not UTF-16.
func isBinary(head []byte) bool {
	for _, mark := range marks {
		if bytes.HasPrefix(head, []byte(mark)) {
			return false
		}
	}
	n := bytes.Count(head, []byte{0})
	return n > 4 && 20*n > len(head) && wide(head[:min(len(head), 64)]) == ""
}

// refuse says that a file is no table, what it is, and what to do.
func refuse(name, is string) *fault.Error {
	return fault.New(fault.Invalid, "table.not", name, fault.Say(is)).WithHint(is + ".hint")
}

// unread explains why a file could not be read.
func unread(name string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fault.New(fault.NotFound, "table.no_file", name).WithHint("table.no_file.hint").WithCause(err)
	case errors.Is(err, fs.ErrPermission):
		return fault.New(fault.Denied, "table.unreadable", name).WithHint("table.unreadable.hint").WithCause(err)
	}
	return fault.New(fault.Damaged, "table.broken", name).WithHint("table.broken.hint").WithCause(err)
}
