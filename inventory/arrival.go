package inventory

import (
	"context"
	"time"

	"forkstock/internal/store"
)

// Arrival is how much of a part came in.
type Arrival struct {
	Part   string // id
	Amount int64  // of its unit
}

// CameWith gives what came in with a delivery and was not undone, in the order
// in which it came.
func CameWith(ctx context.Context, tx *store.Tx, d Delivery) ([]Arrival, error) {
	return came(ctx, tx, `p.delivery = $2`, d.ID)
}

// CameSince gives what came in with any delivery from a time on and was not
// undone, in the order in which it came.
func CameSince(ctx context.Context, tx *store.Tx, from time.Time) ([]Arrival, error) {
	return came(ctx, tx, `p.at >= $2`, store.Stamp(from))
}

func came(ctx context.Context, tx *store.Tx, where, arg string) (all []Arrival, err error) {
	err = tx.Each(ctx, collect(&all, func(scan store.Scan) (c Arrival, err error) {
		return c, scan(&c.Part, &c.Amount)
	}), voided+`
		SELECT coalesce(r.merged_into, r.id), sum(m.amount)
		FROM movement m JOIN posting p ON p.id = m.posting JOIN part r ON r.id = m.part
		WHERE p.kind = 'receive' AND p.id NOT IN voided AND `+where+`
		GROUP BY 1 ORDER BY min(m.seq)`, store.Stamp(tx.Now), arg)
	return all, err
}
