package scanner

import (
	"cmp"
	"slices"
	"strings"

	"forkstock/internal/fault"
)

// A sighting is a text seen at a place.
type sighting struct {
	symbology, text string
	aim             string // of a matrix symbol, see Symbol.AIM
	raw             []byte // of a matrix symbol, see Symbol.Raw
	votes           int    // of lines, or how often a matrix symbol was decoded
	need            int    // votes that make it believed
	at              quad
	grown           bool // at reaches as far as the bars do
	wrong           bool // the check digit or character is, though the text may be the same
}

func (s sighting) linear() bool { return votesNeeded[s.symbology] > 0 }

// votesNeeded is what must come together before a linear text is believed.
// Code 128 has a check character over all, Code 93 two, EAN-13 and UPC-A a check digit and
// parity; EAN-8 and UPC-E are short and easily seen in other things; Code 39,
// ITF and Codabar need no check character at all. Found by trial.
var votesNeeded = map[string]int{
	Code128: 8, GS1128: 8, EAN13: 16, UPCA: 16, Code39: 12, EAN8: 20, ITF: 16, UPCE: 24, Code93: 8, Codabar: 20, GS1DataBar: 12,
}

// votes gives the weight of a row: 4 where the symbol found is all that
// stands between two quiet zones; 1 where there are other marks beside it,
// and none at all for the symbologies that are easily found inside others.
func votes(symbology string, whole bool) int {
	switch {
	case whole:
		return 4
	case symbology == UPCE || symbology == EAN8 || symbology == ITF || symbology == Codabar:
		return 0
	}
	return 1
}

// margin is how many times as strong a text must be as another one at the
// same place.
const margin = 3

// strength is 1 or more for a text that is believed. Error correction counts
// for many rows.
func (s sighting) strength() float64 {
	if !s.linear() && s.votes >= s.need {
		return 10
	}
	return float64(s.votes) / float64(s.need)
}

// linearNeed gives the votes that a linear text needs.
func linearNeed(symbology, text string) int {
	if len(text) < 4 {
		return 2 * votesNeeded[symbology]
	}
	return votesNeeded[symbology]
}

// add puts a sighting to the others. Of the same text at the same place the
// larger quad stands; matrix symbols that were decoded again add their votes,
// linear ones do not: the same lines were read again.
func (r *reader) add(s sighting) {
	if !r.wants(s.symbology) {
		return
	}
	for i := range r.seen {
		old := &r.seen[i]
		if old.symbology == s.symbology && old.text == s.text && old.wrong == s.wrong && old.at.touches(s.at) {
			if s.linear() {
				old.votes = max(old.votes, s.votes)
			} else {
				old.votes += s.votes
			}
			if !old.grown {
				old.at = larger(old.at, s.at)
			}
			return
		}
	}
	r.seen = append(r.seen, s)
}

// onePlace reports whether two sightings are of one symbol.
func (r *reader) onePlace(s, t sighting) bool {
	return s.at.touches(t.at) || s.linear() && t.linear() && r.goesOn(s.at, t.at)
}

// merge joins sightings of one text whose bars go on from one to the other.
func (r *reader) merge() {
	for i := range r.seen {
		if s := &r.seen[i]; s.linear() && s.strength() >= 1 && !s.grown {
			s.at, s.grown = r.extended(s.at), true
		}
	}
	for i := 0; i < len(r.seen); i++ {
		s := &r.seen[i]
		for j := i + 1; j < len(r.seen); j++ {
			t := r.seen[j]
			if s.symbology == t.symbology && s.text == t.text && s.wrong == t.wrong && r.onePlace(*s, t) {
				s.votes += t.votes
				if s.at.crosses(t.at) {
					s.at = larger(s.at, t.at)
				} else {
					s.at = spanned(s.at, t.at)
				}
				r.seen = slices.Delete(r.seen, j, j+1)
				j = i // the longer one may reach others
			}
		}
	}
}

// holds reports whether t is what one sees of s where a part of it is covered:
// ITF, alone, can be read so.
func (s sighting) holds(t sighting) bool {
	return s.symbology == ITF && t.symbology == ITF && len(t.text) < len(s.text) && strings.Contains(s.text, t.text)
}

