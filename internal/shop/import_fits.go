package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// fitmentTaker takes in which bikes carry which fork.
type fitmentTaker struct{ base }

func (t *fitmentTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	f, err := catalog.ForkNamed(ctx, t.tx, get("fork"))
	if err != nil {
		return catalog.Unchanged, in("fork", err)
	}
	m := catalog.Fitment{
		Make: get("make"), Model: get("model"), Variant: get("variant"), Code: get("code"), YearFrom: int(number(get("year_from"))),
		YearTo: int(number(get("year_to"))), Frames: catalog.Frames{From: get("frame_from"), To: get("frame_to")}, Fork: f.ID,
	}
	if !t.l.has["year_to"] {
		m.YearTo = m.YearFrom // a column of years, and no span
	}
	m, outcome, err := t.keep(ctx, m, get("source"))
	if err != nil {
		return catalog.Unchanged, in("year_from", err)
	}
	oil, err := t.oil(ctx, f, catalog.OilFill{
		Fitment: m.ID, YearFrom: int(number(get("oil_year_from"))), YearTo: int(number(get("oil_year_to"))),
	}, get)
	if outcome == catalog.Unchanged {
		outcome = oil
	}
	return outcome, err
}

// keep adds a fitment, or changes what is told of it: its last year and its
// source.
func (t *fitmentTaker) keep(ctx context.Context, m catalog.Fitment, source string) (catalog.Fitment, catalog.Outcome, error) {
	told, err := catalog.FitmentsTold(ctx, t.tx, m.Make, m.Model, m.Fork)
	if err != nil {
		return m, catalog.Unchanged, err
	}
	i := slices.IndexFunc(told, func(o catalog.Fitment) bool {
		return o.YearFrom == m.YearFrom && catalog.Normal(o.Variant) == catalog.Normal(m.Variant) && catalog.Normal(o.Code) == catalog.Normal(m.Code) &&
			catalog.Normal(o.Frames.From) == catalog.Normal(m.Frames.From) && catalog.Normal(o.Frames.To) == catalog.Normal(m.Frames.To)
	})
	if i < 0 {
		m.Source = source
		if !t.l.has["source"] {
			m.Source = t.l.file.File
		}
		m, err = catalog.AddFitment(ctx, t.tx, m)
		return m, catalog.Added, err
	}
	old := told[i]
	m.ID, m.Make, m.Model, m.Variant, m.Code, m.Frames, m.Source = old.ID, old.Make, old.Model, old.Variant, old.Code, old.Frames, or(source, old.Source)
	if m == old {
		return old, catalog.Unchanged, nil
	}
	return m, catalog.Changed, catalog.ChangeFitment(ctx, t.tx, m)
}

// kitTaker takes in what kits bring, one thing in a row.
type kitTaker struct{ base }

func (t *kitTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	kit, err := t.part(ctx, get("kit"), get("kit_maker"), "kit")
	if err != nil {
		return catalog.Unchanged, err
	}
	outcome := catalog.Unchanged
	if n := int(number(get("legs"))); n > 0 {
		old, err := catalog.Legs(ctx, t.tx, kit.ID)
		if err == nil && old != n {
			outcome = catalog.Changed
			err = in("legs", catalog.SetLegs(ctx, t.tx, kit, n))
		}
		if err != nil {
			return catalog.Unchanged, err
		}
	}
	if get("number") == "" && get("role") == "" {
		return outcome, nil
	}
	c, err := t.content(ctx, get)
	if err != nil {
		return catalog.Unchanged, err
	}
	all, err := catalog.Contents(ctx, t.tx, kit.ID)
	if err != nil {
		return catalog.Unchanged, err
	}
	i := int(number(get("line"))) - 1
	if i < 0 {
		i = slices.IndexFunc(all, func(o catalog.Content) bool { return sameContent(o, c) })
	}
	switch {
	case i < 0 || i >= len(all):
		all = append(all, c)
		outcome = catalog.Added
	case sameContent(all[i], c) && all[i].Pieces == c.Pieces:
		return outcome, nil
	default:
		all[i] = c
		outcome = catalog.Changed
	}
	return outcome, in(t.column("number", "role"), catalog.SetContents(ctx, t.tx, kit, all))
}

// content reads what a row says that a kit brings.
func (t *kitTaker) content(ctx context.Context, get func(string) string) (c catalog.Content, err error) {
	c.Pieces = max(number(get("pieces")), 1)
	if n := get("number"); n != "" {
		c.Part, err = t.part(ctx, n, get("maker"), "number")
		return c, err
	}
	if c.Part.Role, err = t.s.role(get("role")); err != nil {
		return c, in("role", err)
	}
	toldSize(&c.Part.Size, &c.Part.Thread, get)
	return c, nil
}

// sameContent reports whether two contents are of the same part, or of the
// same role and size.
func sameContent(a, b catalog.Content) bool {
	if a.Part.ID != "" || b.Part.ID != "" {
		return a.Part.ID == b.Part.ID
	}
	var none measure.Size
	return a.Part.Role == b.Part.Role && a.Part.Thread == b.Part.Thread && (a.Part.Size == b.Part.Size || b.Part.Size == none)
}

// replacementTaker takes in which numbers were replaced by which.
type replacementTaker struct{ base }

func (t *replacementTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	n := catalog.Replacement{
		Old: catalog.Ref{Maker: get("maker"), Number: get("number")}, New: catalog.Ref{Maker: or(get("by_maker"), get("maker")), Number: get("by_number")},
	}
	n.Source, n.Person = get("source"), t.who.ID
	old, err := catalog.ReplacementOf(ctx, t.tx, n.Old, n.New)
	switch {
	case err == nil:
		n = old
	case fault.KindOf(err) != fault.NotFound:
		return catalog.Unchanged, err
	case n.Source == "" && !t.l.has["source"]:
		n.Source = t.l.file.File
	}
	if text := get("both_ways"); text != "" {
		n.BothWays = text == "yes"
	}
	told(&n.Since, get("since"))
	told(&n.Reason, get("reason"))
	told(&n.Source, get("source"))
	switch {
	case n.ID == "":
		_, err := catalog.AddReplacement(ctx, t.tx, n)
		return catalog.Added, in("by_number", err)
	case n == old:
		return catalog.Unchanged, nil
	}
	return catalog.Changed, in("by_number", catalog.ChangeReplacement(ctx, t.tx, n))
}
