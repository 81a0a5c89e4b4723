package inventory

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"forkstock/internal/store"
)

// Entry is a movement as the ledger shows it.
type Entry struct {
	Movement
	Posting  string // id
	Key      string
	Kind     string
	Person   string // name
	At       time.Time
	BinName  string
	LotShort int64
	Delivery string // name
	Job      string
	Partner  string
	Price    Value // of the posting: what a sale brought, or the credit expected
	Reason   string
	Corrects string // id of the posting that this one undoes
}

// LedgerOf says whose story is told; what is empty does not narrow it.
type LedgerOf struct {
	Part, Bin, Lot string    // ids; a part with the records that were merged into it
	Job            string    // as the shop names it
	From, To       time.Time // of the postings' clocks, To excluded
	Before         int64     // the number of the movement before which the story ends; 0: none
	Last           int       // at most so many movements, the last ones; 0: all
}

// Whole reports whether no movement of a part is left out between two that are
// told.
func (of LedgerOf) Whole() bool { return of.Bin == "" && of.Lot == "" && of.Job == "" }

// Ledger gives movements in their order.
func Ledger(ctx context.Context, tx *store.Tx, of LedgerOf) ([]Entry, error) {
	var all []Entry
	where, args := of.condition()
	order := ` ORDER BY m.seq`
	if of.Last > 0 {
		order = ` ORDER BY m.seq DESC LIMIT ` + strconv.Itoa(of.Last)
	}
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (e Entry, err error) {
		var at string
		err = scan(&e.Seq, &e.Part, &e.Bin, &e.Lot, &e.Amount, &e.Value.Minor, &e.Value.Known, &e.Posting, &e.Key, &e.Kind,
			&e.Person, &at, &e.BinName, &e.LotShort, &e.Delivery, &e.Job, &e.Partner,
			&e.Price.Minor, &e.Price.Known, &e.Reason, &e.Corrects)
		if err == nil {
			e.At, err = store.Time(at)
		}
		return e, err
	}), `SELECT m.seq, m.part, m.bin, m.lot, m.amount, coalesce(m.value_minor, 0), m.value_minor IS NOT NULL,
		p.id, p.key, p.kind, w.name, p.at, b.name, l.short, coalesce(d.name, ''), p.job, p.partner,
		coalesce(p.price_minor, 0), p.price_minor IS NOT NULL, p.reason, coalesce(p.corrects, '')
		FROM movement m JOIN posting p ON p.id = m.posting JOIN person w ON w.id = p.person JOIN bin b ON b.id = m.bin
		JOIN lot l ON l.id = m.lot LEFT JOIN delivery d ON d.id = p.delivery
		`+where+order, args...)
	if of.Last > 0 {
		slices.Reverse(all)
	}
	return all, err
}

// condition gives what narrows a query of movements m with postings p.
func (of LedgerOf) condition() (where string, args []any) {
	add := func(condition string, arg any) {
		args = append(args, arg)
		if where == "" {
			where = "WHERE "
		} else {
			where += " AND "
		}
		where += strings.ReplaceAll(condition, "$", "$"+strconv.Itoa(len(args)))
	}
	if of.Part != "" {
		add("(m.part = $ OR m.part IN (SELECT id FROM part WHERE merged_into = $))", of.Part)
	}
	if of.Bin != "" {
		add("m.bin = $", of.Bin)
	}
	if of.Lot != "" {
		add("m.lot = $", of.Lot)
	}
	if of.Job != "" { // what undoes a posting of the job belongs to its story
		add("(p.job = $ OR p.corrects IN (SELECT id FROM posting WHERE job = $))", of.Job)
	}
	if !of.From.IsZero() {
		add("p.at >= $", store.Stamp(of.From))
	}
	if !of.To.IsZero() {
		add("p.at < $", store.Stamp(of.To))
	}
	if of.Before > 0 {
		add("m.seq < $", of.Before)
	}
	return where, args
}

// OnHandAfter gives what is on hand of a part, with the records that were merged
// into it, after each of its movements, by sequence.
func OnHandAfter(ctx context.Context, tx *store.Tx, part string) (map[int64]int64, error) {
	after := map[int64]int64{}
	var sum int64
	err := tx.Each(ctx, func(scan store.Scan) error {
		var seq, amount int64
		err := scan(&seq, &amount)
		sum += amount
		after[seq] = sum
		return err
	}, `SELECT seq, amount FROM movement WHERE part = $1 OR part IN (SELECT id FROM part WHERE merged_into = $1) ORDER BY seq`, part)
	return after, err
}

