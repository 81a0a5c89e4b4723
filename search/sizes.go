package search

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/measure"
)

// slashed takes sizes written with slashes: 39/52/11.
func (r *reader) slashed() {
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

// loose takes sizes that FindSizes does not dare to: bare numbers in a row, 39
// 52 11 or 39 by 52 by 11, and those with the outer diameter first, 52x39x11.
// It comes after the names, so no number of a model is in them; a bolt has no
// such size.
func (r *reader) loose() {
	if r.q.bolts() {
		return
	}
	for from := 0; from < len(r.words); {
		runs := r.runs(from)
		end := r.looseOf(from, runs)
		if n := len(runs); end == 0 && n > 0 && runs[0].numbers[0] >= runs[0].least {
			end = runs[n-1].end // diameters in a row that are no size
		}
		from = max(from+1, end)
	}
}

// looseOf takes the longest run that is a size, and gives the word behind it,
// 0 where none is. Two of more numbers are none.
func (r *reader) looseOf(from int, runs []run) (end int) {
	for n, run := range slices.Backward(runs) {
		size, turned, ok := ring(run.numbers, run.least)
		if !ok || len(run.numbers) == 2 && n+1 < len(runs) {
			continue
		}
		var typed []string
		for i := from; i < run.end; i++ {
			typed = append(typed, r.words[i].typed)
			r.words[i].used = true
		}
		if run.end < len(r.words) && isTimes(r.words[run.end]) {
			r.words[run.end].used = true // a height that names itself follows: 11 mm
		}
		r.q.Sizes = append(r.q.Sizes, size)
		if turned {
			r.q.Read = append(r.q.Read, Reading{strings.Join(typed, " "), size})
		}
		return run.end
	}
	return 0
}

// A run is two to four numbers in unused words that follow each other, up to
// the word at end. least is the smallest diameter that they can begin with.
type run struct {
	numbers []measure.Length
	end     int
	least   measure.Length
}

// isTimes reports whether a word may stand between the numbers of a size.
func isTimes(w word) bool {
	return !w.used && slices.Contains([]string{"x", "×", "*", "by", "mal", "auf"}, strings.ToLower(w.typed))
}

// runs gives the runs that begin at a word, the shortest first.
func (r *reader) runs(from int) (all []run) {
	here := run{least: r.leastDiameter()}
	for i, w := range r.words[from:] {
		if i > 0 && isTimes(w) {
			continue
		}
		each := strings.FieldsFunc(w.typed, func(c rune) bool { return strings.ContainsRune("xX×*/", c) })
		if len(each) > 1 {
			here.least = 4 * measure.Millimetre // written as a size, though the wrong way round
		}
		for _, text := range each {
			l, err := measure.ParseLength(text)
			if w.used || !numberForm.MatchString(text) || err != nil || len(here.numbers) == 4 {
				return all
			}
			here.numbers = append(slices.Clip(here.numbers), l)
		}
		if here.end = from + i + 1; len(here.numbers) > 1 {
			all = append(all, here)
		}
	}
	return all
}

// ring gives the ring of two to four numbers: diameters, height, height over
// all; turned where the outer diameter stands first. A ring is at most twice
// as wide as its hole, and lower than that.
func ring(n []measure.Length, least measure.Length) (s measure.Size, turned, ok bool) {
	n = append(slices.Clone(n), 0, 0)
	if turned = n[0] > n[1]; turned {
		n[0], n[1] = n[1], n[0]
	}
	s = measure.Size{Inner: n[0], Outer: n[1], Height: n[2], Overall: n[3]}
	return s, turned, s.Inner >= least && s.Outer <= 2*s.Inner && s.Height < s.Inner && s.Check() == nil
}

// height takes a length as the height of a size that has none.
func (q *Query) height() {
	if len(q.Sizes) == 1 && q.Sizes[0].Height == 0 && len(q.Lengths) == 1 && q.Lengths[0] < q.Sizes[0].Inner {
		q.Sizes[0].Height, q.Lengths = q.Lengths[0], nil
	}
}

// inchForm leaves a whole number with "in" alone: "2 in stock".
var inchForm = regexp.MustCompile(
	`(?i)(?:^| )(((?:\d[ -])?\d{1,2}/\d{1,2}|\d?[.,]\d{1,4}) ?(?:in|inch|inches|zoll|"|″|'')|\d ?(?:inch|inches|zoll|"|″|''))(?: |$)`,
)

// bareInch is a fraction of inches without a word for them, by halves down to
// 64ths: 1 9/16, 1-9/16, and alone 9/16, but no year of 98/04 and no 2/4.
var bareInch = regexp.MustCompile(`(^| )(\d[ -])?(\d?[13579])/(2|4|8|16|32|64)( |$)`)

// inchThread names threads whose fraction is their diameter.
var inchThread = regexp.MustCompile(`(?i)\b(?:UN[CFS]?|UNEF|BS[WFC]|CEI)\b`)

// sayInches puts the unit behind fractions of inches that stand without it.
func sayInches(text string) string {
	at := bareInch.FindStringSubmatchIndex(text)
	if at == nil || inchThread.MatchString(text) {
		return text
	}
	over, _ := strconv.Atoi(text[at[6]:at[7]])
	under, _ := strconv.Atoi(text[at[8]:at[9]])
	if over > under {
		return text
	}
	return text[:at[9]] + " in" + text[at[9]:]
}

// findInches takes inches out of a text, and reads them as the tenth of a
// millimetre that they are nearest to: lists give diameters in those.
func (q *Query) findInches(text string) (rest string) {
	const tenth = measure.Millimetre / 10
	text = sayInches(text)
	for {
		at := inchForm.FindStringSubmatchIndex(text)
		if at == nil {
			return text
		}
		typed := text[at[2]:at[3]]
		l, err := measure.ParseLength(typed)
		if err != nil {
			return text
		}
		l = (l + tenth/2) / tenth * tenth
		q.Lengths = append(q.Lengths, l)
		q.Read = append(q.Read, Reading{typed, l})
		text = text[:at[0]] + " " + text[at[1]:]
	}
}
