package exchange

import (
	"hash/maphash"

	"forkstock/catalog"
	"forkstock/internal/fault"
)

// Twice finds the rows that tell one thing differently: one number written
// three ways with three prices. It keeps some 30 bytes for each fact of a row
// and no text, so a million rows fit; two facts with one hash of 64 bits would
// be taken for one and refused, once in some ten million files of a million
// rows.
type Twice struct {
	kind *Kind
	seed maphash.Seed
	told map[uint64]told
}

// told is what was told first of a thing.
type told struct {
	value       uint64
	line, other uint32 // the first line, and the first that tells it differently
}

// NewTwice makes a Twice for the rows of a kind.
func NewTwice(kind *Kind) *Twice {
	return &Twice{kind: kind, seed: maphash.MakeSeed(), told: map[uint64]told{}}
}

// See takes note of a row.
func (t *Twice) See(row *Row) {
	t.each(row, func(_ Fact, k, v uint64) bool {
		old, seen := t.told[k]
		switch {
		case !seen:
			t.told[k] = told{value: v, line: uint32(row.Line)}
		case old.value != v && old.other == 0:
			old.other = uint32(row.Line)
			t.told[k] = old
		}
		return true
	})
}

// each calls f with the hashes of key and value of all that a row tells, until
// f gives false.
func (t *Twice) each(row *Row, f func(fact Fact, k, v uint64) bool) {
	for i, fact := range t.kind.Facts {
		if fact.If >= 0 && row.Cells[fact.If] == "" {
			continue
		}
		name := key(row, fact.Key)
		if fact.Whole {
			if !f(fact, t.hash(name, i, -1), t.hash(key(row, fact.Told), 0, 0)) {
				return
			}
			continue
		}
		for _, c := range fact.Told {
			if row.Cells[c] != "" && !f(fact, t.hash(name, i, c), t.hash(catalog.Normal(row.Cells[c]), 0, 0)) {
				return
			}
		}
	}
}

func (t *Twice) hash(text string, fact, column int) uint64 {
	var h maphash.Hash
	h.SetSeed(t.seed)
	h.WriteByte(byte(fact))
	h.WriteByte(byte(column))
	h.WriteString(text)
	return h.Sum64()
}

// Flaw gives what is wrong with a row that was seen: another tells the same
// thing differently. ok is false where nothing is.
func (t *Twice) Flaw(row *Row) (flaw Flaw, ok bool) {
	t.each(row, func(fact Fact, k, _ uint64) bool {
		old := t.told[k]
		if old.other == 0 {
			return true
		}
		other := old.line
		if int(other) == row.Line {
			other = old.other
		}
		flaw, ok = Flaw{
			Line: row.Line, Column: t.kind.Columns[fact.Key[0]].Name, Row: true,
			Why: fault.Say("exchange.told_twice", row.Cells[fact.Key[0]], int(other)), Hint: fault.Say("exchange.told_twice.hint"),
		}, true
		return false
	})
	return flaw, ok
}
