package inventory

import (
	"context"
	"slices"

	"forkstock/internal/store"
)

// Matched is what came of a part against what was expected of it.
type Matched struct {
	Part     string     // id
	Lines    []Expected // of the orders, with what had come before
	Expected int64      // of the part's unit
	Counted  int64      // of it: of the part, and of others that were sent instead
	Instead  []Arrival  // of Counted, what came of others
	Over     int64      // of the part beyond what was expected, for it or for what it was sent instead of
	Came     int64      // of the part in all
}

// Complete reports whether what was expected has come, and no more.
func (m Matched) Complete() bool { return m.Counted == m.Expected && m.Over == 0 }

// Against holds what came of parts, in that order, against the orders of a
// delivery, as it is posted: to the lines of the part, then to those of the part
// it was sent instead of. The parts of orders go first, in their order. Of a
// finished delivery, came is what it brought.
func (d Delivery) Against(ctx context.Context, tx *store.Tx, came []Arrival) ([]Matched, error) {
	lines, err := d.expectedBefore(ctx, tx)
	if err != nil {
		return nil, err
	}
	instead, err := d.Instead(ctx, tx)
	if err != nil {
		return nil, err
	}
	var all []Matched
	of := func(part string) *Matched {
		i := slices.IndexFunc(all, func(m Matched) bool { return m.Part == part })
		if i < 0 {
			i = len(all)
			all = append(all, Matched{Part: part})
		}
		return &all[i]
	}
	for _, l := range lines {
		m := of(l.Part)
		m.Lines = append(m.Lines, l)
		m.Expected += l.Missing()
	}
	for _, a := range came {
		rest := a.Amount
		for _, p := range portions(lines, a.Part, a.Amount, instead[a.Part]) {
			i := slices.IndexFunc(lines, func(l Expected) bool { return l.ID == p.line.ID })
			lines[i].Received += p.amount
			rest -= p.amount
			m := of(p.line.Part)
			if m.Counted += p.amount; p.instead {
				m.Instead = append(m.Instead, Arrival{a.Part, p.amount})
			}
		}
		m := of(a.Part)
		m.Came += a.Amount
		m.Over += rest
	}
	return all, nil
}

// expectedBefore gives the lines of the orders of a delivery of which something
// was to come before it.
func (d Delivery) expectedBefore(ctx context.Context, tx *store.Tx) ([]Expected, error) {
	lines, err := d.Expects(ctx, tx)
	if err != nil || len(lines) == 0 {
		return nil, err
	}
	brought, err := sums(ctx, tx, voided+`SELECT a.line, sum(a.amount) FROM arrival a JOIN posting p ON p.id = a.posting
		WHERE p.delivery = $2 AND p.id NOT IN voided GROUP BY a.line ORDER BY a.line`, ever, d.ID)
	if err != nil {
		return nil, err
	}
	for i := range lines {
		lines[i].Received -= brought[lines[i].ID]
	}
	return slices.DeleteFunc(lines, func(l Expected) bool { return l.Missing() == 0 }), nil
}