// credible reports whether s could be a symbol by its check digit and its
// length: one that could not says nothing against what else is read there.
func (r *reader) credible(s sighting) bool {
	return !s.wrong && (s.symbology != ITF || len(s.text) == 14 || slices.Contains(r.ITFLengths, len(s.text)))
}

// settle says which sightings are believed and which are refused. Of two
// texts at one place the stronger one is believed if it is margin times as
// strong, else neither.
func (r *reader) settle() (symbols []Symbol, refused []Refused) {
	r.merge()
	all := slices.Clone(r.seen)
	slices.SortStableFunc(all, func(a, b sighting) int {
		switch {
		case r.credible(a) && !r.credible(b):
			return -1
		case r.credible(b) && !r.credible(a):
			return 1
		case a.holds(b) && a.strength() >= 1:
			return -1
		case b.holds(a) && b.strength() >= 1:
			return 1
		}
		return cmp.Compare(b.strength(), a.strength())
	})
	var taken []sighting
	for i, s := range all {
		if slices.ContainsFunc(taken, func(t sighting) bool { return r.onePlace(s, t) }) {
			continue
		}
		why := fault.Message{}
		for _, rival := range all[i+1:] {
			if s.strength() < margin*rival.strength() && r.credible(rival) && !s.holds(rival) && r.onePlace(s, rival) {
				why = fault.Say("scanner.rows_differ")
			}
		}
		switch {
		case s.wrong && s.strength() < 1:
			continue // nearly nothing
		case s.strength() < 1 && !s.linear():
			why = fault.Say("scanner.damaged")
		case s.strength() < 1:
			why = fault.Say("scanner.few_rows")
		case s.wrong && !slices.Contains([]string{Code128, GS1128, Code93}, s.symbology):
			why = fault.Say("scanner.check_digit")
		case s.wrong:
			why = fault.Say("scanner.check_character")
		}
		taken = append(taken, s)
		if why.IsZero() {
			why = r.fails(s.symbology, s.text)
		}
		if why.IsZero() {
			symbols = append(symbols, r.symbol(s))
			continue
		}
		refused = append(refused, Refused{1, s.symbology, s.text, s.at.corners(), why})
	}
	order(symbols)
	return symbols, refused
}

// symbol gives a sighting that is believed.
func (r *reader) symbol(s sighting) Symbol {
	if s.linear() {
		s.aim = r.aim(s.symbology, s.text, "")
	}
	return Symbol{
		Page: 1, Symbology: s.symbology, AIM: s.aim, Text: s.text, Raw: s.raw, Corners: s.at.corners(),
		Elements: elementsOf(s.symbology, s.text),
	}
}

// order sorts symbols from top to bottom, then left to right, by the middle
// of their boxes, and numbers the equal ones. Two that overlap in height by
// half of the lower one stand on one line.
func order(symbols []Symbol) {
	slices.SortStableFunc(symbols, func(a, b Symbol) int {
		p, q := a.Bounds(), b.Bounds()
		return cmp.Or(cmp.Compare(p.Min.Y+p.Max.Y, q.Min.Y+q.Max.Y), cmp.Compare(p.Min.X, q.Min.X))
	})
	for i := 1; i < len(symbols); i++ {
		for j := i; j > 0 && oneLine(symbols[j-1], symbols[j]) && symbols[j].Bounds().Min.X < symbols[j-1].Bounds().Min.X; j-- {
			symbols[j-1], symbols[j] = symbols[j], symbols[j-1]
		}
	}
	count := map[[2]string]int{}
	for i := range symbols {
		s := &symbols[i]
		k := [2]string{s.Symbology, s.Text}
		s.Ordinal = count[k]
		count[k]++
	}
}

func oneLine(a, b Symbol) bool {
	p, q := a.Bounds(), b.Bounds()
	return 2*(min(p.Max.Y, q.Max.Y)-max(p.Min.Y, q.Min.Y)) > min(p.Dy(), q.Dy())
}
