package scanner

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// How a typed line is believed. A line that proves itself, by the AIM
// identifier that its scanner put in front, the check digit of a GTIN or the
// make-up of GS1 elements, is what it says. One that does not, but does so as
// typed on another keyboard, is repaired, if there is one such reading only.
// What neither proves may be a maker's own number: where it shows signs of
// another keyboard, or another line of the input was typed on one, a reading
// that the shop knows is taken, and a line without is refused. What shows no
// signs stays as it came: it waits until somebody says what it stands for.

// MaxTimes is how many packs one line can stand for.
const MaxTimes = 999

// times matches the line =12: twelve of what comes next; and whatever else
// begins so, which is a slip in typing it and is refused. With an AIM identifier
// or known to the shop it is a code all the same.
var times = regexp.MustCompile(`^=`)

// A reading is a line as typed on one keyboard.
type reading struct {
	keyboard string // name, "" for the right one
	line     Line
	named    bool // begins with an AIM identifier
	proven   bool
}

// readingOf reads text as it stands.
func readingOf(text, keyboard string) reading {
	r := reading{keyboard: keyboard}
	l := &r.line
	l.Symbology, l.Text, l.Elements, r.named = identify(text)
	switch l.Symbology {
	case EAN13, EAN8, UPCA, UPCE:
		_, r.proven = gs1.Key(l.Symbology, l.Text)
	case GS1128, GS1QR, GS1DataMatrix:
		r.proven = l.Elements != nil
	case "":
		r.proven = l.Elements != nil || !r.named && (len(gs1.Readings(l.Text)) > 0 || gs1.Valid(l.Text))
	default:
		r.proven = l.Text != ""
	}
	if r.named && keyboard != "" && l.Elements != nil {
		// Any digits could be elements behind ]e0: a check digit must say so.
		_, r.proven = l.Elements.Get("00", "01", "02", "8006")
	}
	return r
}

// same reports whether two readings say the same.
func (r reading) same(o reading) bool {
	return r.line.Symbology == o.line.Symbology && r.line.Text == o.line.Text
}

// alike reports whether two readings differ in capital and small letters only.
func (r reading) alike(o reading) bool {
	return r.line.Symbology == o.line.Symbology && strings.EqualFold(r.line.Text, o.line.Text) && key(r) == key(o)
}

// A recognizer settles the lines of one input.
type recognizer struct {
	known func(code string) bool
	typed string // the wrong keyboard that repaired lines came from, "" for none
	plain bool   // some line came by an AIM identifier as it stands
}

// A candidate is a line with all that it can mean.
type candidate struct {
	number int
	text   string
	times  int
	asIs   reading
	other  []reading // as typed on wrong keyboards, no two the same
}

// newCandidate reads a line on every keyboard. Up to three characters that a
// scanner is set to send in front of an AIM identifier are taken off.
func newCandidate(number int, text string) candidate {
	if i := strings.IndexByte(text, ']'); i > 0 && i <= 3 {
		if r := readingOf(text[i:], ""); r.named && r.proven {
			text = text[i:]
		}
	}
	c := candidate{number: number, text: text, times: 1, asIs: readingOf(text, "")}
	for _, k := range keyboards {
		meant, ok := k.read(text)
		if !ok {
			continue
		}
		r := readingOf(strings.Trim(meant, " "), k.name)
		twice := r.same(c.asIs)
		for _, o := range c.other {
			twice = twice || r.same(o)
		}
		if !twice {
			c.other = append(c.other, r)
		}
	}
	return c
}

// sure gives the reading that proves itself. It is not ok where none does, and
// a fault where two do.
func (c candidate) sure() (r reading, ok bool, fail *fault.Error) {
	var proofs []reading
	if c.asIs.proven {
		proofs = append(proofs, c.asIs)
	}
	for _, o := range c.other {
		// What stands as it is gives way to an AIM identifier only: in
		// "]e0..." caps lock may have turned round the E of an EAN-13.
		// Of readings that differ in capital and small letters, which caps
		// lock turns round, the one without caps lock comes first and stands.
		if o.proven && (!c.asIs.proven || o.named) && !slices.ContainsFunc(proofs, o.alike) {
			proofs = append(proofs, o)
		}
	}
	switch len(proofs) {
	case 0:
		return reading{}, false, nil
	case 1:
		return proofs[0], true, nil
	}
	return reading{}, false, fault.New(fault.Invalid, "scanner.line_two", c.number, shown(proofs[0].line.Text), shown(proofs[1].line.Text))
}

