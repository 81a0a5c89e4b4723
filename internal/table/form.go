package table

import (
	"bytes"
	"io"
	"slices"
	"strings"

	"forkstock/internal/fault"
)

const (
	sampleBytes = 256 << 10 // looked at to find delimiter and marks
	sampleRows  = 2000
	titleRows   = 30 // a header stands among the first rows, or nowhere
)

// delimiters that are found out, the likelier first.
var delimiters = []rune{',', ';', '\t', '|'}

func readCSV(name string, file io.ReadSeeker, o Options) (*Table, error) {
	text, err := decode(name, file, o.Encoding)
	if err != nil {
		return nil, err
	}
	sample, err := io.ReadAll(io.LimitReader(text, sampleBytes))
	if err != nil {
		return nil, unread(name, err)
	}
	whole := len(sample) < sampleBytes
	if len(bytes.TrimSpace(sample)) == 0 {
		return nil, refuse(name, "table.is.empty")
	}
	rest := io.MultiReader(bytes.NewReader(sample), text)
	if i := bytes.IndexAny(sample, "\r\n"); i >= 0 && sample[i] == '\r' && !bytes.Contains(sample, []byte{'\n'}) {
		rest, sample = &oldLines{rest}, bytes.ReplaceAll(sample, []byte{'\r'}, []byte{'\n'})
	}
	if i := bytes.LastIndexByte(sample, '\n'); !whole && i >= 0 {
		sample = sample[:i+1]
	}
	t := &Table{Form: Form{Format: "csv", Encoding: text.encoding, Mark: text.mark, Decimal: o.Decimal}}
	line := 1
	if delimiter, length, ok := sepLine(sample); ok {
		t.Form.SepLine, t.Form.Delimiter = true, delimiter
		sample, line = sample[length:], 2
		if _, err := io.CopyN(io.Discard, rest, int64(length)); err != nil {
			return nil, unread(name, err)
		}
	}
	if o.Delimiter != 0 {
		t.Form.Delimiter = o.Delimiter
	}
	if t.Form.Delimiter == 0 {
		t.Form.Delimiter = delimiterOf(sample)
	}
	if !slices.Contains(delimiters, t.Form.Delimiter) {
		return nil, fault.New(fault.Invalid, "table.delimiter", string(t.Form.Delimiter)).WithHint("table.delimiter.hint")
	}
	crlf := isCRLF(sample)
	if err := t.begin(name, cut(sample, t.Form.Delimiter, crlf, line)); err != nil {
		return nil, err
	}
	r := newRecords(rest, byte(t.Form.Delimiter), crlf, line)
	r.name, r.check = name, text.doubtful
	t.source = r
	return t, t.skip()
}

// skip goes past the header.
func (t *Table) skip() error {
	for {
		row, err := t.source.next()
		if err != nil || row.Line == t.Form.Header {
			return err
		}
	}
}

// oldLines turns CR, the line end of old Macintosh files, into LF.
type oldLines struct{ io.Reader }

func (o *oldLines) Read(p []byte) (int, error) {
	n, err := o.Reader.Read(p)
	for i, c := range p[:n] {
		if c == '\r' {
			p[i] = '\n'
		}
	}
	return n, err
}

// isCRLF reports whether the first line ends in CR LF.
func isCRLF(sample []byte) bool {
	i := bytes.IndexByte(sample, '\n')
	return i > 0 && sample[i-1] == '\r'
}

// sepLine recognises the first line "sep=;" that some spreadsheets write and
// read (common practice, no source), and gives its length with its end.
func sepLine(sample []byte) (delimiter rune, length int, ok bool) {
	line, _, more := bytes.Cut(sample, []byte{'\n'})
	text := strings.Trim(strings.TrimSuffix(string(line), "\r"), `"`)
	if !more || len(text) != len("sep=;") || !strings.EqualFold(text[:4], "sep=") {
		return 0, 0, false
	}
	return rune(text[4]), len(line) + 1, true
}

