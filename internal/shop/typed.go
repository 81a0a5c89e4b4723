package shop

import (
	"context"
	"io"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// typed reads hand-scanner lines. Error: Invalid, with every line that cannot
// be used.
func (s *Shop) typed(ctx context.Context, in io.Reader) ([]scanner.Line, error) {
	good, bad, err := s.readLines(ctx, in)
	if err != nil {
		return nil, err
	}
	return good, badLines(bad)
}

// knows reports whether a code stands for something here, or is a number of
// a part or of what a supplier offers, letter for letter.
func knows(ctx context.Context, tx *store.Tx, code string) (bool, error) {
	if _, known, err := catalog.LinkOf(ctx, tx, code); err != nil || known {
		return known, err
	}
	named, err := catalog.NumbersNamed(ctx, tx, code)
	if err != nil || slices.ContainsFunc(named, func(n catalog.Named) bool { return n.Number == code }) {
		return err == nil, err
	}
	return tx.One(ctx, store.Into(new(int64)), `SELECT 1 FROM supplier_item WHERE number_norm = $1 AND number = $2 LIMIT 1`,
		catalog.Normal(code), code)
}

// packs gives how many packs lines stand for.
func packs(lines []scanner.Line) (n int) {
	for _, l := range lines {
		n += l.Times
	}
	return n
}

// odd tells what is odd about a label, or that its line was repaired.
func odd(sc inventory.Scan) []fault.Message {
	all := scanner.ElementsOf(sc.Symbology, sc.Text).Warnings()
	if sc.Keyboard != "" {
		all = append(all, fault.Say("scanner.repaired", fault.Say(sc.Keyboard)))
	}
	return all
}
