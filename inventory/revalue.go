package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Revalued is what an invoice did to the value of pieces that came in before.
type Revalued struct {
	Posting           // on the pieces that are still there
	Used    []Posting // on pieces that left while their value was not known, one for each posting that took some
	Before  Value     // of all pieces of the lot that came
	// Gone is the part of the difference that belongs to pieces which left at
	// a known value: it stays with what they were used for.
	Gone int64
}

// Revalue enters what the pieces of a lot that a posting brought did cost in
// all, now that the invoice is there. The amounts stay as they are. Pieces
// whose value was not known get theirs, those that left since too, the oldest
// first, each with a posting of its own that names what took them. Of pieces
// that were valued otherwise, those that are still there are put right, as
// the moving average has them. Errors: NotFound (the posting brought nothing of
// the lot), Invalid (a cost below 0), Conflict (it was undone).
func Revalue(ctx context.Context, tx *store.Tx, p, came Posting, lot string, cost int64) (Revalued, error) {
	var r Revalued
	if cost < 0 {
		return r, fault.New(fault.Invalid, "inventory.bad_cost", cost)
	}
	if stands, undo, err := Stands(ctx, tx, came.ID); err != nil {
		return r, err
	} else if !stands {
		return r, fault.New(fault.Conflict, "inventory.undone").WithHint("inventory.undone.hint", undo)
	}
	n, err := broughtIn(ctx, tx, came, lot)
	if err != nil {
		return r, err
	}
	r.Before = Value{n.value, n.unknown == 0}
	p.Kind, p.Amends, p.Delivery, p.Price = Revaluing, came.ID, came.Delivery, Value{cost, true}
	if r.Posting, err = open(ctx, tx, p); err != nil {
		return r, err
	}
	shares := Apportion(cost, []int64{n.unknown, n.known})
	if n.unknown > 0 {
		if err := r.tell(ctx, tx, n, shares[0]); err != nil {
			return r, err
		}
	}
	if n.known > 0 {
		err = r.change(ctx, tx, n, shares[1]-n.value)
	}
	return r, err
}

// brought is what a posting brought of a lot.
type brought struct {
	Movement              // the first of them: part, bin and lot
	known, unknown, value int64
}

func broughtIn(ctx context.Context, tx *store.Tx, came Posting, lot string) (n brought, err error) {
	for _, m := range came.Movements {
		if m.Lot != lot || m.Amount < 0 {
			continue
		}
		n.Movement = m
		if m.Value.Known {
			n.known, n.value = n.known+m.Amount, n.value+m.Value.Minor
		} else {
			n.unknown += m.Amount
		}
	}
	if n.known+n.unknown == 0 {
		return n, fault.New(fault.NotFound, "inventory.lot_not_in")
	}
	var earlier int64
	found, err := tx.One(ctx, store.Into(&earlier), `SELECT p.price_minor FROM posting p
		WHERE p.amends = $1 AND p.kind = 'revalue' AND EXISTS (SELECT 1 FROM movement m WHERE m.posting = p.id AND m.lot = $2)
		AND NOT EXISTS (SELECT 1 FROM posting u WHERE u.corrects = p.id)
		ORDER BY p.rowid DESC LIMIT 1`, came.ID, lot)
	if found {
		n.known, n.unknown, n.value = n.known+n.unknown, 0, earlier
	}
	return n, err
}

// tell gives the unknown pieces of n their value.
func (r *Revalued) tell(ctx context.Context, tx *store.Tx, n brought, cost int64) error {
	h, err := holdingOf(ctx, tx, n.Part)
	if err != nil {
		return err
	}
	there := min(n.unknown, h.unknown)
	shares := Apportion(cost, []int64{there, n.unknown - there})
	if there > 0 {
		for _, s := range []share{{there, Value{shares[0], true}}, {-there, Value{}}} {
			if err := enter(ctx, tx, &r.Posting, n.at(s)); err != nil {
				return err
			}
		}
	}
	return r.tellUsed(ctx, tx, n, share{n.unknown - there, Value{shares[1], true}})
}

// at gives the movement of a share where the pieces of n came in.
func (n brought) at(s share) Movement {
	return Movement{Part: n.Part, Bin: n.Bin, Lot: n.Lot, Amount: s.amount, Value: s.value}
}

// nullOut is a movement that took pieces while their value was not known.
type nullOut struct {
	Movement
	posting, job string
}

// tellUsed enters the value of pieces that left before it was known: in and
// out again where they left, so that stock and value stay.
func (r *Revalued) tellUsed(ctx context.Context, tx *store.Tx, n brought, left share) error {
	if left.amount == 0 {
		return nil
	}
	var outs []nullOut
	err := tx.Each(ctx, collect(&outs, func(scan store.Scan) (o nullOut, err error) {
		return o, scan(&o.posting, &o.job, &o.Bin, &o.Lot, &o.Amount)
	}), `SELECT p.id, p.job, min(m.bin), m.lot, -sum(m.amount) - (
			SELECT coalesce(sum(c.amount), 0) FROM posting a JOIN movement c ON c.posting = a.id
			WHERE a.amends = p.id AND a.kind = 'revalue' AND c.lot = m.lot AND c.amount > 0)
		FROM movement m JOIN posting p ON p.id = m.posting
		WHERE m.part = $1 AND m.value_minor IS NULL AND p.kind NOT IN ('move', 'revalue', 'undo')
			AND NOT EXISTS (SELECT 1 FROM posting u WHERE u.corrects = p.id)
		GROUP BY p.id, m.lot HAVING sum(m.amount) < 0 ORDER BY min(m.seq)`, n.Part)
	if err != nil {
		return err
	}
	for _, o := range outs {
		x := min(left.amount, o.Amount)
		if x <= 0 {
			continue
		}
		shares := Apportion(left.value.Minor, []int64{x, left.amount - x})
		u, err := open(ctx, tx, Posting{
			Content: "revalue\n" + r.ID, Kind: Revaluing, Person: r.Person, Job: o.job, Reason: r.Reason, Amends: o.posting,
		})
		if err != nil {
			return err
		}
		for _, s := range []share{{x, Value{shares[0], true}}, {-x, Value{-shares[0], true}}} {
			if err := enter(ctx, tx, &u, Movement{Part: n.Part, Bin: o.Bin, Lot: o.Lot, Amount: s.amount, Value: s.value}); err != nil {
				return err
			}
		}
		r.Used = append(r.Used, u)
		left = share{left.amount - x, Value{shares[1], true}}
		if left.amount == 0 {
			break
		}
	}
	return nil
}

// change adds what is left of a difference of cost to the pieces of n that are
// still there.
func (r *Revalued) change(ctx context.Context, tx *store.Tx, n brought, difference int64) error {
	h, err := holdingOf(ctx, tx, n.Part)
	if err != nil {
		return err
	}
	there := min(n.known, h.known)
	size := max(difference, -difference)
	part := Apportion(size, []int64{there, n.known - there})[0]
	if there == 0 {
		part = 0
	}
	if difference < 0 {
		part = -min(part, h.price(there))
	}
	r.Gone = difference - part
	if part == 0 {
		return nil
	}
	old := h.price(there)
	for _, s := range []share{{there, Value{old + part, true}}, {-there, Value{-old, true}}} {
		if err := enter(ctx, tx, &r.Posting, n.at(s)); err != nil {
			return err
		}
	}
	return nil
}
