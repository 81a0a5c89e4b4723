package shop

import (
	"context"
	"strconv"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// ConfirmRequest says what was seen with own eyes: that a part fits a fork (or,
// without Fork, that what is known of it is right), or that a claim is.
type ConfirmRequest struct {
	Part  string
	Fork  string // empty: the part's own field is meant
	Role  string // what the place is; empty: what the part is
	Place int    // in the stack, from 1, where the fork has several of the part's role; 0: the only one
	Field string // of the part; default size
	Claim int64  // instead of all these
	Wrong bool   // it was seen to be wrong
	Why   string // where it is wrong, or the sizes say that it is
}

// Confirmed is what was seen, and what it comes to.
type Confirmed struct {
	Source
	Said  fault.Message `json:"said"`  // how it stands now, in a few words
	Added bool          `json:"added"` // the fork had no such place before

	Repeated bool `json:"repeated"` // the person had said so today: it counts once
}

// Confirm keeps what somebody has seen. A part that is seen to fit a fork is
// named for its place from then on; a fork without such a place gets one of
// the part's sizes. Seen not to fit, it is not offered as fitting any more.
// Errors: Invalid, NotFound, Ambiguous with the numbers of the places, Conflict
// (the sizes contradict, and nobody says why; the claim is withdrawn).
func (s *Shop) Confirm(ctx context.Context, q ConfirmRequest) (out Confirmed, err error) {
	q.Why = tidied(q.Why)
	if q.Wrong && q.Why == "" {
		return out, fault.New(fault.Invalid, "claim.no_reason").WithHint("claim.no_reason.hint")
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		var c catalog.Claim
		var err error
		switch {
		case q.Claim != 0:
			if c, err = catalog.ClaimNumbered(ctx, tx, q.Claim); err == nil {
				err = s.renaming(ctx, tx, c.Subject, func() error { return s.saw(ctx, tx, c, !q.Wrong, q.Why, who, &out.Repeated) })
			}
		case q.Fork == "":
			c, err = s.sawPart(ctx, tx, q, who, &out.Repeated)
		default:
			c, err = s.sawFit(ctx, tx, q, who, &out)
		}
		if err != nil {
			return err
		}
		standing, err := catalog.StandingOn(ctx, tx, c.About, c.Subject, c.Field)
		if err != nil {
			return err
		}
		out.Said = standing.Line()
		out.Source, err = s.oneSource(ctx, tx, c.Number)
		return err
	})
	return out, err
}

// sawPart keeps that the value in force of a part's field is right or wrong.
func (s *Shop) sawPart(ctx context.Context, tx *store.Tx, q ConfirmRequest, who Actor, repeated *bool) (catalog.Claim, error) {
	p, err := catalog.PartNamed(ctx, tx, q.Part)
	if err != nil {
		return catalog.Claim{}, err
	}
	c, err := catalog.Adopted(ctx, tx, catalog.Claim{
		About: catalog.AboutPart, Subject: p.ID, Field: or(q.Field, "size"), Word: word(who, "", ""),
	})
	if err != nil {
		return c, err
	}
	if c.Number == 0 || c.Value == "" {
		return c, fault.New(fault.NotFound, "claim.nothing_known", p.Name(), clipped(or(q.Field, "size"))).
			WithHint("claim.nothing_known.hint", words.ShellWord(p.Name()))
	}
	return c, s.renaming(ctx, tx, c.Subject, func() error { return s.saw(ctx, tx, c, !q.Wrong, q.Why, who, repeated) })
}

// sawFit keeps that a part fits a place of a fork, or does not.
func (s *Shop) sawFit(ctx context.Context, tx *store.Tx, q ConfirmRequest, who Actor, out *Confirmed) (catalog.Claim, error) {
	none := catalog.Claim{}
	p, err := catalog.PartNamed(ctx, tx, q.Part)
	if err != nil {
		return none, err
	}
	if q.Role != "" {
		role, err := s.role(tidied(q.Role))
		if err == nil {
			err = ofRole(p, role)
		}
		if err != nil {
			return none, err
		}
	}
	f, err := catalog.ForkNamed(ctx, tx, q.Fork)
	if err != nil {
		return none, err
	}
	pos, err := placeFor(ctx, tx, f, p, q)
	if err != nil {
		return none, err
	}
	out.Added = pos.ID == ""
	seen := catalog.Word{How: "bench", Person: who.ID, Decides: true}
	if !q.Wrong {
		if err := sureFits(f, pos, p, q.Why); err != nil {
			return none, err
		}
		if err := fitted(ctx, tx, f, &pos, p, seen); err != nil {
			return none, err
		}
	}
	fit := catalog.Claim{About: catalog.AboutFit, Subject: catalog.FitSubject(pos.ID, p.ID), Field: "fits", Value: "yes", Word: seen}
	if q.Wrong {
		// Whoever says that it fits was seen to be wrong.
		force, err := catalog.Adopted(ctx, tx, fit)
		if err == nil && force.Value == "yes" {
			err = s.saw(ctx, tx, force, false, q.Why, who, &out.Repeated)
		}
		if err != nil {
			return none, err
		}
		fit.Value = "no"
	}
	c, err := catalog.Claimed(ctx, tx, fit)
	if err != nil {
		return none, err
	}
	return c, s.saw(ctx, tx, c, true, q.Why, who, &out.Repeated)
}

