package wording

import (
	"slices"
	"strings"

	"forkstock/catalog"
)

// A Rule is what a shop knows of the words of a supplier: a description with
// all of the Words, in any order, each as a word of its own, says what the
// other fields say. Zero fields say nothing.
type Rule struct {
	Words  string // as a description has them: "FS PR"
	Role   catalog.Role
	Pieces int64 // in a pack
	Own    bool  // of one supplier; else of every one
}

// Rules are the rules for one supplier's list, made ready for all of it. The zero
// Rules say nothing.
type Rules struct {
	rules []readyRule
	words map[string]bool // of all rules
}

type readyRule struct {
	Rule
	words []string // folded
}

// NewRules makes rules ready. One without words says nothing.
func NewRules(rules []Rule) Rules {
	all := Rules{words: map[string]bool{}}
	for _, rule := range rules {
		ready := readyRule{Rule: rule, words: rulesWords(rule.Words)}
		if len(ready.words) == 0 {
			continue
		}
		for _, w := range ready.words {
			all.words[w] = true
		}
		all.rules = append(all.rules, ready)
	}
	return all
}

// rulesWords gives the folded words and numbers of a text, each once.
func rulesWords(text string) []string {
	var words []string
	eachWord(text, func(w string, _, _ int) {
		if !slices.Contains(words, w) {
			words = append(words, w)
		}
	})
	return words
}

// eachWord calls see with each word and number of a text, folded, and where it
// stands. Unlike in Read, letters and digits without a space are one word.
func eachWord(text string, see func(word string, from, to int)) {
	from := -1
	for at, c := range text + " " {
		in := isLetter(c) || '0' <= c && c <= '9'
		switch {
		case in && from < 0:
			from = at
		case !in && from >= 0:
			see(strings.Map(alphanumeric, Fold(text[from:at])), from, at)
			from = -1
		}
	}
}

// place is where words of a rule stand in a description.
type place struct {
	word     string
	from, to int
}

// Apply gives what the rules say of a description, Confirmed. Where two speak
// of the same field, the supplier's own is right, and of those the one with
// more words; where two as good say two things, neither is.
func Apply(rules Rules, description string) Reading {
	var out Reading
	if len(rules.rules) == 0 {
		return out
	}
	var places []place
	eachWord(description, func(w string, from, to int) {
		if rules.words[w] {
			places = append(places, place{w, from, to})
		}
	})
	role, pieces := 0, 0 // how good the rule is that the field has its value from
	for _, rule := range rules.rules {
		from, to := rule.in(places)
		if to == 0 {
			continue
		}
		good := len(rule.words)
		if rule.Own {
			good += len(description)
		}
		at := place{description[from:to], from, to}
		confirm(&out.Role, &role, rule.Role, good, at)
		confirm(&out.Pieces, &pieces, rule.Pieces, good, at)
	}
	settle(&out.Role)
	settle(&out.Pieces)
	return out
}

// in gives the bytes from the first to the last word of a rule, 0 where one of
// them does not stand among places.
func (r readyRule) in(places []place) (from, to int) {
	from = -1
	for _, w := range r.words {
		i := slices.IndexFunc(places, func(p place) bool { return p.word == w })
		if i < 0 {
			return 0, 0
		}
		if from < 0 || places[i].from < from {
			from = places[i].from
		}
		to = max(to, places[i].to)
	}
	return from, to
}

// confirm sets a field to value, unless it has one from a better rule.
func confirm[T comparable](field *Proposal[T], best *int, value T, good int, at place) {
	var none T
	switch {
	case value == none || good < *best:
	case good > *best:
		*best = good
		*field = Proposal[T]{Value: value, Words: at.word, From: at.from, To: at.to, Trust: Confirmed}
	case field.Value != value:
		*field = Proposal[T]{From: twice, To: twice}
	}
}

// Over gives r with the proposals of other where r has none: what rules say
// over what was read. What a rule calls a part is not foreign.
func (r Reading) Over(other Reading) Reading {
	over(&r.Role, other.Role)
	over(&r.Size, other.Size)
	over(&r.Thread, other.Thread)
	over(&r.Leg, other.Leg)
	over(&r.Pieces, other.Pieces)
	over(&r.Volume, other.Volume)
	over(&r.Elastomer, other.Elastomer)
	over(&r.Material, other.Material)
	if r.Makes == nil {
		r.Makes = other.Makes
	}
	if r.Models == nil {
		r.Models = other.Models
	}
	if r.Years == nil {
		r.Years = other.Years
	}
	if r.Role.Trust != Confirmed {
		over(&r.Foreign, other.Foreign)
	}
	return r
}

func over[T any](field *Proposal[T], other Proposal[T]) {
	if !field.Made() {
		*field = other
	}
}
