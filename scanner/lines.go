package scanner

import (
	"bufio"
	"errors"
	"io"
	"slices"
	"strconv"
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
	Elements  gs1.Elements // where an AIM identifier, a sign for FNC1 or its make-up says GS1
	Times     int          // how many packs it stands for: one, or what a line =12 in front of it says
	// Keyboard is the id of the wrong keyboard that the line was typed on and
	// is repaired from, "" for none.
	Keyboard string
}

// Key gives the text under which the shop files the line, as Symbol.Key.
func (l Line) Key() (key string, gtin bool) { return fileUnder(l.Symbology, l.Text, l.Elements) }

// A BadLine is a line that cannot be used, and why.
type BadLine struct {
	Number int
	Err    *fault.Error // of kind invalid, names the line
}

// Waits reports whether a line was refused only because nothing follows it yet:
// the line =12, and how many it says.
func Waits(b BadLine) (n int, ok bool) {
	if b.Err.Message.ID != "scanner.times_nothing" {
		return 0, false
	}
	text, _ := b.Err.Message.Args[1].(string)
	n, err := strconv.Atoi(strings.TrimSpace(strings.TrimPrefix(text, "=")))
	return n, err == nil
}

// Lines reads what a hand scanner typed until the input ends: one scan a
// line, ended by CR, LF, both or TAB; the last may end with the input. Blank
// lines are left out, and so are a byte order mark in front, STX and ETX around
// a line. Bytes that are not UTF-8 are read as Latin-1. The line =12 says that
// the next stands for twelve packs.
//
// A line that was typed on a wrong keyboard is repaired where that is proven
// (see wedge.go), and what a scanner sends around a code is taken off. Both may
// take what the shop knows: known reports whether a
// code, as Key gives it, is one of a part, and is not asked before the input
// has ended. Nil knows nothing.
//
// Lines with control characters other than GS, above MaxLine, with a wrong
// check digit behind an AIM identifier, or typed on a wrong keyboard and not to
// be repaired come back as bad ones; the error is for an input that cannot be
// read to its end.
func Lines(r io.Reader, known func(code string) bool) ([]Line, []BadLine, error) {
	if known == nil {
		known = func(string) bool { return false }
	}
	var all []candidate
	var bad []BadLine
	err := EachLine(r, func(number int, raw []byte) error {
		text, fail := clean(raw, number)
		switch {
		case fail != nil:
			bad = append(bad, BadLine{number, fail.WithHint("scanner.line_hint")})
		case strings.Trim(text, string(gs1.GS)+" ") != "":
			all = append(all, newCandidate(number, text))
		}
		return nil
	})
	good, bad := recognize(all, bad, known)
	return good, bad, err
}

// recognize settles the lines of an input, and adds those that are refused to
// bad, in the order of the input.
func recognize(all []candidate, bad []BadLine, known func(code string) bool) ([]Line, []BadLine) {
	refuse := func(number int, e *fault.Error) {
		if e.Hint.IsZero() {
			e = e.WithHint("scanner.keyboard_hint")
		}
		bad = append(bad, BadLine{number, e})
	}
	z := recognizer{known: known}
	codes := counted(all, known, refuse)
	lines, faults := make([]*reading, len(codes)), make([]*fault.Error, len(codes))
	for i, c := range codes {
		r, ok, fail := c.sure()
		if faults[i] = fail; !ok {
			continue
		}
		lines[i] = &r
		z.plain = z.plain || r.named && r.keyboard == ""
		if r.keyboard != "" {
			z.typed = r.keyboard
		}
	}
	var good []Line
	for i, c := range codes {
		if lines[i] == nil && faults[i] == nil {
			var r reading
			if r, faults[i] = z.settle(c); faults[i] == nil {
				faults[i] = unusable(c.number, r)
			}
			lines[i] = &r
		}
		if faults[i] != nil {
			refuse(c.number, faults[i])
			continue
		}
		l := lines[i].line
		l.Number, l.Times, l.Keyboard = c.number, c.times, lines[i].keyboard
		good = append(good, l)
	}
	slices.SortStableFunc(bad, func(a, b BadLine) int { return a.Number - b.Number })
	return good, bad
}

// counted joins each line =12 to the one behind it.
func counted(all []candidate, known func(code string) bool, refuse func(number int, e *fault.Error)) []candidate {
	var codes []candidate
	waiting := candidate{times: 1}
	for _, c := range all {
		if !times.MatchString(c.text) || known(c.text) {
			c.times, waiting = waiting.times, candidate{times: 1}
			codes = append(codes, c)
			continue
		}
		if waiting.number > 0 {
			refuse(waiting.number, fault.New(fault.Invalid, "scanner.times_nothing", waiting.number, shown(waiting.text)).WithHint("scanner.times_hint"))
		}
		n, fail := count(c.number, c.text)
		if fail != nil {
			refuse(c.number, fail.WithHint("scanner.times_hint"))
			n = 1
		}
		if waiting = c; fail != nil {
			waiting.number = 0
		}
		waiting.times = n
	}
	if waiting.number > 0 {
		refuse(waiting.number, fault.New(fault.Invalid, "scanner.times_nothing", waiting.number, shown(waiting.text)).WithHint("scanner.times_hint"))
	}
	return codes
}

