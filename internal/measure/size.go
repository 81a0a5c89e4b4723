package measure

import (
	"strings"

	"forkstock/internal/fault"
)

// Size is the size of a ring-shaped part: a seal, wiper, bushing, washer or
// clip. Zero in a field means that it is not known.
type Size struct {
	Inner   Length // inner diameter
	Outer   Length // outer diameter
	Height  Length // of the body; a bushing's length, a washer's thickness
	Overall Length // height with lips and all, where it is stated apart
}

// ParseSize reads the sizes of a ring as lists print them:
//
//	39x52x11  39×52×11  39 X 52 X 11  39*52*11 mm  39-52-11   inner, outer, height
//	39x52x11/12.5  43x55x9.5x10.5                             and overall height
//	39x52  10/14  10/14x1.5                                   d/d2: inner and outer
//	39x?x11  ?x52                                             "?" is not known
//
// Each number is a length as ParseLength reads it, so a decimal comma, "mm"
// and inch marks may stand behind it. Hyphens need three numbers or more. It
// returns an Invalid fault for any other text and where Check does.
func ParseSize(text string) (Size, error) {
	s, ok := tidy(text)
	if !ok {
		return Size{}, bad("bad_size", "size", text)
	}
	field := sizeFields(s)
	if len(field) < 2 || len(field) > 4 {
		return Size{}, bad("bad_size", "size", text)
	}
	var n [4]Length
	for i, f := range field {
		if f = strings.TrimSpace(f); f == "?" {
			continue
		}
		var err error
		if n[i], err = ParseLength(f); err != nil {
			return Size{}, bad("bad_size", "size", text)
		}
	}
	size := Size{n[0], n[1], n[2], n[3]}
	if size == (Size{}) {
		return Size{}, bad("bad_size", "size", text)
	}
	if err := size.Check(); err != nil {
		return Size{}, err
	}
	return size, nil
}

var crosses = strings.NewReplacer("X", "x", "×", "x", "✕", "x", "*", "x")

// sizeFields takes the text of a size apart, or returns nil.
func sizeFields(s string) []string {
	s = crosses.Replace(s)
	field := strings.Split(s, "x")
	if len(field) == 1 {
		if field = strings.Split(s, "-"); len(field) == 2 {
			return nil
		}
	}
	first, last := field[0], field[len(field)-1]
	if a, b, ok := strings.Cut(last, "/"); ok && len(field) == 3 && !isFraction(last) {
		return []string{field[0], field[1], a, b}
	}
	if a, b, ok := strings.Cut(first, "/"); ok && len(field) < 3 && !isFraction(first) {
		return append([]string{a, b}, field[1:]...)
	}
	return field
}

// Check returns an Invalid fault where the known fields cannot be one ring:
// outer not above inner, overall below height, a length out of range.
func (s Size) Check() error {
	for _, l := range []Length{s.Inner, s.Outer, s.Height, s.Overall} {
		if l < 0 || l > longestLen {
			return fault.New(fault.Invalid, "measure.length_range", l, longestLen).WithHint("measure.hint_size")
		}
	}
	if s.Inner != 0 && s.Outer != 0 && s.Outer <= s.Inner {
		return fault.New(fault.Invalid, "measure.outer_not_above", s, s.Outer, s.Inner).WithHint("measure.hint_size")
	}
	if s.Overall != 0 && s.Overall < s.Height {
		return fault.New(fault.Invalid, "measure.overall_below", s, s.Overall, s.Height).WithHint("measure.hint_size")
	}
	return nil
}

// String gives s in ASCII, as in "39x52x11/12.5"; "?" where a number before
// the last known one is not known, "" where none is.
func (s Size) String() string { return s.write("x", '.') }

// Screen gives s with that decimal mark and U+00D7 between the numbers.
func (s Size) Screen(mark rune) string { return s.write("×", mark) }

func (s Size) write(cross string, mark rune) string {
	if s == (Size{}) {
		return ""
	}
	show := func(l Length) string {
		if l == 0 {
			return "?"
		}
		return l.Screen(mark)
	}
	text := show(s.Inner) + cross + show(s.Outer)
	if s.Height != 0 || s.Overall != 0 {
		text += cross + show(s.Height)
	}
	if s.Overall != 0 {
		text += "/" + show(s.Overall)
	}
	return text
}
