package shop

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Fork is what both legs of a fork need, and what of it is on hand.
type Fork struct {
	Fork          string          `json:"fork"`
	Layout        string          `json:"layout"`
	LegDiameter   string          `json:"leg_diameter"`
	LegDiameterUM measure.Length  `json:"leg_diameter_um"`
	Note          string          `json:"note,omitempty"`
	Source        string          `json:"source,omitempty"`
	Bikes         []Model         `json:"bikes"` // that led to it
	Swap          *Swap           `json:"swap"`  // one bike that is remembered to carry it, where that led to it
	Neighbours    []Neighbour     `json:"neighbours"`
	Models        []Model         `json:"models"`
	Swaps         []Swap          `json:"swaps"` // single bikes that are remembered to carry it
	Legs          []Leg           `json:"legs"`
	Looks         Looks           `json:"looks"`
	Positions     []Position      `json:"positions"`
	Oil           []Oil           `json:"oil"`
	Tightening    []Tightening    `json:"tightening"`
	Caution       fault.Message   `json:"tightening_caution,omitzero"` // where there are tightening values
	Cautions      []fault.Message `json:"cautions"`
	Missing       int             `json:"missing"` // positions that lack pieces
	Kits          []KitFor        `json:"kits"`    // that would serve
	Sources       []Source        `json:"sources,omitempty"`
}

// Leg is what one leg holds.
type Leg struct {
	Leg       string `json:"leg"`
	Damping   string `json:"damping"`
	Springing string `json:"springing"`
	Cap       string `json:"cap"` // of catalog.Caps: what stands on the fork cap; empty: not known
}

// Position is a place in a leg with the parts for it.
type Position struct {
	Role   catalog.Role `json:"role"`
	Leg    string       `json:"leg"`
	PerLeg int64        `json:"per_leg"`
	PerJob int64        `json:"per_job"`
	Renew  string       `json:"renew"`
	// RenewTold is true where Renew was told of this place; else it is the shop's habit, or common practice.
	RenewTold bool `json:"renew_told"`
	Sizes
	Traits
	Fitted  string        `json:"fitted"`
	Note    string        `json:"note,omitempty"`
	Parts   []Fit         `json:"parts"`
	Unit    string        `json:"unit"`
	OnHand  int64         `json:"on_hand"`
	Why     fault.Message `json:"why,omitzero"` // where the size is known from
	Missing int64         `json:"missing"`      // of PerJob, of the one part that most is there of, where the place is fitted for sure
	Usual   fault.Message `json:"usual"`        // what is usual for such a leg, where no size is known
}

// Fit is a part for a place, with the verdict.
type Fit struct {
	Part
	Verdict catalog.Verdict `json:"verdict"` // fits or near; no: an old version, not to be fitted
	Reasons []fault.Message `json:"reasons"`
	Old     bool            `json:"old,omitempty"` // it was replaced
}

// turn says when a part is offered among those that fit: an old version that
// may still be fitted and lies there goes first, one to be bought last.
func (f Fit) turn() int {
	switch {
	case !f.Old:
		return 1
	case f.Available > 0:
		return 0
	}
	return 2
}

// Buy gives the part to get where some are missing: of what fits and is no old
// version, the one that most is there of. nil where none is known.
func (p Position) Buy() *Fit {
	i := slices.IndexFunc(p.Parts, func(f Fit) bool { return f.Verdict == catalog.Fits && !f.Old })
	if i < 0 {
		return nil
	}
	return &p.Parts[i]
}

// Fork gives what both legs of a fork need. Errors: Invalid, NotFound,
// Ambiguous with the forks that one model-year can have.
func (s *Shop) Fork(ctx context.Context, q ForkQuery) (Fork, error) {
	var out Fork
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		c, err := choose(ctx, tx, q)
		if err != nil {
			return err
		}
		if out, err = forkOn(ctx, tx, c); err != nil {
			return err
		}
		for i := range out.Swaps {
			out.Swaps[i] = s.date(out.Swaps[i])
		}
		if out.Swap != nil {
			*out.Swap = s.date(*out.Swap)
		}
		claims, err := catalog.ClaimsOfFork(ctx, tx, c.fork.ID)
		if err != nil {
			return err
		}
		out.Sources, err = s.sources(ctx, tx, claims)
		return err
	})
	return out, err
}

