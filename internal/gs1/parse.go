package gs1

import (
	"strings"
	"unicode/utf8"

	"forkstock/internal/fault"
)

// GS is the byte by which readers send the function character FNC1.
const GS = '\x1d'

// markers are what may stand in front of an element string: the AIM
// identifiers of the five GS1 symbols (ISO/IEC 15424) and a leading FNC1.
var markers = []string{"]C1", "]e0", "]d2", "]Q3", "]J1", string(GS)}

// Parse splits the text of a GS1 symbol into its elements and checks each
// value: length, characters, check digit, date. A leading AIM identifier or
// GS is taken off. An AI that stands twice must say the same twice. What is
// odd beyond that, Elements.Warnings tells.
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
		f, ok := lookup(rest)
		if !ok {
			return nil, fault.New(fault.Invalid, "gs1.unknown_ai", shown(rest, 4)).WithHint("gs1.hint")
		}
		var value string
		value, rest = f.cut(rest[len(f.ai):])
		if err := all.add(f, value); err != nil {
			return nil, err.WithHint("gs1.hint")
		}
	}
	return all, nil
}

// cut takes the value off the front. One of predefined length ends by itself,
// any other at GS or at the end.
func (f *format) cut(body string) (value, rest string) {
	value, rest, _ = strings.Cut(body, string(GS))
	n, fixed := predefined[f.ai[:2]]
	if n -= len(f.ai); fixed && len(value) >= n {
		return body[:n], strings.TrimPrefix(body[n:], string(GS))
	}
	return value, rest
}

// String writes the elements as labels print them, so that ParseBracketed
// reads the same.
func (es Elements) String() string {
	var b strings.Builder
	for _, e := range es {
		b.WriteString("(" + e.AI + ")" + strings.ReplaceAll(e.Value, "(", `\(`))
	}
	return b.String()
}

// spoken are what hand scanners, or the computers behind them, type for FNC1:
// its name in brackets, an escape, the picture of the character (U+241D), what
// Alt+29 gives (code page 437), and the characters that scanners are set to
// send instead, none of which can stand in a value. Common practice, no
// source; the code page is IBM's 437.
var spoken = strings.NewReplacer(
	"{GS}", "\x1d", "<GS>", "\x1d", "[GS]", "\x1d", "{FNC1}", "\x1d", "<FNC1>", "\x1d", "[FNC1]", "\x1d",
	`\x1d`, "\x1d", `\x1D`, "\x1d", `\u001d`, "\x1d", `\u001D`, "\x1d",
	"\u241d", "\x1d", "\u2194", "\x1d", "^]", "\x1d", "^", "\x1d", "|", "\x1d", "~", "\x1d", "@", "\x1d",
)

// ParseTyped reads elements as a hand scanner types them: as Parse does, with
// whatever stands for FNC1, or as ParseBracketed does. Errors are of kind
// invalid.
func ParseTyped(text string) (Elements, error) {
	if strings.HasPrefix(text, "(") {
		return ParseBracketed(text)
	}
	return Parse(spoken.Replace(text))
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
