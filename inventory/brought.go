package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// CustomerPart is what a customer brought for a job. It lies in the job's tray and is
// the customer's: no movement names it, so it is in no stock, count, value or
// list of what to order.
type CustomerPart struct {
	Number int64 // what the shop calls it
	Key    string
	Job    string
	Owner  string // the customer, "" where nobody said
	Part   string // id, "" where it is not in the catalog
	What   string // what it is, where Part is ""
	Amount int64  // of the part's unit, else pieces
	Used   int64  // of it
	Back   int64  // of it, given back to the customer
	At     string // store.Stamp
}

// Left gives how much of it still lies there.
func (b CustomerPart) Left() int64 { return b.Amount - b.Used - b.Back }

// What becomes of what a customer brought.
const (
	CustomerUsed  = "used"
	CustomerGiven = "given_back"
)

// Bring notes what a customer brought. A key that was used before gives what it
// noted then. Error: Conflict where that is something else.
func Bring(ctx context.Context, tx *store.Tx, b CustomerPart, person string) (_ CustomerPart, repeated bool, err error) {
	old, err := queryBrought(ctx, tx, `b.key = $1`, b.Key)
	if err != nil {
		return b, false, err
	}
	if len(old) > 0 {
		o := old[0]
		if o.Job != b.Job || o.Part != b.Part || o.What != b.What || o.Amount != b.Amount || o.Owner != b.Owner {
			err = fault.New(fault.Conflict, "inventory.key_used", b.Key).WithHint("inventory.key_used.hint")
		}
		return o, true, err
	}
	var part any
	if b.Part != "" {
		part = b.Part
	}
	b.At = store.Stamp(tx.Now)
	_, err = tx.One(ctx, store.Into(&b.Number), `INSERT INTO brought (key, job, owner, part, description, amount, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8) RETURNING number`, b.Key, b.Job, b.Owner, part, b.What, b.Amount, person, b.At)
	return b, false, err
}

// CustomersFor gives what customers brought and what still lies there, for a job,
// for all where it is "".
func CustomersFor(ctx context.Context, tx *store.Tx, job string) ([]CustomerPart, error) {
	all, err := queryBrought(ctx, tx, `$1 IN ('', b.job)`, job)
	var left []CustomerPart
	for _, b := range all {
		if b.Left() > 0 {
			left = append(left, b)
		}
	}
	return left, err
}

// CustomerPartNumbered finds what a customer brought by the shop's number. Error:
// NotFound.
func CustomerPartNumbered(ctx context.Context, tx *store.Tx, number int64) (CustomerPart, error) {
	all, err := queryBrought(ctx, tx, `b.number = $1`, number)
	if err != nil {
		return CustomerPart{}, err
	}
	if len(all) == 0 {
		return CustomerPart{}, fault.New(fault.NotFound, "inventory.brought_absent", number).WithHint("inventory.brought_absent.hint")
	}
	return all[0], nil
}

func queryBrought(ctx context.Context, tx *store.Tx, where string, arg any) ([]CustomerPart, error) {
	var all []CustomerPart
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (b CustomerPart, err error) {
		return b, scan(&b.Number, &b.Key, &b.Job, &b.Owner, &b.Part, &b.What, &b.Amount, &b.Used, &b.Back, &b.At)
	}), `SELECT b.number, b.key, b.job, b.owner, coalesce(b.part, ''), b.description, b.amount,
			(SELECT coalesce(sum(e.amount), 0) FROM brought_end e WHERE e.brought = b.number AND e.how = 'used'),
			(SELECT coalesce(sum(e.amount), 0) FROM brought_end e WHERE e.brought = b.number AND e.how = 'given_back'), b.at
		FROM brought b WHERE `+where+` ORDER BY b.number`, arg)
	return all, err
}

// End notes that some of it was used, or given back. A key that was used before
// notes nothing. Errors: Short (less of it is left), Conflict (the key).
func (b CustomerPart) End(ctx context.Context, tx *store.Tx, key, how, person string, amount int64) (repeated bool, err error) {
	var of, before int64
	var was string
	repeated, err = tx.One(ctx, store.Into(&of, &before, &was), `SELECT brought, amount, how FROM brought_end WHERE key = $1`, key)
	switch {
	case err != nil:
		return false, err
	case repeated && (of != b.Number || before != amount || was != how):
		return true, fault.New(fault.Conflict, "inventory.key_used", key).WithHint("inventory.key_used.hint")
	case repeated:
		return true, nil
	case amount <= 0 || amount > b.Left():
		return false, fault.New(fault.Conflict, "inventory.brought_less", b.Left())
	}
	_, err = tx.Exec(ctx, `INSERT INTO brought_end (key, brought, amount, how, person, at) VALUES ($1, $2, $3, $4, $5, $6)`,
		key, b.Number, amount, how, person, store.Stamp(tx.Now))
	return false, err
}
