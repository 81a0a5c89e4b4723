package catalog

import (
	"context"
	"math"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Positions gives the places of a fork in the order of the stack, with the
// parts that sources name for them.
func Positions(ctx context.Context, tx *store.Tx, fork string) ([]Position, error) {
	var all []Position
	err := tx.Each(ctx, func(scan store.Scan) error {
		var p Position
		err := scan(&p.ID, &p.Seq, &p.Role, &p.Leg, &p.PerLeg, &p.Renew, &p.Told, &p.Fitted, &p.Size.Inner, &p.Size.Outer,
			&p.Size.Height, &p.Size.Overall, &p.Thread, &p.Note, &p.Head, &p.Seat, &p.Strength, &p.Coated, &p.Entered)
		all = append(all, p)
		return err
	}, `SELECT o.id, o.seq, o.role, o.leg, o.per_leg, CASE WHEN o.renew_told = 1 THEN o.renew ELSE coalesce(r.renew, o.renew) END,
		o.renew_told, o.fitted, coalesce(o.inner_um, 0), coalesce(o.outer_um, 0), coalesce(o.height_um, 0),
		coalesce(o.overall_um, 0), o.thread, o.note, coalesce(o.head_um, 0), o.seat, o.strength, o.coated, o.entered
		FROM position o LEFT JOIN renewal r ON r.role = o.role WHERE o.fork = $1 ORDER BY o.seq`, fork)
	if err != nil {
		return nil, err
	}
	for i := range all {
		err := tx.Each(ctx, func(scan store.Scan) error {
			var n NamedPart
			err := scan(&n.Part, &n.Source)
			all[i].Parts = append(all[i].Parts, n)
			return err
		}, `SELECT part, source FROM position_part WHERE position = $1 ORDER BY part`, all[i].ID)
		if err != nil {
			return nil, err
		}
	}
	return all, nil
}

// Match is a part for a place, with the verdict and why.
type Match struct {
	Part    Part
	Verdict Verdict // Fits or Near; No for an old version that is not to be fitted, or by its sizes
	Why     []fault.Message
	Old     bool          // it was replaced
	Said    fault.Message // where that is known from, in a few words; zero where nobody has claimed it
}

// PartsFor gives the parts that fit a place or come near: those that a source
// names, if their sizes are not others, then those whose sizes agree. What does
// not fit is left out, but for old versions of what fits, and for what is named
// and is another kind of part: they stand last.
func PartsFor(ctx context.Context, tx *store.Tx, pos Position) ([]Match, error) {
	all, err := PartsForAll(ctx, tx, []Position{pos}, Few{})
	if err != nil {
		return nil, err
	}
	return all[0], said(ctx, tx, pos, all[0])
}

// alike gives the parts of a role that share what is known of bore, outside
// and thread, and of what is taller or lower than may be only seals that are
// too low, as few as are asked for; a place that knows none of these matches
// nothing. Each branch has an index: a role has thousands of parts.
func alike(ctx context.Context, tx *store.Tx, want Wanted, few Few) ([]Part, error) {
	const (
		unsaid = `SELECT * FROM part WHERE role = $1 AND +inner_um IS NULL AND +outer_um IS NULL AND thread > ''`
		tall   = ` AND (height_um IS NULL OR height_um BETWEEN $5 AND $6)`
	)
	var branches string
	inner, outer := want.Size.Inner, want.Size.Outer
	switch {
	case inner != 0 && outer != 0:
		branches = `SELECT * FROM part WHERE role = $1 AND inner_um = $2 AND outer_um = $3` + tall + `
			UNION ALL SELECT * FROM part WHERE role = $1 AND inner_um = $2 AND outer_um IS NULL` + tall + `
			UNION ALL SELECT * FROM part WHERE role = $1 AND inner_um IS NULL AND outer_um = $3` + tall + ` UNION ALL ` + unsaid
	case inner != 0:
		branches = `SELECT * FROM part WHERE role = $1 AND inner_um = $2` + tall + `
			UNION ALL SELECT * FROM part WHERE role = $1 AND inner_um IS NULL AND outer_um IS NOT NULL` + tall + ` UNION ALL ` + unsaid
	case outer != 0:
		branches = `SELECT * FROM part WHERE role = $1 AND outer_um = $3` + tall + `
			UNION ALL SELECT * FROM part WHERE role = $1 AND outer_um IS NULL AND inner_um IS NOT NULL` + tall + ` UNION ALL ` + unsaid
	case want.Thread != "":
		branches = `SELECT * FROM part WHERE role = $1 AND thread >= $4 AND thread < $4 || char(1114111)` + tall + `
			UNION ALL SELECT * FROM part WHERE role = $1 AND thread = '' AND (inner_um IS NOT NULL OR outer_um IS NOT NULL)`
	default:
		return nil, nil
	}
	low, high := heights(want)
	return few.parts(ctx, tx, branches, want.Role, int64(inner), int64(outer), threadStart(want.Thread), int64(low), int64(high))
}

// heights gives between which heights a part fits or comes near, by what Fit
// says of heights.
func heights(want Wanted) (low, high measure.Length) {
	h, slack := want.Size.Height, heightSlack(want.Role, want.Size.Height)
	switch {
	case h == 0 || want.Worn || want.Role == BottomWasher || want.Role == DrainWasher:
		return 0, math.MaxInt64
	case want.Role == OilSeal:
		return 0, h + slack
	}
	return h - slack, h + slack
}

// threadStart is how every thread of the same diameter begins: M10.
func threadStart(thread string) string {
	t, err := measure.ParseThread(thread)
	if err != nil {
		return thread
	}
	return t.Series + t.Nominal
}

// ForksTaking gives the names of the forks with a place that a part fits, by
// name; of an old version those that it may still be fitted to.
func ForksTaking(ctx context.Context, tx *store.Tx, p Part) ([]string, error) {
	if s, found, err := SuccessionOf(ctx, tx, p.ID); err != nil || found && !s.BothWays {
		forks, err2 := UsableIn(ctx, tx, p.ID)
		return append([]string{}, forks...), firstError(err, err2)
	}
	names := []string{}
	type place struct {
		fork string
		pos  Position
	}
	var places []place
	from, args := `position o`, []any{p.ID, p.Role}
	if p.Size.Inner != 0 && p.Role.byInner() {
		// Nothing else fits: a place with another inner diameter, or none, takes only what is named for it.
		from = `(SELECT id FROM position WHERE inner_um = $3 UNION SELECT position FROM position_part WHERE part = $1) k
			CROSS JOIN position o ON o.id = k.id`
		args = append(args, int64(p.Size.Inner))
	}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var x place
		var named bool
		err := scan(&x.pos.ID, &x.fork, &x.pos.Size.Inner, &x.pos.Size.Outer, &x.pos.Size.Height, &x.pos.Size.Overall, &x.pos.Thread,
			&x.pos.Head, &x.pos.Seat, &x.pos.Strength, &x.pos.Coated, &named)
		x.pos.Role = p.Role
		if named {
			x.pos.Parts = []NamedPart{{Part: p.ID}}
		}
		places = append(places, x)
		return err
	}, `SELECT o.id, f.name, coalesce(o.inner_um, 0), coalesce(o.outer_um, 0), coalesce(o.height_um, 0), coalesce(o.overall_um, 0),
		o.thread, coalesce(o.head_um, 0), o.seat, o.strength, o.coated, EXISTS (SELECT 1 FROM position_part n WHERE n.position = o.id AND n.part = $1)
		FROM `+from+` CROSS JOIN fork f ON f.id = o.fork WHERE o.role = $2 AND o.fitted <> 'no' ORDER BY f.name_norm, o.seq`, args...)
	if err != nil {
		return nil, err
	}
	for _, x := range places {
		if verdict, _ := x.pos.Takes(p); verdict != Fits || slices.Contains(names, x.fork) {
			continue
		}
		said, err := StandingOn(ctx, tx, AboutFit, FitSubject(x.pos.ID, p.ID), "fits")
		if err != nil {
			return nil, err
		}
		if _, wrong := x.pos.misnamed(p, said); !wrong && !said.refuted() {
			names = append(names, x.fork)
		}
	}
	return names, nil
}

// Equivalents gives the parts of other makers that have the role and the size
// of a part, by number; what only one of the two states speaks against it, and
// what both leave open. Old versions are left out.
func Equivalents(ctx context.Context, tx *store.Tx, p Part) ([]Match, error) {
	want := Position{Role: p.Role, Size: p.Size, Thread: p.Thread, Traits: p.Traits}
	if len(want.unmeasured()) > 0 {
		return nil, nil
	}
	candidates, err := alike(ctx, tx, want.Wanted(), Few{})
	if err != nil {
		return nil, err
	}
	var fits []Match
	for _, c := range candidates {
		if Normal(c.Maker) == Normal(p.Maker) {
			continue
		}
		back := Wanted{Role: c.Role, Size: c.Size, Thread: c.Thread, Traits: c.Traits}
		there, _ := Fit(want.Wanted(), c)
		here, _ := Fit(back, p)
		if worse(there, here) == Fits {
			fits = append(fits, Match{Part: c, Verdict: Fits, Why: []fault.Message{fault.Say("catalog.same_size")}})
		}
	}
	replaced, err := replacedOf(ctx, tx, fits)
	return slices.DeleteFunc(fits, func(m Match) bool { return replaced[m.Part.ID] }), err
}
