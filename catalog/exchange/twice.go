package exchange

import (
	"hash/maphash"
	"slices"

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
	for i, f := range t.kind.Facts {
		k, v := t.hashes(i, f, row)
		old, seen := t.told[k]
		switch {
		case f.silent(row):
		case !seen:
			t.told[k] = told{value: v, line: uint32(row.Line)}
		case old.value != v && old.other == 0:
			old.other = uint32(row.Line)
			t.told[k] = old
		}
	}
}

// silent reports whether a row tells nothing of the fact.
func (f Fact) silent(row *Row) bool {
	return !slices.ContainsFunc(f.Told, func(c int) bool { return row.Cells[c] != "" })
}

func (t *Twice) hashes(i int, f Fact, row *Row) (k, v uint64) {
	var h maphash.Hash
	h.SetSeed(t.seed)
	h.WriteByte(byte(i))
	h.WriteString(key(row, f.Key))
	k = h.Sum64()
	h.Reset()
	for _, c := range f.Told {
		h.WriteString(row.Cells[c])
		h.WriteByte(0)
	}
	return k, h.Sum64()
}

// Flaw gives what is wrong with a row that was seen: another tells the same
// thing differently. ok is false where nothing is.
func (t *Twice) Flaw(row *Row) (flaw Flaw, ok bool) {
	for i, f := range t.kind.Facts {
		k, _ := t.hashes(i, f, row)
		old := t.told[k]
		if old.other == 0 || f.silent(row) {
			continue
		}
		other := old.line
		if int(other) == row.Line {
			other = old.other
		}
		return Flaw{
			Line: row.Line, Column: t.kind.Columns[f.Key[0]].Name, Row: true,
			Why: fault.Say("exchange.told_twice", row.Cells[f.Key[0]], int(other)), Hint: fault.Say("exchange.told_twice.hint"),
		}, true
	}
	return Flaw{}, false
}
