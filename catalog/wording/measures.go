package wording

import (
	"forkstock/catalog"
	"forkstock/internal/measure"
)

// threads finds metric threads with what goes with them: M8, M10x1.25, M8x30
// and M8x1.25x30 with the length of a bolt. It leaves inch threads alone.
func (r *reader) threads() {
	for i := 0; i+1 < len(r.tokens); i++ {
		t, d := &r.tokens[i], &r.tokens[i+1]
		if t.kind != word || t.to-t.from != 1 || r.key(i, i) != "m" || d.kind != number || !d.glued || d.used ||
			i > 0 && t.glued && r.tokens[i-1].kind != mark {
			continue
		}
		var c chain
		r.chain(i+1, &c)
		r.use(i, c.b)
		if r.gluedBehind(c.b) && r.tokens[c.b+1].is&mmWord == 0 || len(c.numbers) > 3 {
			continue
		}
		r.thread(i, c)
		i = c.b
	}
}

// thread proposes the thread in a chain of one to three numbers behind the M
// at token m, and the length of its bolt.
func (r *reader) thread(m int, c chain) {
	end, long := c.numbers[0], -1
	thread, err := measure.ParseThread(r.text[r.tokens[m].from:r.tokens[end].to])
	if err != nil {
		return
	}
	if len(c.numbers) > 1 {
		with, err := measure.ParseThread("M" + thread.Nominal + "x" + r.words(c.numbers[1]))
		switch {
		case err == nil:
			thread, end = with, c.numbers[1]
		case len(c.numbers) == 2:
			long = c.numbers[1]
		default:
			return
		}
	}
	if len(c.numbers) == 3 {
		long = c.numbers[2]
	}
	trust := Certain
	if !r.bolts() {
		trust = Uncertain
	}
	only(&r.out.Thread, propose(r, thread, m, end, trust))
	if long >= 0 && r.tokens[long].value > 0 {
		only(&r.out.Size, propose(r, measure.Size{Height: r.tokens[long].value}, long, long, trust))
	}
}

// bolts reports whether the text names a bolt or screw.
func (r *reader) bolts() bool {
	for i := range r.tokens {
		if t := &r.tokens[i]; t.is&screwWord != 0 || t.term != nil && isBolt(t.term) {
			return true
		}
	}
	return false
}

func (r *reader) words(at int) string { return r.text[r.tokens[at].from:r.tokens[at].to] }

// volumes finds volumes: 500 ml, 1L. The grade of an oil is taken with them.
func (r *reader) volumes() {
	for i := 0; i+1 < len(r.tokens); i++ {
		t, at := &r.tokens[i], i+1
		if r.tokens[at].sign == '-' && r.tokens[at].glued && at+1 < len(r.tokens) {
			at++ // 1-Liter-Flasche
		}
		unit := &r.tokens[at]
		if t.kind != number || t.used || t.zero || t.value == 0 {
			continue
		}
		switch {
		case unit.is&volumeWord != 0 && at+1 < len(r.tokens) && r.tokens[at+1].sign == '=': // L=20
		case unit.is&volumeWord != 0:
			if ml := int64(t.value) * int64(unit.n); ml%1000 == 0 && (r.freeBefore(i) || r.tokens[i-1].is&gradeWord != 0 || r.bottles(i)) {
				only(&r.out.Volume, propose(r, measure.Volume(ml/1000), i, at, Certain))
			}
			r.use(i, at)
		case unit.is&gradeWord != 0:
			r.use(i, at)
			r.grade = true
		}
	}
}

// bottles reports whether a count and a cross stand before a volume: 4x1L. The
// count is proposed.
func (r *reader) bottles(at int) bool {
	if at < 2 || r.tokens[at-1].sign != 'x' || r.tokens[at-2].kind != number || !r.count(at-2) || !r.freeBefore(at-2) {
		return false
	}
	only(&r.out.Pieces, propose(r, int64(r.tokens[at-2].num), at-2, at-1, Uncertain))
	r.use(at-2, at-2)
	return true
}

// stuff finds what the part is made of. Where several kinds of parts are named,
// it may be the other that is of copper.
func (r *reader) stuff() {
	if len(r.matches) == 0 && !r.out.Size.Made() {
		return
	}
	trust := Certain
	if len(distinct(r.matches)) > 1 {
		trust = Uncertain
	}
	for i := range r.tokens {
		t := &r.tokens[i]
		if t.is&elastomerWord != 0 {
			only(&r.out.Elastomer, propose(r, t.text, i, i, Certain))
		}
		if t.is&materialWord != 0 {
			only(&r.out.Material, propose(r, t.text, i, i, trust))
		}
	}
}

// isBolt reports whether a term names a bolt or screw.
func isBolt(t *Term) bool {
	return t.Roles[0] == catalog.BottomBolt || t.Roles[0] == catalog.DrainScrew
}
