package table

import (
	"bytes"
	"io"
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	"forkstock/internal/fault"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// Encodings lists what a CSV file can be in. All but cp850 (code page 850 of
// DOS, which looks like Windows-1252) are found out.
var Encodings = []string{"utf-8", "utf-16le", "utf-16be", "windows-1252", "cp850"}

// decoders of Encodings; nil: the bytes as they are.
var decoders = map[string]encoding.Encoding{
	"utf-8":        nil,
	"utf-16le":     unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM),
	"utf-16be":     unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM),
	"windows-1252": charmap.Windows1252,
	"cp850":        charmap.CodePage850,
}

// marks are the byte order marks (Unicode standard, section 23.8).
var marks = map[string]string{"utf-8": "\xef\xbb\xbf", "utf-16le": "\xff\xfe", "utf-16be": "\xfe\xff"}

// An origin is the text of a file, decoded, behind its byte order mark.
type origin struct {
	io.Reader
	encoding string
	mark     bool
	doubtful bool // utf-8 with some bytes that are none
}

// decode finds out the encoding of a file, or takes asked, and goes to where
// its text begins. A byte order mark is believed whatever was asked for.
func decode(name string, file io.ReadSeeker, asked string) (origin, error) {
	if _, known := decoders[asked]; !known && asked != "" {
		return origin{}, fault.New(fault.Invalid, "table.encoding", asked).WithHint("table.encoding.hint", strings.Join(Encodings, ", "))
	}
	o := origin{encoding: asked}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return o, unread(name, err)
	}
	head := make([]byte, 64)
	n, _ := io.ReadFull(file, head)
	head = head[:n]
	for is, mark := range marks {
		if bytes.HasPrefix(head, []byte(mark)) {
			o.encoding, o.mark = is, true
		}
	}
	if o.encoding == "" {
		o.encoding = wide(head)
	}
	if o.encoding == "" || o.encoding == "utf-8" {
		if err := o.guess(name, io.MultiReader(bytes.NewReader(head), file)); err != nil {
			return o, err
		}
	}
	skip := 0
	if o.mark {
		skip = len(marks[o.encoding])
	}
	if _, err := file.Seek(int64(skip), io.SeekStart); err != nil {
		return o, unread(name, err)
	}
	o.Reader = file
	if d := decoders[o.encoding]; d != nil {
		o.Reader = d.NewDecoder().Reader(file)
	}
	return o, nil
}

// wide recognises UTF-16 without a mark: most of every second byte is NUL.
func wide(head []byte) string {
	var nul [2]int
	for i, b := range head {
		if b == 0 {
			nul[i%2]++
		}
	}
	switch most := len(head) / 4; {
	case most == 0 || nul[0] > 0 && nul[1] > 0:
		return ""
	case nul[1] > most:
		return "utf-16le"
	case nul[0] > most:
		return "utf-16be"
	}
	return ""
}

// unassigned are the bytes that Windows-1252 leaves free; in code page 850
// 0x81 is the German ü.
var unassigned = []byte{0x81, 0x8d, 0x8f, 0x90, 0x9d}

// guess reads a file to its end to tell UTF-8 from Windows-1252. UTF-8 with a
// few bad bytes stays UTF-8: the rows they stand in are refused one by one.
func (o *origin) guess(name string, r io.Reader) error {
	buf, kept := make([]byte, 64<<10), 0
	good, bad, strange := 0, 0, false
	for {
		n, err := io.ReadFull(r, buf[kept:])
		chunk, last := buf[:kept+n], err != nil
		if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
			return unread(name, err)
		}
		for len(chunk) > 0 && (last || utf8.FullRune(chunk)) {
			if i := ascii(chunk); i > 0 {
				chunk = chunk[i:]
				continue
			}
			c, size := utf8.DecodeRune(chunk)
			if c == utf8.RuneError && size == 1 {
				bad++
				strange = strange || slices.Contains(unassigned, chunk[0])
			} else {
				good++
			}
			chunk = chunk[size:]
		}
		if last {
			break
		}
		kept = copy(buf, chunk)
	}
	o.doubtful = bad > 0
	switch {
	case bad == 0 || o.encoding != "" || good > bad:
		o.encoding = "utf-8"
	case strange:
		return fault.New(fault.Invalid, "table.which_encoding", name).WithHint("table.which_encoding.hint")
	default:
		o.encoding = "windows-1252"
	}
	return nil
}

// ascii gives the length of the ASCII text that b begins with.
func ascii(b []byte) int {
	for i, c := range b {
		if c >= utf8.RuneSelf {
			return i
		}
	}
	return len(b)
}

// A fileReader can go to any place of a file.
type fileReader interface {
	io.ReadSeeker
	io.ReaderAt
}

// A seekCloser is a file to read, and what to do at the end.
type seekCloser struct {
	fileReader
	close func() error
}

// Close ends it.
func (s seekCloser) Close() error { return s.close() }

// seekable gives r where it can seek, else its content in a temporary file
// that is removed when it is closed.
func seekable(r io.Reader) (seekCloser, error) {
	if s, ok := r.(fileReader); ok {
		if _, err := s.Seek(0, io.SeekStart); err == nil {
			return seekCloser{s, func() error { return nil }}, nil
		}
	}
	f, err := os.CreateTemp("", "table-*")
	if err != nil {
		return seekCloser{}, err
	}
	end := func() error {
		err := f.Close()
		os.Remove(f.Name())
		return err
	}
	_, err = io.Copy(f, r)
	if err == nil {
		_, err = f.Seek(0, io.SeekStart)
	}
	if err != nil {
		end()
		return seekCloser{}, err
	}
	return seekCloser{f, end}, nil
}
