package inventory

import (
	"context"

	"forkstock/internal/store"
)

// Loan is what is lent to somebody, or borrowed from them, of one part.
type Loan struct {
	Kind    string // Lend or Borrow
	Part    string // id
	Partner string
	Amount  int64  // still out, of the part's unit
	Due     string // YYYY-MM-DD, the earliest day told; "": none
	Since   string // store.Stamp of the first posting
}

// Loans gives what is out, of one part and partner where these are not empty,
// what is due first before the rest. What was undone counts for nothing.
func Loans(ctx context.Context, tx *store.Tx, part, partner string) ([]Loan, error) {
	var all []Loan
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (l Loan, err error) {
		return l, scan(&l.Kind, &l.Part, &l.Partner, &l.Amount, &l.Due, &l.Since)
	}), `WITH RECURSIVE told (posting, kind, partner, due, at) AS (
			SELECT id, iif(kind IN ('lend', 'lent_back'), 'lend', 'borrow'), partner, due, at FROM posting
				WHERE kind IN ('lend', 'lent_back', 'borrow', 'borrowed_back')
			UNION ALL SELECT u.id, t.kind, t.partner, '', t.at FROM told t JOIN posting u ON u.corrects = t.posting)
		SELECT t.kind, coalesce(r.merged_into, r.id) AS of, t.partner,
			sum(iif(t.kind = 'lend', -m.amount, m.amount)) AS out, coalesce(min(nullif(t.due, '')), '') AS due, min(t.at)
		FROM told t JOIN movement m ON m.posting = t.posting JOIN part r ON r.id = m.part
		WHERE ($1 = '' OR coalesce(r.merged_into, r.id) = $1) AND ($2 = '' OR t.partner = $2)
		GROUP BY t.kind, of, t.partner HAVING out > 0 ORDER BY due = '', due, t.partner, of, t.kind`, part, partner)
	return all, err
}
