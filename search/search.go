// Package search finds parts, forks and supplier items for what a mechanic
// types: a number or half of one, a scanned code, sizes, a leg diameter, the
// name of a kind of part in English or German, make, model and year, words.
//
// Understand takes a text apart by what the shop's catalog knows. SQLite then
// answers numbers, codes, sizes, diameters and fits, which are right at the
// next query after a commit; an index of words (bleve) ranks and filters by
// what is left, mistyped words included. Digits are never guessed at: 39 is
// not 38. Every hit says why it is one.
//
// The index is a cache of the catalog. It may be deleted at any time, and a
// program that cannot have it answers from SQLite alone and says so.
//
// Lengths are measure.Length (micrometres). Functions take the transaction of
// their caller and only read.
//
// Non-goals: stock (the caller hands in a function), verdicts (package
// catalog), paging beyond a limit.
package search

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Hits is the answer to a text.
type Hits struct {
	Understood fault.Message   // how the text was read, one line
	Read       []Group         // the same by kinds, each in a few words
	Warnings   []fault.Message // what of the text the answer does not keep to
	Notes      []fault.Message // what else there is to say about it
	Parts      []Hit           // the best first
	Forks      []ForkHit       // forks of the bike, leg diameter or size asked for
	Items      []ItemHit       // what suppliers offer and the shop does not use yet
	Total      int             // of the parts, shown or not; at least so many where More
	More       bool            // there are parts or forks that were not looked at
	Tally      Tally           // what it can be narrowed down to, where that was asked for
	Meant      []string        // texts that may have been meant, where nothing was found or a word meant nothing
	Measured   Measured        // a leg's diameter that nothing was found for
	Suggest    fault.Message   // numbers that look alike (O and 0, I and 1), where none is equal
	Degraded   fault.Message   // set where the word index could not be asked
}

// Hit is a part that was found.
type Hit struct {
	Part catalog.Part
	Why  fault.Message
	Said fault.Message // where it is known from that it fits the fork asked for, in a few words; zero elsewhere
}

// ForkHit is a fork that was found, with the bikes that carry it: those asked
// for where the text names bikes, else all.
type ForkHit struct {
	Fork   catalog.Fork // id, name, layout and leg alone
	Why    fault.Message
	Models []catalog.Fitment
}

// Measured is a diameter that nothing has: somebody may have measured it, and
// what was measured is looked up otherwise. The zero value is none.
type Measured struct {
	Diameter measure.Length
	Role     catalog.Role // the one that was asked for; empty: none, or several
}

// Options of Find.
type Options struct {
	// Limit is the most parts, forks and items each that are given; 0 means 20.
	Limit int
	// OnHand is the condition in SQL that a part p is on hand. Where it is
	// empty, nothing ranks by stock, and "in stock" in a text is not understood.
	OnHand string
	// Stocked is a query in SQL for the ids of all parts on hand, there where
	// OnHand is.
	Stocked string
	// Only narrows the answer down. Tally asks to count what it could be
	// narrowed down to.
	Only  Only
	Tally bool
	// InBin gives the name of the bin that a word means, by its name or by the
	// code on its label, empty for none, and the parts (by id) that lie in it or
	// belong there. Where it is nil, no bin is understood.
	InBin func(ctx context.Context, word string) (bin string, parts []string, err error)
}
