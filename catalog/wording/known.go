package wording

import (
	"slices"
	"strings"
)

// Known is the makes and models that the fitments of a shop know. The zero
// Known knows none.
type Known struct{ names map[string]*bikeName }

// bikeName is what a folded name stands for.
type bikeName struct {
	maker string
	bikes []Bike // several makes can have a model of that name
	weak  bool   // too much like a number or a filling word to stand without its make
}

// mostNames is how many words and numbers a name of a bike can have.
const mostNames = 6

// NewKnown makes a Known of these bikes. It is made once for a whole list.
func NewKnown(bikes []Bike) Known {
	k := Known{map[string]*bikeName{}}
	at := func(name string) *bikeName {
		key := strings.Map(alphanumeric, Fold(name))
		if k.names[key] == nil {
			k.names[key] = &bikeName{weak: len(key) < 3 || strings.Trim(key, "0123456789") == ""}
		}
		return k.names[key]
	}
	for _, b := range bikes {
		at(b.Make).maker = b.Make
		if model := at(b.Model); !slices.Contains(model.bikes, b) {
			model.bikes = append(model.bikes, b)
		}
	}
	delete(k.names, "")
	return k
}

func alphanumeric(r rune) rune {
	if isLetter(r) || '0' <= r && r <= '9' {
		return r
	}
	return -1
}

// bikes finds the makes and models.
func (r *reader) bikes() {
	if len(r.known.names) == 0 {
		return
	}
	for i := range r.tokens {
		if n, b := r.bikeAt(i); n != nil && n.maker != "" && b >= i {
			r.out.Makes = append(r.out.Makes, propose(r, n.maker, i, b, Certain))
			r.use(i, b)
		}
	}
	for i := 0; i < len(r.tokens); i++ {
		n, b := r.bikeAt(i)
		if n == nil || n.bikes == nil {
			continue
		}
		bikes := slices.DeleteFunc(slices.Clone(n.bikes), func(bike Bike) bool { return !r.makes(bike.Make) })
		if len(bikes) == 0 && !n.weak {
			bikes = n.bikes
		}
		if len(bikes) != 1 {
			continue
		}
		trust := Certain
		if r.goesOn(b) {
			trust = Uncertain
		}
		r.out.Models = append(r.out.Models, propose(r, bikes[0], i, b, trust))
		r.use(i, b)
		i = b
	}
}

func (r *reader) makes(name string) bool {
	return slices.ContainsFunc(r.out.Makes, func(p Proposal[string]) bool { return p.Value == name })
}

// use marks tokens as taken.
func (r *reader) use(a, b int) {
	for i := a; i <= b; i++ {
		r.tokens[i].used = true
	}
}

// bikeAt gives the longest name that begins at a token, and its last token.
func (r *reader) bikeAt(at int) (name *bikeName, last int) {
	if r.tokens[at].kind == mark || r.tokens[at].used || at > 0 && r.tokens[at].glued && r.tokens[at-1].kind != mark {
		return nil, 0
	}
	count := 0
	for b := at; b < len(r.tokens) && count < mostNames; b++ {
		t := &r.tokens[b]
		if t.used {
			break
		}
		if t.kind == mark {
			if t.sign != '-' && t.sign != '.' {
				break
			}
			continue
		}
		count++
		if n := r.known.names[string(r.folded[r.tokens[at].keyFrom:t.keyTo])]; n != nil && !r.gluedBehind(b) {
			name, last = n, b
		}
	}
	return name, last
}

// gluedBehind reports whether letters or digits follow a token without a space.
func (r *reader) gluedBehind(at int) bool {
	return at+1 < len(r.tokens) && r.tokens[at+1].glued && r.tokens[at+1].kind != mark
}

// goesOn reports whether a word of one or two letters follows, as in the name
// of a model that is not known: "Velda 400 X".
func (r *reader) goesOn(at int) bool {
	if at+1 >= len(r.tokens) {
		return false
	}
	t := &r.tokens[at+1]
	digits := at+2 < len(r.tokens) && r.tokens[at+2].kind == number
	return t.kind == word && (t.sign != 'x' || !digits) && (t.to-t.from == 1 || t.to-t.from == 2 && !t.known)
}
