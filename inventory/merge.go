package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Join moves all that is on hand of one record of a part to another record of
// the same part, bin by bin and lot by lot: the lots keep their delivery, batch,
// dates and the day since which they are on the shelf, and the pieces their
// value. p stays without an id where there is nothing to move.
func Join(ctx context.Context, tx *store.Tx, p Posting, from, to string) (Posting, error) {
	lines, err := Stock(ctx, tx, from)
	if err != nil || len(lines) == 0 {
		return p, err
	}
	p.Kind = Move
	if p, err = open(ctx, tx, p); err != nil {
		return p, err
	}
	for _, l := range lines {
		lot, err := twinOf(ctx, tx, l.Lot.ID, to)
		if err != nil {
			return p, err
		}
		shares, err := average(ctx, tx, from, l.Amount)
		if err != nil {
			return p, err
		}
		for _, s := range shares {
			out := Movement{Part: from, Bin: l.Bin.ID, Lot: l.Lot.ID, Amount: -s.amount, Value: s.value.negative()}
			if err := enter(ctx, tx, &p, out); err != nil {
				return p, err
			}
			if err := enter(ctx, tx, &p, Movement{Part: to, Bin: l.Bin.ID, Lot: lot, Amount: s.amount, Value: s.value}); err != nil {
				return p, err
			}
		}
	}
	return p, nil
}

// twinOf gives the lot of a part that has the particulars of a lot of another
// record of it; a new one is as old as that.
func twinOf(ctx context.Context, tx *store.Tx, lot, part string) (string, error) {
	l := Lot{Part: part}
	_, err := tx.One(ctx, store.Into(&l.Delivery, &l.Batch, &l.Cure, &l.UseBy, &l.Since, &l.Made, &l.BestBefore, &l.SellBy),
		`SELECT coalesce(delivery, ''), batch, cure, use_by, since, made, best_before, sell_by FROM lot WHERE id = $1`, lot)
	if err != nil {
		return "", err
	}
	l, err = LotOf(ctx, tx, l)
	return l.ID, err
}

// Split moves back what Join moved, as far as it is there, wherever it lies by
// now: what was used meanwhile stays used, and used tells how much that is. p
// becomes the posting that takes joined back, and stays without an id where
// nothing is left to move.
func Split(ctx context.Context, tx *store.Tx, joined, p Posting) (_ Posting, used int64, err error) {
	backs, used, err := partings(ctx, tx, joined)
	if err != nil || len(backs) == 0 {
		return p, used, err
	}
	p.Kind, p.Corrects = Undo, joined.ID
	if p, err = open(ctx, tx, p); err != nil {
		return p, used, err
	}
	for _, b := range backs {
		h, err := holdingOf(ctx, tx, b.in.Part)
		if err != nil {
			return p, used, err
		}
		value := b.in.Value
		value.Minor = value.Minor * b.amount / b.in.Amount
		for _, s := range h.reverse(b.amount, value) {
			out := Movement{Part: b.in.Part, Bin: b.bin, Lot: b.in.Lot, Amount: -s.amount, Value: s.value.negative()}
			if err := enter(ctx, tx, &p, out); err != nil {
				return p, used, err
			}
			if err := enter(ctx, tx, &p, Movement{Part: b.out.Part, Bin: b.bin, Lot: b.out.Lot, Amount: s.amount, Value: s.value}); err != nil {
				return p, used, err
			}
		}
	}
	return p, used, nil
}

// parting is some pieces that Split moves back: what brought them, and where
// they lie.
type parting struct {
	out, in Movement // of Join
	bin     string
	amount  int64
}

// partings finds what is left of that which Join moved: first in the bins where
// it lay, then anywhere.
func partings(ctx context.Context, tx *store.Tx, joined Posting) (backs []parting, used int64, err error) {
	if len(joined.Movements) == 0 {
		return nil, 0, nil
	}
	lines, err := Stock(ctx, tx, joined.Movements[1].Part)
	if err != nil {
		return nil, 0, err
	}
	take := func(out, in Movement, bin string, lacks int64) int64 {
		for i := range lines {
			l := &lines[i]
			if n := min(lacks, l.Amount); n > 0 && l.Lot.ID == in.Lot && (bin == "" || l.Bin.ID == bin) {
				backs = append(backs, parting{out, in, l.Bin.ID, n})
				l.Amount -= n
				lacks -= n
			}
		}
		return lacks
	}
	lacks := make([]int64, len(joined.Movements)/2)
	for i := len(lacks) - 1; i >= 0; i-- {
		out, in := joined.Movements[2*i], joined.Movements[2*i+1]
		lacks[i] = take(out, in, in.Bin, in.Amount)
	}
	for i, n := range lacks {
		used += take(joined.Movements[2*i], joined.Movements[2*i+1], "", n)
	}
	return backs, used, nil
}

// merged refuses to undo a posting of a part that has been merged into another
// since: the pieces would come back to a record that nobody sees any more.
// Error: Conflict.
func (p Posting) merged(ctx context.Context, tx *store.Tx) error {
	var number, kept string
	found, err := tx.One(ctx, store.Into(&number, &kept), `SELECT g.maker || '/' || g.number, k.maker || '/' || k.number
		FROM movement m JOIN part g ON g.id = m.part JOIN part k ON k.id = g.merged_into WHERE m.posting = $1 LIMIT 1`, p.ID)
	if err == nil && found {
		err = fault.New(fault.Conflict, "inventory.merged", number, kept).WithHint("inventory.merged.hint", words.ShellWord(number))
	}
	return err
}
