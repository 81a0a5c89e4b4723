package wording

import (
	"slices"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// A chain is numbers with crosses, slashes or hyphens between them, in tokens
// a to b.
type chain struct {
	a, b    int
	numbers []int  // tokens
	signs   []byte // between them: 'x', '/', '-'
	spaces  []int  // around each sign: 0 none, 1 before, 2 behind, 3 both
}

// sizes finds the sizes of rings.
func (r *reader) sizes() {
	var room chain
	for i := 0; i < len(r.tokens); i++ {
		if t := &r.tokens[i]; t.kind != number || t.used {
			continue
		}
		c := &room
		r.chain(i, c)
		if len(c.numbers) > 1 {
			r.size(c)
			i = c.b
		}
	}
	if !r.out.Size.Made() && r.out.Size.From == 0 {
		r.clipBore()
		r.bare()
	}
}

// chain reads the chain that begins at a number.
func (r *reader) chain(at int, c *chain) {
	*c = chain{a: at, b: at, numbers: append(c.numbers[:0], at), signs: c.signs[:0], spaces: c.spaces[:0]}
	for c.b+2 < len(r.tokens) {
		i := c.b + 1
		if r.tokens[i].is&mmWord != 0 {
			i++
		}
		if i+1 >= len(r.tokens) {
			return
		}
		sign, next := &r.tokens[i], &r.tokens[i+1]
		if next.sign == 'o' && i+2 < len(r.tokens) { // x Ø 54
			i++
			next = &r.tokens[i+1]
		}
		if sign.sign != 'x' && sign.sign != '/' && sign.sign != '-' || next.kind != number || next.used {
			return
		}
		if sign.sign == '/' && len(c.numbers) > 1 && i+2 < len(r.tokens) && r.tokens[i+2].sign == 'x' { // another size
			return
		}
		spaces := 0
		if !sign.glued {
			spaces |= 1
		}
		if !next.glued {
			spaces |= 2
		}
		if sign.sign == '-' && spaces != 0 || sign.sign == '/' && spaces != 0 && len(c.numbers) < 3 {
			return
		}
		c.numbers, c.signs, c.spaces = append(c.numbers, i+1), append(c.signs, sign.sign), append(c.spaces, spaces)
		c.b = i + 1
	}
}

// size proposes the size of a chain, if it is one. Numbers with crosses are
// taken whatever they are.
func (r *reader) size(c *chain) {
	first, last := 0, len(c.numbers)
	if last == 2 && c.signs[0] == 'x' && c.spaces[0] == 1 && r.count(c.b) && r.endsAt(c.b) { // 39 mm x2
		only(&r.out.Pieces, propose(r, int64(r.tokens[c.b].num), c.b-1, c.b, Certain))
		r.use(c.b, c.b)
		return
	}
	if n := last - 1; n > 1 && c.b+1 < len(r.tokens) && r.tokens[c.b+1].is&pieceWord != 0 && r.count(c.b) &&
		(c.signs[n-1] == '/' && c.signs[0] == 'x' || n == 2 && r.namesORing()) { // 34 x 2.4 x 10 pieces, 41x54x11/2St.
		c.b = c.numbers[n-1]
		c.numbers, c.signs, c.spaces, last = c.numbers[:n], c.signs[:n-1], c.spaces[:n-1], n
	}
	if last > 2 && c.signs[0] == 'x' && c.spaces[0]&2 != 0 && r.count(c.numbers[0]) && c.spaces[0] != c.spaces[1] {
		first = 1 // 2x 41x54x11
	}
	if c.signs[0] == 'x' {
		r.use(c.a, c.b)
	}
	if n := last - 1; last > 3 && c.signs[n-1] == 'x' && c.spaces[n-1]&1 != 0 && r.count(c.numbers[n]) && c.spaces[n-1] != c.spaces[n-2] {
		last = n // 41x54x11 x2
	}
	numbers, signs := c.numbers[first:last], c.signs[first:last-1]
	if len(numbers) < 2 || len(numbers) > 4 || !r.freeBefore(numbers[0]) || last == len(c.numbers) && !r.freeBehind(c.b) {
		return
	}
	if next := c.b + 1; next < len(r.tokens) && (r.tokens[next].is&otherUnit != 0 || r.tokens[next].sign == '"') || r.mixed(numbers) {
		return
	}
	if len(numbers) == 2 && r.numberGoesOn(c.b) {
		return
	}
	size, trust, ok := r.ring(numbers, signs)
	if !ok {
		return
	}
	if signs[0] == '-' && r.ofNumber(c.a) { // perhaps a number of a part
		trust = Uncertain
	}
	if first > 0 {
		only(&r.out.Pieces, propose(r, int64(r.tokens[c.numbers[0]].num), c.numbers[0], c.numbers[0]+1, Certain))
	}
	if last < len(c.numbers) {
		only(&r.out.Pieces, propose(r, int64(r.tokens[c.b].num), c.b-1, c.b, Certain))
	}
	only(&r.out.Size, propose(r, size, numbers[0], numbers[len(numbers)-1], trust))
	r.use(c.a, c.b)
}

// numberGoesOn reports whether a number follows that may be the height: 36x48 11.
func (r *reader) numberGoesOn(at int) bool {
	i := at + 1
	if i >= len(r.tokens) || r.tokens[i].kind != number || r.tokens[i].used || r.tokens[i].digits > 2 {
		return false
	}
	return i+1 == len(r.tokens) || r.tokens[i+1].kind == word && r.tokens[i+1].is&(mmWord|pieceWord|pairWord|packWord|offWord|toWord) == 0
}

// count reports whether a number can be how many parts are in a pack.
func (r *reader) count(at int) bool {
	t := &r.tokens[at]
	return t.whole && !t.zero && t.num > 0 && t.num <= 20
}

// ring reads two to four numbers as the size of a ring or an O-ring.
func (r *reader) ring(numbers []int, signs []byte) (s measure.Size, trust Trust, ok bool) {
	var n [4]measure.Length
	for i, at := range numbers {
		t := &r.tokens[at]
		if n[i] = t.value; t.value == 0 || t.zero || t.bad || t.digits > 3 {
			return s, 0, false
		}
	}
	if !signsOfRing(signs) {
		return s, 0, false
	}
	if len(numbers) == 2 && r.namesORing() && n[1]*2 < n[0] && n[1] <= 8*measure.Millimetre {
		return measure.Size{Inner: n[0], Outer: n[0] + 2*n[1], Height: n[1]}, Certain, signs[0] == 'x'
	}
	if len(numbers) == 2 && r.namesClip() && n[0] >= leastBore && n[1] <= mostWire {
		return measure.Size{Outer: n[0], Height: n[1]}, Uncertain, signs[0] == 'x'
	}
	if len(numbers) == 2 && r.says(spring) && leastSpring <= n[1] && 4*n[0] < n[1] {
		return measure.Size{Outer: n[0], Height: n[1]}, Uncertain, signs[0] == 'x'
	}
	trust = Certain
	if n[0] > n[1] && len(numbers) > 2 {
		n[0], n[1], trust = n[1], n[0], Uncertain
	}
	s = measure.Size{Inner: n[0], Outer: n[1], Height: n[2], Overall: n[3]}
	return s, trust, plausible(s, signs[len(signs)-1] != 'x' && signs[0] != 'x') && s.Check() == nil
}

// signsOfRing reports whether signs can stand between the numbers of a size:
// all the same, or crosses and before the overall height another.
func signsOfRing(signs []byte) bool {
	for i, sign := range signs {
		if i > 0 && sign != signs[0] && (i == 1 && (signs[0] != '/' || len(signs) > 2) || i == 2 && signs[0] != 'x') {
			return false
		}
	}
	return signs[0] == 'x' || len(signs) > 1
}

// plausible reports whether a size can be a ring of a fork or a washer: at most
// twice as wide as its hole and not higher than wide. Without crosses, the
// numbers may also be a date or the number of a part.
func plausible(s measure.Size, dated bool) bool {
	switch {
	case s.Inner < 4*measure.Millimetre, s.Outer > 2*s.Inner, s.Height >= s.Inner, s.Outer > 120*measure.Millimetre:
		return false
	case dated:
		return s.Inner > 12*measure.Millimetre && s.Outer > s.Inner+2*measure.Millimetre
	}
	return true
}

// says reports whether the text names a kind of part as one of its roles.
func (r *reader) says(role catalog.Role) bool {
	return slices.ContainsFunc(r.matches, func(m match) bool { return slices.Contains(m.term.Roles, role) })
}

// A clip for a bore is sold by the bore and the wire or thickness; common
// practice, no source.
const (
	leastBore = 25 * measure.Millimetre
	mostWire  = 4 * measure.Millimetre
)

// namesClip reports whether the text names a clip and nothing that says that
// it is one for a shaft, as DIN 471 has them (from memory).
func (r *reader) namesClip() bool {
	return r.says(catalog.Clip) && !r.saying(shaft) && !slices.ContainsFunc(r.tokens, func(t token) bool { return t.num == 471 })
}

// leastSpring is how long a spring of a fork is at least; common practice, no
// source.
const leastSpring = 150 * measure.Millimetre

// clipBore takes the one diameter that a clip is sold by: Ø54.
func (r *reader) clipBore() {
	if !r.namesClip() {
		return
	}
	for i := 1; i < len(r.tokens); i++ {
		t := &r.tokens[i]
		if r.tokens[i-1].sign == 'o' && t.kind == number && !t.used && !t.zero && !t.bad && t.value >= leastBore && t.digits <= 3 && r.freeBehind(i) {
			only(&r.out.Size, propose(r, measure.Size{Outer: t.value}, i, i, Uncertain))
			r.use(i, i)
		}
	}
}

// namesORing reports whether the text names an O-ring.
func (r *reader) namesORing() bool { return r.says(catalog.CapORing) || r.says(baseValveORing) }

// freeBefore reports whether nothing stands before a number that makes it part
// of a longer number or word: no hyphen, no short word without a space.
func (r *reader) freeBefore(at int) bool {
	if at == 0 {
		return true
	}
	t, last := &r.tokens[at], &r.tokens[at-1]
	switch {
	case !t.glued || last.sign == 'o':
		return last.sign != 'x' || at > 1 && r.tokens[at-2].kind == number
	case last.kind == number:
		return false
	case last.kind == word:
		return last.known && (last.to-last.from > 3 || last.is&mmWord != 0)
	case last.sign == '/':
		return at > 1 && r.tokens[at-2].kind == word
	}
	return last.sign != '-' && last.sign != '#'
}

// freeBehind reports whether nothing goes on behind a number: no letters but
// those that lists put there.
func (r *reader) freeBehind(at int) bool {
	if at+1 >= len(r.tokens) {
		return true
	}
	t := &r.tokens[at+1]
	if !t.glued { // but not in two: 54x1 1
		last := &r.tokens[at]
		return t.kind != number || !t.whole || t.digits > 1 || !last.whole || last.digits > 1 || at+2 < len(r.tokens) && r.tokens[at+2].kind == word
	}
	if t.kind == mark {
		if t.sign == '/' && at+3 < len(r.tokens) && r.tokens[at+3].is&pieceWord != 0 {
			return true
		}
		if t.sign == '/' && at+3 < len(r.tokens) && r.tokens[at+3].sign == 'x' { // another size
			return true
		}
		return !(t.sign == '-' || t.sign == '/' || t.sign == 'x' || t.sign == '.') || at+2 >= len(r.tokens) || r.tokens[at+2].kind != number
	}
	return t.is&(mmWord|pairWord|oneWord|pieceWord|elastomerWord|materialWord) != 0 && t.to-t.from > 1
}

// bare takes three numbers in a row that have the size of a fork seal.
func (r *reader) bare() {
	at := -1
	for i := 0; i+2 < len(r.tokens); i++ {
		a, b, c := &r.tokens[i], &r.tokens[i+1], &r.tokens[i+2]
		if a.kind != number || b.kind != number || c.kind != number || a.used || b.used || c.used ||
			r.gluedBehind(i+2) || a.glued || i > 0 && r.tokens[i-1].kind == number {
			continue
		}
		s := measure.Size{Inner: a.value, Outer: b.value, Height: c.value}
		thick := s.Outer - s.Inner
		if a.zero || b.zero || c.zero || s.Inner < 25*measure.Millimetre || s.Inner > 60*measure.Millimetre ||
			thick < 8*measure.Millimetre || thick > 16*measure.Millimetre || s.Height < 5*measure.Millimetre || s.Height > 15*measure.Millimetre {
			continue
		}
		if at >= 0 {
			return
		}
		at = i
		only(&r.out.Size, propose(r, s, i, i+2, Uncertain))
	}
	if at >= 0 {
		r.use(at, at+2)
	}
}
