package inventory

import (
	"context"

	"forkstock/internal/store"
)

// EmptyBag notes that the bag of a part that is not counted is empty, so that it
// goes on the week's list; noted is false where that stands already.
func EmptyBag(ctx context.Context, tx *store.Tx, part, person string) (noted bool, err error) {
	found, err := tx.One(ctx, store.Into(new(string)), `SELECT id FROM empty_bag WHERE part = $1 AND ended = ''`, part)
	if err != nil || found {
		return false, err
	}
	id, err := tx.NewID()
	if err != nil {
		return false, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO empty_bag (id, part, person, at) VALUES ($1, $2, $3, $4)`, id, part, person, store.Stamp(tx.Now))
	return true, err
}

// FilledBag ends the note, when the bag was filled without an order.
func FilledBag(ctx context.Context, tx *store.Tx, part string) error {
	_, err := tx.Exec(ctx, `UPDATE empty_bag SET ended = $2 WHERE part = $1 AND ended = ''`, part, store.Stamp(tx.Now))
	return err
}

// EmptyBags gives since when the bag of each part is empty, by part id, as
// store.Stamp.
func EmptyBags(ctx context.Context, tx *store.Tx) (map[string]string, error) {
	since := map[string]string{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var part, at string
		err := scan(&part, &at)
		since[part] = at
		return err
	}, `SELECT part, at FROM empty_bag WHERE ended = '' ORDER BY at`)
	return since, err
}
