package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// InspectedUntil gives the day until which an inspection keeps the rubber of a
// lot, "" where it was not inspected.
func InspectedUntil(ctx context.Context, tx *store.Tx, lot string) (day string, err error) {
	_, err = tx.One(ctx, store.Into(&day), `SELECT until FROM inspection WHERE lot = $1`, lot)
	return day, err
}

// Inspect records that the rubber of a lot was looked at and is kept until a day.
// Error: Conflict where it was before: the time is extended once.
func Inspect(ctx context.Context, tx *store.Tx, l Lot, person, until, note string) error {
	var day string
	found, err := tx.One(ctx, store.Into(&day), `SELECT day FROM inspection WHERE lot = $1`, l.ID)
	if err != nil {
		return err
	}
	if found {
		return fault.New(fault.Conflict, "inventory.inspected", l.Short, day).WithHint("inventory.inspected.hint")
	}
	_, err = tx.Exec(ctx, `INSERT INTO inspection (lot, person, day, until, note) VALUES ($1, $2, $3, $4, $5)`,
		l.ID, person, tx.Today(), until, note)
	return err
}
