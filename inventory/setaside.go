package inventory

import (
	"context"
	"encoding/json"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// SetAside is pieces of a part that are kept for a job. They are on hand and
// not available to others.
type SetAside struct {
	ID     string
	Part   string // id
	Job    string
	Amount int64  // of the part's unit
	Until  string // YYYY-MM-DD, the last day; "": until released
	Person string // name of who set them aside
	At     string // store.Stamp
}

// inForce is the condition in SQL that a set-aside a counts on the day $1.
const inForce = `a.released = '' AND (a.until = '' OR a.until >= $1)`

// Keep sets pieces aside. An id that is told is the caller's key: the same again
// gives what was kept under it. Error: Short where fewer are available.
func Keep(ctx context.Context, tx *store.Tx, a SetAside, person string) (SetAside, error) {
	if a.Amount <= 0 || a.Job == "" {
		return a, fault.New(fault.Invalid, "inventory.bad_amount", a.Amount)
	}
	if a.ID != "" {
		old := a
		found, err := tx.One(ctx, store.Into(&old.Part, &old.Job, &old.Amount, &old.Until, &old.At),
			`SELECT part, job, amount, until, at FROM set_aside WHERE id = $1`, a.ID)
		if err != nil || found {
			return old, err
		}
	}
	there, kept, err := Available(ctx, tx, a.Part)
	if err != nil {
		return a, err
	}
	if there-kept < a.Amount {
		return a, fault.New(fault.Short, "inventory.short_aside", a.Amount, there, kept)
	}
	if a.ID == "" {
		if a.ID, err = tx.NewID(); err != nil {
			return a, err
		}
	}
	a.At = store.Stamp(tx.Now)
	_, err = tx.Exec(ctx, `INSERT INTO set_aside (id, part, job, amount, until, person, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		a.ID, a.Part, a.Job, a.Amount, a.Until, person, a.At)
	return a, err
}

// Available gives how much of a part may be taken for jobs, and how much of it is
// set aside.
func Available(ctx context.Context, tx *store.Tx, part string) (there, kept int64, err error) {
	if _, err = tx.One(ctx, store.Into(&there), `SELECT coalesce(sum(a.amount), 0) FROM balance a JOIN bin b ON b.id = a.bin
		WHERE a.part = $1 AND b.kind IN ('shelf', 'intake')`, part); err != nil {
		return 0, 0, err
	}
	_, err = tx.One(ctx, store.Into(&kept), `SELECT coalesce(sum(a.amount), 0) FROM set_aside a
		WHERE a.part = $2 AND `+inForce, tx.Today(), part)
	return there, kept, err
}

// Kept gives how much of each part is set aside, by part id.
func Kept(ctx context.Context, tx *store.Tx) (map[string]int64, error) {
	return sums(ctx, tx, `SELECT coalesce(r.merged_into, r.id), sum(a.amount) FROM set_aside a JOIN part r ON r.id = a.part
		WHERE `+inForce+` GROUP BY 1 ORDER BY 1`, tx.Today())
}

// KeptOf gives how much of some parts is set aside, by part id.
func KeptOf(ctx context.Context, tx *store.Tx, parts []string) (map[string]int64, error) {
	list, err := json.Marshal(parts)
	if err != nil {
		return nil, fault.Of(err)
	}
	return sums(ctx, tx, `SELECT a.part, sum(a.amount) FROM set_aside a
		WHERE a.part IN (SELECT value FROM json_each($2)) AND `+inForce+` GROUP BY a.part ORDER BY a.part`, tx.Today(), string(list))
}

// SetAsides gives what is set aside, of one part or for one job where these are
// not empty, the oldest first.
func SetAsides(ctx context.Context, tx *store.Tx, part, job string) ([]SetAside, error) {
	var all []SetAside
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (a SetAside, err error) {
		return a, scan(&a.ID, &a.Part, &a.Job, &a.Amount, &a.Until, &a.Person, &a.At)
	}), `SELECT a.id, a.part, a.job, a.amount, a.until, w.name, a.at FROM set_aside a JOIN person w ON w.id = a.person
		WHERE `+inForce+` AND ($2 = '' OR a.part = $2) AND ($3 = '' OR a.job = $3) ORDER BY a.at, a.id`, tx.Today(), part, job)
	return all, err
}

// Release ends a set-aside for some of its pieces, who and why told; the rest
// stays kept from the day on which it was.
func (a SetAside) Release(ctx context.Context, tx *store.Tx, amount int64, person, why string) error {
	n, err := tx.Exec(ctx, `UPDATE set_aside SET released = $2, by = $3, why = $4 WHERE id = $1 AND released = ''`,
		a.ID, store.Stamp(tx.Now), person, why)
	if err != nil || n == 0 || amount >= a.Amount {
		return err
	}
	id, err := tx.NewID()
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO set_aside (id, part, job, amount, until, person, at)
		SELECT $2, part, job, amount - $3, until, person, at FROM set_aside WHERE id = $1`, a.ID, id, amount)
	return err
}

// whyShort are the reasons that hold and used give a release, message ids.
const (
	whyTaken = "taken"
	whyGone  = "gone"
)

// used ends what a job had set aside of a part, as far as it took it.
func used(ctx context.Context, tx *store.Tx, part, job, person string, amount int64) error {
	all, err := SetAsides(ctx, tx, part, job)
	if err != nil {
		return err
	}
	for _, a := range all {
		n := min(amount, a.Amount)
		if n <= 0 {
			break
		}
		if err := a.Release(ctx, tx, n, person, whyTaken); err != nil {
			return err
		}
		amount -= n
	}
	return nil
}

// hold ends the newest set-asides of a part where fewer pieces are there than are
// kept, and gives what it ended: they were scrapped, blocked or not found.
func hold(ctx context.Context, tx *store.Tx, part, person string) (ended []SetAside, err error) {
	there, kept, err := Available(ctx, tx, part)
	if err != nil || there >= kept {
		return nil, err
	}
	all, err := SetAsides(ctx, tx, part, "")
	if err != nil {
		return nil, err
	}
	for i := len(all) - 1; i >= 0 && there < kept; i-- {
		a := all[i]
		a.Amount = min(kept-there, a.Amount)
		if err := all[i].Release(ctx, tx, a.Amount, person, whyGone); err != nil {
			return ended, err
		}
		kept -= a.Amount
		ended = append(ended, a)
	}
	return ended, nil
}
