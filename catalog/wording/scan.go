package wording

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"forkstock/internal/measure"
)

// The kinds of tokens.
const (
	word   = 'w' // letters
	number = 'n' // digits, with a decimal mark between them
	mark   = 'm' // any other sign
)

// A token is a run of letters, a number or a sign of a description.
type token struct {
	kind     byte
	sign     byte // of a mark, see signOf; 'x' also for the letter alone
	glued    bool // no space in front of it
	used     bool // what it says is taken
	bad      bool // a number that is none, such as 1.2.3
	whole    bool // a number without a decimal mark
	zero     bool // a number that begins with 0 and another digit
	inch     bool // a number with its inch mark
	from, to int  // bytes of the description

	keyFrom, keyTo int            // its folded letters or digits, in reader.folded
	value          measure.Length // of a number in mm, 0 where it is above 9999 or too fine
	num            int            // of a whole number
	digits         int            // of a number, before its decimal mark
	meaning                       // of a word
	known          bool           // it has one
}

// signOf gives the sign that a rune stands for: crosses are 'x', dashes '-',
// other runes beyond ASCII '?'.
func signOf(r rune) byte {
	switch r {
	case '×', '✕', '*', '⨯':
		return 'x'
	case '–', '—', '−', '‐', '‑':
		return '-'
	case '’', '‘', '´', '`':
		return '\''
	case 'ø', 'Ø', '⌀', '∅':
		return 'o'
	case '→', '›', '»':
		return '>'
	}
	if r < utf8.RuneSelf {
		return byte(r)
	}
	return '?'
}

// scan takes the description apart.
func (r *reader) scan() {
	glued := false
	for at := 0; at < len(r.text); {
		c, size := rune(r.text[at]), 1
		if c >= utf8.RuneSelf {
			c, size = utf8.DecodeRuneInString(r.text[at:])
		}
		t := token{from: at, to: at + size, glued: glued, kind: mark}
		switch {
		case c == ' ' || unicode.IsSpace(c):
			at, glued = at+size, false
			continue
		case '0' <= c && c <= '9', c == '.' && r.pointed(at, glued):
			r.scanNumber(&t, len(r.text))
			r.fold(&t)
		case signOf(c) == 'o' && c >= utf8.RuneSelf && !r.letterAt(at+size):
			t.sign = 'o'
		case c != '×' && isLetter(c):
			r.scanWord(&t)
		default:
			t.sign = signOf(c)
		}
		at, glued = t.to, true
		r.tokens = append(r.tokens, t)
		if t.is&(pieceWord|pairWord) != 0 {
			r.parted(len(r.tokens) - 2)
		}
	}
}

// parted takes a number before "pcs" or the like for two where its comma is
// none of a decimal number: 43x54x11,2 pcs.
func (r *reader) parted(at int) {
	if at < 0 || r.tokens[at].kind != number || r.tokens[at].whole || r.tokens[at].bad {
		return
	}
	t := r.tokens[at]
	comma := t.from + strings.IndexAny(r.text[t.from:t.to], ".,")
	switch r.text[comma+1 : t.to] {
	case "1", "2", "4", "10":
	default:
		return
	}
	if r.text[comma] != ',' {
		return
	}
	first, second := token{from: t.from, glued: t.glued}, token{from: comma + 1}
	r.scanNumber(&first, comma)
	r.scanNumber(&second, t.to)
	first.keyFrom, first.keyTo = t.keyFrom, t.keyFrom+comma-t.from
	second.keyFrom, second.keyTo = first.keyTo, t.keyTo
	r.tokens[at] = first
	r.tokens = slices.Insert(r.tokens, at+1, second)
}

func isLetter(c rune) bool {
	return 'a' <= c|0x20 && c|0x20 <= 'z' || c >= utf8.RuneSelf && (unicode.IsLetter(c) || unicode.Is(unicode.Mn, c))
}

// letterAt reports whether a letter begins at a byte of the text.
func (r *reader) letterAt(at int) bool {
	c, _ := utf8.DecodeRuneInString(r.text[at:])
	return isLetter(c)
}

func (r *reader) scanWord(t *token) {
	t.kind = word
	for t.to < len(r.text) {
		c, size := utf8.DecodeRuneInString(r.text[t.to:])
		if !isLetter(c) {
			break
		}
		t.to += size
	}
	t.keyFrom = len(r.folded)
	r.folded = appendFolded(r.folded, r.text[t.from:t.to])
	if long, ok := spelt[string(r.folded[t.keyFrom:])]; ok {
		r.folded = append(r.folded[:t.keyFrom], long...)
	}
	r.mistyped(t.keyFrom)
	t.keyTo = len(r.folded)
	if t.keyTo-t.keyFrom == 1 && r.folded[t.keyFrom] == 'x' {
		t.sign = 'x'
	}
	t.meaning, t.known = lex.meaningOf(r.folded[t.keyFrom:])
	switch rest := r.text[t.from:]; { // with, without
	case t.to-t.from == 1 && (strings.HasPrefix(rest, "W/O ") || strings.HasPrefix(rest, "w/o ")):
		t.to, t.is = t.to+2, before
	case t.to-t.from == 1 && (strings.HasPrefix(rest, "W/ ") || strings.HasPrefix(rest, "w/ ")):
		t.to, t.is = t.to+1, joining|along
	}
}

// mistyped mends the short word that begins at a byte of folded where it stands
// behind "fork", "dust" or "oil": "fork seel".
func (r *reader) mistyped(from int) {
	key := r.folded[from:]
	if len(key) < 4 || len(key) > 6 || len(r.tokens) == 0 {
		return
	}
	if _, known := lex.words[string(key)]; known {
		return
	}
	last := r.tokens[len(r.tokens)-1]
	if w := string(r.folded[last.keyFrom:last.keyTo]); w != "fork" && w != "dust" && w != "oil" {
		return
	}
	for _, right := range []string{"seal", "seals", "wiper", "wipers", "spring", "springs"} {
		if oneSlip(string(key), right) {
			r.folded = append(r.folded[:from], right...)
			return
		}
	}
}

// scanNumber takes digits up to a byte of the text, and a decimal mark with at
// most three digits behind it.
func (r *reader) scanNumber(t *token, end int) {
	*t = token{kind: number, from: t.from, glued: t.glued, whole: true}
	digits := func(at int) int {
		for at < end && '0' <= r.text[at] && r.text[at] <= '9' {
			at++
		}
		return at
	}
	t.to = digits(t.from)
	t.digits = t.to - t.from
	if t.digits == 0 { // .43
		t.to = digits(t.from + 1)
		t.whole = false
	}
	t.zero = t.digits > 1 && r.text[t.from] == '0'
	for t.to+1 < end && (r.text[t.to] == '.' || r.text[t.to] == ',') && digits(t.to+1) > t.to+1 {
		next := digits(t.to + 1)
		t.bad = t.bad || !t.whole || next-t.to > 4
		t.whole = false
		t.to = next
	}
	if t.digits <= 4 && !t.bad {
		t.value, _ = measure.ParseLength(r.text[t.from:t.to])
	}
	if t.whole && t.digits <= 6 {
		t.num, _ = strconv.Atoi(r.text[t.from:t.to])
	}
}

// fold appends the digits of a number to what is folded.
func (r *reader) fold(t *token) {
	t.keyFrom = len(r.folded)
	for _, c := range []byte(r.text[t.from:t.to]) {
		if c != '.' && c != ',' {
			r.folded = append(r.folded, c)
		}
	}
	t.keyTo = len(r.folded)
}
