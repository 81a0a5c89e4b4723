package shop

import (
	"context"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// PlaceFacts are what can be told of a place in a fork.
type PlaceFacts struct {
	SizeFacts
	PerLeg *int64  // pieces, of oil mL; default 1, of oil none
	Leg    *string // of catalog.Sides; default both
	Renew  *string // of catalog.Renewals; empty or not told: the shop's habit, else common practice
	Fitted *string // of catalog.Fitteds; default yes
	Note   *string
	Parts  []string // named for the place, near where their sizes are others, until one is seen to fit
	Source string   // who says so; default: who adds the place
	How    string   // of catalog.Hows: what kind of source; default told
}

// PlaceRequest asks for a place to be added or changed.
type PlaceRequest struct {
	Fork, Role string
	After      string // adding: behind the last place of that role; empty: at the end
	Another    bool   // adding: although there is a place of that role in the leg
	Sure       bool   // measured: although the size cannot be one for the leg
	Number     int    // changing: the place in the stack, from 1, where the role has several; 0: the only one
	PlaceFacts
}

// Place is a place of a fork.
type Place struct {
	Fork   string `json:"fork"`
	Number int    `json:"place"` // in the stack, from 1
	Position
}

// newPlace is a place as it is where nothing else is told, in an empty fork.
func newPlace(role catalog.Role) catalog.Position {
	return catalog.Position{Role: role, Leg: "both", PerLeg: 1, Renew: catalog.Renewal(role), Fitted: "yes", Seq: 1}
}

// AddPlace adds a place to a fork. Errors: Invalid, NotFound (fork, part, the
// role of After), Ambiguous, Conflict (there is one of that role in the leg).
func (s *Shop) AddPlace(ctx context.Context, q PlaceRequest) (Place, error) {
	return s.place(ctx, q, func(ctx context.Context, tx *store.Tx, f catalog.Fork, role catalog.Role, all []catalog.Position) (catalog.Position, error) {
		p := newPlace(role)
		if role == catalog.Oil && q.PerLeg == nil {
			return p, fault.New(fault.Invalid, "shop.no_fill").WithHint("shop.no_fill.hint")
		}
		if len(all) > 0 {
			p.Seq = all[len(all)-1].Seq + 1
		}
		if q.After != "" {
			var err error
			if p.Seq, err = s.above(f, all, q.After); err != nil {
				return p, err
			}
			if err := catalog.MakeRoom(ctx, tx, f.ID, p.Seq); err != nil {
				return p, err
			}
		}
		return p, nil
	})
}

// above gives the number behind the last place of a role.
func (s *Shop) above(f catalog.Fork, all []catalog.Position, typed string) (int, error) {
	role, err := s.role(tidied(typed))
	if err != nil {
		return 0, err
	}
	seq := 0
	for _, p := range all {
		if p.Role == role {
			seq = p.Seq + 1
		}
	}
	if seq == 0 {
		err = fault.New(fault.NotFound, "shop.place_absent", f.Name, fault.Say("role."+string(role))).
			WithHint("shop.place_absent.hint", words.ShellWord(f.Name))
	}
	return seq, err
}

// ChangePlace changes facts of a place; parts join those named before. Errors:
// Invalid, NotFound, Ambiguous with the numbers of the places, Conflict.
func (s *Shop) ChangePlace(ctx context.Context, q PlaceRequest) (Place, error) {
	return s.place(ctx, q, func(_ context.Context, _ *store.Tx, f catalog.Fork, role catalog.Role, all []catalog.Position) (catalog.Position, error) {
		if q.untold() {
			return catalog.Position{}, noChange()
		}
		word := fault.Say("role." + string(role))
		var hits []catalog.Position
		e := fault.New(fault.Ambiguous, "shop.places_possible", f.Name, word).WithHint("shop.places_possible.hint")
		for i, p := range all {
			if p.Role == role && (q.Number == 0 || q.Number == i+1) {
				hits = append(hits, p)
				tell := fault.Say("shop.tell_place", fault.Say("leg."+p.Leg), sizes(p.Size, p.Thread))
				e.Candidates = append(e.Candidates, fault.Candidate{Name: "--place " + strconv.Itoa(i+1), Tell: tell})
			}
		}
		switch len(hits) {
		case 0:
			return catalog.Position{}, fault.New(fault.NotFound, "shop.place_absent", f.Name, word).
				WithHint("shop.place_absent.hint", words.ShellWord(f.Name))
		case 1:
			return hits[0], nil
		}
		return catalog.Position{}, e
	})
}

func (f PlaceFacts) untold() bool {
	return f.SizeFacts == SizeFacts{} && f.PerLeg == nil && f.Leg == nil && f.Renew == nil && f.Fitted == nil && f.Note == nil &&
		len(f.Parts) == 0
}

// place finds the fork and the role, lets choose give the place to begin with,
// and keeps it with what was told.
func (s *Shop) place(ctx context.Context, q PlaceRequest, choose func(
	context.Context, *store.Tx, catalog.Fork, catalog.Role, []catalog.Position) (catalog.Position, error),
) (Place, error) {
	role, err := s.role(tidied(q.Role))
	if err != nil {
		return Place{}, err
	}
	var out Place
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, q.Fork)
		if err != nil {
			return err
		}
		all, err := catalog.Positions(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		p, err := choose(ctx, tx, f, role, all)
		if err != nil {
			return err
		}
		was := p
		if err := q.apply(ctx, tx, &p, who); err != nil {
			return err
		}
		if q.Size != nil {
			if err := onLeg(f, p.Role, p.Size); err != nil && !q.Sure {
				return err
			} else if err != nil && q.Source == "" {
				q.How = or(q.How, "bench")
			}
		}
		if !q.Another && (p.ID == "" || q.Leg != nil) {
			if err := alone(f, p, all); err != nil {
				return err
			}
		}
		if p.ID != "" {
			err = catalog.ChangePosition(ctx, tx, p)
		} else {
			p, err = catalog.AddPosition(ctx, tx, f.ID, p)
		}
		if err != nil {
			return err
		}
		q.retold(&was.Size, p.Size, &was.Thread, p.Thread)
		if err := catalog.TellPlace(ctx, tx, was, p, word(who, q.How, q.Source)); err != nil {
			return err
		}
		out, err = placeView(ctx, tx, f, p)
		return err
	})
	return out, err
}

