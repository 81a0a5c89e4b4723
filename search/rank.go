package search

import (
	"cmp"
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// ranking puts candidates in order.
type ranking struct {
	roles   []catalog.Role // kinds of parts, the first of them first
	limit   int            // how many will be shown
	oldLast bool           // what was replaced comes after its equals
	onHand  string         // as in Options
}

// order sorts by tier, fits before near, kind of part, words that match
// better, what fits a known fork, what is not replaced, what is in stock, number
// and maker. The last of these are asked for only where they decide among what
// will be shown.
func (r ranking) order(ctx context.Context, tx *store.Tx, all []candidate) error {
	relevance := func(a, b candidate) int {
		return cmp.Or(
			cmp.Compare(a.tier, b.tier),
			falseFirst(a.near, b.near),
			cmp.Compare(slices.Index(r.roles, a.part.Role), slices.Index(r.roles, b.part.Role)),
			cmp.Compare(b.score, a.score),
			falseFirst(!a.fits, !b.fits),
		)
	}
	whole := func(a, b candidate) int {
		return cmp.Or(
			relevance(a, b),
			falseFirst(a.old, b.old),
			falseFirst(!a.stocked, !b.stocked),
			cmp.Compare(a.number, b.number),
			cmp.Compare(a.maker, b.maker),
		)
	}
	slices.SortFunc(all, whole)
	for from := 0; from < min(r.limit, len(all)); {
		to := from + 1
		for to < len(all) && relevance(all[from], all[to]) == 0 {
			to++
		}
		if to-from > 1 {
			if r.oldLast {
				if err := markOld(ctx, tx, all[from:to]); err != nil {
					return err
				}
			}
			if err := r.stock(ctx, tx, all[from:to]); err != nil {
				return err
			}
			slices.SortFunc(all[from:to], whole)
		}
		from = to
	}
	return nil
}

// stock looks up what is in stock.
func (r ranking) stock(ctx context.Context, tx *store.Tx, all []candidate) error {
	if r.onHand == "" {
		return nil
	}
	ids := make([]string, len(all))
	for i, c := range all {
		ids[i] = c.part.ID
	}
	stocked := map[string]bool{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		stocked[id] = true
		return err
	}, `SELECT p.id FROM (SELECT value AS id FROM json_each($1)) p WHERE `+r.onHand+` ORDER BY p.id`, jsonList(ids))
	for i, c := range all {
		all[i].stocked = stocked[c.part.ID]
	}
	return err
}

func falseFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}
