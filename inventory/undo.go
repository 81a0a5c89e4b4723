package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Reverse enters the reverse of a posting: the same parts, bins and lots the
// other way round. Errors: Conflict (undone already, a part was merged into
// another since, or the tray is another job's by now), Short (what came in is not all there any more).
func Reverse(ctx context.Context, tx *store.Tx, wrong, p Posting) (Posting, error) {
	if undo, err := undoOf(ctx, tx, wrong.ID); err != nil {
		return p, err
	} else if undo != 0 {
		return p, fault.New(fault.Conflict, "inventory.undone").WithHint("inventory.undone.hint", undo)
	}
	err := wrong.merged(ctx, tx)
	if err != nil {
		return p, err
	}
	if err := wrong.othersTray(ctx, tx); err != nil {
		return p, err
	}
	if err := Reopen(ctx, tx, wrong.ID); err != nil {
		return p, err
	}
	p.Kind, p.Corrects, p.Delivery = Undo, wrong.ID, wrong.Delivery
	if p, err = open(ctx, tx, p); err != nil {
		return p, err
	}
	// Backwards, so that what the posting brought in leaves before what it took out comes back.
	for i := len(wrong.Movements) - 1; i >= 0; i-- {
		m := wrong.Movements[i]
		shares := []share{{-m.Amount, m.Value.negative()}}
		if m.Amount > 0 {
			h, err := holdingOf(ctx, tx, m.Part)
			if err != nil {
				return p, err
			}
			shares = negative(h.reverse(m.Amount, m.Value))
		}
		if err := enterAll(ctx, tx, &p, m, shares); err != nil {
			return p, err
		}
		if i > 0 && m.moved(wrong.Movements[i-1]) { // a move is worth the same on both sides
			i--
			if err := enterAll(ctx, tx, &p, wrong.Movements[i], negative(shares)); err != nil {
				return p, err
			}
		}
	}
	return p, p.hold(ctx, tx)
}

// moved reports whether m brought to its bin what out took from another.
func (m Movement) moved(out Movement) bool {
	return m.Amount > 0 && out.Amount == -m.Amount && m.Part == out.Part && m.Lot == out.Lot && m.Value == out.Value.negative()
}

func (v Value) negative() Value { return Value{-v.Minor, v.Known} }

func negative(shares []share) []share {
	out := make([]share, len(shares))
	for i, s := range shares {
		out[i] = share{-s.amount, s.value.negative()}
	}
	return out
}

// enterAll enters shares in the part, bin and lot of m.
func enterAll(ctx context.Context, tx *store.Tx, p *Posting, m Movement, shares []share) error {
	for _, s := range shares {
		if err := enter(ctx, tx, p, Movement{Part: m.Part, Bin: m.Bin, Lot: m.Lot, Amount: s.amount, Value: s.value}); err != nil {
			return err
		}
	}
	return nil
}

// undoOf gives the number of the first movement that undoes a posting, 0 where
// nothing does.
func undoOf(ctx context.Context, tx *store.Tx, posting string) (seq int64, err error) {
	_, err = tx.One(ctx, store.Into(&seq), `SELECT coalesce(min(m.seq), 0) FROM posting u
		JOIN movement m ON m.posting = u.id WHERE u.corrects = $1`, posting)
	return seq, err
}

// Stands reports whether a posting still counts: whether it was never undone,
// or its undo was. Where it does not, undo is the number of the movement that
// takes the last undo back.
func Stands(ctx context.Context, tx *store.Tx, posting string) (stands bool, undo int64, err error) {
	undos, last := 0, posting
	for {
		var next string
		found, err := tx.One(ctx, store.Into(&next), `SELECT id FROM posting WHERE corrects = $1`, last)
		if err != nil {
			return false, 0, err
		}
		if !found {
			break
		}
		undos, last = undos+1, next
	}
	if undos%2 == 0 {
		return true, 0, nil
	}
	_, err = tx.One(ctx, store.Into(&undo), `SELECT coalesce(min(seq), 0) FROM movement WHERE posting = $1`, last)
	return false, undo, err
}

// PostingNamed finds a posting by its id, by its key, or by the number of one
// of its movements as the ledger shows it. Errors: NotFound, Ambiguous (a key
// that is also a number).
func PostingNamed(ctx context.Context, tx *store.Tx, name string) (Posting, error) {
	var ids []string
	err := tx.Each(ctx, collect(&ids, func(scan store.Scan) (id string, err error) { return id, scan(&id) }),
		`SELECT id FROM posting WHERE id = $1 OR key = $1
		UNION SELECT posting FROM movement WHERE CAST(seq AS TEXT) = $1 ORDER BY 1`, name)
	if err != nil {
		return Posting{}, err
	}
	switch len(ids) {
	case 0:
		return Posting{}, fault.New(fault.NotFound, "inventory.posting_absent", name).WithHint("inventory.posting_absent.hint")
	case 1:
		p, _, err := PostingByID(ctx, tx, ids[0])
		return p, err
	}
	e := fault.New(fault.Ambiguous, "inventory.posting_ambiguous", name)
	for _, id := range ids {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: id, Command: "forkstock undo " + id})
	}
	return Posting{}, e
}
