// Package wording reads what suppliers' lists say about their items in words:
// "FORK SEAL 39X52X11 PAIR", "Gabelsimmerring-Satz 41x54x11 (2 St.)". It also
// holds the words for kinds of parts, which search shares.
//
// What it reads are proposals, each with the words that it comes from: one that
// is uncertain is shown to somebody before it is used. Where a text can mean
// two things, nothing is proposed. A shaft seal of the same three sizes is no
// fork seal, so "Wellendichtring 41x54x11" is a size whose use is not known.
// Lengths are measure.Length, amounts whole pieces or millilitres. How well it
// reads is measured on the lines in testdata, see TestLines.
//
// The words are those of the trade, English and German; common practice, no
// source.
//
// Non-goals: the database, prices, parts numbers, what the parts fit.
package wording

import (
	"strconv"
	"strings"
	"sync"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// Trust says how far a proposal can be taken as it is.
type Trust int

// The levels of trust, the least first.
const (
	Uncertain Trust = iota // somebody has to look
	Certain
	Confirmed // a rule of the shop says so
)

// A Proposal is what a description says about one field. The zero Proposal is
// none.
type Proposal[T any] struct {
	Value    T
	Words    string // of the description, exactly
	From, To int    // the bytes of the description that Words are
	Trust    Trust
}

// Made reports whether there is a proposal.
func (p Proposal[T]) Made() bool { return p.To > p.From }

// Sure reports whether there is a proposal that can be taken as it is.
func (p Proposal[T]) Sure() bool { return p.Made() && p.Trust >= Certain }

// Bike is a make with one of its models, as the fitments write them.
type Bike struct{ Make, Model string }

// Years are the model years that a part is for, both included. A zero is open:
// {2001, 0} is "from 2001".
type Years struct{ From, Until int }

// String gives "2001", "1999-2004", "2001-" or "-2004", as fitments are
// entered; "" for the zero Years.
func (y Years) String() string {
	year := func(n int) string {
		if n == 0 {
			return ""
		}
		return strconv.Itoa(n)
	}
	if y.From == y.Until {
		return year(y.From)
	}
	return year(y.From) + "-" + year(y.Until)
}

// Reading is what a description says. Of sizes, years and the like that it
// states twice and differently, none is proposed.
type Reading struct {
	Role      Proposal[catalog.Role]
	Size      Proposal[measure.Size] // bolts and bushings: the length is Height; O-rings: the section
	Thread    Proposal[measure.Thread]
	Leg       Proposal[measure.Length] // diameter of the inner tube, where the text names it
	Pieces    Proposal[int64]          // in a pack: 2 for a pair; none for kits
	Volume    Proposal[measure.Volume] // of a bottle
	Elastomer Proposal[string]         // as catalog.Part has it: "NBR"
	Material  Proposal[string]         // "copper"
	Makes     []Proposal[string]       // in the order of the text, as Known writes them
	Models    []Proposal[Bike]
	Years     []Proposal[Years]

	// Foreign is the word that says that the item is no part of a fork, such as
	// "Radlager". Then nothing else is proposed. Its value is that word.
	Foreign Proposal[string]
}

// reader takes one description apart. Readers are used again and again, so
// that a long list does not make one for each line.
type reader struct {
	text    string
	known   Known
	folded  []byte // the keys of all words and numbers, one behind the other
	tokens  []token
	matches []match
	grade   bool // of an oil: 10W
	out     Reading
}

var readers = sync.Pool{New: func() any { return new(reader) }}

// leastSeal is lower than any seal of a fork; common practice, no source.
const leastSeal = 3 * measure.Millimetre

// longest is how many bytes of a description are read; more is no description.
const longest = 2000

// Read gives what a description says. It is the same for the same text and
// Known, and never fails: what is not understood is not proposed.
func Read(description string, known Known) Reading {
	r := readers.Get().(*reader)
	defer readers.Put(r)
	*r = reader{
		text: description[:min(len(description), longest)], known: known,
		folded: r.folded[:0], tokens: r.tokens[:0], matches: r.matches[:0],
	}
	r.scan()
	r.inches()
	r.match()
	if r.foreign() {
		return r.out
	}
	r.bikes()
	r.threads()
	r.inchThreads()
	r.volumes()
	r.sizes()
	r.years()
	r.labels()
	r.pieces()
	r.leg()
	r.stuff()
	r.role()
	if role := r.out.Role.Value; role != "" && role != catalog.BottomBolt && role != catalog.DrainScrew {
		r.out.Thread.Trust = Uncertain // of the bolt that it goes with
	}
	if role := r.out.Role.Value; (role == catalog.OilSeal || role == catalog.Wiper) && r.out.Size.Value.Height < leastSeal &&
		r.out.Size.Value.Height > 0 {
		r.out.Size = Proposal[measure.Size]{} // a number was cut in two
	}
	if r.out.Role.Value == pistonRing && r.out.Leg.From > r.out.Role.To && strings.TrimSpace(r.text[r.out.Role.To:r.out.Leg.From]) == "" {
		r.out.Leg = Proposal[measure.Length]{} // the diameter of the ring
	}
	if r.out.Role.Value == catalog.Kit {
		r.out.Pieces = Proposal[int64]{} // those are of what is in it
	}
	settle(&r.out.Size)
	settle(&r.out.Thread)
	settle(&r.out.Leg)
	settle(&r.out.Pieces)
	settle(&r.out.Volume)
	settle(&r.out.Elastomer)
	settle(&r.out.Material)
	out := r.out
	r.out, r.known, r.text = Reading{}, Known{}, ""
	return out
}

// propose makes a proposal of the tokens from a to b, both included.
func propose[T any](r *reader, value T, a, b int, trust Trust) Proposal[T] {
	from, to := r.tokens[a].from, r.tokens[b].to
	return Proposal[T]{Value: value, Words: r.text[from:to], From: from, To: to, Trust: trust}
}

// twice is the From of a field that the text states twice and differently,
// until settle.
const twice = -1

// only proposes p, unless another value is proposed already: then none is,
// whatever comes.
func only[T comparable](field *Proposal[T], p Proposal[T]) {
	switch {
	case field.From == twice:
	case !field.Made():
		*field = p
	case field.Value != p.Value:
		*field = Proposal[T]{From: twice, To: twice}
	case p.Trust > field.Trust:
		field.Trust = p.Trust
	}
}

// settle leaves a field empty that the text states twice and differently.
func settle[T any](field *Proposal[T]) {
	if field.From == twice {
		*field = Proposal[T]{}
	}
}
