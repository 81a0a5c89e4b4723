package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
)

// forkTaker takes in forks with their places, one place in a row: the fork is
// added or told anew by its first row, and each row may add a place, a part
// named for it, or how much oil a leg takes.
type forkTaker struct{ base }

func (t *forkTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	f, outcome, err := t.fork(ctx, get)
	if err != nil {
		return catalog.Unchanged, err
	}
	for _, step := range []func() (catalog.Outcome, error){
		func() (catalog.Outcome, error) { return t.place(ctx, f, r, get) },
		func() (catalog.Outcome, error) { return t.oil(ctx, f, catalog.OilFill{}, get) },
	} {
		o, err := step()
		if err != nil {
			return catalog.Unchanged, err
		}
		if outcome == catalog.Unchanged {
			outcome = o
		}
	}
	return outcome, nil
}

// fork finds the fork of a row, or adds it, and keeps what the row tells.
func (t *forkTaker) fork(ctx context.Context, get func(string) string) (catalog.Fork, catalog.Outcome, error) {
	old, err := catalog.ForkNamed(ctx, t.tx, get("fork"))
	found := err == nil
	if err != nil && fault.KindOf(err) != fault.NotFound {
		return old, catalog.Unchanged, err
	}
	f := old
	f.Legs = slices.Clone(old.Legs)
	if !found {
		f = catalog.Fork{Name: get("fork"), Layout: "conventional"}
		for _, side := range catalog.Sides[1:] {
			f.Legs = append(f.Legs, catalog.Leg{Leg: side, Damping: "damper_rod", Springing: "coil"})
		}
		if !t.l.has["fork_source"] {
			f.Source = t.l.file.File
		}
	}
	told(&f.Layout, get("layout"))
	told(&f.Leg, length(get("leg_mm")))
	toldLooks(&f, get)
	told(&f.Note, get("fork_note"))
	told(&f.Source, get("fork_source"))
	for i := range f.Legs {
		told(&f.Legs[i].Damping, get(f.Legs[i].Leg+"_damping"))
		told(&f.Legs[i].Springing, get(f.Legs[i].Leg+"_springing"))
	}
	if !t.l.has["right_damping"] && !t.l.has["right_springing"] { // both legs alike
		for i := range f.Legs {
			told(&f.Legs[i].Damping, get("left_damping"))
			told(&f.Legs[i].Springing, get("left_springing"))
		}
	}
	switch {
	case !found:
		if f, err = catalog.AddFork(ctx, t.tx, f); err != nil {
			return f, catalog.Unchanged, in("leg_mm", err)
		}
		return f, catalog.Added, catalog.TellFork(ctx, t.tx, guessed(f, get), f, t.word(f.Source))
	case f.Name == old.Name && f.Layout == old.Layout && f.Leg == old.Leg && f.Note == old.Note && f.Source == old.Source && f.Looks == old.Looks &&
		slices.Equal(f.Legs, old.Legs):
		return old, catalog.Unchanged, nil
	}
	if err := catalog.ChangeFork(ctx, t.tx, f); err != nil {
		return f, catalog.Unchanged, in("leg_mm", err)
	}
	return f, catalog.Changed, catalog.TellFork(ctx, t.tx, old, f, t.word(f.Source))
}

// guessed gives what a row does not tell of a new fork, so that no list is said
// to have told it.
func guessed(f catalog.Fork, get func(string) string) (g catalog.Fork) {
	if get("layout") == "" {
		g.Layout = f.Layout
	}
	for _, l := range f.Legs {
		if get("left_damping") == "" && get(l.Leg+"_damping") == "" {
			g.Legs = append(g.Legs, catalog.Leg{Leg: l.Leg, Damping: l.Damping})
		}
	}
	return g
}

// toldLooks sets what a row tells of the outside of a fork.
func toldLooks(f *catalog.Fork, get func(string) string) {
	told(&f.CapShape, get("cap_shape"))
	told(&f.CapFlats, length(get("cap_flats_mm")))
	told(&f.CapThread, get("cap_thread"))
	told(&f.Axle, length(get("axle_mm")))
	told(&f.Centres, length(get("centres_mm")))
	for i := range f.Legs {
		told(&f.Legs[i].Cap, get(f.Legs[i].Leg+"_cap"))
	}
}

// place adds the place of a row, or keeps what the row tells of it.
func (t *forkTaker) place(ctx context.Context, f catalog.Fork, r ready, get func(string) string) (catalog.Outcome, error) {
	if get("role") == "" && get("place") == "" {
		return catalog.Unchanged, nil
	}
	all, err := catalog.Positions(ctx, t.tx, f.ID)
	if err != nil {
		return catalog.Unchanged, err
	}
	role, err := t.s.role(get("role"))
	if err != nil {
		return catalog.Unchanged, in("role", err)
	}
	old, err := placeOf(f, all, int(number(get("place"))), role, or(get("side"), "both"))
	if err != nil {
		return catalog.Unchanged, err
	}
	p := old
	if old.ID == "" {
		p.Leg, p.PerLeg, p.Renew, p.Fitted = "both", 1, catalog.Renewal(role), "yes"
	}
	told(&p.Leg, get("side"))
	told(&p.PerLeg, number(get("per_leg")))
	told(&p.Renew, get("renew"))
	p.Told = p.Told || get("renew") != ""
	told(&p.Fitted, get("fitted"))
	toldSize(&p.Size, &p.Thread, get)
	toldTraits(&p.Traits, &p.Entered, get)
	told(&p.Note, get("place_note"))
	p.Parts = nil
	if n := get("part_number"); n != "" {
		if p.Parts, err = t.named(ctx, role, old, n, r, get); err != nil {
			return catalog.Unchanged, err
		}
	}
	return t.keep(ctx, f, old, p)
}