// onLeg refuses a size that cannot run on the fork's inner tube.
func onLeg(f catalog.Fork, role catalog.Role, size measure.Size) error {
	if off := f.OffLeg(role, size); off != 0 {
		return fault.New(fault.Conflict, "shop.off_leg", fault.Say("role."+string(role)), off, f.Name, f.Leg).WithHint("shop.off_leg.hint")
	}
	return nil
}

// alone refuses a second place of a role in one leg: mostly the same one, told
// twice.
func alone(f catalog.Fork, p catalog.Position, all []catalog.Position) error {
	for _, other := range all {
		if other.ID != p.ID && other.Role == p.Role && (other.Leg == p.Leg || other.Leg == "both" || p.Leg == "both") {
			return fault.New(fault.Conflict, "shop.place_twice", f.Name, fault.Say("role."+string(p.Role)), fault.Say("leg."+other.Leg)).
				WithHint("shop.place_twice.hint", words.ShellWord(f.Name), string(p.Role))
		}
	}
	return nil
}

// apply sets the facts that were told of p.
func (f PlaceFacts) apply(ctx context.Context, tx *store.Tx, p *catalog.Position, who Actor) error {
	if err := f.SizeFacts.apply(p.Role, &p.Size, &p.Thread); err != nil {
		return err
	}
	if err := f.tell(&p.Traits); err != nil {
		return err
	}
	p.Entered = f.entered(p.Role, p.Size, p.Entered)
	if f.PerLeg != nil {
		p.PerLeg = *f.PerLeg
	}
	setWord(&p.Leg, f.Leg, "leg", catalog.Sides)
	if f.Renew != nil {
		p.Renew, p.Told = wordFor("renew", tidied(*f.Renew), catalog.Renewals), true
		if p.Renew == "" {
			p.Renew, p.Told = catalog.Renewal(p.Role), false
		}
	}
	setWord(&p.Fitted, f.Fitted, "fitted", catalog.Fitteds)
	set(&p.Note, f.Note)
	for _, name := range f.Parts {
		part, err := catalog.PartNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if err := ofRole(part, p.Role); err != nil {
			return err
		}
		p.Parts = append(p.Parts, catalog.NamedPart{Part: part.ID, Source: or(f.Source, who.Name)})
	}
	return nil
}

func placeView(ctx context.Context, tx *store.Tx, f catalog.Fork, p catalog.Position) (Place, error) {
	all, err := catalog.Positions(ctx, tx, f.ID)
	if err != nil {
		return Place{}, err
	}
	view, err := forkView(ctx, tx, f)
	if err != nil {
		return Place{}, err
	}
	for i, other := range all {
		if other.ID == p.ID {
			return Place{f.Name, i + 1, view.Positions[i]}, nil
		}
	}
	return Place{}, fault.New(fault.Internal, "internal").WithHint("internal.hint")
}