// settle gives the reading of a candidate that does not prove itself. The shop
// is asked where there is a sign that the line is not what was meant, only.
func (z recognizer) settle(c candidate) (reading, *fault.Error) {
	if c.asIs.named {
		return c.asIs, nil
	}
	var sign *reading
	for _, o := range c.other {
		if z.signs(c, o) {
			sign = &o
			break
		}
	}
	bare := fenced.FindStringSubmatch(c.text)
	if sign == nil && bare == nil && !lower(c.text) || sign == nil && z.known(key(c.asIs)) {
		return c.asIs, nil
	}
	if bare != nil {
		if r := readingOf(bare[1], ""); r.proven && z.known(key(r)) {
			return r, nil
		}
	}
	hits := z.hits(c, sign != nil)
	switch {
	case sign == nil && len(hits) == 1:
		return hits[0], nil
	case sign == nil:
		return c.asIs, nil
	case z.known(key(c.asIs)):
		if len(hits) == 0 {
			return c.asIs, nil
		}
	case len(hits) == 1:
		return hits[0], nil
	}
	if sign.named && !sign.proven {
		return reading{}, fault.New(fault.Invalid, "scanner.line_garbled", c.number, shown(c.text), fault.Say(sign.keyboard))
	}
	return reading{}, fault.New(fault.Invalid, "scanner.line_unproven", c.number, shown(c.text), fault.Say(sign.keyboard), shown(sign.line.Text))
}

// hits gives the readings on other keyboards that the shop knows. Without a
// sign, only what caps lock makes of small letters counts.
func (z recognizer) hits(c candidate, sign bool) (all []reading) {
	for _, o := range c.other {
		if (sign || lower(c.text) && strings.EqualFold(o.line.Text, c.text)) && z.known(key(o)) {
			all = append(all, o)
		}
	}
	return all
}

// fenced matches a GTIN with what a scanner is set to send in front of it or
// behind. That it is so, only the shop can know.
var fenced = regexp.MustCompile(`^\D{0,3}(\d{12,14})\D{0,3}$`)

// signs reports whether c shows signs of having been typed on the keyboard of
// o: the AIM identifier comes out, other lines came from there, or signs that
// no barcode holds turn into those of a number.
func (z recognizer) signs(c candidate, o reading) bool {
	if o.named || o.keyboard == z.typed && !z.plain {
		return true
	}
	came, meant := []rune(c.text), []rune(o.line.Text)
	if !plausible.MatchString(o.line.Text) || len(came) != len(meant) {
		return false
	}
	for i, r := range came {
		if r <= unicode.MaxASCII || !(i > 0 && isDigit(meant[i-1]) || i+1 < len(meant) && isDigit(meant[i+1])) {
			continue
		}
		return true
	}
	return len(came) >= 4 && strings.Trim(o.line.Text, "0123456789") == "" && !strings.ContainsAny(c.text, "0123456789")
}

// plausible matches what makers print as a number.
var plausible = regexp.MustCompile(`^[A-Za-z0-9 ./_+-]*[0-9][A-Za-z0-9 ./_+-]*$`)

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// lower reports whether text has small letters and no capital ones.
func lower(text string) bool { return text == strings.ToLower(text) && text != strings.ToUpper(text) }

func key(r reading) string {
	code, _ := r.line.Key()
	return code
}

// shown shortens a text for a message.
func shown(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

// count reads the line =12.
func count(number int, text string) (int, *fault.Error) {
	n, err := strconv.Atoi(strings.TrimSpace(text[1:]))
	if err != nil || n < 1 || n > MaxTimes {
		return 0, fault.New(fault.Invalid, "scanner.times_range", number, shown(text), MaxTimes)
	}
	return n, nil
}
