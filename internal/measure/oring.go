package measure

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// ORing is the size of an O-ring.
type ORing struct {
	Dash    int    // AS568 dash number; 0 where the ring was given by its size
	Inner   Length // inner diameter
	Section Length // diameter of the cord
}

var dashForm = regexp.MustCompile(`(?i)^(?:AS ?568[A-Z]?)?(?: ?- ?| )(\d{3})$`)

// ParseORing reads AS568 dash numbers ("AS568-214", "AS568 214", "-214") and
// inner diameter by section ("34x2.4", "34.0 × 2,4 mm"). A dash ring gets the
// millimetres of its inch sizes, rounded half to even to a micrometre; lists
// print them rounded to 0.01 mm, so compare with Near. It returns an Invalid
// fault for any other text, for a dash number that is not in the table, and
// for a section that is not below the inner diameter, unless the table has it.
func ParseORing(text string) (ORing, error) {
	s, ok := tidy(text)
	if !ok {
		return ORing{}, bad("bad_oring", "oring", text)
	}
	if part := dashForm.FindStringSubmatch(s); part != nil {
		dash, _ := strconv.Atoi(part[1])
		inner, section, ok := dashSize(dash)
		if !ok {
			return ORing{}, bad("unknown_dash", "oring", text)
		}
		return ORing{dash, inner.micrometres(), section.micrometres()}, nil
	}
	field := strings.Split(crosses.Replace(s), "x")
	if len(field) != 2 {
		return ORing{}, bad("bad_oring", "oring", text)
	}
	inner, err := ParseLength(strings.TrimSpace(field[0]))
	if err != nil {
		return ORing{}, bad("bad_oring", "oring", text)
	}
	section, err := ParseLength(strings.TrimSpace(field[1]))
	if err != nil {
		return ORing{}, bad("bad_oring", "oring", text)
	}
	if section >= inner {
		return ORing{}, bad("section_not_below", "oring", text, section, inner)
	}
	return ORing{Inner: inner, Section: section}, nil
}

// String gives "AS568-214" or "34x2.4"; "" for the zero ORing.
func (o ORing) String() string { return o.write("x", '.') }

// Screen gives o with that decimal mark and U+00D7, a dash ring with its
// millimetres rounded to hundredths behind it: "AS568-214 (24.99×3.53)".
func (o ORing) Screen(mark rune) string {
	text := o.write("×", mark)
	if inner, section, ok := dashSize(o.Dash); ok {
		text += " (" + ORing{Inner: inner.hundredths(), Section: section.hundredths()}.write("×", mark) + ")"
	}
	return text
}

func (o ORing) write(cross string, mark rune) string {
	switch {
	case o == (ORing{}):
		return ""
	case o.Dash != 0:
		return fmt.Sprintf("AS568-%03d", o.Dash)
	}
	return o.Inner.Screen(mark) + cross + o.Section.Screen(mark)
}

// Near reports whether o and other can be one size in lists, which round to
// 0.01 mm: inner diameter and section at most 5 micrometres apart. 2.4 is not
// near 2.62.
func (o ORing) Near(other ORing) bool {
	return near(o.Inner, other.Inner) && near(o.Section, other.Section)
}

func near(a, b Length) bool { return max(a, b)-min(a, b) <= 5 }