// saw counts what a person has seen of a claim once a day.
func (s *Shop) saw(ctx context.Context, tx *store.Tx, c catalog.Claim, right bool, why string, who Actor, repeated *bool) error {
	year, month, day := tx.Now.In(s.settings.zone).Date()
	midnight := time.Date(year, month, day, 0, 0, 0, 0, s.settings.zone)
	seen, err := catalog.SeenSince(ctx, tx, c, right, who.ID, midnight)
	if err != nil {
		return err
	}
	if *repeated = seen && c.Withdrawn == ""; *repeated {
		return nil
	}
	return catalog.Saw(ctx, tx, c, right, why, who.ID)
}

// ofRole refuses a part of another kind than was told.
func ofRole(p catalog.Part, role catalog.Role) error {
	if p.Role == role {
		return nil
	}
	return fault.New(fault.Invalid, "shop.other_role", p.Name(), fault.Say("role."+string(p.Role)), fault.Say("role."+string(role)))
}

// placeFor finds the place of a fork for a part; one without id is to be
// added.
func placeFor(ctx context.Context, tx *store.Tx, f catalog.Fork, p catalog.Part, q ConfirmRequest) (catalog.Position, error) {
	all, err := catalog.Positions(ctx, tx, f.ID)
	if err != nil {
		return catalog.Position{}, err
	}
	role := fault.Say("role." + string(p.Role))
	var hits []catalog.Position
	several := fault.New(fault.Ambiguous, "shop.places_possible", f.Name, role).WithHint("shop.places_possible.hint")
	last := 0
	for i, pos := range all {
		last = pos.Seq
		if q.Place == i+1 {
			if err := ofRole(p, pos.Role); err != nil {
				return catalog.Position{}, err
			}
		}
		if pos.Role == p.Role && (q.Place == 0 || q.Place == i+1) {
			hits = append(hits, pos)
			tell := fault.Say("shop.tell_place", fault.Say("leg."+pos.Leg), sizes(pos.Size, pos.Thread))
			several.Candidates = append(several.Candidates, fault.Candidate{Name: "--place " + strconv.Itoa(i+1), Tell: tell})
		}
	}
	switch {
	case len(hits) > 1:
		return catalog.Position{}, several
	case len(hits) == 1 && hits[0].Fitted == "no" && !q.Wrong:
		return catalog.Position{}, fault.New(fault.Conflict, "claim.not_fitted", f.Name, role).
			WithHint("claim.not_fitted.hint", words.ShellWord(f.Name), string(p.Role))
	case len(hits) == 1:
		return hits[0], nil
	case q.Wrong || q.Place != 0:
		return catalog.Position{}, fault.New(fault.NotFound, "shop.place_absent", f.Name, role).
			WithHint("shop.place_absent.hint", words.ShellWord(f.Name))
	case p.Role == catalog.Oil:
		return catalog.Position{}, fault.New(fault.Invalid, "shop.no_fill").
			WithHint("claim.no_fill.hint", words.ShellWord(f.Name), words.ShellWord(p.Name()))
	}
	pos := newPlace(p.Role)
	pos.Seq = last + 1
	return pos, nil
}

// fitted adds the place where there was none, and lets one whose sizes nobody
// has told take those of the part that is in it.
func fitted(ctx context.Context, tx *store.Tx, f catalog.Fork, pos *catalog.Position, p catalog.Part, w catalog.Word) (err error) {
	was := *pos
	if want := pos.Wanted(); want == (catalog.Wanted{Role: pos.Role}) {
		pos.Size, pos.Thread, pos.Traits, pos.Entered = p.Size, p.Thread, p.Traits, p.Entered
	}
	pos.Fitted = "yes"
	if pos.ID == "" {
		*pos, err = catalog.AddPosition(ctx, tx, f.ID, *pos)
	} else if pos.Size != was.Size || pos.Thread != was.Thread || pos.Traits != was.Traits || pos.Fitted != was.Fitted {
		err = catalog.ChangePosition(ctx, tx, *pos)
	}
	if err != nil {
		return err
	}
	return catalog.TellPlace(ctx, tx, was, *pos, w)
}
