package inventory

import (
	"context"
	"time"

	"forkstock/internal/store"
)

// Worthing is what the pieces of a part that are on hand at a moment are worth,
// blocked places included.
type Worthing struct {
	Part    string // id
	Known   int64  // pieces of known value
	Minor   int64  // their value: in Values by the moving average, in FIFOValues first in, first out
	Unknown int64  // pieces whose value is not known
}

// Values gives what stock was worth at a moment, by part id, as the ledger had it
// then: by the moving average. A zero moment is now. Parts without stock are
// absent; what is on hand of a record that was merged into another counts for
// that one.
func Values(ctx context.Context, tx *store.Tx, asOf time.Time) (map[string]Worthing, error) {
	if asOf.IsZero() {
		return worthings(ctx, tx, `SELECT coalesce(r.merged_into, r.id), sum(h.known), sum(h.value_minor), sum(h.unknown)
			FROM holding h JOIN part r ON r.id = h.part GROUP BY 1 HAVING sum(h.known) + sum(h.unknown) <> 0 ORDER BY 1`)
	}
	return worthings(ctx, tx, `SELECT coalesce(r.merged_into, r.id), sum(iif(m.value_minor IS NULL, 0, m.amount)),
		coalesce(sum(m.value_minor), 0), sum(iif(m.value_minor IS NULL, m.amount, 0))
		FROM movement m JOIN posting p ON p.id = m.posting JOIN part r ON r.id = m.part
		WHERE p.at <= $1 GROUP BY 1 HAVING sum(m.amount) <> 0 ORDER BY 1`, store.Stamp(asOf))
}

func worthings(ctx context.Context, tx *store.Tx, query string, args ...any) (map[string]Worthing, error) {
	all := map[string]Worthing{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var w Worthing
		err := scan(&w.Part, &w.Known, &w.Minor, &w.Unknown)
		all[w.Part] = w
		return err
	}, query, args...)
	return all, err
}

// FIFOValues gives what stock was worth at a moment (now for a zero one), first in,
// first out. It plays the ledger again without what was undone by then, with
// what the invoices that had come by then said; what was put back is used
// first again. The known pieces can be others than those of Values, where some
// have no value.
func FIFOValues(ctx context.Context, tx *store.Tx, asOf time.Time) (map[string]Worthing, error) {
	stamp := ever
	if !asOf.IsZero() {
		stamp = store.Stamp(asOf)
	}
	costs, err := invoiced(ctx, tx, stamp)
	if err != nil {
		return nil, err
	}
	shelves := map[string]*queue{}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var part, posting, lot, kind string
		var amount int64
		var v Value
		if err := scan(&part, &posting, &lot, &kind, &amount, &v.Minor, &v.Known); err != nil {
			return err
		}
		q := shelves[part]
		if q == nil {
			q = &queue{}
			shelves[part] = q
		}
		switch c, told := costs[invoiceOf{posting, lot}]; {
		case amount < 0:
			q.out(-amount)
		case kind == Return || kind == LentBack:
			q.back(amount, v)
		case told:
			q.in(amount, Value{c.take(amount), true})
		default:
			q.in(amount, v)
		}
		return nil
	}, voided+`
		SELECT coalesce(r.merged_into, r.id), p.id, m.lot, p.kind, m.amount, coalesce(m.value_minor, 0), m.value_minor IS NOT NULL
		FROM movement m JOIN posting p ON p.id = m.posting JOIN part r ON r.id = m.part
		WHERE p.at <= $1 AND p.kind NOT IN ('move', 'revalue', 'undo') AND p.id NOT IN voided
		ORDER BY m.seq`, stamp)
	all := map[string]Worthing{}
	for part, q := range shelves {
		if h := q.left(); h.known != 0 || h.unknown != 0 {
			all[part] = Worthing{part, h.known, h.value, h.unknown}
		}
	}
	return all, err
}

// voided is the postings that were undone by the stamp $1, and whose undo was not.
const voided = `WITH RECURSIVE chain (root, last, undos) AS (
		SELECT u.corrects, u.id, 1 FROM posting u JOIN posting w ON w.id = u.corrects
			WHERE w.kind <> 'undo' AND u.at <= $1
		UNION ALL SELECT c.root, u.id, c.undos + 1 FROM chain c JOIN posting u ON u.corrects = c.last WHERE u.at <= $1),
	voided (id) AS MATERIALIZED (SELECT root FROM chain GROUP BY root HAVING max(undos) % 2 = 1)
	`

// invoiceOf names what an invoice put a cost on: what a posting brought of a lot.
type invoiceOf struct{ posting, lot string }

// cost is what an invoice says of pieces, shared out as their movements come up.
type cost struct{ amount, minor int64 }

func (c *cost) take(amount int64) int64 {
	l := layer{c.amount, Value{c.minor, true}}
	v := l.take(min(amount, l.amount))
	c.amount, c.minor = l.amount, l.value.Minor
	return v.Minor
}

// invoiced gives the last cost told by a stamp of each lot that a posting
// brought, for all its pieces together.
func invoiced(ctx context.Context, tx *store.Tx, stamp string) (map[invoiceOf]*cost, error) {
	costs := map[invoiceOf]*cost{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var of invoiceOf
		var c cost
		err := scan(&of.posting, &of.lot, &c.minor, &c.amount)
		costs[of] = &c // in the order of time: the last one counts
		return err
	}, voided+`SELECT v.amends, v.lot, v.price_minor, (SELECT coalesce(sum(m.amount), 0) FROM movement m
			WHERE m.posting = v.amends AND m.lot = v.lot AND m.amount > 0)
		FROM (SELECT DISTINCT p.rowid AS turn, p.amends, m.lot, p.price_minor FROM posting p JOIN movement m ON m.posting = p.id
			WHERE p.kind = 'revalue' AND p.price_minor IS NOT NULL AND p.at <= $1
			AND p.id NOT IN voided) v
		ORDER BY v.turn`, stamp)
	return costs, err
}
