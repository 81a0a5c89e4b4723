package catalog

import (
	"context"
	"fmt"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

const fitmentColumns = ` m.id, m.make, m.model, coalesce(m.year_from, 0), coalesce(m.year_to, 0), m.fork, m.source `

func queryFitments(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Fitment, error) {
	var all []Fitment
	err := tx.Each(ctx, func(scan store.Scan) error {
		var f Fitment
		err := scan(&f.ID, &f.Make, &f.Model, &f.YearFrom, &f.YearTo, &f.Fork, &f.Source)
		all = append(all, f)
		return err
	}, query, args...)
	return all, err
}

// Years gives "2001-2004", or "2001-" for a model that is still built.
func (f Fitment) Years() string {
	switch f.YearTo {
	case 0:
		return fmt.Sprintf("%d-", f.YearFrom)
	case f.YearFrom:
		return fmt.Sprint(f.YearFrom)
	}
	return fmt.Sprintf("%d-%d", f.YearFrom, f.YearTo)
}

// FitmentsOfFork gives the bikes that carry a fork, by make, model and year.
func FitmentsOfFork(ctx context.Context, tx *store.Tx, fork string) ([]Fitment, error) {
	return queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.fork = $1
		ORDER BY m.make_norm, m.model_norm, m.year_from`, fork)
}

// Positions gives the places of a fork in the order of the stack, with the
// parts that sources name for them.
func Positions(ctx context.Context, tx *store.Tx, fork string) ([]Position, error) {
	var all []Position
	err := tx.Each(ctx, func(scan store.Scan) error {
		var p Position
		err := scan(&p.ID, &p.Seq, &p.Role, &p.Leg, &p.PerLeg, &p.Renew, &p.Fitted, &p.Size.Inner, &p.Size.Outer,
			&p.Size.Height, &p.Size.Overall, &p.Thread, &p.Note, &p.Head, &p.Seat, &p.Strength, &p.Coated, &p.Entered)
		all = append(all, p)
		return err
	}, `SELECT id, seq, role, leg, per_leg, renew, fitted, coalesce(inner_um, 0), coalesce(outer_um, 0),
		coalesce(height_um, 0), coalesce(overall_um, 0), thread, note, coalesce(head_um, 0), seat, strength, coated, entered
		FROM position WHERE fork = $1 ORDER BY seq`, fork)
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

// OilFills gives the oil quantities of a fork, its own first.
func OilFills(ctx context.Context, tx *store.Tx, fork string) ([]OilFill, error) {
	var all []OilFill
	err := tx.Each(ctx, func(scan store.Scan) error {
		var o OilFill
		err := scan(&o.Fitment, &o.Leg, &o.Chamber, &o.DryML, &o.RefillML, &o.Gap, &o.GapHow, &o.Grade, &o.Source)
		all = append(all, o)
		return err
	}, `SELECT coalesce(fitment, ''), leg, chamber, coalesce(dry_ml, 0), coalesce(refill_ml, 0), coalesce(gap_um, 0),
		gap_how, grade, source FROM oil_fill WHERE fork = $1 ORDER BY fitment IS NOT NULL, chamber DESC, leg, id`, fork)
	return all, err
}

// Match is a part for a place, with the verdict and why.
type Match struct {
	Part    Part
	Verdict Verdict // Fits or Near; No for an old version that is not to be fitted
	Why     []fault.Message
	Old     bool          // it was replaced
	Said    fault.Message // where that is known from, in a few words; zero where nobody has claimed it
}

// PartsFor gives the parts that fit a place or come near: those that a source
// names, then those whose sizes agree. What does not fit is left out, but for
// old versions of what fits: they stand last.
func PartsFor(ctx context.Context, tx *store.Tx, pos Position) ([]Match, error) {
	var fits, near []Match
	named := map[string]bool{}
	for _, n := range pos.Parts {
		p, ok, err := PartByID(ctx, tx, n.Part)
		if err != nil {
			return nil, err
		}
		if ok {
			named[p.ID] = true
			fits = append(fits, Match{Part: p, Verdict: Fits, Why: []fault.Message{fault.Say("catalog.named", n.Source)}})
		}
	}
	candidates, err := alike(ctx, tx, pos.Wanted())
	if err != nil {
		return nil, err
	}
	for _, p := range candidates {
		if named[p.ID] {
			continue
		}
		switch verdict, why := Fit(pos.Wanted(), p); verdict {
		case Fits:
			fits = append(fits, Match{Part: p, Verdict: Fits, Why: []fault.Message{fault.Say("catalog.same_size")}})
		case Near:
			near = append(near, Match{Part: p, Verdict: Near, Why: why})
		}
	}
	matches, err := renewed(ctx, tx, pos, fits, near)
	if err != nil {
		return nil, err
	}
	return weigh(ctx, tx, pos, matches)
}

// alike gives the parts of a role that share what is known of bore, outside
// and thread; a place that knows none of these matches nothing.
func alike(ctx context.Context, tx *store.Tx, want Wanted) ([]Part, error) {
	if want.Size.Inner == 0 && want.Size.Outer == 0 && want.Thread == "" {
		return nil, nil
	}
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p
		WHERE p.role = $1 AND p.merged_into IS NULL
		AND ($2 IS NULL OR p.inner_um = $2 OR p.inner_um IS NULL)
		AND ($3 IS NULL OR p.outer_um = $3 OR p.outer_um IS NULL)
		AND (p.inner_um IS NOT NULL OR p.outer_um IS NOT NULL OR p.thread <> '')
		ORDER BY p.number_norm, p.maker_norm`, want.Role, null(want.Size.Inner), null(want.Size.Outer))
}

// ForksTaking gives the names of the forks with a place that a part fits, by
// name.
func ForksTaking(ctx context.Context, tx *store.Tx, p Part) ([]string, error) {
	names := []string{}
	type place struct {
		fork string
		pos  Position
	}
	var places []place
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
		FROM position o JOIN fork f ON f.id = o.fork WHERE o.role = $2 AND o.fitted <> 'no' ORDER BY f.name_norm, o.seq`,
		p.ID, p.Role)
	if err != nil {
		return nil, err
	}
	for _, x := range places {
		want := x.pos.Wanted()
		told := want.Size.Inner != 0 || want.Size.Outer != 0 || want.Thread != ""
		verdict, _ := Fit(want, p)
		if (len(x.pos.Parts) == 0 && (!told || verdict != Fits)) || slices.Contains(names, x.fork) {
			continue
		}
		said, err := StandingOn(ctx, tx, AboutFit, FitSubject(x.pos.ID, p.ID), "fits")
		if err != nil {
			return nil, err
		}
		if !said.refuted() {
			names = append(names, x.fork)
		}
	}
	return names, nil
}
