package gs1

import (
	"strings"
	"unicode/utf8"

	"forkstock/internal/fault"
)

// GS is the byte by which readers send the function character FNC1.
const GS = '\x1d'

// markers are what may stand in front of an element string: the AIM
// identifiers of the four GS1 symbols (ISO/IEC 15424) and a leading FNC1.
var markers = []string{"]C1", "]e0", "]d2", "]Q3", string(GS)}

// Parse splits the text of a GS1 symbol into its elements and checks each
// value: length, characters, check digit, date. A leading AIM identifier or
// GS is taken off. An AI that stands twice must say the same twice.
//
// Errors are of kind invalid.
func Parse(text string) (Elements, error) {
	rest := text
	for _, m := range markers {
		rest = strings.TrimPrefix(rest, m)
	}
	if rest == "" {
		return nil, fault.New(fault.Invalid, "gs1.empty").WithHint("gs1.hint")
	}
	var all Elements
	for rest != "" {
		e, tail, err := next(rest)
		if err != nil {
			return nil, err.WithHint("gs1.hint")
		}
		if old, ok := all.Get(e.AI); ok && old != e.Value {
			return nil, fault.New(fault.Invalid, "gs1.twice", e.AI, old, e.Value).WithHint("gs1.hint")
		}
		all, rest = append(all, e), tail
	}
	return all, nil
}

// next takes one element off the front. A value of predefined length ends by
// itself, any other at GS or at the end.
func next(text string) (e Element, tail string, err *fault.Error) {
	ai, f, ok := lookup(text)
	if !ok {
		return e, "", fault.New(fault.Invalid, "gs1.unknown_ai", shown(text, 4))
	}
	body := text[len(ai):]
	value, tail, _ := strings.Cut(body, string(GS))
	if n, fixed := predefined[ai[:2]]; fixed {
		n -= len(ai)
		if len(value) < n {
			return e, "", fault.New(fault.Invalid, "gs1.bad_value", ai, shown(value, 40))
		}
		value, tail = body[:n], strings.TrimPrefix(body[n:], string(GS))
	}
	if !f.accepts(value) {
		return e, "", fault.New(fault.Invalid, "gs1.bad_value", ai, shown(value, 40))
	}
	return Element{ai, value}, tail, nil
}

// shown gives the first bytes of text for a message, made printable.
func shown(text string, n int) string {
	cut := text[:min(n, len(text))]
	if !utf8.ValidString(cut) {
		cut = strings.ToValidUTF8(cut, "?")
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return '?'
		}
		return r
	}, cut)
}
