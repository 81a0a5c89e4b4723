package shop

import (
	"context"
	"errors"
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
	var failed error
	good, bad, err := scanner.Lines(in, func(code string) (known bool) {
		err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) (err error) {
			known, err = knows(ctx, tx, code)
			return err
		})
		failed = errors.Join(failed, err)
		return known
	})
	if err := errors.Join(err, failed); err != nil {
		return nil, err
	}
	return good, badLines(bad)
}

// knows reports whether a code stands for something here, or is a number that
// the shop has, letter for letter.
func knows(ctx context.Context, tx *store.Tx, code string) (bool, error) {
	if _, known, err := catalog.LinkOf(ctx, tx, code); err != nil || known {
		return known, err
	}
	named, err := catalog.NumbersNamed(ctx, tx, code)
	return slices.ContainsFunc(named, func(n catalog.Named) bool { return n.Number == code }), err
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
