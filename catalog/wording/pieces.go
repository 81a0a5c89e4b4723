package wording

import "strings"

// mostPieces is the most that a pack of a list is read to hold.
const mostPieces = 1000

// pieces finds how many are in a pack: pair, 2 St., VPE 10, set of two, x2.
func (r *reader) pieces() {
	alone := -1 // a word that says one, where no number does
	for i := range r.tokens {
		t := &r.tokens[i]
		switch {
		case t.is&pairWord != 0:
			r.countBefore(i, 2)
		case t.is&pieceWord != 0 && !r.named(i):
			if !r.countBefore(i, 1) && alone < 0 && (i == 0 || r.tokens[i-1].kind != number || r.tokens[i-1].used) {
				alone = i
			}
		case t.is&offWord != 0 && (r.amount(i-1) > 0 || r.amount(i-2) > 0 && r.tokens[i-1].sign == '-'):
			r.countBefore(i, 1)
		case t.is&packWord != 0:
			r.pack(i)
		case t.is&setWord != 0:
			r.setOf(i)
		case t.is&oneWord != 0 && alone < 0 && r.amount(i-1) < 2:
			alone = i
		case t.sign == 'x':
			r.times(i)
		case t.sign == '(' && i+2 < len(r.tokens) && r.tokens[i+2].sign == ')':
			if n := r.amount(i + 1); n > 0 && n <= 20 {
				only(&r.out.Pieces, propose(r, n, i, i+2, Uncertain))
			}
		}
	}
	for _, m := range r.matches {
		r.counted(m)
	}
	if alone >= 0 && !r.out.Pieces.Made() && r.out.Pieces.From == 0 {
		r.out.Pieces = propose(r, int64(1), alone, alone, Certain)
	}
}

// amount gives the number that a token is, 0 for none.
func (r *reader) amount(at int) int64 {
	if at < 0 || at >= len(r.tokens) {
		return 0
	}
	t := &r.tokens[at]
	switch {
	case t.is&numeral != 0:
		return int64(t.n)
	case t.kind == number && t.whole && !t.bad && !t.zero && !t.used && t.num <= mostPieces:
		return int64(t.num)
	}
	return 0
}

// countBefore proposes each pieces for every one of the number before a word
// at token at; a pair without a number is one. It reports whether it proposed.
func (r *reader) countBefore(at int, each int64) bool {
	n, from := r.amount(at-1), at-1
	if n == 0 && at > 1 && r.tokens[at-1].sign == '-' && r.tokens[at-1].glued { // 2-pair
		n, from = r.amount(at-2), at-2
	}
	if n == 0 || each > 1 && n > 12 || !r.freeBefore(from) && !r.behindUsed(from) {
		if each == 1 {
			return false
		}
		n, from = 1, at
	}
	only(&r.out.Pieces, propose(r, n*each, from, at, Certain))
	if from < at {
		r.use(from, from)
	}
	return true
}

// behindUsed reports whether a slash and what is read already stand before a
// number: 41x54x11/2 St.
func (r *reader) behindUsed(at int) bool {
	return at > 1 && r.tokens[at-1].sign == '/' && r.tokens[at-2].used
}

// pack reads the number in a pack, behind the word or before it: pack of 10,
// VPE 10, 2-pack, 2/PK, 100er Pack.
func (r *reader) pack(at int) {
	i := at + 1
	for i < len(r.tokens) && (r.tokens[i].is&joining != 0 || r.isOf(i) || isJoint(r.tokens[i].sign)) {
		i++
	}
	if n := r.amount(i); n > 0 && !r.isLength(i) {
		if i+1 < len(r.tokens) && r.tokens[i+1].is&pairWord != 0 {
			return // box of 5 pairs
		}
		only(&r.out.Pieces, propose(r, n, at, i, Certain))
		r.use(i, i)
		return
	}
	from := at - 1
	if from > 0 && r.tokens[from].kind == word && r.isPer(from) { // 2 per pack
		if n := r.amount(from - 1); n > 0 {
			only(&r.out.Pieces, propose(r, n, from-1, at, Certain))
			r.use(from-1, from-1)
		}
		return
	}
	if from > 0 && r.tokens[from].glued && (r.tokens[from].sign == '-' || r.tokens[from].sign == '/') {
		from--
	}
	if r.key(at, at) == "er" && !r.isPackAhead(at) {
		return // a 39er Gabel
	}
	if n := r.amount(from); n > 0 && r.freeBefore(from) && (r.tokens[at].glued || strings.HasPrefix(r.key(at, at), "pack")) {
		only(&r.out.Pieces, propose(r, n, from, at, Certain))
		r.use(from, from)
	}
}

// isOf reports whether a token is "of" or "à" between a pack and its number.
func (r *reader) isOf(at int) bool {
	if r.tokens[at].kind != word {
		return false
	}
	switch r.key(at, at) {
	case "of", "zu", "mit", "a", "von", "size":
		return true
	}
	return false
}

func (r *reader) isPer(at int) bool {
	key := r.key(at, at)
	return key == "per" || key == "pro" || key == "je" || key == "to"
}

func isJoint(sign byte) bool {
	switch sign {
	case '=', ':', '.', '/', '-', '(':
		return true
	}
	return false
}

// isPackAhead reports whether a pack or set follows: 2er-Set.
func (r *reader) isPackAhead(at int) bool {
	for i := at + 1; i < len(r.tokens) && i < at+3; i++ {
		if t := &r.tokens[i]; t.is&(packWord|setWord|pairWord) != 0 {
			return true
		} else if t.sign != '-' {
			return false
		}
	}
	return false
}

// setOf reads how many are in a set: set of two, Satz = 2.
func (r *reader) setOf(at int) {
	i := at + 1
	joint := false
	for i < len(r.tokens) && (r.isOf(i) || isJoint(r.tokens[i].sign)) {
		joint = true
		i++
	}
	if n := r.amount(i); n > 0 && (joint || n <= 10 && r.endsAt(i)) && !r.isLength(i) {
		only(&r.out.Pieces, propose(r, n, at, i, Certain))
		r.use(i, i)
	}
}

// times reads "x2" and "2x" that are no size.
func (r *reader) times(at int) {
	number := func(i int) bool { return i >= 0 && i < len(r.tokens) && r.tokens[i].kind == number }
	if number(at-1) == number(at+1) {
		return
	}
	i := at + 1
	if number(at - 1) {
		i = at - 1
	}
	if n := r.amount(i); n > 0 && n <= 20 && (i < at && r.freeBefore(i) || i > at && r.endsAt(i)) {
		only(&r.out.Pieces, propose(r, n, min(i, at), max(i, at), Certain))
		r.use(i, i)
	}
}

// counted reads the number before the name of a part: two fork seals.
func (r *reader) counted(m match) {
	i := m.a - 1
	for i >= 0 && r.tokens[i].is&(aFork|small) != 0 {
		i--
	}
	n := r.amount(i)
	if n == 0 || n > 10 || !r.freeBefore(i) || n == 1 && r.key(i, i) != "one" {
		return
	}
	if r.tokens[i].kind == word || i == 0 || r.tokens[i-1].kind == mark || r.tokens[i-1].used {
		only(&r.out.Pieces, propose(r, n, i, m.b, Certain))
		r.use(i, i)
	}
}
