package catalog

import (
	"context"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// window is how far a diameter may be off for its part to be looked at: the
// widest allowance, and a size that somebody takes for another.
const window = 5 * measure.Millimetre

// Fitting gives the parts for what was measured, by number: those that fit,
// those that come near, and those that do not but may be taken for one that
// does. Error: Invalid, where the sizes make no sense.
func Fitting(ctx context.Context, tx *store.Tx, want Wanted) ([]Match, error) {
	if err := want.Check(); err != nil {
		return nil, err
	}
	low := func(a, b measure.Length) measure.Length { return max(a, b) - window }
	high := func(a, b measure.Length) measure.Length {
		if a == 0 && b == 0 {
			return 1 << 40
		}
		return max(a, b) + window
	}
	in, out := want.Size.Inner, want.Size.Outer
	parts, err := queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p
		WHERE p.role IN ($1, 'other') AND p.merged_into IS NULL
		AND (p.inner_um BETWEEN $2 AND $3 OR p.inner_um IS NULL) AND (p.outer_um BETWEEN $4 AND $5 OR p.outer_um IS NULL)
		ORDER BY p.number_norm, p.maker_norm`,
		want.Role, int64(low(in, want.Tube)), int64(high(in, want.Tube)), int64(low(out, want.Bore)), int64(high(out, want.Bore)))
	if err != nil {
		return nil, err
	}
	var all []Match
	for _, p := range parts {
		if f := judge(want, p); f.worthTelling() {
			all = append(all, Match{Part: p, Verdict: f.verdict, Why: f.reasons()})
		}
	}
	return all, markOld(ctx, tx, all)
}

// markOld judges parts that were replaced: one that no longer does for its
// successor is no fit, and near where it is still usable in some forks.
func markOld(ctx context.Context, tx *store.Tx, all []Match) error {
	replaced, err := replacedOf(ctx, tx, all)
	if err != nil {
		return err
	}
	for i := range all {
		m := &all[i]
		if !replaced[m.Part.ID] {
			continue
		}
		s, found, err := SuccessionOf(ctx, tx, m.Part.ID)
		if err != nil {
			return err
		}
		if !found {
			continue
		}
		forks, err := UsableIn(ctx, tx, m.Part.ID)
		if err != nil {
			return err
		}
		m.Old = true
		switch {
		case s.BothWays:
			m.Why = append(m.Why, s.Old())
		case len(forks) > 0:
			m.Verdict = worse(m.Verdict, Near)
			m.Why = append(m.Why, fault.Say("catalog.old_but", s.By.New.Name(), strings.Join(forks, ", ")))
		default:
			m.Verdict = No
			m.Why = append(m.Why, s.Old())
		}
	}
	return nil
}
