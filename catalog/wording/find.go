package wording

import (
	"slices"
	"strings"

	"forkstock/catalog"
)

// shortest is how many letters a word has at least by which a description is
// found: "of" and "mm" tell nothing apart.
const shortest = 3

// Words gives the folded words by which a description is found, each once:
// those that begin with a letter, and sizes written without a space.
func Words(description string) []string {
	var words []string
	eachWord(description, func(w string, _, _ int) {
		digit := w != "" && '0' <= w[0] && w[0] <= '9'
		if len(w) >= shortest && (!digit || strings.Contains(w, "x")) && !slices.Contains(words, w) {
			words = append(words, w)
		}
	})
	return words
}

// Item gives r as an item keeps it: a role that is certain, the other
// proposals as they are. An O-ring has an outer diameter too.
func (r Reading) Item() catalog.Reading {
	i := catalog.Reading{
		Size: r.Size.Value, Thread: r.Thread.Value.String(), Leg: r.Leg.Value, Pieces: r.Pieces.Value,
		Sure: r.Role.Made() && r.Role.Trust == Confirmed,
	}
	if r.Role.Sure() {
		i.Role = r.Role.Value
	}
	ring := r.Role.Value == catalog.CapORing || r.Role.Value == baseValveORing
	if ring && i.Size.Outer == 0 && i.Size.Inner != 0 {
		i.Size.Outer = i.Size.Inner + 2*i.Size.Height
	}
	return i
}