// OnHandAt gives what was on hand of a part, with the records that were merged
// into it, after the movement of a number.
func OnHandAt(ctx context.Context, tx *store.Tx, part string, seq int64) (n int64, err error) {
	_, err = tx.One(ctx, store.Into(&n), `WITH record (id) AS (SELECT id FROM part WHERE id = $1 OR merged_into = $1)
		SELECT (SELECT coalesce(sum(amount), 0) FROM balance WHERE part IN record)
			- (SELECT coalesce(sum(amount), 0) FROM movement WHERE part IN record AND seq > $2)`, part, seq)
	return n, err
}

// Use gives how much of each part jobs took in each of the last weeks before
// asOf, oldest first: what was issued, less what was put back. What was undone
// counts for nothing, in the week of what it undoes. Past jobs count as well.
// Parts without use are absent; that of a record that was merged into another
// counts for that one.
func Use(ctx context.Context, tx *store.Tx, asOf time.Time, weeks int) (map[string][]int64, error) {
	from := asOf.AddDate(0, 0, -7*weeks)
	use := map[string][]int64{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var part, stamp string
		var amount int64
		if err := scan(&part, &stamp, &amount); err != nil {
			return err
		}
		at, err := store.Time(stamp)
		if err != nil {
			return err
		}
		if use[part] == nil {
			use[part] = make([]int64, weeks)
		}
		week := weeks - 1 - int(asOf.Sub(at)/(7*24*time.Hour))
		use[part][max(week, 0)] -= amount
		return nil
	}, `WITH RECURSIVE taken (posting, at) AS (
			SELECT id, at FROM posting WHERE kind IN ('issue', 'return', 'sale') AND at > $1 AND at <= $2
			UNION ALL SELECT u.id, t.at FROM taken t JOIN posting u ON u.corrects = t.posting)
		SELECT coalesce(p.merged_into, p.id), t.at, m.amount FROM taken t JOIN movement m ON m.posting = t.posting
			JOIN part p ON p.id = m.part ORDER BY m.seq`,
		store.Stamp(from), store.Stamp(asOf))
	if err == nil {
		err = addPast(ctx, tx, use, asOf, weeks)
	}
	for part, weeks := range use {
		settle(weeks)
		if !slices.ContainsFunc(weeks, func(n int64) bool { return n > 0 }) {
			delete(use, part)
		}
	}
	return use, err
}

// Taken gives how much of a part, and of the records that were merged into it,
// was issued and neither put back nor undone.
func Taken(ctx context.Context, tx *store.Tx, part string) (n int64, err error) {
	_, err = tx.One(ctx, store.Into(&n), `WITH RECURSIVE record (id) AS (SELECT id FROM part WHERE id = $1 OR merged_into = $1),
		taken (posting) AS (
			SELECT DISTINCT p.id FROM posting p JOIN movement m ON m.posting = p.id
			WHERE p.kind IN ('issue', 'return', 'sale') AND m.part IN record
			UNION ALL SELECT u.id FROM taken t JOIN posting u ON u.corrects = t.posting)
		SELECT -coalesce(sum(m.amount), 0) FROM taken t JOIN movement m ON m.posting = t.posting AND m.part IN record`, part)
	return n, err
}

// OutFor gives how much of a part was issued for a job, "" being for none, and
// neither put back from it nor undone, before the movement of a number.
func OutFor(ctx context.Context, tx *store.Tx, part, job string, before int64) (n int64, err error) {
	_, err = tx.One(ctx, store.Into(&n), `WITH RECURSIVE record (id) AS (SELECT id FROM part WHERE id = $1 OR merged_into = $1),
		taken (posting) AS (
			SELECT DISTINCT p.id FROM posting p JOIN movement m ON m.posting = p.id
			WHERE p.kind IN ('issue', 'return', 'sale') AND p.job = $2 AND m.part IN record
			UNION ALL SELECT u.id FROM taken t JOIN posting u ON u.corrects = t.posting)
		SELECT -coalesce(sum(m.amount), 0) FROM taken t JOIN movement m ON m.posting = t.posting AND m.part IN record
		WHERE m.seq < $3`, part, job, before)
	return n, err
}

// settle sets what came back off against the use before it, so that no week
// is below zero.
func settle(weeks []int64) {
	for i := len(weeks) - 1; i >= 0; i-- {
		if weeks[i] >= 0 {
			continue
		}
		if i > 0 {
			weeks[i-1] += weeks[i]
		}
		weeks[i] = 0
	}
}
