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
	wide    bool           // of equals, what more forks take comes first
	onHand  string         // as in Options
}

// order sorts by tier, fits before near, kind of part, words that match
// better, what fits a known fork, what is not replaced, what is in stock, in a
// wide answer how many places of forks take it, number and maker. The last of these are asked for only where they decide among what
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
			cmp.Compare(b.forks, a.forks),
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
			if r.wide {
				if err := countForks(ctx, tx, all[from:min(to, from+mostWide)]); err != nil {
					return err
				}
				slices.SortFunc(all[from:to], whole)
			}
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
	ids := []string{}
	for _, c := range all {
		if !c.known {
			ids = append(ids, c.part.ID)
		}
	}
	if len(ids) == 0 {
		return nil
	}
	stocked := map[string]bool{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		stocked[id] = true
		return err
	}, `SELECT p.id FROM (SELECT value AS id FROM json_each($1)) p WHERE `+r.onHand+` ORDER BY p.id`, jsonList(ids))
	for i, c := range all {
		all[i].known, all[i].stocked = true, c.known && c.stocked || stocked[c.part.ID]
	}
	return err
}

// mostUsed is how many places of forks are counted for a part.
const mostUsed = 12

// mostWide is for how many parts that is counted: those that come first
// without it.
const mostWide = 100

// countForks counts the places of forks that a part is named for or that have
// its size.
func countForks(ctx context.Context, tx *store.Tx, all []candidate) error {
	at, ids := map[string]int{}, make([]string, len(all))
	for i, c := range all {
		at[c.part.ID], ids[i] = i, c.part.ID
	}
	return tx.Each(ctx, func(scan store.Scan) error {
		var id string
		var named, sized int
		err := scan(&id, &named, &sized)
		all[at[id]].forks = named + sized
		return err
	}, `SELECT p.id, (SELECT count(*) FROM (SELECT 1 FROM position_part n WHERE n.part = p.id LIMIT $2)),
		(SELECT count(*) FROM (SELECT 1 FROM position o WHERE o.inner_um = p.inner_um AND o.outer_um = p.outer_um AND o.role = p.role
			AND (o.height_um IS p.height_um OR o.height_um IS NULL) LIMIT $2))
		FROM json_each($1) k CROSS JOIN part p ON p.id = k.value ORDER BY k.key`, jsonList(ids), mostUsed)
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
