package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// current is what to order of parts that were replaced: the use of an old
// number is use of the current one, and nobody orders an old one. What lies
// there of the old counts only where it does for the current one both ways; what
// is marked usable for a few forks does not, for the others need it, too.
type current struct {
	parts []catalog.Part         // without those that a kept one replaced
	as    map[string]catalog.Ref // by part: the current number, of which the shop keeps none
	old   map[string][]string    // by part: the old numbers that count for it
}

// currently reckons use and what is there of old parts to the current ones.
func currently(ctx context.Context, tx *store.Tx, parts []catalog.Part, use map[string][]int64, free map[string]int64) (current, error) {
	now := current{as: map[string]catalog.Ref{}, old: map[string][]string{}}
	replaced, err := catalog.Replaced(ctx, tx)
	if err != nil {
		return now, err
	}
	least := map[string]int64{}
	for _, p := range parts {
		s, old := replaced[p.ID]
		to := p.ID
		if old && s.Part != "" {
			to = s.Part
		}
		if old && !s.Kept {
			now.as[to] = s.Current
		}
		if old && !s.BothWays {
			delete(free, p.ID)
		}
		if to != p.ID {
			use[to] = sum(use[to], use[p.ID])
			free[to] += free[p.ID]
			now.old[to] = append(now.old[to], p.Name())
			delete(use, p.ID)
		}
		least[to] = max(least[to], p.Minimum)
	}
	for _, p := range parts {
		if s, old := replaced[p.ID]; old && s.Part != "" {
			continue
		}
		p.Minimum = least[p.ID]
		now.parts = append(now.parts, p)
	}
	return now, nil
}

// offers gives by which a part can be bought. Where the shop keeps none of the
// current number, the part goes by that one, and nobody is known to sell it.
func (now current) offers(ctx context.Context, tx *store.Tx, p catalog.Part) (catalog.Part, []catalog.Item, error) {
	if ref, ok := now.as[p.ID]; ok {
		now.old[p.ID] = append(now.old[p.ID], p.Name())
		p.Maker, p.Number = ref.Maker, ref.Number
		return p, nil, nil
	}
	items, err := catalog.ItemsOf(ctx, tx, p.ID)
	return p, items, err
}

// sum adds the weeks of b to those of a.
func sum(a, b []int64) []int64 {
	if a == nil {
		return b
	}
	out := slices.Clone(a)
	for i, n := range b {
		out[i] += n
	}
	return out
}
