package gs1

import (
	"strings"

	"forkstock/internal/fault"
)

// ParseBracketed reads elements as labels print them, (01)09520123456788(10)B-42.
// A bracket in a value that opens no element has a backslash in front. Values
// are checked as Parse does. Errors are of kind invalid.
func ParseBracketed(text string) (Elements, error) {
	var all Elements
	for rest := text; rest != ""; {
		ai, tail, ok := strings.Cut(strings.TrimPrefix(rest, "("), ")")
		f, known := formats[ai]
		if rest[0] != '(' || !ok || !known {
			return nil, fault.New(fault.Invalid, "gs1.unknown_ai", shown(rest, 6)).WithHint("gs1.hint")
		}
		var value string
		value, rest = cutBracket(tail)
		if err := all.add(f, value); err != nil {
			return nil, err.WithHint("gs1.hint")
		}
	}
	if all == nil {
		return nil, fault.New(fault.Invalid, "gs1.empty").WithHint("gs1.hint")
	}
	return all, nil
}

// cutBracket gives what stands before the next bracket without a backslash.
func cutBracket(text string) (value, rest string) {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		switch {
		case strings.HasPrefix(text[i:], `\(`):
			i++
			b.WriteByte('(')
		case text[i] == '(':
			return b.String(), text[i:]
		default:
			b.WriteByte(text[i])
		}
	}
	return b.String(), ""
}

// add checks a value of f and adds it. An AI that stands twice must say the
// same twice.
func (es *Elements) add(f *format, value string) *fault.Error {
	if why := f.wrong(value); why != "" {
		return fault.New(fault.Invalid, "gs1.bad_value", f.ai, shown(value, 40), fault.Say(why))
	}
	if old, ok := es.Get(f.ai); ok && old != value {
		return fault.New(fault.Invalid, "gs1.twice", f.ai, old, value)
	}
	*es = append(*es, Element{f.ai, value})
	return nil
}
