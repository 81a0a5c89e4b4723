package inventory

import (
	"context"

	"forkstock/internal/store"
)

// Lent is some pieces of one lot that are out with a partner.
type Lent struct {
	Lot    string // id
	Amount int64
}

// LentOf gives of which lots a part is out with a partner, the latest first;
// kind is Lend, or Borrow for what was borrowed of them. What came back went to
// its own lot as far as that was out, else off the latest. What was undone
// counts for nothing.
func LentOf(ctx context.Context, tx *store.Tx, kind, part, partner string) ([]Lent, error) {
	back, sign := LentBack, int64(-1)
	if kind == Borrow {
		back, sign = BorrowedBack, 1
	}
	var all []Lent // the latest last
	err := tx.Each(ctx, func(scan store.Scan) error {
		var l Lent
		if err := scan(&l.Lot, &l.Amount); err != nil {
			return err
		}
		if l.Amount *= sign; l.Amount > 0 {
			all = append(all, l)
			return nil
		}
		left := cameBack(all, -l.Amount, func(of string) bool { return of == l.Lot })
		cameBack(all, left, func(string) bool { return true })
		return nil
	}, `WITH RECURSIVE undone (root, last, undos) AS (
			SELECT id, id, 0 FROM posting WHERE kind IN ($2, $3) AND partner = $4
			UNION ALL SELECT u.root, p.id, u.undos + 1 FROM undone u JOIN posting p ON p.corrects = u.last)
		SELECT m.lot, m.amount FROM movement m JOIN part r ON r.id = m.part
		WHERE coalesce(r.merged_into, r.id) = $1
			AND m.posting IN (SELECT root FROM undone GROUP BY root HAVING max(undos) % 2 = 0)
		ORDER BY m.seq`, part, kind, back, partner)
	if err != nil {
		return nil, err
	}
	var out []Lent
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].Amount == 0 {
			continue
		}
		l := all[i]
		if l.Lot, err = lotFor(ctx, tx, l.Lot, part); err != nil {
			return nil, err
		}
		out = append(out, l)
	}
	return out, nil
}

// cameBack takes n pieces off the latest of those that are meant, and gives how
// many are left over.
func cameBack(all []Lent, n int64, meant func(lot string) bool) int64 {
	for i := len(all) - 1; i >= 0 && n > 0; i-- {
		if meant(all[i].Lot) {
			took := min(n, all[i].Amount)
			all[i].Amount -= took
			n -= took
		}
	}
	return n
}

// lotFor gives a lot as one of a part: itself, or its twin where it is of a
// record that was merged into that of the part.
func lotFor(ctx context.Context, tx *store.Tx, lot, part string) (string, error) {
	own, err := tx.One(ctx, store.Into(new(string)), `SELECT id FROM lot WHERE id = $1 AND part = $2`, lot, part)
	if err != nil || own {
		return lot, err
	}
	return twinOf(ctx, tx, lot, part)
}