// placeOf finds a place by its number in the stack, or where no number is
// told, by its role and leg; one that is new stands behind the others.
func placeOf(f catalog.Fork, all []catalog.Position, seq int, role catalog.Role, leg string) (catalog.Position, error) {
	last := 0
	for _, p := range all {
		last = p.Seq
		switch {
		case seq == p.Seq && p.Role != role:
			return p, in("role", fault.New(fault.Conflict, "shop.import.other_place", seq, f.Name,
				fault.Say("role."+string(p.Role)), fault.Say("role."+string(role))))
		case seq == p.Seq, seq == 0 && p.Role == role && p.Leg == leg:
			return p, nil
		}
	}
	if seq == 0 {
		seq = last + 1
	}
	return catalog.Position{Seq: seq, Role: role}, nil
}

// named gives the part that a row names for a place, unless it is named.
func (t *forkTaker) named(ctx context.Context, role catalog.Role, old catalog.Position, name string, r ready, get func(string) string,
) ([]catalog.NamedPart, error) {
	part, err := t.part(ctx, name, get("part_maker"), "part_number")
	if err == nil && part.Role != role {
		err = fault.New(fault.Invalid, "shop.other_role", part.Name(), fault.Say("role."+string(part.Role)), fault.Say("role."+string(role)))
	}
	if err != nil {
		return nil, t.l.cell(r.row.Line, "part_number", err)
	}
	n := catalog.NamedPart{Part: part.ID, Source: get("part_source")}
	if n.Source == "" && !t.l.has["part_source"] {
		n.Source = t.l.file.File
	}
	if slices.ContainsFunc(old.Parts, func(o catalog.NamedPart) bool {
		return o == n || o.Part == n.Part && n.Source == t.l.file.File
	}) {
		return nil, nil
	}
	return []catalog.NamedPart{n}, nil
}

// keep keeps a place as a row tells it.
func (t *forkTaker) keep(ctx context.Context, f catalog.Fork, old, p catalog.Position) (catalog.Outcome, error) {
	source := f.Source
	if len(p.Parts) > 0 {
		source = or(p.Parts[0].Source, source)
	}
	if old.ID == "" {
		p, err := catalog.AddPosition(ctx, t.tx, f.ID, p)
		if err != nil {
			return catalog.Unchanged, err
		}
		return catalog.Added, catalog.TellPlace(ctx, t.tx, catalog.Position{}, p, t.word(source))
	}
	parts := p.Parts
	bare := old
	bare.Parts, p.Parts = nil, nil
	if len(parts) == 0 && samePlace(p, bare) {
		return catalog.Unchanged, nil
	}
	p.Parts = parts
	if err := catalog.ChangePosition(ctx, t.tx, p); err != nil {
		return catalog.Unchanged, err
	}
	if err := catalog.TellPlace(ctx, t.tx, old, p, t.word(source)); err != nil {
		return catalog.Unchanged, err
	}
	if p.Parts = nil; samePlace(p, bare) {
		return catalog.Added, nil // a further part for the place
	}
	return catalog.Changed, nil
}

// samePlace reports whether two places without named parts are told alike.
func samePlace(a, b catalog.Position) bool {
	return a.ID == b.ID && a.Seq == b.Seq && a.Role == b.Role && a.Leg == b.Leg && a.PerLeg == b.PerLeg && a.Renew == b.Renew &&
		a.Told == b.Told && a.Fitted == b.Fitted && a.Size == b.Size && a.Thread == b.Thread && a.Traits == b.Traits &&
		a.Entered == b.Entered && a.Note == b.Note
}

// oil keeps how much oil a leg takes; o says for which bikes.
func (b *base) oil(ctx context.Context, f catalog.Fork, o catalog.OilFill, get func(string) string) (catalog.Outcome, error) {
	if get("oil_dry_ml") == "" && get("oil_refill_ml") == "" && get("oil_gap_mm") == "" {
		return catalog.Unchanged, nil
	}
	o.Leg, o.Chamber = or(get("oil_leg"), "both"), or(get("oil_chamber"), "leg")
	all, err := catalog.OilFills(ctx, b.tx, f.ID)
	if err != nil {
		return catalog.Unchanged, err
	}
	i := slices.IndexFunc(all, o.SameFill)
	if i >= 0 {
		all[i].Leg = o.Leg
		o = all[i]
	}
	told(&o.DryML, number(get("oil_dry_ml")))
	told(&o.RefillML, number(get("oil_refill_ml")))
	told(&o.Gap, length(get("oil_gap_mm")))
	told(&o.GapHow, get("oil_gap_how"))
	told(&o.Grade, get("oil_grade"))
	told(&o.Index, number(get("oil_index")))
	told(&o.Source, get("oil_source"))
	if text := get("oil_cst"); text != "" {
		if o.CSt, err = catalog.ParseViscosity(text); err != nil {
			return catalog.Unchanged, in("oil_cst", err)
		}
	}
	switch {
	case i < 0:
		return catalog.Added, in("oil_dry_ml", catalog.AddOilFill(ctx, b.tx, f.ID, o))
	case o == all[i]:
		return catalog.Unchanged, nil
	}
	return catalog.Changed, in("oil_dry_ml", catalog.ChangeOilFill(ctx, b.tx, o))
}
