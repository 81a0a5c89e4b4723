package search

import (
	"slices"
	"strings"
)

// What is turned away: "no wipers", "ohne Staubkappen", "not in stock", "nicht
// von Grevalo". Measures, bikes and forks cannot be; that is said.

// without takes what is not wanted.
func (r *reader) without() {
	for i := range r.words {
		away := &r.words[i]
		if away.used || !slices.Contains(withoutWords, away.key) && !slices.Contains(notWords, away.key) {
			continue
		}
		from := i + 1
		for from < len(r.words)-1 && r.filling(from) {
			from++
		}
		if r.turned(i, from) || !slices.Contains(notWords, away.key) {
			continue
		}
		away.used = true
		if from < len(r.words) && !r.words[from].used {
			next := &r.words[from]
			next.used = true
			if r.v.find(next.key) == nil && !hasDigit(next.key) {
				r.q.Not = append(r.q.Not, next.typed)
				continue
			}
			r.q.Lost = append(r.q.Lost, away.typed+" "+next.typed)
			continue
		}
		r.q.Lost = append(r.q.Lost, away.typed)
	}
}

// filling reports whether the word there says nothing, and begins no name.
func (r *reader) filling(at int) bool {
	n := r.v.names[r.words[at].key]
	if n == nil || !n.idle || n.stock || n.roles != nil {
		return false
	}
	name, _ := r.turns(at)
	return name == nil
}

// turns gives the longest name of a kind of part, or for stock, that begins
// at a word, and the word behind it.
func (r *reader) turns(from int) (n *name, end int) {
	for end = min(from+longest, len(r.words)); end > from; end-- {
		var k strings.Builder
		for _, w := range r.words[from:end] {
			k.WriteString(w.key)
		}
		if n = r.v.find(k.String()); n != nil && (n.roles != nil || n.stock) {
			return n, end
		}
	}
	return nil, from
}

// turned takes the name behind a word that turns it away.
func (r *reader) turned(away, from int) bool {
	n, end := r.turns(from)
	if n == nil {
		return false
	}
	if n.roles != nil {
		r.q.Without = append(r.q.Without, n.roles...)
	} else {
		r.q.Out = true
	}
	for i := away; i < end; i++ {
		r.words[i].used = true
	}
	return true
}

// short takes words of three letters that are a kind of part but for a letter
// that is missing, or the beginning of one: sel, was. So short a word may begin
// the name of a maker as well, so it is kept in doubt.
func (r *reader) short() {
	for i, w := range r.words {
		if w.used || len([]rune(w.key)) != 3 || hasDigit(w.key) || r.v.knows(w) {
			continue
		}
		n := r.v.oneShort(w.key)
		if n == nil && strings.ToUpper(w.typed) != w.typed { // SAE is no Satz
			n = r.v.shortOf(w.key)
		}
		if n == nil || !r.take(w.key, n, nil) {
			continue
		}
		r.words[i].used = true
		r.readAs(r.words[i:i+1], n.typed)
		r.q.Doubt = append(r.q.Doubt, w.typed)
	}
}

// oneShort gives the kind of part that three letters are one letter short of;
// nil where that is none or several.
func (v *Vocabulary) oneShort(k string) (best *name) {
	for _, other := range v.alike[shape{shapeOf(k).first, 4}] {
		n := v.names[other]
		switch {
		case n.roles == nil || slips(k, other, 1) > 1:
		case best == nil:
			best = n
		case !slices.Equal(n.roles, best.roles):
			return nil
		}
	}
	return best
}

// shortOf gives the kind of part that all names which begin so and are kinds of
// parts mean; nil where there is none, or several.
func (v *Vocabulary) shortOf(k string) (best *name) {
	from, _ := slices.BinarySearch(v.keys, k)
	for _, other := range v.keys[from:] {
		if !strings.HasPrefix(other, k) {
			break
		}
		n := v.names[other]
		if n.idle || best != nil && !slices.Equal(n.roles, best.roles) {
			return nil
		}
		if n.roles == nil {
			continue // the beginning of a make is none of its own
		}
		best = n
	}
	return best
}
