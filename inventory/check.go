package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Check compares the ledger with what is kept beside it, and gives what does
// not agree: a gap in the sequence, a balance that is not the sum of its
// movements, a holding that is not.
func Check(ctx context.Context, tx *store.Tx) ([]fault.Message, error) {
	var findings []fault.Message
	note := func(id string) func(store.Scan) error {
		return func(scan store.Scan) error {
			var name string
			var kept, summed int64
			err := scan(&name, &kept, &summed)
			findings = append(findings, fault.Say(id, name, kept, summed))
			return err
		}
	}
	for _, c := range []struct{ id, query string }{
		{"inventory.check_seq", `SELECT 'movement', max(seq), count(*) FROM movement
			HAVING max(seq) <> count(*) OR min(seq) <> 1`},
		{"inventory.check_balance", `SELECT p.number || ' ' || b.name, a.kept, a.summed FROM (
			SELECT part, bin, sum(kept) AS kept, sum(summed) AS summed FROM (
				SELECT part, bin, lot, amount AS kept, 0 AS summed FROM balance
				UNION ALL SELECT part, bin, lot, 0, amount FROM movement)
			GROUP BY part, bin, lot HAVING sum(kept) <> sum(summed)) a
			JOIN part p ON p.id = a.part JOIN bin b ON b.id = a.bin ORDER BY 1`},
		{"inventory.check_value", `SELECT p.number, a.kept, a.summed FROM (
			SELECT part, sum(kept) AS kept, sum(summed) AS summed FROM (
				SELECT part, value_minor AS kept, 0 AS summed FROM holding
				UNION ALL SELECT part, 0, coalesce(value_minor, 0) FROM movement)
			GROUP BY part HAVING sum(kept) <> sum(summed)) a JOIN part p ON p.id = a.part ORDER BY 1`},
		{"inventory.check_holding", `SELECT p.number, sum(x.kept), sum(x.summed) FROM (
			SELECT part, 1 AS known, known AS kept, 0 AS summed FROM holding
			UNION ALL SELECT part, 0, unknown, 0 FROM holding
			UNION ALL SELECT part, value_minor IS NOT NULL, 0, amount FROM movement) x
			JOIN part p ON p.id = x.part GROUP BY x.part, x.known HAVING sum(x.kept) <> sum(x.summed) ORDER BY 1`},
	} {
		if err := tx.Each(ctx, note(c.id), c.query); err != nil {
			return nil, err
		}
	}
	return findings, nil
}
