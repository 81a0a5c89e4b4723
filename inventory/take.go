package inventory

import (
	"context"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// States of a scan of the take mode. One that is not taken yet waits.
const (
	TakeTaken   = "taken"    // posted, though it may have been undone since
	TakeNoted   = "noted"    // a bag that is not counted is empty: it is on the week's list
	TakeUnknown = "unknown"  // waits: nobody has said what its code stands for
	TakeHowMuch = "how_much" // waits: so and so many mL
	TakeShort   = "short"    // waits: the book has too little
	TakeKept    = "kept"     // waits: it is set aside for other jobs
	TakeDropped = "dropped"  // it was nothing
)

// TakeScan is one scan by which parts are taken. It is kept from the moment it
// came, also while it waits.
type TakeScan struct {
	Seq     int64
	Key     string // of the form, or of session and line; its posting has it, too
	Session string
	Job     string // as the shop names it; empty: none
	Text    string // as scanned or typed
	Code    string // as the catalog files it
	Amount  int64  // told before it, of the part's unit; 0: none was
	State   string
	Part    string // id, once it is known
	Posting string // id
	Person  string // id
	At      time.Time
}

const takeColumns = ` seq, key, session, job, text, code, amount, state, coalesce(part, ''), coalesce(posting, ''), person, at `

func queryTakes(ctx context.Context, tx *store.Tx, query string, args ...any) ([]TakeScan, error) {
	var all []TakeScan
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (t TakeScan, err error) {
		var at string
		if err = scan(&t.Seq, &t.Key, &t.Session, &t.Job, &t.Text, &t.Code, &t.Amount, &t.State, &t.Part, &t.Posting, &t.Person, &at); err != nil {
			return t, err
		}
		t.At, err = store.Time(at)
		return t, err
	}), query, args...)
	return all, err
}

// RecordTake keeps a scan. One whose key was recorded before comes back as it is
// now, with repeated set. Error: Conflict where the key was used for another.
func RecordTake(ctx context.Context, tx *store.Tx, t TakeScan) (_ TakeScan, repeated bool, err error) {
	old, err := queryTakes(ctx, tx, `SELECT`+takeColumns+`FROM take_scan WHERE key = $1 ORDER BY seq`, t.Key)
	if err != nil {
		return t, false, err
	}
	if len(old) == 1 {
		if old[0].Text != t.Text || old[0].Job != t.Job || t.Amount != 0 && old[0].Amount != t.Amount {
			return t, true, fault.New(fault.Conflict, "inventory.key_used", t.Key).WithHint("inventory.key_used.hint")
		}
		return old[0], true, nil
	}
	if _, err := tx.One(ctx, store.Into(&t.Seq), `SELECT coalesce(max(seq), 0) + 1 FROM take_scan`); err != nil {
		return t, false, err
	}
	t.At = tx.Now
	_, err = tx.Exec(ctx, `INSERT INTO take_scan (seq, key, session, job, text, code, amount, state, part, posting, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, nullif($9, ''), nullif($10, ''), $11, $12)`,
		t.Seq, t.Key, t.Session, t.Job, t.Text, t.Code, t.Amount, t.State, t.Part, t.Posting, t.Person, store.Stamp(t.At))
	return t, false, err
}

// Save writes what became of a scan.
func (t TakeScan) Save(ctx context.Context, tx *store.Tx) error {
	_, err := tx.Exec(ctx, `UPDATE take_scan SET state = $2, amount = $3, part = nullif($4, ''), posting = nullif($5, '') WHERE seq = $1`,
		t.Seq, t.State, t.Amount, t.Part, t.Posting)
	return err
}

// TakeNumbered gives the scan of a number. Error: NotFound.
func TakeNumbered(ctx context.Context, tx *store.Tx, seq int64) (TakeScan, error) {
	all, err := queryTakes(ctx, tx, `SELECT`+takeColumns+`FROM take_scan WHERE seq = $1 ORDER BY seq`, seq)
	if err == nil && len(all) == 0 {
		err = fault.New(fault.NotFound, "inventory.take_absent", seq).WithHint("inventory.take_absent.hint")
	}
	if err != nil {
		return TakeScan{}, err
	}
	return all[0], nil
}

// TakesOf gives the last scans of a session, the newest first.
func TakesOf(ctx context.Context, tx *store.Tx, session string, most int) ([]TakeScan, error) {
	return queryTakes(ctx, tx, `SELECT`+takeColumns+`FROM take_scan WHERE session = $1 ORDER BY seq DESC LIMIT $2`, session, most)
}

// TakesWaiting gives every scan that waits, the oldest first.
func TakesWaiting(ctx context.Context, tx *store.Tx) ([]TakeScan, error) {
	return queryTakes(ctx, tx, `SELECT`+takeColumns+`FROM take_scan
		WHERE state IN ('unknown', 'how_much', 'short', 'kept') ORDER BY seq`)
}

// TakeJobs gives the jobs for which something was taken last, the newest first.
func TakeJobs(ctx context.Context, tx *store.Tx, most int) ([]string, error) {
	var all []string
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (job string, err error) { return job, scan(&job) }),
		`SELECT job FROM posting WHERE job <> '' GROUP BY job ORDER BY max(at) DESC, job LIMIT $1`, most)
	return all, err
}
