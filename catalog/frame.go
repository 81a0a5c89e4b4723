package catalog

import (
	"strings"

	"forkstock/internal/fault"
)

// Frames are the frame numbers from one to another, both ends included. A
// frame number is a prefix and a running number at its end; only numbers with
// the same prefix and as many characters have an order, that of the running
// number. Spaces, dashes and the case of letters do not count.
type Frames struct {
	From string // as printed; empty: from the first on
	To   string // empty: to the last
}

// Within tells whether a frame number is one of some.
type Within int

// What can be said of a frame number.
const (
	Unclear Within = iota // another prefix or length, or no number at its end: nothing can be said
	Inside
	Outside
)

// ParseFrames reads "FROM-TO", "FROM-", "-TO" or a single frame number, whose
// parts may hold dashes of their own. The empty text is no frames. Error:
// Invalid.
func ParseFrames(text string) (Frames, error) {
	text = strings.TrimSpace(strings.ReplaceAll(text, "–", "-"))
	if text == "" {
		return Frames{}, nil
	}
	var f Frames
	switch from, open := strings.CutSuffix(text, "-"); {
	case open:
		f.From = strings.TrimSpace(from)
	case strings.HasPrefix(text, "-"):
		f.To = strings.TrimSpace(text[1:])
	default:
		f = Frames{text, text}
		for i, r := range text {
			if r == '-' && twoNumbers(text[:i], text[i+1:]) {
				f = Frames{strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])}
			}
		}
	}
	return f, f.check()
}

// twoNumbers tells "K1-100-K1-199" apart at its second dash, which is between
// two numbers, from "JK2-500", which is one: both ends of a range have one
// length, and neither or both a prefix.
func twoNumbers(from, to string) bool {
	prefixFrom, _ := frameParts(from)
	prefixTo, _ := frameParts(to)
	return len(Normal(from)) == len(Normal(to)) && (prefixFrom == "") == (prefixTo == "")
}

func (f Frames) check() error {
	for _, end := range []string{f.From, f.To} {
		if _, number := frameParts(end); end != "" && number == "" {
			return fault.New(fault.Invalid, "catalog.bad_frame", short(end)).WithHint("catalog.bad_frames.hint")
		}
	}
	if f.From != "" && f.To != "" && frameOrder(f.From, f.To) != Inside {
		return fault.New(fault.Invalid, "catalog.bad_frames", short(f.String())).WithHint("catalog.bad_frames.hint")
	}
	return checkTexts(field{"frame", f.From, mostName}, field{"frame", f.To, mostName})
}

// Any reports whether f limits the frame numbers at all.
func (f Frames) Any() bool { return f.From != "" || f.To != "" }

// String gives "FROM-TO", with an open end left out; one number alone where it
// is all there is. ParseFrames reads it back.
func (f Frames) String() string {
	if !f.Any() || f.From == f.To {
		return f.From
	}
	return f.From + "-" + f.To
}

// Hold tells whether a frame number is one of f. Frames without a limit hold
// every number.
func (f Frames) Hold(number string) Within {
	if !f.Any() {
		return Inside
	}
	low, high := Inside, Inside
	if f.From != "" {
		low = frameOrder(f.From, number)
	}
	if f.To != "" {
		high = frameOrder(number, f.To)
	}
	switch {
	case low == Outside || high == Outside:
		return Outside
	case low == Unclear || high == Unclear:
		return Unclear
	}
	return Inside
}

// frameOrder gives Inside where a comes not after b, Outside where it does.
func frameOrder(a, b string) Within {
	prefixA, numberA := frameParts(a)
	prefixB, numberB := frameParts(b)
	switch {
	case prefixA != prefixB || len(numberA) != len(numberB) || numberA == "":
		return Unclear
	case numberA <= numberB: // as many digits each: the order of texts is that of numbers
		return Inside
	}
	return Outside
}

// apart reports whether no number can be one of both.
func (f Frames) apart(g Frames) bool {
	after := func(a, b Frames) bool { return a.From != "" && b.To != "" && frameOrder(a.From, b.To) == Outside }
	return after(f, g) || after(g, f)
}

// frameParts gives the prefix and the running number of a frame number in
// normal form.
func frameParts(number string) (prefix, running string) {
	number = Normal(number)
	prefix = strings.TrimRight(number, "0123456789")
	return prefix, number[len(prefix):]
}
