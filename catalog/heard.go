package catalog

import (
	"context"

	"forkstock/internal/store"
)

// Heard claims what a list says of a part that the shop knows, and reports
// whether that is news. A list decides nothing by itself: what contradicts the
// value in force stands beside it. It may fill in what nobody has told: a
// height behind two diameters. now is the part with all that the list says,
// own holds what the list says and nothing else.
func Heard(ctx context.Context, tx *store.Tx, was, now, own Part, w Word) (news bool, err error) {
	before, after, said := was.facts(), now.facts(), own.facts()
	for i, f := range after {
		if said[i].value == "" || f.value == before[i].value && w.Source == was.Source {
			continue // silent, or its own word come back
		}
		c := Claim{About: AboutPart, Subject: was.ID, Field: f.field, Value: f.value, Word: w}
		switch c.Decides = false; {
		case f.value == before[i].value:
			c.Value = said[i].value
		case f.field == "size" && before[i].value != "" && len(apart(was.Size, now.Size)) == 0:
			c.Decides = true
		}
		heard, err := tx.One(ctx, store.Into(new(int64)), `SELECT number FROM claim WHERE about = $1 AND subject = $2 AND field = $3
			AND value = $4 AND how = $5 AND source = $6 ORDER BY number LIMIT 1`, c.About, c.Subject, c.Field, c.Value, c.How, c.Source)
		if err != nil {
			return news, err
		}
		if heard { // standing, or withdrawn: the list itself has not changed
			continue
		}
		if _, err := Claimed(ctx, tx, c); err != nil {
			return news, err
		}
		news = true
	}
	return news, nil
}

// WithFactsOf gives p with the facts of o that carry claims.
func (p Part) WithFactsOf(o Part) Part {
	p.Size, p.Thread, p.Traits, p.Entered, p.Material, p.Elastomer = o.Size, o.Thread, o.Traits, o.Entered, o.Material, o.Elastomer
	return p
}
