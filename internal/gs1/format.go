package gs1

import (
	"strconv"
	"strings"
)

// alphabets are the characters of each class: digits, then tables 7.11-1 and
// 7.11-2 of the General Specifications, then RFC 4648, section 5.
var alphabets = map[byte]string{
	'n': "0123456789",
	'x': "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz",
	'y': "#-/0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ",
	'z': "-0123456789=ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz",
}

// A piece is one part of a value.
type piece struct {
	class    byte // n, x, y or z
	min, max int
	optional bool
	checks   []string // names of checks.go
}

// A format is what is known of one AI.
type format struct {
	ai     string
	pieces []piece
	needs  [][]string // one of these groups must be on the item
	bars   []string   // none of these may
	data   bool       // may be a data attribute of a Digital Link
	key    bool       // may be the key of one
	paths  [][]string // with one of these after it, in order
}

// formats is facts, one entry an AI.
var formats = expand(facts)

func expand(facts string) map[string]*format {
	all := map[string]*format{}
	for line := range strings.Lines(strings.TrimSpace(facts)) {
		columns := strings.Split(line, "|")
		for len(columns) < 5 {
			columns = append(columns, "")
		}
		for _, span := range strings.Fields(columns[0]) {
			first, last, ranged := strings.Cut(span, "-")
			if !ranged {
				last = first
			}
			for ai := first; ; ai = following(ai) {
				all[ai] = newFormat(ai, columns)
				if ai == last {
					break
				}
			}
		}
	}
	return all
}

// following gives the AI whose number is the next, of the same length.
func following(ai string) string {
	n, _ := strconv.Atoi(ai)
	next := strconv.Itoa(n + 1)
	return strings.Repeat("0", len(ai)-len(next)) + next
}

func newFormat(ai string, columns []string) *format {
	f := &format{ai: ai}
	for _, w := range strings.Fields(columns[1]) {
		f.pieces = append(f.pieces, newPiece(w))
	}
	for _, group := range strings.Fields(columns[2]) {
		f.needs = append(f.needs, strings.Split(group, "&"))
	}
	for _, bar := range strings.Fields(columns[3]) {
		if bar == "same" {
			bar = ai[:3] + "*"
		}
		f.bars = append(f.bars, bar)
	}
	for _, word := range strings.Fields(columns[4]) {
		switch word {
		case ".":
			f.data = true
		case "key":
			f.key, f.data = true, true
		default:
			f.paths = append(f.paths, strings.Split(word, ">"))
		}
	}
	return f
}

// newPiece reads n14:sum, x1-20? and the like.
func newPiece(w string) piece {
	words := strings.Split(w, ":")
	size, optional := strings.CutSuffix(words[0][1:], "?")
	least, most, variable := strings.Cut(size, "-")
	if !variable {
		most = least
	}
	p := piece{class: words[0][0], optional: optional, checks: words[1:]}
	p.min, _ = strconv.Atoi(least)
	p.max, _ = strconv.Atoi(most)
	return p
}

// lookup finds the AI at the front of text; no AI is the beginning of another.
func lookup(text string) (*format, bool) {
	for n := 2; n <= 4 && n <= len(text); n++ {
		if f, ok := formats[text[:n]]; ok {
			return f, true
		}
	}
	return nil, false
}

// wrong gives why value cannot be one of f, by the ids of words ("" for a good
// one): pieces that are too long or short, characters of another class, and
// what hard checks find.
func (f *format) wrong(value string) string {
	return f.walk(value, func(p piece, text string) string {
		if why := p.strange(text); why != "" {
			return why
		}
		for _, name := range p.checks {
			if hard[name] {
				if why := checks[name](text); why != "" {
					return why
				}
			}
		}
		return ""
	})
}

// odd gives what checks that are not hard find in a value that is not wrong.
func (f *format) odd(value string) string {
	return f.walk(value, func(p piece, text string) string {
		for _, name := range p.checks {
			if !hard[name] {
				if why := checks[name](text); why != "" {
					return why
				}
			}
		}
		if p.class == 'z' {
			return padded(text)
		}
		return ""
	})
}

// walk cuts value into the pieces of f and stops at the first that do finds
// fault with, or that is too short or left over.
func (f *format) walk(value string, do func(p piece, text string) string) string {
	for _, p := range f.pieces {
		if value == "" && p.optional {
			return ""
		}
		n := min(len(value), p.max)
		if n < p.min {
			return "gs1.why.short"
		}
		if why := do(p, value[:n]); why != "" {
			return why
		}
		value = value[n:]
	}
	if value != "" {
		return "gs1.why.long"
	}
	return ""
}

// strange tells of characters that are not of the class of p.
func (p piece) strange(text string) string {
	for i := range len(text) {
		if strings.IndexByte(alphabets[p.class], text[i]) < 0 {
			if p.class == 'n' {
				return "gs1.why.digits"
			}
			return "gs1.why.letters"
		}
	}
	return ""
}
