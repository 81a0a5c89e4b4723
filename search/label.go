package search

import (
	"regexp"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// Measures that say themselves which one they are: od 52, height 9.5, for bore
// 59, 11 mm hoch; and rings by diameter and section, 33x2.4.

// The labels of the measures of a ring, before a number or behind it. Words of
// the trade, common practice; d1 and d2 are those of ISO 3601-1 for O-rings.
const (
	innerLabels  = "id, i.d., inner diameter, inside diameter, inner, inside, d1, Innendurchmesser, innen"
	outerLabels  = "od, o.d., outer diameter, outside diameter, outer, outside, bore, Außendurchmesser, Aussendurchmesser, außen, aussen, Bohrung"
	heightLabels = "height, thickness, section, cross section, d2, wire, Höhe, Dicke, Breite, Schnur, Schnurstärke, Draht, Drahtstärke"
	heightBehind = "high, tall, thick, hoch, dick"
	longLabels   = "long, length, lang, Länge"
)

// A label stands before its number or behind it, and fills a field.
type label struct {
	before, behind *regexp.Regexp
	into           func(*Query) *measure.Length
}

var labels = []label{
	labelOf(innerLabels, innerLabels, func(q *Query) *measure.Length { return &q.Partly.Inner }),
	labelOf(outerLabels, outerLabels, func(q *Query) *measure.Length { return &q.Partly.Outer }),
	labelOf(heightLabels, heightLabels+", "+heightBehind, func(q *Query) *measure.Length { return &q.Partly.Height }),
	labelOf(longLabels, longLabels, func(q *Query) *measure.Length { return &q.Partly.Height }),
}

// labelThen is the last label of a text and what stands behind it. Where that
// is no number, the labels stand behind their numbers.
var labelThen = regexp.MustCompile(`(?i).* (?:` + alternatives(innerLabels+", "+outerLabels+", "+heightLabels+", "+heightBehind+", "+longLabels) +
	`)(?: (.*))?$`)

// A number of free text with its unit, in inches where it says so.
const (
	inchUnit = `(?:inches|inch|in|zoll|″|''|")`
	amount   = `(?:\d[ -])?\d{1,2}/\d{1,2} ?` + inchUnit + `|\d{0,3}[.,]\d{1,4} ?(?:mm|` + inchUnit + `)?|` +
		`\d{1,3} ?(?:mm|inches|inch|zoll|″|''|")?` // "52 in stock" is no inch
)

// labelOf makes a label of the words that stand before a number, and of those
// that stand behind one.
func labelOf(before, behind string, into func(*Query) *measure.Length) label {
	return label{
		regexp.MustCompile(`(?i)(?:^| )(?:` + alternatives(before) + `)(?: of| von)?[ :=]*[Ø⌀]? ?(` + amount + `)(?: |,|$)`),
		regexp.MustCompile(`(?i)(?:^| )[Ø⌀]? ?(` + amount + `) ?(?:` + alternatives(behind) + `)(?: |,|$)`),
		into,
	}
}

// alternatives makes a list of words one expression.
func alternatives(list string) string {
	all := commas(list)
	for i, w := range all {
		all[i] = regexp.QuoteMeta(w)
	}
	return strings.Join(all, "|")
}

var amountFirst = regexp.MustCompile(`^[:=Ø⌀]* ?[\d.,]`)

// findLabelled takes measures with a label out of a text: 46 id 58 od, or id 46
// od 58.
func (q *Query) findLabelled(text string) (rest string) {
	forms := []func(label) *regexp.Regexp{
		func(l label) *regexp.Regexp { return l.before },
		func(l label) *regexp.Regexp { return l.behind },
	}
	if then := labelThen.FindStringSubmatch(text); then != nil && !amountFirst.MatchString(then[1]) {
		slices.Reverse(forms)
	}
	for _, form := range forms {
		for _, l := range labels {
			at := form(l).FindStringSubmatchIndex(text)
			if at == nil || *l.into(q) != 0 {
				continue
			}
			if length, ok := tenths(text[at[2]:at[3]]); ok {
				*l.into(q) = length
				text = text[:at[0]] + " " + text[at[1]:]
			}
		}
	}
	return text
}

// tenths reads a length; inches as the tenth of a millimetre that they are
// nearest to, for lists give sizes in those.
func tenths(text string) (l measure.Length, ok bool) {
	const tenth = measure.Millimetre / 10
	l, err := measure.ParseLength(text)
	if err != nil {
		return 0, false
	}
	if inch.MatchString(text) {
		l = (l + tenth/2) / tenth * tenth
	}
	return l, true
}

var inch = regexp.MustCompile(`(?i)` + inchUnit)

// inchSize is a size of which the last number at least says that it is in
// inches: 1.535 x 2.047 x 0.433 in.
var inchSize = regexp.MustCompile(`(?i)(?:^| )(\d?[.,]\d{1,4} ?` + inchUnit + `? ?[x×*] ?\d?[.,]\d{1,4}(?: ?` + inchUnit + `? ?[x×*] ?\d?[.,]\d{1,4})? ?` +
	inchUnit + `)(?: |$)`)

// findInchSizes takes sizes in inches out of a text.
func (q *Query) findInchSizes(text string) (rest string) {
	at := inchSize.FindStringSubmatchIndex(text)
	if at == nil {
		return text
	}
	typed := text[at[2]:at[3]]
	var numbers []measure.Length
	for _, number := range strings.FieldsFunc(inch.ReplaceAllString(typed, ""), func(c rune) bool { return strings.ContainsRune("xX×*", c) }) {
		l, ok := tenths(strings.TrimSpace(number) + " in")
		if !ok {
			return text
		}
		numbers = append(numbers, l)
	}
	size, _, ok := ring(numbers, 4*measure.Millimetre)
	if !ok {
		return text
	}
	q.Sizes = append(q.Sizes, size)
	q.Read = append(q.Read, Reading{typed, size})
	return text[:at[0]] + " " + text[at[1]:]
}

// crossForm is a diameter and what is thin against it: an O-ring 33x2.4, a
// clip 53x1.8.
var crossForm = regexp.MustCompile(`(?i)(?:^| )[Ø⌀]? ?(\d{1,3}(?:[.,]\d{1,2})?) ?(?:[x×*]|by|mal) ?(\d{1,2}(?:[.,]\d{1,2})?)(?: ?mm)?(?: |$)`)

// findCross takes one such ring out of a text.
func (r *reader) findCross(text string) (rest string) {
	at := crossForm.FindStringSubmatchIndex(text)
	if at == nil {
		return text
	}
	d, ok := tenths(text[at[2]:at[3]])
	section, also := tenths(text[at[4]:at[5]])
	if !ok || !also || section == 0 || d < 4*measure.Millimetre || 2*section >= d {
		return text
	}
	r.cross = measure.Size{Inner: d, Height: section}
	return text[:at[0]] + " " + text[at[1]:]
}

// ring makes of labels and cross what the kinds of parts make of them: a
// clip is named by its bore and wire, an O-ring by its hole and section, whose
// outside follows; a whole size where inside and outside are known. A bolt's
// height is its length.
func (r *reader) ring() {
	q := r.q
	if c := r.cross; c != (measure.Size{}) {
		switch {
		case q.clips():
			q.Partly = measure.Size{Outer: c.Inner, Height: c.Height}
		case len(q.Roles) == 0 || q.rubberRings():
			q.Sizes = append(q.Sizes, measure.Size{Inner: c.Inner, Outer: c.Inner + 2*c.Height, Height: c.Height})
			if len(q.Roles) == 0 && len(q.Sizes) == 1 {
				q.Cross = c
			}
		default:
			q.Partly = c
		}
	}
	p := &q.Partly
	if p.Height != 0 && (q.bolts() || len(q.Threads) > 0) {
		q.Long, p.Height = p.Height, 0
	}
	if p.Inner == 0 && p.Outer != 0 && len(q.Lengths) > 0 && len(q.Roles) > 0 && !q.clips() && q.Lengths[0] < p.Outer {
		p.Inner, q.Lengths = q.Lengths[0], q.Lengths[1:]
	}
	if p.Inner != 0 && p.Outer != 0 && len(q.Sizes) == 0 && p.Check() == nil {
		q.Sizes, *p = append(q.Sizes, *p), measure.Size{}
	}
	if len(q.Sizes) == 1 && q.Sizes[0].Height == 0 {
		q.Sizes[0].Height, p.Height = p.Height, 0
	}
	if len(q.Lengths) == 0 {
		q.Lengths = nil
	}
}

// clips reports whether clips are asked for, and nothing else.
func (q *Query) clips() bool { return q.onlyOf(catalog.Clip) }

// rubberRings reports whether O-rings are asked for, and nothing else.
func (q *Query) rubberRings() bool { return q.onlyOf(catalog.CapORing, "base_valve_oring") }

// onlyOf reports whether kinds of parts are asked for, and all are of these.
func (q *Query) onlyOf(roles ...catalog.Role) bool {
	return len(q.Roles) > 0 && !slices.ContainsFunc(q.Roles, func(r catalog.Role) bool { return !slices.Contains(roles, r) })
}
