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
	if !f.Any() {
		return f, fault.New(fault.Invalid, "catalog.bad_frames", short(text)).WithHint("catalog.bad_frames.hint")
	}
	return f, f.check()
}

// twoNumbers tells "K1-100-K1-199" apart at its second dash, which is between
// two numbers, from "JK2-500", which is one: both ends of a range have the same
// prefix, or none and one length.
func twoNumbers(from, to string) bool {
	prefixFrom, running := frameParts(from)
	prefixTo, _ := frameParts(to)
	return running != "" && prefixFrom == prefixTo && (prefixFrom != "" || len(Normal(from)) == len(Normal(to)))
}

func (f Frames) check() error {
	for _, end := range []string{f.From, f.To} {
		if _, number := frameParts(end); end != "" && number == "" {
			return fault.New(fault.Invalid, "catalog.bad_frame", short(end)).WithHint("catalog.bad_frames.hint")
		}
	}
	if order, ok := frameOrder(f.To, f.From); f.From != "" && f.To != "" && (!ok || order < 0) {
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
	within := Inside
	for _, end := range []struct {
		printed string
		beyond  int
	}{{f.From, -1}, {f.To, 1}} {
		if end.printed == "" {
			continue
		}
		switch order, ok := frameOrder(number, end.printed); {
		case ok && order == end.beyond:
			return Outside
		case !ok:
			within = Unclear
		}
	}
	return within
}

// apart reports whether no number can be one of both.
func (f Frames) apart(g Frames) bool {
	before := func(a, b Frames) bool {
		order, ok := frameOrder(a.To, b.From)
		return a.To != "" && b.From != "" && ok && order < 0
	}
	return before(f, g) || before(g, f)
}

// frameOrder compares a frame number with one that is printed in a list, at
// the printed one's running number: -1, 0 or 1 where number comes before, at
// or after it; ok is false where they cannot be compared.
func frameOrder(number, printed string) (order int, ok bool) {
	prefix, running := frameParts(printed)
	rest, found := strings.CutPrefix(Normal(number), prefix)
	if !found || running == "" || len(rest) != len(running) || strings.Trim(rest, "0123456789") != "" {
		return 0, false
	}
	return strings.Compare(rest, running), true // as many digits each: the order of texts is that of numbers
}

// frameParts gives the prefix of a frame number in normal form, and its
// running number, as it is printed: the digits at its end.
func frameParts(printed string) (prefix, running string) {
	printed = strings.TrimSpace(printed)
	head := strings.TrimRight(printed, "0123456789")
	return Normal(head), printed[len(head):]
}
