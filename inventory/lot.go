package inventory

import (
	"cmp"
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Lot is one part of one delivery, batch and date.
type Lot struct {
	ID       string
	Short    int64 // the shop's own number for it
	Part     string
	Delivery string // id, empty for what was there before the book began
	Batch    string // the maker's text, application identifier 10
	Cure     string // "1994-Q3" or "1994-03"; empty: not known
	UseBy    string // YYYY-MM-DD
	Since    string // store.Stamp: on the shelf since
	Printed
}

// Printed are days that stand on a pack and do not tell one lot from another,
// YYYY-MM-DD; what is not printed is empty. Of a lot Made is the oldest of its
// packs. What the pack is to be used by stands in UseBy: the day of expiry, else
// that of best before.
type Printed struct {
	Made       string // production, AI 11
	BestBefore string // AI 15
	SellBy     string // AI 16: noted, no advice goes by it
}

// note keeps what is printed on a pack of a lot, where that is not told yet, or
// the pack is older.
func (l *Lot) note(ctx context.Context, tx *store.Tx, old, p Printed) error {
	l.Printed = Printed{cmp.Or(old.Made, p.Made), cmp.Or(old.BestBefore, p.BestBefore), cmp.Or(old.SellBy, p.SellBy)}
	if p.Made != "" && p.Made < old.Made {
		l.Made = p.Made
	}
	if l.Printed == old {
		return nil
	}
	_, err := tx.Exec(ctx, `UPDATE lot SET made = $2, best_before = $3, sell_by = $4 WHERE id = $1`, l.ID, l.Made, l.BestBefore, l.SellBy)
	return err
}

// LotOf gives the lot with these particulars, a new one where there is none. A
// new one has the Short and Since of l where these are told, and the number is
// free.
func LotOf(ctx context.Context, tx *store.Tx, l Lot) (Lot, error) {
	var old Printed
	found, err := tx.One(ctx, store.Into(&l.ID, &l.Short, &l.Since, &old.Made, &old.BestBefore, &old.SellBy),
		`SELECT id, short, since, made, best_before, sell_by FROM lot
		WHERE part = $1 AND coalesce(delivery, '') = $2 AND batch = $3 AND cure = $4 AND use_by = $5`,
		l.Part, l.Delivery, l.Batch, l.Cure, l.UseBy) // it leaves l as it is where there is none
	if err != nil {
		return l, err
	}
	if found {
		return l, l.note(ctx, tx, old, l.Printed)
	}
	if l.ID, err = tx.NewID(); err != nil {
		return l, err
	}
	if _, err = tx.One(ctx, store.Into(&l.Short), `SELECT iif($1 > 0 AND NOT EXISTS (SELECT 1 FROM lot WHERE short = $1), $1,
		(SELECT coalesce(max(short), 0) + 1 FROM lot))`, l.Short); err != nil {
		return l, err
	}
	if l.Since == "" {
		l.Since = store.Stamp(tx.Now)
	}
	var delivery any
	if l.Delivery != "" {
		delivery = l.Delivery
	}
	_, err = tx.Exec(ctx, `INSERT INTO lot (id, short, part, delivery, batch, cure, use_by, since, made, best_before, sell_by)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`, l.ID, l.Short, l.Part, delivery, l.Batch, l.Cure, l.UseBy, l.Since,
		l.Made, l.BestBefore, l.SellBy)
	return l, err
}

// Refilled says that a lot of which nothing is left is on the shelf since now:
// other pieces come into it. Where an opening was taken back last, the same
// pieces come once more, and the day stays.
func (l Lot) Refilled(ctx context.Context, tx *store.Tx) error {
	_, err := tx.Exec(ctx, `UPDATE lot SET since = $2 WHERE id = $1
		AND NOT EXISTS (SELECT 1 FROM balance WHERE lot = $1 AND amount > 0)
		AND NOT EXISTS (SELECT 1 FROM posting u JOIN posting o ON o.id = u.corrects WHERE o.kind = 'opening'
			AND u.id = (SELECT posting FROM movement WHERE lot = $1 ORDER BY seq DESC LIMIT 1))`, l.ID, store.Stamp(tx.Now))
	return err
}

// LastIssued gives the id of the lot from which a part was issued last and not undone, empty
// where it never was.
func LastIssued(ctx context.Context, tx *store.Tx, part string) (lot string, err error) {
	_, err = tx.One(ctx, store.Into(&lot), `SELECT m.lot FROM movement m JOIN posting p ON p.id = m.posting
		WHERE m.part = $1 AND p.kind IN ('issue', 'sale') AND NOT EXISTS (SELECT 1 FROM posting u WHERE u.corrects = p.id)
		ORDER BY m.seq DESC LIMIT 1`, part)
	return lot, err
}

// LotNumbered finds a lot by the shop's own number for it. Error: NotFound.
func LotNumbered(ctx context.Context, tx *store.Tx, short int64) (l Lot, err error) {
	found, err := tx.One(ctx, store.Into(&l.ID, &l.Short, &l.Part, &l.Delivery, &l.Batch, &l.Cure, &l.UseBy, &l.Since,
		&l.Made, &l.BestBefore, &l.SellBy),
		`SELECT id, short, part, coalesce(delivery, ''), batch, cure, use_by, since, made, best_before, sell_by FROM lot WHERE short = $1`, short)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "inventory.no_lot", short).WithHint("inventory.no_lot.hint")
	}
	return l, err
}

// SetCure says when the rubber of a lot was cured; "" takes it back. Error:
// Conflict where another lot of the delivery has that date already: then it
// is told of two lots that are one.
func SetCure(ctx context.Context, tx *store.Tx, l Lot, cure string) error {
	var twin int64
	found, err := tx.One(ctx, store.Into(&twin), `SELECT short FROM lot WHERE part = $1 AND coalesce(delivery, '') = $2
		AND batch = $3 AND cure = $4 AND use_by = $5 AND id <> $6`, l.Part, l.Delivery, l.Batch, cure, l.UseBy, l.ID)
	if err != nil {
		return err
	}
	if found {
		return fault.New(fault.Conflict, "inventory.same_lot", l.Short, twin).WithHint("inventory.same_lot.hint", twin)
	}
	_, err = tx.Exec(ctx, `UPDATE lot SET cure = $2 WHERE id = $1`, l.ID, cure)
	return err
}
