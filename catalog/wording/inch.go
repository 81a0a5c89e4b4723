package wording

import (
	"slices"
	"strings"

	"forkstock/internal/measure"
)

// Sizes in inches stand in lists of older and of American bikes: 1.535" x
// 2.05" x .43", 1-5/8" ID. A mark or "inch" behind a number says so, and behind
// the last of a size for all of it. They are read to the nearest micrometre;
// the words of a proposal keep what was written.

// pointed reports whether the point at a byte begins a number without a zero:
// " .43", "x.43".
func (r *reader) pointed(at int, glued bool) bool {
	digit := at+1 < len(r.text) && '0' <= r.text[at+1] && r.text[at+1] <= '9'
	return digit && (!glued || r.tokens[len(r.tokens)-1].sign == 'x')
}

// inches makes one number of each with its inch mark, and of the numbers of a
// size whose last has one.
func (r *reader) inches() {
	for i := 0; i < len(r.tokens); i++ {
		if end := r.inchMark(i); end > 0 && r.tokens[i].kind == number {
			a := r.fractionFrom(i)
			if r.joinInch(a, end) {
				i = a
				r.inchesBefore(a)
			}
		}
	}
}

// inchMark gives the token of the inch mark behind a number, 0 for none. "in"
// says so only behind a decimal number or a fraction: 4 in a pack.
func (r *reader) inchMark(at int) int {
	i := at + 1
	if i >= len(r.tokens) {
		return 0
	}
	t := &r.tokens[i]
	switch key := r.text[t.from:t.to]; {
	case t.glued && (key == `"` || key == "″" || key == "”"):
		return i
	case t.glued && t.sign == '\'' && i+1 < len(r.tokens) && r.tokens[i+1].sign == '\'' && r.tokens[i+1].glued:
		return i + 1
	case t.kind != word:
		return 0
	}
	switch key := r.key(i, i); {
	case key == "inch" || key == "inches" || key == "zoll":
		return i
	case key == "in" && (!r.tokens[at].whole || at > 0 && r.tokens[at-1].sign == '/' && r.tokens[at].glued):
		return i
	}
	return 0
}

// fractionFrom gives the first token of the fraction that a number ends: of
// 1-5/8 or 1 5/8 or 5/8. Without one it is the number itself.
func (r *reader) fractionFrom(at int) int {
	t := r.tokens[:at+1]
	if at < 2 || !t[at].whole || !t[at].glued || t[at-1].sign != '/' || !t[at-1].glued || t[at-2].kind != number || !t[at-2].whole {
		return at
	}
	a := at - 2
	switch {
	case a > 1 && t[a].glued && t[a-1].sign == '-' && t[a-1].glued && t[a-2].kind == number && t[a-2].whole,
		a == 2 && t[a].glued && t[a-1].sign == '-' && t[a-1].glued && t[0].kind == number:
		return a - 2
	case a > 0 && !t[a].glued && t[a-1].kind == number && t[a-1].whole && t[a-1].digits == 1:
		return a - 1
	}
	return a
}

// joinInch makes the tokens from a to the inch mark at end one number. It
// reports whether they are one.
func (r *reader) joinInch(a, end int) bool {
	last := end - 1
	if r.tokens[last].kind != number { // ''
		last--
	}
	l, err := measure.ParseLength(r.text[r.tokens[a].from:r.tokens[last].to] + `"`)
	if err != nil {
		return false
	}
	t := r.tokens[a]
	t.to, t.keyTo = r.tokens[end].to, r.tokens[last].keyTo
	t.inch, t.whole, t.zero, t.bad, t.digits, t.num, t.value = true, false, false, false, 1, 0, l
	r.tokens = slices.Replace(r.tokens, a, end+1, t)
	return true
}

// inchesBefore reads the numbers that stand before an inch number with crosses
// as inches too, where they are no whole ones: 1.535 x 2.05 x .43".
func (r *reader) inchesBefore(at int) {
	for i := at - 2; i >= 0; i -= 2 {
		t := &r.tokens[i]
		if r.tokens[i+1].sign != 'x' || t.kind != number || t.whole || t.bad || t.inch {
			return
		}
		l, err := measure.ParseLength(r.text[t.from:t.to] + `"`)
		if err != nil {
			return
		}
		t.inch, t.digits, t.zero, t.value = true, 1, false, l
	}
}

// mixed reports whether numbers are inches and others not.
func (r *reader) mixed(numbers []int) bool {
	return slices.ContainsFunc(numbers, func(i int) bool { return r.tokens[i].inch != r.tokens[numbers[0]].inch })
}

// inchSeries are the series of inch threads, as measure has them.
const inchSeries = " unc unf unef bsw bsf bsc cei "

// most tokens of an inch thread on one side of its series: 1 1/8"-18 UNF.
const mostThread = 7

// inchThreads finds inch threads by their series, 5/16-24 UNF, with the length
// of a bolt in inches behind it.
func (r *reader) inchThreads() {
	for i := range r.tokens {
		if r.tokens[i].kind != word || !strings.Contains(inchSeries, " "+r.key(i, i)+" ") {
			continue
		}
		a, b, thread := r.inchThread(i)
		if thread == (measure.Thread{}) {
			continue
		}
		trust := Certain
		if !r.bolts() {
			trust = Uncertain
		}
		only(&r.out.Thread, propose(r, thread, a, b, trust))
		r.use(a, b)
		if long := b + 2; long < len(r.tokens) && r.tokens[b+1].sign == 'x' && r.tokens[long].inch {
			only(&r.out.Size, propose(r, measure.Size{Height: r.tokens[long].value}, long, long, trust))
			r.use(long, long)
		}
	}
}

// inchThread gives the longest thread around its series, in tokens a to b.
func (r *reader) inchThread(at int) (a, b int, t measure.Thread) {
	free := func(i int) bool {
		return !r.tokens[i].used && (r.tokens[i].kind == number || r.tokens[i].sign == '#') && (i == 0 || !r.tokens[i].glued || isBracket(r.tokens[i-1].sign))
	}
	for a = max(0, at-mostThread); a < at; a++ {
		if free(a) {
			if t, err := measure.ParseThread(r.text[r.tokens[a].from:r.tokens[at].to]); err == nil {
				return a, at, t
			}
		}
	}
	for b = min(at+mostThread, len(r.tokens)-1); b > at; b-- {
		if r.tokens[b].kind == number && !r.gluedBehind(b) {
			if t, err := measure.ParseThread(r.text[r.tokens[at].from:r.tokens[b].to]); err == nil {
				return at, b, t
			}
		}
	}
	return 0, 0, t
}
