package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// DatesOf gives how a maker prints cure dates, of Dates; empty where nobody
// has said.
func DatesOf(ctx context.Context, tx *store.Tx, maker string) (dates string, err error) {
	_, err = tx.One(ctx, store.Into(&dates), `SELECT notation FROM maker_dates WHERE maker_norm = $1`, Normal(maker))
	return dates, err
}

// SetDates says how a maker prints cure dates; the last word counts. Error:
// Invalid.
func SetDates(ctx context.Context, tx *store.Tx, maker, dates string) error {
	if Normal(maker) == "" {
		return fault.New(fault.Invalid, "catalog.bad_maker", short(maker))
	}
	if err := firstError(checkTexts(field{"maker", maker, mostName}), checkChoice("dates", dates, Dates)); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `INSERT INTO maker_dates (maker_norm, maker, notation) VALUES ($1, $2, $3)
		ON CONFLICT (maker_norm) DO UPDATE SET maker = excluded.maker, notation = excluded.notation`, Normal(maker), maker, dates)
	return err
}