func forkView(ctx context.Context, tx *store.Tx, f catalog.Fork) (Fork, error) {
	return forkOn(ctx, tx, choice{fork: f})
}

// forkOn shows a fork with what led to it. On one bike, its own oil quantities
// go before the fork's.
func forkOn(ctx context.Context, tx *store.Tx, c choice) (Fork, error) {
	f := c.fork
	out := Fork{
		Fork: f.Name, Layout: f.Layout, LegDiameter: f.Leg.String(), LegDiameterUM: f.Leg, Note: f.Note, Source: f.Source,
		Bikes: []Model{}, Models: []Model{}, Legs: []Leg{}, Positions: []Position{}, Oil: []Oil{}, Cautions: cautions(f),
		Neighbours: []Neighbour{}, Swaps: []Swap{}, Tightening: []Tightening{},
	}
	out.Looks = Looks(f.Looks)
	for _, l := range f.Legs {
		out.Legs = append(out.Legs, Leg(l))
	}
	for _, m := range c.bikes {
		out.Bikes = append(out.Bikes, model(m))
	}
	fitments, err := catalog.FitmentsOfFork(ctx, tx, f.ID)
	if err != nil {
		return out, err
	}
	out.Models = models(fitments)
	if err := out.addSwaps(ctx, tx, c); err != nil {
		return out, err
	}
	if err := out.addNeighbours(ctx, tx, c, fitments); err != nil {
		return out, err
	}
	if err := out.addTightening(ctx, tx, c, fitments); err != nil {
		return out, err
	}
	fills, err := out.addOil(ctx, tx, c, fitments)
	if err != nil {
		return out, err
	}
	return out, out.needs(ctx, tx, f.ID, fills)
}

// needs fills in the positions. Both legs get one kind of part, and oils are
// not mixed: what is missing is missing of the part that most is there of.
// Pieces that one place takes are not there for the next. Where fills say how
// much oil there goes in, they count.
func (out *Fork) needs(ctx context.Context, tx *store.Tx, fork string, fills []catalog.Pour) error {
	positions, err := catalog.Positions(ctx, tx, fork)
	if err != nil {
		return err
	}
	pourOil(positions, fills)
	taken := map[string]int64{}
	var fitting []string
	for _, p := range positions {
		v := Position{
			Role: p.Role, Leg: p.Leg, PerLeg: p.PerLeg, PerJob: p.PerJob(), Renew: p.Renew, RenewTold: p.Told, Sizes: sizes(p.Size, p.Thread).as(p.Entered),
			Traits: Traits(p.Traits), Fitted: p.Fitted, Note: p.Note, Parts: []Fit{}, Unit: unit(p.Role, ""),
		}
		said, err := catalog.StandingOn(ctx, tx, catalog.AboutPlace, p.ID, "size")
		if err != nil {
			return err
		}
		v.Why = said.Line()
		if v.Usual, err = usualAt(ctx, tx, out.LegDiameterUM, p); err != nil {
			return err
		}
		matches, err := catalog.PartsFor(ctx, tx, p)
		if err != nil {
			return err
		}
		if p.Role == catalog.Oil && len(matches) == 0 { // grades are not comparable: a person names the oil
			v.Usual = fault.Say("shop.name_oil", words.ShellWord(out.Fork))
		}
		var most int64
		kind := "" // of which most is there
		for _, m := range matches {
			part, err := view(ctx, tx, m.Part, m.Said)
			if err != nil {
				return err
			}
			v.Parts = append(v.Parts, Fit{part, m.Verdict, m.Why, m.Old})
			if m.Verdict != catalog.Fits {
				continue
			}
			fitting = append(fitting, m.Part.ID)
			v.OnHand += part.OnHand
			if n := min(v.PerJob, part.Available-taken[m.Part.ID]); kind == "" || n > most {
				kind, most = m.Part.ID, n
			}
		}
		if p.Fitted == "yes" {
			taken[kind] += most
			v.Missing = v.PerJob - most
		}
		if v.Missing > 0 {
			out.Missing++
		}
		slices.SortStableFunc(v.Parts, func(a, b Fit) int { // what fits first, of that what is there
			return cmp.Or(strings.Compare(string(a.Verdict), string(b.Verdict)), cmp.Compare(a.turn(), b.turn()), cmp.Compare(b.Available, a.Available))
		})
		out.Positions = append(out.Positions, v)
	}
	out.Kits, err = kitsFor(ctx, tx, fitting, positions)
	return err
}