// cut gives the records of a sample.
func cut(sample []byte, delimiter rune, crlf bool, line int) []Row {
	r := newRecords(bytes.NewReader(sample), byte(delimiter), crlf, line)
	var rows []Row
	for len(rows) < sampleRows {
		row, err := r.next()
		if err != nil {
			break
		}
		rows = append(rows, row)
	}
	return rows
}

// delimiterOf gives the delimiter that cuts most rows of a sample into as many
// cells as most rows have, more than one; where none does, the comma.
func delimiterOf(sample []byte) rune {
	best, most, widest := ',', 0, 0
	for _, d := range delimiters {
		if bytes.IndexByte(sample, byte(d)) < 0 {
			continue
		}
		widths := map[int]int{}
		for _, row := range cut(sample, d, false, 1) {
			if !blank(row.Cells) {
				widths[len(row.Cells)]++
			}
		}
		for width, n := range widths {
			if width > 1 && (n > most || n == most && width > widest) {
				best, most, widest = d, n, width
			}
		}
	}
	return best
}

// begin finds the header among the first rows of a file, and the marks of
// decimals in the rows below it.
func (t *Table) begin(name string, rows []Row) error {
	width := usual(rows)
	for i, row := range rows[:min(len(rows), titleRows)] {
		filled := 0
		for _, c := range row.Cells {
			if strings.TrimSpace(c.Text) != "" {
				filled++
			}
		}
		if filled == 0 {
			continue
		}
		if 2*filled <= width {
			t.Form.Above = append(t.Form.Above, row.Line)
			continue
		}
		t.Form.Header = row.Line
		if row.Err != nil || slices.ContainsFunc(row.Cells, isNumber) {
			break
		}
		for _, c := range row.Cells {
			t.Header = append(t.Header, strings.Join(strings.Fields(c.Text), " "))
		}
		for len(t.Header) > 0 && t.Header[len(t.Header)-1] == "" {
			t.Header = t.Header[:len(t.Header)-1]
		}
		t.marks(rows[i+1:])
		return nil
	}
	return fault.New(fault.Invalid, "table.no_header", name).WithHint("table.no_header.hint")
}

// usual gives the number of cells, but for blank ones at the end, that half of
// the rows reach.
func usual(rows []Row) int {
	var widths []int
	for _, row := range rows {
		width := len(row.Cells)
		for width > 0 && blank(row.Cells[width-1:width]) {
			width--
		}
		if width > 0 {
			widths = append(widths, width)
		}
	}
	if len(widths) == 0 {
		return 0
	}
	slices.Sort(widths)
	return widths[len(widths)/2]
}

// isNumber reports whether a cell holds a number and nothing else: no header
// has such a cell.
func isNumber(c Cell) bool {
	n, ok := parseNumber(c.Text)
	return ok && n.currency == "" || c.Kind == Number || c.Kind == Date
}

// marks finds the mark of decimals of every column, and that of the file for
// the columns that do not tell.
func (t *Table) marks(rows []Row) {
	seen := make([]map[rune]bool, len(t.Header))
	all := map[rune]bool{}
	for _, row := range rows {
		for i, c := range row.Cells {
			if i >= len(seen) || c.Kind == Number || !strings.ContainsAny(c.Text, ".,") {
				continue
			}
			if n, ok := parseNumber(c.Text); ok && n.mark != 0 && n.sure {
				if seen[i] == nil {
					seen[i] = map[rune]bool{}
				}
				seen[i][n.mark], all[n.mark] = true, true
			}
		}
	}
	if t.Form.Decimal == 0 {
		t.Form.Decimal = only(all)
	} else {
		clear(seen) // it was said
	}
	t.decimals = make([]rune, len(t.Header))
	for i := range t.decimals {
		t.decimals[i] = t.Form.Decimal
		if seen[i] != nil {
			t.decimals[i] = only(seen[i])
		}
	}
}

// only gives the one mark that was seen, 0 where both or none were.
func only(seen map[rune]bool) rune {
	if len(seen) != 1 {
		return 0
	}
	if seen['.'] {
		return '.'
	}
	return ','
}
