// Package exchange knows what the files look like that a shop takes in and
// gives out: the kinds of file, their columns and the header words by which
// the columns are found, in English and German, and how a cell of a column is
// read.
//
// A File gives rows whose cells stand in the order of the kind's columns and
// in one canonical form: lengths in millimetres with a point, money in minor
// units, whole numbers in digits, days as ISO 8601, codes as catalog links
// have them, "" for what a row does not tell. What cannot be read is a Flaw
// with line, column and reason: of one cell where the row can do without it,
// else of the row.
//
// Non-goals: the database, what a row changes (package shop), how a file is
// laid out (package table).
package exchange

import (
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/table"
)

// A Form is how the cells of a column are read.
type Form int

// The forms of cells.
const (
	Text    Form = iota // one line
	Lines               // text that may run over lines
	Number              // a part number: text, and nothing that a spreadsheet made of one
	Code                // what a barcode says, as catalog.Link has it
	GTIN                // a code that has to be a GTIN
	Whole               // a whole number
	Pieces              // a whole number from 1 up; 1 is taken where it is not told
	Money               // an amount, read into minor units
	Percent             // read into hundredths of a percent
	Length              // read into millimetres
	Sized               // a whole size, as measure.ParseSize reads it, or a thread
	Thread              // as measure.ParseThread reads it
	Day                 // YYYY-MM-DD, or DD.MM.YYYY
	YesNo               // "yes" or "no"
	Word                // one of the column's choices
)

// A Column is something that the files of a kind tell.
type Column struct {
	Name    string   // in files that the shop writes, and in reports
	Form    Form     //
	Needed  bool     // a row without it is none
	Mark    bool     // files of another kind seldom have it
	Only    bool     // read where it stands, never written
	Words   string   // further header words, divided by commas
	Choices []string // of a Word
}

// A Fact is what one row tells of one thing: rows that agree in Key have to
// agree in all of Told, or where Whole is not set, in what both tell of it.
type Fact struct {
	Key, Told []int // columns
	If        int   // a row without this column tells nothing; -1: each does
	Whole     bool
}

// A Kind is a kind of file.
type Kind struct {
	Name    string
	Columns []Column
	Either  []string // columns of which a row needs one
	Facts   []Fact
}

// At gives the place of a column, -1 where the kind has none of that name.
func (k *Kind) At(name string) int {
	return slices.IndexFunc(k.Columns, func(c Column) bool { return c.Name == name })
}

// Header gives the names of the columns that the shop writes.
func (k *Kind) Header() (names []string) {
	for _, c := range k.Columns {
		if !c.Only {
			names = append(names, c.Name)
		}
	}
	return names
}

// Named gives the kind of a name. Error: Invalid, naming them all.
func Named(name string) (*Kind, error) {
	for _, k := range Kinds {
		if k.Name == name {
			return k, nil
		}
	}
	e := fault.New(fault.Invalid, "exchange.bad_kind", name).WithHint("exchange.bad_kind.hint")
	for _, k := range Kinds {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: k.Name, Tell: fault.Say("exchange.kind." + k.Name)})
	}
	return nil, e
}

// Guess gives the kind whose columns a header has: all that it needs, and more
// of them than any other kind. Errors: Ambiguous with the kinds that it could
// be, Invalid where it can be none.
func Guess(name string, header []string) (*Kind, error) {
	var best []*Kind
	most := 0
	for _, k := range Kinds {
		score, ok := k.score(header)
		if !ok || score < most {
			continue
		}
		if score > most {
			best, most = nil, score
		}
		best = append(best, k)
	}
	switch len(best) {
	case 1:
		return best[0], nil
	case 0:
		e := fault.New(fault.Invalid, "exchange.no_kind", name).WithHint("exchange.no_kind.hint")
		for _, k := range Kinds {
			e.Candidates = append(e.Candidates, fault.Candidate{Name: "--as " + k.Name, Tell: fault.Say("exchange.kind." + k.Name)})
		}
		return nil, e
	}
	e := fault.New(fault.Ambiguous, "exchange.kinds_possible", name).WithHint("exchange.kinds_possible.hint")
	for _, k := range best {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: "--as " + k.Name, Tell: fault.Say("exchange.kind." + k.Name)})
	}
	return nil, e
}

// either reports whether one of the columns is there of which a row needs one.
func (k *Kind) either(has func(name string) bool) bool {
	return k.Either == nil || slices.ContainsFunc(k.Either, has)
}

// score counts the columns of k in a header, marks twice; ok is false where
// one that k needs is not there.
func (k *Kind) score(header []string) (score int, ok bool) {
	found := table.Match(header, k.fields())
	if !k.either(func(name string) bool { _, here := found.At[name]; return here }) {
		return 0, false
	}
	for _, c := range k.Columns {
		_, here := found.At[c.Name]
		switch {
		case !here && c.Needed:
			return 0, false
		case here && c.Mark:
			score += 2
		case here:
			score++
		}
	}
	return score, true
}
