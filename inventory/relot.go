package inventory

import (
	"context"

	"forkstock/internal/store"
)

// Relot makes amount pieces of what lies in a line pieces of the lot that is
// told: they were there, and more is known of them now. A lot that is told
// without a delivery keeps that of the line, and the day since which it is on
// the shelf. Where they are all that is left of their lot, there is no lot of
// that kind yet and no number is told for it, the lot learns it and nothing is
// posted; else p is posted as a Move, which keeps their value. It gives the lot
// of which they are now.
func Relot(ctx context.Context, tx *store.Tx, p Posting, l Line, to Lot, amount int64) (Lot, error) {
	if to.Delivery == "" {
		to.Delivery = l.Lot.Delivery
	}
	if to.Since == "" {
		to.Since = l.Lot.Since
	}
	to.Part = l.Part
	learned, err := learn(ctx, tx, l.Lot.ID, to, amount)
	if err != nil || learned {
		to.ID, to.Short = l.Lot.ID, l.Lot.Short
		return to, err
	}
	if to.ID == "" {
		if to, err = LotOf(ctx, tx, to); err != nil {
			return to, err
		}
	}
	shares, err := average(ctx, tx, l.Part, amount)
	if err != nil {
		return to, err
	}
	p.Kind = Move
	if p, err = open(ctx, tx, p); err != nil {
		return to, err
	}
	for _, s := range shares {
		out := Movement{Part: l.Part, Bin: l.Bin.ID, Lot: l.Lot.ID, Amount: -s.amount, Value: s.value.negative()}
		if err := enter(ctx, tx, &p, out); err != nil {
			return to, err
		}
		if err := enter(ctx, tx, &p, Movement{Part: l.Part, Bin: l.Bin.ID, Lot: to.ID, Amount: s.amount, Value: s.value}); err != nil {
			return to, err
		}
	}
	return to, nil
}

// learn gives a lot the facts that are told, where it has no others itself,
// amount is all that is on hand of it, and no other lot has these facts.
func learn(ctx context.Context, tx *store.Tx, lot string, to Lot, amount int64) (bool, error) {
	if to.ID != "" || to.Short != 0 {
		return false, nil
	}
	var delivery any
	if to.Delivery != "" {
		delivery = to.Delivery
	}
	n, err := tx.Exec(ctx, `UPDATE lot SET delivery = $2, batch = $3, cure = $4, use_by = $5 WHERE id = $1
		AND batch IN ('', $3) AND cure IN ('', $4) AND use_by IN ('', $5) AND coalesce(delivery, '') IN ('', coalesce($2, ''))
		AND $6 = (SELECT sum(amount) FROM balance WHERE lot = $1)
		AND NOT EXISTS (SELECT 1 FROM lot o WHERE o.part = $7 AND coalesce(o.delivery, '') = coalesce($2, '') AND o.batch = $3 AND o.cure = $4
			AND o.use_by = $5)`, lot, delivery, to.Batch, to.Cure, to.UseBy, amount, to.Part)
	return n > 0, err
}
