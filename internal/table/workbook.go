package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"io"
	"path"
	"slices"
	"strings"

	"forkstock/internal/fault"

	"github.com/xuri/excelize/v2"
)

// What an XLSX file may take when it is unpacked, all together, and a worksheet
// or the strings in memory; a larger worksheet is read from a temporary file.
const (
	maxUnpacked = 512 << 20
	maxInMemory = 64 << 20
)

// A workbook is an XLSX file (ECMA-376 part 1, 12.3): its parts, and excelize
// for the shared strings and for numbers as a sheet shows them.
type workbook struct {
	parts    map[string]*zip.File // by path in lower case
	excel    *excelize.File
	sheets   []worksheet // the visible ones first
	from1904 bool        // days are counted from 1904
	styles   map[int]bool
}

type worksheet struct{ name, part string }

// The parts that name the worksheets (ECMA-376 part 1, 18.2 and 9.3).
type (
	workbookXML struct {
		Properties struct {
			From1904 bool `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Name  string `xml:"name,attr"`
			ID    string `xml:"id,attr"`
			State string `xml:"state,attr"`
		} `xml:"sheets>sheet"`
	}
	relationsXML struct {
		List []struct {
			ID     string `xml:"Id,attr"`
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
)

// openWorkbook opens a ZIP archive as a workbook. Errors: Invalid where it is
// another kind of archive or unpacks to too much, Damaged.
func openWorkbook(name string, file seekCloser) (*workbook, error) {
	size, err := file.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, unread(name, err)
	}
	archive, err := zip.NewReader(file, size)
	if err != nil {
		return nil, unread(name, err)
	}
	w := &workbook{parts: map[string]*zip.File{}, styles: map[int]bool{}}
	total := uint64(size)
	for _, f := range archive.File {
		w.parts[strings.ToLower(strings.ReplaceAll(f.Name, `\`, "/"))] = f
		total += min(f.UncompressedSize64, maxUnpacked)
		if total > maxUnpacked {
			return nil, fault.New(fault.Invalid, "table.bomb", name, maxUnpacked>>20).WithHint("table.bomb.hint")
		}
	}
	main, err := w.main(name)
	if err != nil {
		return nil, err
	}
	if err := w.list(main); err != nil {
		return nil, unread(name, err)
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return nil, unread(name, err)
	}
	w.excel, err = excelize.OpenReader(file, excelize.Options{UnzipSizeLimit: maxUnpacked, UnzipXMLSizeLimit: maxInMemory})
	if err != nil {
		if w.excel != nil {
			w.excel.Close()
		}
		return nil, unread(name, err)
	}
	return w, nil
}

// main gives the path of the workbook's main part, or says what the archive is
// instead.
func (w *workbook) main(name string) (string, error) {
	var top relationsXML
	if w.parts["_rels/.rels"] != nil {
		if err := w.read("_rels/.rels", &top); err != nil {
			return "", unread(name, err)
		}
	}
	for _, r := range top.List {
		part := strings.ToLower(strings.TrimPrefix(r.Target, "/"))
		if strings.HasSuffix(r.Type, "/officeDocument") && w.parts[part] != nil {
			switch {
			case strings.HasPrefix(part, "word/") || strings.HasPrefix(part, "ppt/"):
				return "", refuse(name, "table.is.document")
			case strings.HasSuffix(part, ".bin"):
				return "", refuse(name, "table.is.old")
			}
			return part, nil
		}
	}
	if w.parts["mimetype"] != nil && w.parts["content.xml"] != nil {
		return "", refuse(name, "table.is.open_document")
	}
	return "", refuse(name, "table.is.packed")
}

// list finds the worksheets that the main part names.
func (w *workbook) list(main string) error {
	var book workbookXML
	var relations relationsXML
	if err := w.read(main, &book); err != nil {
		return err
	}
	if err := w.read(path.Join(path.Dir(main), "_rels", path.Base(main)+".rels"), &relations); err != nil {
		return err
	}
	w.from1904 = book.Properties.From1904
	var hidden []worksheet
	for _, s := range book.Sheets {
		for _, r := range relations.List {
			if r.ID != s.ID || !strings.HasSuffix(r.Type, "/worksheet") {
				continue
			}
			target := path.Join(path.Dir(main), r.Target)
			if strings.HasPrefix(r.Target, "/") {
				target = r.Target[1:]
			}
			sheet := worksheet{s.Name, strings.ToLower(target)}
			if s.State != "" && s.State != "visible" {
				hidden = append(hidden, sheet)
			} else {
				w.sheets = append(w.sheets, sheet)
			}
		}
	}
	w.sheets = append(w.sheets, hidden...)
	return nil
}

// read reads a small part.
func (w *workbook) read(part string, into any) error {
	r, err := w.open(part)
	if err != nil {
		return err
	}
	defer r.Close()
	text, err := io.ReadAll(io.LimitReader(r, maxInMemory))
	if err != nil {
		return err
	}
	return xml.Unmarshal(text, into)
}

func (w *workbook) open(part string) (io.ReadCloser, error) {
	if f := w.parts[part]; f != nil {
		return f.Open()
	}
	return nil, zip.ErrFormat
}

// dated reports whether a style shows numbers as dates or times of day.
func (w *workbook) dated(style int) bool {
	is, known := w.styles[style]
	if !known {
		if s, err := w.excel.GetStyle(style); err == nil {
			is = builtinDates[s.NumFmt] || s.CustomNumFmt != nil && isDateFormat(*s.CustomNumFmt)
		}
		w.styles[style] = is
	}
	return is
}

// builtinDates are the formats with a number that show dates or times
// (ECMA-376 part 1, 18.8.30; 27 to 36 and 50 to 58 those of East Asia).
var builtinDates = func() map[int]bool {
	is := map[int]bool{45: true, 46: true, 47: true}
	for _, span := range [][2]int{{14, 22}, {27, 36}, {50, 58}} {
		for i := span[0]; i <= span[1]; i++ {
			is[i] = true
		}
	}
	return is
}()

// isDateFormat reports whether a number format has a letter of years, months,
// days, hours or seconds outside of quotes, escapes and brackets (ECMA-376
// part 1, 18.8.31).
func isDateFormat(format string) bool {
	first, _, _ := strings.Cut(format, ";")
	for i := 0; i < len(first); i++ {
		switch c := first[i]; c {
		case '"', '[':
			end := strings.IndexByte(first[i+1:], map[byte]byte{'"': '"', '[': ']'}[c])
			if end < 0 {
				return false
			}
			if inner := first[i+1 : i+1+end]; c == '[' && inner != "" && strings.Trim(strings.ToLower(inner), inner[:1]) == "" && strings.ContainsAny(strings.ToLower(inner[:1]), "hms") {
				return true // [h]: hours beyond 24
			}
			i += end + 1
		case '\\', '_', '*':
			i++
		case 'y', 'Y', 'm', 'M', 'd', 'D', 'h', 'H', 's', 'S':
			return !strings.EqualFold(first, "General")
		}
	}
	return false
}

// encrypted reports whether a compound file holds an encrypted package
// (MS-OFFCRYPTO 2.3.4.4): an XLSX with a password.
func encrypted(file io.ReadSeeker) bool {
	var stream []byte
	for _, c := range "EncryptedPackage" {
		stream = append(stream, byte(c), 0)
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return false
	}
	text, err := io.ReadAll(io.LimitReader(file, maxInMemory))
	return err == nil && bytes.Contains(text, stream)
}

// names gives the names of the worksheets but for one.
func (w *workbook) names(but string) []string {
	var names []string
	for _, s := range w.sheets {
		names = append(names, s.name)
	}
	return slices.DeleteFunc(names, func(n string) bool { return n == but })
}
