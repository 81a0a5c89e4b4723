package wording

// years finds model years and spans of them. Numbers of two digits are years
// only where the text names a bike or says "Bj.".
func (r *reader) years() {
	for i := 0; i < len(r.tokens); i++ {
		if t := &r.tokens[i]; t.kind != number || t.used || !r.freeYear(i) {
			continue
		}
		years, a, b, ok := r.yearsAt(i)
		if !ok {
			continue
		}
		trust := Certain
		if !r.dated() {
			trust = Uncertain
		}
		r.out.Years = append(r.out.Years, propose(r, years, a, b, trust))
		r.use(a, b)
		i = b
	}
}

// dated reports whether years are to be expected: a bike is named, or a word
// says so.
func (r *reader) dated() bool {
	return len(r.out.Makes) > 0 || len(r.out.Models) > 0 || r.saying(yearWord)
}

// yearOf reads a number as a year; short says that it has two digits.
func (r *reader) yearOf(at int) (year int, short, ok bool) {
	t := &r.tokens[at]
	if t.kind != number || t.used || !t.whole || t.bad {
		return 0, false, false
	}
	switch {
	case t.digits == 4 && t.num >= 1950 && t.num <= 2035:
		return t.num, false, true
	case t.digits == 2 && t.num >= 50:
		return 1900 + t.num, true, true
	case t.digits == 2 && t.num <= 35:
		return 2000 + t.num, true, true
	}
	return 0, false, false
}

// freeYear reports whether a number is not the end of a longer one, nor the
// number of a part.
func (r *reader) freeYear(at int) bool {
	if at == 0 {
		return true
	}
	last := &r.tokens[at-1]
	if r.ofNumber(at) {
		return false
	}
	if !r.tokens[at].glued {
		return true
	}
	switch {
	case last.kind == word:
		return last.is&(fromWord|yearWord) != 0 || r.key(at-1, at-1) == "my"
	case last.kind == number:
		return false
	case last.sign == '-' || last.sign == '/' || last.sign == '>':
		return !last.glued
	}
	return last.sign != '#' && last.sign != '.' || at > 1 && r.tokens[at-2].is&yearWord != 0
}

// ofNumber reports whether "No." or the like stands before a number.
func (r *reader) ofNumber(at int) bool {
	for i := at - 1; i >= 0 && i >= at-3; i-- {
		if r.tokens[i].kind != mark {
			return r.tokens[i].is&numberFor != 0
		}
	}
	return false
}

// yearsAt reads the years whose first number is token at, in tokens a to b.
func (r *reader) yearsAt(at int) (y Years, a, b int, ok bool) {
	first, short, ok := r.yearOf(at)
	if !ok || short && !r.dated() {
		return y, 0, 0, false
	}
	a = at
	quoted := a > 0 && r.tokens[a-1].sign == '\''
	if quoted {
		a--
	}
	word := a // behind "from" and the like
	for word > 0 && (r.tokens[word-1].is&yearWord != 0 || r.tokens[word-1].sign == '.') {
		word--
	}
	told := word < a
	if until, short2, b := r.yearsEnd(at); b > 0 {
		if until < first || short && short2 && r.isLength(b) || !r.endsAt(b) {
			return y, 0, 0, false
		}
		return Years{first, until}, a, b, true
	}
	if !r.dated() || r.isLength(at) || !r.endsAt(at) && !r.open(at) {
		return y, 0, 0, false
	}
	var last class
	if word > 0 {
		last = r.tokens[word-1].is
	}
	lead := a > 0 && a == at && !r.tokens[a-1].glued && r.tokens[at].glued // a sign before the year alone
	switch {
	case last&fromWord != 0:
		return Years{From: first}, word - 1, at, true
	case last&toWord != 0:
		return Years{Until: first}, word - 1, at, true
	case lead && (r.tokens[a-1].sign == '-' || r.tokens[a-1].sign == '>'):
		return Years{Until: first}, a - 1, at, true
	case r.open(at):
		return Years{From: first}, a, r.openEnd(at), !short || quoted || told || r.dated()
	case told:
		return Years{first, first}, word, at, true
	}
	return Years{first, first}, a, at, (!short || quoted) && r.dated()
}

// yearsEnd gives the second year of a span that begins at a token, and its
// token; 0 where there is none.
func (r *reader) yearsEnd(at int) (year int, short bool, b int) {
	i := at + 1
	signs := 0
	for i < len(r.tokens) && (r.tokens[i].sign == '-' || r.tokens[i].sign == '>' || r.tokens[i].sign == '/' && r.tokens[i].glued) {
		signs++
		i++
	}
	if signs == 0 && i < len(r.tokens) && r.tokens[i].is&toWord != 0 {
		signs++
		i++
	}
	if i < len(r.tokens) && r.tokens[i].is&yearWord != 0 {
		i++
	}
	if i < len(r.tokens) && r.tokens[i].sign == '\'' {
		i++
	}
	if signs == 0 || signs > 2 || i >= len(r.tokens) {
		return 0, false, 0
	}
	year, short, ok := r.yearOf(i)
	if !ok {
		return 0, false, 0
	}
	return year, short, i
}

// isLength reports whether a number says that it is one.
func (r *reader) isLength(at int) bool {
	return at+1 < len(r.tokens) && r.tokens[at+1].is&(mmWord|volumeWord|gradeWord) != 0
}

// endsAt reports whether nothing goes on behind a number.
func (r *reader) endsAt(at int) bool {
	if at+1 >= len(r.tokens) || !r.tokens[at+1].glued {
		return true
	}
	t := &r.tokens[at+1]
	if t.kind != mark {
		return false
	}
	return at+2 >= len(r.tokens) || !r.tokens[at+2].glued || isBracket(t.sign) && t.sign != '.'
}

// open reports whether signs or words behind a year leave its end open: "2001-",
// "2016 on".
func (r *reader) open(at int) bool { return r.openEnd(at) > at }

func (r *reader) openEnd(at int) int {
	i := at + 1
	for i < len(r.tokens) && r.tokens[i].glued && (r.tokens[i].sign == '-' || r.tokens[i].sign == '>' || r.tokens[i].sign == '+') {
		i++
	}
	if i == at+1 && i+1 < len(r.tokens) && r.tokens[i].is&joining != 0 && r.tokens[i+1].is&onWord != 0 { // and later
		return i + 1
	}
	if i == at+1 && i < len(r.tokens) && r.tokens[i].is&onWord != 0 {
		return i
	}
	if i > at+1 && i < len(r.tokens) && r.tokens[i].glued && r.tokens[i].kind != mark {
		return at
	}
	return i - 1
}
