package inventory

import (
	"context"

	"forkstock/internal/store"
)

// Paid is what a delivery brought of a part and what that cost: as the order
// said, or as an invoice told later.
type Paid struct {
	Part     string // id
	Delivery string // id
	Name     string // of the delivery
	Supplier string // id; empty: not known
	At       string // store.Stamp of the first that came
	Amount   int64  // of the part's unit
	Unknown  int64  // of them, those whose cost nobody has told
	Minor    int64  // what the others cost
}

// Known reports whether the cost of all pieces is known.
func (p Paid) Known() bool { return p.Unknown == 0 }

// PaidOf gives what a part did cost whenever it came, with the records that were
// merged into it, the oldest first; without what was undone.
func PaidOf(ctx context.Context, tx *store.Tx, part string) ([]Paid, error) {
	return paid(ctx, tx, `m.part = $2 OR m.part IN (SELECT id FROM part WHERE merged_into = $2)`, part)
}

// PaidFor gives what a delivery cost, by part as they came; without what was
// undone.
func PaidFor(ctx context.Context, tx *store.Tx, delivery string) ([]Paid, error) {
	return paid(ctx, tx, `p.delivery = $2`, delivery)
}

// paid sums up by delivery and part. Of what a posting brought of a lot, the last
// invoice that stands tells the cost of all pieces together: the last in the
// order of the ledger, whatever the clock says. One that came when no piece was
// left has no movements, and is told only where the posting brought one lot.
func paid(ctx context.Context, tx *store.Tx, where, arg string) (all []Paid, err error) {
	at := map[[2]string]int{}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var p Paid
		var minor, invoiced int64
		var told bool
		if err := scan(&p.Part, &p.Delivery, &p.Name, &p.Supplier, &p.At, &p.Amount, &p.Unknown, &minor, &invoiced, &told); err != nil {
			return err
		}
		if p.Minor = minor; told {
			p.Minor, p.Unknown = invoiced, 0
		}
		key := [2]string{p.Delivery, p.Part}
		i, seen := at[key]
		if !seen || p.Delivery == "" {
			at[key] = len(all)
			all = append(all, p)
			return nil
		}
		all[i].Amount += p.Amount
		all[i].Unknown += p.Unknown
		all[i].Minor += p.Minor
		return nil
	}, voided+`, came AS (
		SELECT p.id, p.at, p.delivery, p.purchase, p.partner, m.lot, coalesce(r.merged_into, r.id) AS part, min(m.seq) AS first,
			sum(m.amount) AS amount, sum(iif(m.value_minor IS NULL, m.amount, 0)) AS unknown, coalesce(sum(m.value_minor), 0) AS minor
		FROM posting p JOIN movement m ON m.posting = p.id JOIN part r ON r.id = m.part
		WHERE p.kind = 'receive' AND m.amount > 0 AND (`+where+`) AND p.id NOT IN voided GROUP BY p.id, m.lot),
	told AS (
		SELECT c.*, (SELECT v.price_minor FROM posting v WHERE v.amends = c.id AND v.kind = 'revalue' AND v.id NOT IN voided
				AND (EXISTS (SELECT 1 FROM movement x WHERE x.posting = v.id AND x.lot = c.lot)
					OR NOT EXISTS (SELECT 1 FROM movement x WHERE x.posting = v.id)
					AND NOT EXISTS (SELECT 1 FROM movement x WHERE x.posting = c.id AND x.lot <> c.lot))
				ORDER BY v.rowid DESC LIMIT 1) AS invoiced
		FROM came c)
	SELECT t.part, coalesce(t.delivery, ''), coalesce(d.name, ''), coalesce(o.supplier, d.supplier, b.supplier, s.id, ''), t.at, t.amount,
		t.unknown, t.minor, coalesce(t.invoiced, 0), t.invoiced IS NOT NULL
	FROM told t LEFT JOIN delivery d ON d.id = t.delivery LEFT JOIN purchase o ON o.id = t.purchase
		LEFT JOIN purchase b ON b.id = d.purchase LEFT JOIN supplier s ON s.name = t.partner
	ORDER BY t.first`, ever, arg)
	return all, err
}
