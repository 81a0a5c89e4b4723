package search

import (
	"slices"
	"strings"
)

// modelWords takes words of models beside a make whose model is not named as a
// whole: "kaldrin 650" means every model of that make with 650 in its name.
// Further words narrow; one that no such model has is left.
func (r *reader) modelWords() {
	q := r.q
	if q.Make == "" || q.Bikes != nil {
		return
	}
	bikes := r.v.made[q.Make]
	for i, w := range r.words {
		if w.used || w.key == "" {
			continue
		}
		having := slices.DeleteFunc(slices.Clone(bikes), func(b Bike) bool { return !b.has(w.key) })
		if len(having) > 0 {
			bikes, q.Bikes, r.words[i].used = having, having, true
		}
	}
}

// has reports whether a word of the model's name has that key.
func (b Bike) has(k string) bool {
	return slices.ContainsFunc(strings.Fields(b.Model), func(w string) bool { return key(w) == k })
}
