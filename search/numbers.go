package search

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

var (
	yearForm   = regexp.MustCompile(`^(?:19[5-9]\d|20\d\d|2100)$`)
	shortYear  = regexp.MustCompile(`^(?:['’](\d\d)|(0\d))$`)
	numberForm = regexp.MustCompile(`^[1-9]\d?(?:[.,]\d{1,2})?$`)
	spanForm   = regexp.MustCompile(`^(.+)[-–/](.+)$`)
)

// numbers takes bare numbers: years where a bike or fork is named, diameters.
func (r *reader) numbers() {
	for i, w := range r.words {
		if w.used {
			continue
		}
		if r.year(w.typed) {
			r.words[i].used = true
			continue
		}
		typed := strings.TrimSuffix(w.typed, "er") // German "41er"
		if !numberForm.MatchString(typed) || r.strength(typed) {
			continue
		}
		if l, err := measure.ParseLength(typed); err == nil && l >= r.leastDiameter() && l <= 60*measure.Millimetre {
			r.q.Lengths = append(r.q.Lengths, l)
			r.words[i].used = true
		}
	}
}

// strength reports whether a number beside a bolt is its strength class (ISO
// 898-1), which stays a word.
func (r *reader) strength(typed string) bool {
	class := strings.Replace(typed, ",", ".", 1)
	return (r.q.bolts() || len(r.q.Threads) > 0) && slices.Contains([]string{"8.8", "10.9", "12.9"}, class)
}

// year takes a year or a span of years where a bike or fork is named: 2001,
// 2001-2004, or the second of 2001 and 2004.
func (r *reader) year(typed string) bool {
	q := r.q
	either := func(s string) int { return max(readYear(s), readYear("'"+s)) } // 98-04
	if q.Make == "" && q.Bikes == nil && q.Fork == "" {
		return false
	}
	from, to := readYear(typed), 0
	if span := spanForm.FindStringSubmatch(typed); from == 0 && span != nil {
		from, to = either(span[1]), either(span[2])
		if from == 0 || to < from {
			return false
		}
	}
	switch {
	case from == 0:
		return false
	case q.Year == 0:
		q.Year, q.Until = from, to
	case q.Until == 0 && to == 0 && from > q.Year:
		q.Until = from
	default:
		return false
	}
	return true
}

// years gives the first and the last year asked for, 0 for any.
func (q Query) years() (from, to int) { return q.Year, max(q.Year, q.Until) }

// readYear reads "2001", "'01" and "01"; 0 for anything else.
func readYear(s string) int {
	if yearForm.MatchString(s) {
		year, _ := strconv.Atoi(s)
		return year
	}
	short := shortYear.FindStringSubmatch(s)
	if short == nil {
		return 0
	}
	year, _ := strconv.Atoi(short[1] + short[2])
	if year < 50 {
		return 2000 + year
	}
	return 1900 + year
}

// leastDiameter gives the smallest bare number that is a diameter: legs begin
// above 20 mm; washers and bolts are thinner, above 4 mm. Beside two
// diameters, any number is a height.
func (r *reader) leastDiameter() measure.Length {
	switch {
	case len(r.q.Lengths) == 2, len(r.q.Sizes) == 1 && r.q.Sizes[0].Height == 0:
		return measure.Millimetre
	case slices.ContainsFunc(r.q.Roles, ownDiameter):
		return 4 * measure.Millimetre
	}
	return 20 * measure.Millimetre
}

// ownDiameter reports whether a part is named by its own hole or thread rather
// than by the leg.
func ownDiameter(role catalog.Role) bool {
	switch role {
	case catalog.BottomBolt, catalog.BottomWasher, catalog.DrainScrew, catalog.DrainWasher:
		return true
	}
	return false
}

// settle says which of the lengths is what: beside a thread, and of a bolt
// from 20 mm on, one is the bolt's own; otherwise the leg's comes first, the
// least from 20 mm on.
func (q *Query) settle() {
	q.height()
	leg := -1
	for i, l := range q.Lengths {
		if l >= 20*measure.Millimetre && (leg < 0 || l < q.Lengths[leg]) {
			leg = i
		}
	}
	bolt := q.bolts()
	switch {
	case len(q.Threads) > 0 && q.Long == 0 && len(q.Lengths) == 1:
		q.Long, q.Lengths = q.Lengths[0], nil
	case leg < 0 || bolt && q.Long != 0:
	case bolt:
		q.Long = q.Lengths[leg]
		q.Lengths = slices.Delete(q.Lengths, leg, leg+1)
	case !slices.ContainsFunc(q.Roles, ownDiameter):
		q.Lengths[0], q.Lengths[leg] = q.Lengths[leg], q.Lengths[0]
	}
	if len(q.Lengths) == 0 {
		q.Lengths = nil
	}
}

// bolts reports whether bolts are asked for, and nothing else.
func (q *Query) bolts() bool {
	return len(q.Roles) > 0 && !slices.ContainsFunc(q.Roles, func(r catalog.Role) bool {
		return r != catalog.BottomBolt && r != catalog.DrainScrew
	})
}

var threadForm = regexp.MustCompile(
	`(?i)(?:^| )(M\d{1,2}(?:[.,]\d)?(?: ?[x×*] ?[\d.,]+|-[\d.,]+| ?P ?[\d.,]+)?)(?: ?[x×*] ?(\d{1,3}))?(?: ?mm)?(?: |$)`,
)

// findThreads takes the threads out of a text: M10x1.25, M8, M8x30 and
// M8x1.25x30 with the bolt's length.
func (q *Query) findThreads(text string) (rest string) {
	for {
		at := threadForm.FindStringSubmatchIndex(text)
		if at == nil {
			return text
		}
		found, long := text[at[2]:at[3]], ""
		if at[4] >= 0 {
			long = text[at[4]:at[5]]
		}
		t, err := measure.ParseThread(found)
		if i := strings.IndexAny(found, "xX×*"); err != nil && i > 0 {
			long = strings.Trim(found[i:], "xX×* ")
			t, err = measure.ParseThread(found[:i])
		}
		if err != nil {
			return text
		}
		q.Threads = append(q.Threads, t)
		if l, err := measure.ParseLength(long); err == nil {
			q.Long = l
		}
		text = text[:at[0]] + " " + text[at[1]:]
	}
}
