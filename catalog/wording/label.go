package wording

import (
	"forkstock/catalog"
	"forkstock/internal/measure"
)

// A label is a word that says which of the sizes of a part a number is.
type label struct {
	field byte // of wordsOf: i, o, b, w, l, h, d
	word  int  // token
}

// labels reads sizes with a word to each number: "43mm od, 12 lg", "Bohrung
// 54, Draht 1,8", "ID 41 OD 54 H 11".
func (r *reader) labels() {
	var room [8]label
	found := room[:0]
	for i := range r.tokens {
		if field := r.labelOf(i); field != 0 {
			found = append(found, label{field, i})
		}
	}
	if len(found) == 0 {
		return
	}
	behind := r.numberBehind(found[len(found)-1].word) >= 0 // each label stands before its number
	var s measure.Size
	a, b := len(r.tokens), -1
	for _, l := range found {
		n := r.numberBefore(l.word)
		if m := r.numberBehind(l.word); m >= 0 && (behind || n < 0) {
			n = m
		}
		if n < 0 || !r.put(&s, l.field, r.tokens[n].value) {
			continue
		}
		r.use(n, n)
		a, b = min(a, n, l.word), max(b, n, l.word)
	}
	if b >= 0 && s.Check() == nil && (s.Outer > 0 || !r.says(catalog.Clip)) { // a wire without its bore says little
		only(&r.out.Size, propose(r, s, a, b, Certain))
	}
}

// labelOf gives the field that a word names, 0 for none. Inner and outer name
// one only where both do; single letters only where the number follows.
func (r *reader) labelOf(at int) byte {
	t := &r.tokens[at]
	if t.kind != word {
		return 0
	}
	if t.to-t.from == 1 {
		next := at + 1
		if next >= len(r.tokens) || !(r.tokens[next].glued && r.tokens[next].kind == number || r.tokens[next].sign == '=' || t.is&labelWord != 0) {
			return 0
		}
		switch key := r.key(at, at); key {
		case "l", "h":
			return key[0]
		case "d":
			if r.pairOf("d") {
				return 'd'
			}
		}
		return 0
	}
	switch {
	case t.is&(inside|outside) != 0 && t.term == nil && r.numberBehind(at) >= 0 && r.bothSaid():
		if t.is&inside != 0 {
			return 'i'
		}
		return 'o'
	case t.is&labelWord != 0:
		return byte(t.n)
	}
	return 0
}

// pairOf reports whether a letter stands before two numbers: D41/D54.
func (r *reader) pairOf(letter string) bool {
	n := 0
	for i := range r.tokens {
		if r.tokens[i].kind == word && r.key(i, i) == letter && r.numberBehind(i) >= 0 {
			n++
		}
	}
	return n == 2
}

// bothSaid reports whether inner and outer stand in the text, a number behind
// each.
func (r *reader) bothSaid() bool {
	var said class
	for i := range r.tokens {
		if is := r.tokens[i].is & (inside | outside); is != 0 && r.numberBehind(i) >= 0 {
			said |= is
		}
	}
	return said == inside|outside
}

// saying reports whether a word of a class stands in the text.
func (r *reader) saying(is class) bool {
	for i := range r.tokens {
		if r.tokens[i].is&is != 0 {
			return true
		}
	}
	return false
}

// numberBehind gives the number that follows a label, -1 for none.
func (r *reader) numberBehind(at int) int {
	for i := at + 1; i < len(r.tokens); i++ {
		switch t := &r.tokens[i]; {
		case t.kind == number && !t.used && t.value > 0:
			return i
		case t.sign != '=' && t.sign != ':' && t.sign != 'o' && t.sign != '.':
			return -1
		}
	}
	return -1
}

// numberBefore gives the number before a label, -1 for none.
func (r *reader) numberBefore(at int) int {
	i := at - 1
	if i > 0 && r.tokens[i].is&mmWord != 0 {
		i--
	}
	if i >= 0 && r.tokens[i].kind == number && !r.tokens[i].used && r.tokens[i].value > 0 {
		return i
	}
	return -1
}

// put puts a length into a field of s, and reports whether it could.
func (r *reader) put(s *measure.Size, field byte, l measure.Length) bool {
	to := &s.Height
	switch field {
	case 'i':
		to = &s.Inner
	case 'o':
		to = &s.Outer
	case 'b', 'w':
		if !r.says(catalog.Clip) {
			return false
		}
		if field == 'b' {
			to = &s.Outer
		}
	case 'd':
		if to = &s.Inner; s.Inner != 0 {
			to = &s.Outer
		}
	}
	if *to != 0 {
		return false
	}
	*to = l
	return true
}
