package scanner

import (
	"bufio"
	"errors"
	"io"
	"strings"
	"unicode/utf8"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// MaxLine is the longest line that a hand scanner may send, in bytes.
const MaxLine = 4096

// A Line is one scan of a hand scanner.
type Line struct {
	// Number is that of the line in the input, from 1, blank lines counted. A
	// TAB between two scans ends a line like CR and LF do.
	Number    int
	Symbology string       // "" unless an AIM identifier (]E0 and so on) says it
	Text      string       // trimmed, valid UTF-8, without AIM identifier and leading FNC1
	Elements  gs1.Elements // where an AIM identifier or a GS in the text says GS1
}

// Key gives the text under which the shop files the line, as Symbol.Key.
func (l Line) Key() (key string, gtin bool) { return fileUnder(l.Symbology, l.Text, l.Elements) }

// A BadLine is a line that cannot be used, and why.
type BadLine struct {
	Number int
	Err    *fault.Error // of kind invalid, names the line
}

// Lines reads what a hand scanner typed until the input ends: one scan a
// line, ended by CR, LF, both or TAB; the last may end with the input. Blank
// lines are left out and a byte order mark in front is. Bytes that are not
// UTF-8 are read as Latin-1. Lines with control characters other than GS and
// lines above MaxLine come back as bad ones; the error is for an input that
// cannot be read to its end.
func Lines(r io.Reader) ([]Line, []BadLine, error) {
	var good []Line
	var bad []BadLine
	s := splitter{r: bufio.NewReader(r)}
	for {
		raw, err := s.next()
		if errors.Is(err, io.EOF) {
			return good, bad, nil
		}
		if err != nil {
			return good, bad, fault.New(fault.Invalid, "scanner.input_lost", s.number).
				WithHint("scanner.input_lost_hint").WithCause(err)
		}
		line, fail := parseLine(raw, s.number)
		switch {
		case fail != nil:
			bad = append(bad, BadLine{s.number, fail.WithHint("scanner.line_hint")})
		case line.Text != "":
			good = append(good, line)
		}
	}
}

// A splitter cuts an input into lines and counts them.
type splitter struct {
	r      *bufio.Reader
	number int // of the line that next gave
}

// next gives the next line without its end, cut one byte above MaxLine.
func (s *splitter) next() ([]byte, error) {
	var line []byte
	s.number++
	for {
		b, err := s.r.ReadByte()
		switch {
		case errors.Is(err, io.EOF) && len(line) > 0:
			return line, nil
		case err != nil:
			return nil, err
		case b == '\n' || b == '\r' || b == '\t':
			s.finish(b)
			return line, nil
		case len(line) <= MaxLine:
			line = append(line, b)
		}
	}
}

// finish takes what belongs to the line end that began with b: the LF of CR
// LF, and CR, LF or both behind a TAB.
func (s *splitter) finish(b byte) {
	if b == '\t' {
		b = s.skip("\r\n")
	}
	if b == '\r' {
		s.skip("\n")
	}
}

// skip takes the next byte if it is one of set, and gives it.
func (s *splitter) skip(set string) byte {
	next, err := s.r.Peek(1)
	if err != nil || strings.IndexByte(set, next[0]) < 0 {
		return 0
	}
	_, _ = s.r.ReadByte()
	return next[0]
}

func parseLine(raw []byte, number int) (Line, *fault.Error) {
	if len(raw) > MaxLine {
		return Line{}, fault.New(fault.Invalid, "scanner.line_long", number, MaxLine)
	}
	text := valid(string(raw))
	if number == 1 {
		text = strings.TrimPrefix(text, "\ufeff")
	}
	for _, r := range text {
		if r != gs1.GS && (r < ' ' || r >= 0x7f && r < 0xa0) {
			return Line{}, fault.New(fault.Invalid, "scanner.line_control", number, int(r))
		}
	}
	line := Line{Number: number}
	line.Symbology, line.Text, line.Elements = identify(strings.Trim(text, " "))
	if text != "" && line.Text == "" && line.Symbology != "" {
		return Line{}, fault.New(fault.Invalid, "scanner.line_bare", number)
	}
	return line, nil
}

// identify takes an AIM identifier (ISO/IEC 15424) off the front of text and
// says which symbology it means.
func identify(text string) (symbology, rest string, elements gs1.Elements) {
	rest, isGS1 := text, strings.ContainsRune(text, gs1.GS)
	if len(text) >= 3 && text[0] == ']' {
		if s, known := aim(text[1:3], text[3:]); known {
			symbology, rest = s, text[3:]
			isGS1 = isGS1 || s == GS1128 || s == GS1QR || s == GS1DataMatrix || s == ""
		}
	}
	rest = strings.TrimLeft(rest, string(gs1.GS))
	if isGS1 {
		elements, _ = gs1.Parse(rest)
	}
	return symbology, strings.Trim(rest, " "), elements
}

// aim gives the symbology of an AIM code character and modifier in front of
// text: "" for ]e0, GS1 DataBar, which has no name here but is GS1 all the
// same. Scanners that send UPC codes as printed, not filled up to 13 digits,
// are told by the length.
func aim(id, text string) (symbology string, known bool) {
	switch id {
	case "E0":
		switch len(text) {
		case 8:
			return UPCE, true
		case 12:
			return UPCA, true
		}
		return EAN13, true
	case "E4":
		return EAN8, true
	case "C1":
		return GS1128, true
	case "Q3":
		return GS1QR, true
	case "d2":
		return GS1DataMatrix, true
	case "e0":
		return "", true
	}
	name, known := map[byte]string{'A': Code39, 'C': Code128, 'I': ITF, 'Q': QR, 'd': DataMatrix}[id[0]]
	return name, known && id[1] >= '0' && id[1] <= '9'
}

// valid gives text as it stands if it is UTF-8, else read as Latin-1.
func valid(text string) string {
	if utf8.ValidString(text) {
		return text
	}
	runes := make([]rune, len(text))
	for i := range len(text) {
		runes[i] = rune(text[i])
	}
	return string(runes)
}