// unusable tells of a line that an AIM identifier says more of than is true.
func unusable(number int, r reading) *fault.Error {
	switch {
	case r.named && r.line.Text == "":
		return fault.New(fault.Invalid, "scanner.line_bare", number).WithHint("scanner.line_hint")
	case !r.named || r.proven:
		return nil
	}
	switch r.line.Symbology {
	case EAN13, EAN8, UPCA, UPCE:
		return fault.New(fault.Invalid, "scanner.line_check", number, shown(r.line.Text)).WithHint("scanner.keyboard_hint")
	}
	return nil
}

// EachLine calls do with each line that a hand scanner types, without its end
// and cut one byte above MaxLine, as soon as it has ended; number is that of a
// Line. It stops at an error of do, and gives it. Errors: Invalid (the input
// broke off).
func EachLine(r io.Reader, do func(number int, raw []byte) error) error {
	in := bufio.NewReader(r)
	var line []byte
	number, last := 1, byte(0)
	for {
		b, err := in.ReadByte()
		switch {
		case errors.Is(err, io.EOF) && len(line) == 0:
			return nil
		case errors.Is(err, io.EOF):
			return do(number, line)
		case err != nil:
			return fault.New(fault.Invalid, "scanner.input_lost", number).WithHint("scanner.input_lost_hint").WithCause(err)
		case b == '\n' && (last == '\r' || last == '\t') || b == '\r' && last == '\t': // of the end before
		case b == '\n' || b == '\r' || b == '\t':
			if err := do(number, line); err != nil {
				return err
			}
			line, number = nil, number+1
		case len(line) <= MaxLine:
			line = append(line, b)
		}
		last = b
	}
}

// clean gives the text of a line, as it was typed.
func clean(raw []byte, number int) (string, *fault.Error) {
	if len(raw) > MaxLine {
		return "", fault.New(fault.Invalid, "scanner.line_long", number, MaxLine)
	}
	text := valid(string(raw))
	if number == 1 {
		text = strings.TrimPrefix(text, "\ufeff")
	}
	text = strings.Trim(strings.TrimSuffix(strings.TrimPrefix(text, "\x02"), "\x03"), " ")
	for _, r := range text {
		if r != gs1.GS && (r < ' ' || r >= 0x7f && r < 0xa0) {
			return "", fault.New(fault.Invalid, "scanner.line_control", number, int(r))
		}
	}
	return text, nil
}

// identify takes an AIM identifier (ISO/IEC 15424) off the front of text and
// says which symbology it means, and whether there was one. Without one, text
// is elements where a sign for FNC1 or brackets say so, or where it begins with
// a GTIN (AI 01, 02), and all of it can be read as elements; and so is a GS1
// Digital Link.
func identify(text string) (symbology, rest string, elements gs1.Elements, named bool) {
	rest = text
	if len(text) >= 3 && text[0] == ']' {
		if symbology, named = aim(text[1:3], text[3:]); named {
			rest = text[3:]
		}
	}
	if named {
		rest, _, _ = strings.Cut(rest, "|]e0") // the part above a linear symbol
	}
	isGS1 := named && slices.Contains([]string{"C1", "Q3", "d2", "e0", "J1"}, text[1:3])
	rest = strings.Trim(strings.TrimLeft(rest, string(gs1.GS)), " ")
	switch {
	case isGS1 || !named && strings.ContainsRune(text, gs1.GS):
		elements, _ = gs1.Parse(rest)
	case !named:
		elements = unmarked(rest)
	case symbology == QR || symbology == DataMatrix:
		elements = elementsOf(symbology, rest)
	case text[1:3] == "E3" && len(rest) > 13: // with an add-on of two or five digits
		rest = rest[:13]
	}
	return symbology, rest, elements, named
}

// ElementsOf gives the elements of a scan, of a picture or a hand scanner, that
// was kept as its symbology and text; nil where it has none.
func ElementsOf(symbology, text string) gs1.Elements {
	switch {
	case symbology != "":
		return elementsOf(symbology, text)
	case strings.ContainsRune(text, gs1.GS):
		elements, _ := gs1.Parse(text)
		return elements
	}
	return unmarked(text)
}

// unmarked gives the elements of a text without AIM identifier.
func unmarked(text string) gs1.Elements {
	if elements, err := gs1.ParseLink(text); err == nil {
		return elements
	}
	elements, err := gs1.ParseTyped(text)
	if err != nil {
		return nil
	}
	inside := len(text) >= 16 && (strings.HasPrefix(text, "01") || strings.HasPrefix(text, "02"))
	if plain, err := gs1.Parse(text); err == nil && len(plain) > 0 && !inside {
		return nil // nothing says that it is more than a number
	}
	return elements
}

// aim gives the symbology of an AIM code character and modifier in front of
// text: "" for ]e0, GS1 DataBar, and ]J0, ]J1, DotCode, which have no name here. Scanners that send UPC codes as printed, not filled up to 13 digits,
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
	case "E3":
		return EAN13, true
	case "E4":
		return EAN8, true
	case "C1":
		return GS1128, true
	case "Q3":
		return GS1QR, true
	case "d2":
		return GS1DataMatrix, true
	case "e0", "J0", "J1":
		return "", true
	}
	name, known := map[byte]string{'A': Code39, 'C': Code128, 'F': Codabar, 'G': Code93, 'I': ITF, 'Q': QR, 'd': DataMatrix}[id[0]]
	return name, known && id[1] >= '0' && id[1] <= '9'
}

// valid gives text as it stands if it is UTF-8, else read as Latin-1.
func valid(text string) string {
	if utf8.ValidString(text) {
		return text
	}
	return latin1([]byte(text))
}
