package search

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// sizes takes sizes written with slashes: 39/52/11.
func (r *reader) sizes() {
	for i, w := range r.words {
		if strings.Count(w.typed, "/") != 2 {
			continue
		}
		sizes, rest := measure.FindSizes(strings.ReplaceAll(w.typed, "/", "x"))
		if len(sizes) == 1 && rest == "" {
			r.q.Sizes = append(r.q.Sizes, sizes[0])
			r.words[i].used = true
		}
	}
}

var (
	yearForm   = regexp.MustCompile(`^(?:19[5-9]\d|20\d\d|2100)$`)
	shortYear  = regexp.MustCompile(`^(?:['’](\d\d)|(0\d))$`)
	numberForm = regexp.MustCompile(`^\d{1,2}(?:[.,]\d{1,2})?$`)
)

// numbers takes bare numbers: years where a bike or fork is named, diameters.
func (r *reader) numbers() {
	for i, w := range r.words {
		if w.used {
			continue
		}
		if year := readYear(w.typed); year != 0 && r.q.Year == 0 && (r.q.Make != "" || r.q.Bikes != nil || r.q.Fork != "") {
			r.q.Year, r.words[i].used = year, true
			continue
		}
		if !numberForm.MatchString(w.typed) {
			continue
		}
		if l, err := measure.ParseLength(w.typed); err == nil && l >= r.leastDiameter() && l <= 60*measure.Millimetre {
			r.q.Lengths = append(r.q.Lengths, l)
			r.words[i].used = true
		}
	}
}

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
// above 20 mm; washers and bolts are thinner, above 4 mm.
func (r *reader) leastDiameter() measure.Length {
	if slices.ContainsFunc(r.q.Roles, ownDiameter) {
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
	leg := -1
	for i, l := range q.Lengths {
		if l >= 20*measure.Millimetre && (leg < 0 || l < q.Lengths[leg]) {
			leg = i
		}
	}
	bolt := len(q.Roles) > 0 && !slices.ContainsFunc(q.Roles, func(r catalog.Role) bool {
		return r != catalog.BottomBolt && r != catalog.DrainScrew
	})
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
