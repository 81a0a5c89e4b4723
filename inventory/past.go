package inventory

import (
	"context"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// PastUse is what a job of former times took, before there was a ledger: use
// without stock. Jobs that the ledger knows are not told again.
type PastUse struct {
	Job    string
	Day    string // YYYY-MM-DD
	Fork   string // id, empty where it is not known
	Part   string // id
	Amount int64  // above 0, of the part's unit
}

// SetPastUse keeps what a job took of a part, and reports whether that is new
// and whether it was told otherwise before. Error: Invalid.
func SetPastUse(ctx context.Context, tx *store.Tx, u PastUse) (added, changed bool, err error) {
	if u.Amount <= 0 {
		return false, false, fault.New(fault.Invalid, "inventory.bad_amount", u.Amount)
	}
	old := PastUse{Job: u.Job, Part: u.Part}
	found, err := tx.One(ctx, store.Into(&old.Day, &old.Fork, &old.Amount), `SELECT day, coalesce(fork, ''), amount FROM past_use
		WHERE job = $1 AND part = $2`, u.Job, u.Part)
	if err != nil || found && old == u {
		return false, false, err
	}
	id, err := tx.NewID()
	if err != nil {
		return false, false, err
	}
	var fork any
	if u.Fork != "" {
		fork = u.Fork
	}
	_, err = tx.Exec(ctx, `INSERT INTO past_use (id, job, day, fork, part, amount) VALUES ($1, $2, $3, $4, $5, $6)
		ON CONFLICT (job, part) DO UPDATE SET day = excluded.day, fork = excluded.fork, amount = excluded.amount`,
		id, u.Job, u.Day, fork, u.Part, u.Amount)
	return !found, found, err
}

// PastUses gives what all past jobs took, by day and job.
func PastUses(ctx context.Context, tx *store.Tx) ([]PastUse, error) {
	var all []PastUse
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (u PastUse, err error) {
		return u, scan(&u.Job, &u.Day, &u.Fork, &u.Part, &u.Amount)
	}), `SELECT u.job, u.day, coalesce(u.fork, ''), u.part, u.amount FROM past_use u JOIN part p ON p.id = u.part
		ORDER BY u.day, u.job, p.number_norm, p.maker_norm`)
	return all, err
}

// addPast adds what past jobs took to the use of the last weeks before asOf.
func addPast(ctx context.Context, tx *store.Tx, use map[string][]int64, asOf time.Time, weeks int) error {
	from := asOf.AddDate(0, 0, -7*weeks)
	return tx.Each(ctx, func(scan store.Scan) error {
		var part, day string
		var amount int64
		if err := scan(&part, &day, &amount); err != nil {
			return err
		}
		at, err := time.Parse(time.DateOnly, day)
		if err != nil {
			return fault.New(fault.Damaged, "store.bad_time", day).WithCause(err)
		}
		if use[part] == nil {
			use[part] = make([]int64, weeks)
		}
		week := weeks - 1 - int(asOf.Sub(at)/(7*24*time.Hour))
		use[part][max(week, 0)] += amount
		return nil
	}, `SELECT coalesce(p.merged_into, p.id), u.day, u.amount FROM past_use u JOIN part p ON p.id = u.part
		WHERE u.day > $1 AND u.day <= $2 ORDER BY u.day, u.id`,
		from.Format(time.DateOnly), asOf.Format(time.DateOnly))
}
