package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Tightening is a tightening value with the manual that it stands in.
type Tightening struct {
	Joint     string         `json:"joint"`
	Bike      string         `json:"bike,omitempty"` // of a joint that the bike decides
	Torque    string         `json:"torque"`
	TorqueMNM measure.Torque `json:"torque_mnm"`
	Entered   string         `json:"entered,omitempty"` // as printed, where not in N m
	Manual    string         `json:"manual"`
	Page      string         `json:"page,omitempty"`
}

// addTightening tells the values of the fork's joints and of those of the
// bikes that led to it, or else of all that carry it.
func (out *Fork) addTightening(ctx context.Context, tx *store.Tx, c choice, fitments []catalog.Fitment) error {
	if c.bikes != nil || c.swap != nil {
		fitments = c.bikes
	}
	bikes := map[string]string{}
	var ids []string
	for _, m := range fitments {
		bikes[m.ID] = m.Name()
		ids = append(ids, m.ID)
	}
	all, err := catalog.Tightenings(ctx, tx, c.fork.ID, ids...)
	for _, t := range all {
		out.Tightening = append(out.Tightening, Tightening{
			t.Joint, bikes[t.Fitment], t.Torque.String(), t.Torque, t.Entered, t.Manual, t.Page,
		})
		out.Caution = fault.Say("caution.torque")
	}
	return err
}

// TorqueRequest tells the tightening value of a joint: of a fork, or of the
// bikes of a make and model.
type TorqueRequest struct {
	Fork           string
	Make, Model    string
	Variant, Years string // narrow the bikes down, where there are several
	Joint          string // of catalog.Joints, or the word for it
	Value          string // as measure.ParseTorque reads it
	Manual, Page   string // the value stands there
	Sure           bool   // although it is unusual for the joint
	Drop           bool   // changing: take the value back that is told
}

// AddTorque tells a tightening value. Errors: Invalid (without a manual; an
// unusual value, unless Sure), NotFound, Ambiguous (the bikes), Conflict (one is told
// already).
func (s *Shop) AddTorque(ctx context.Context, q TorqueRequest) ([]Tightening, error) {
	return s.torque(ctx, q, false)
}

// ChangeTorque replaces a tightening value, or takes it back. Errors: as
// AddTorque; NotFound where none is told.
func (s *Shop) ChangeTorque(ctx context.Context, q TorqueRequest) ([]Tightening, error) {
	return s.torque(ctx, q, true)
}

func (s *Shop) torque(ctx context.Context, q TorqueRequest, again bool) (out []Tightening, err error) {
	t := catalog.Tightening{
		Joint: wordFor("joint", tidied(q.Joint), catalog.Joints), Manual: tidied(q.Manual), Page: tidied(q.Page),
	}
	if !q.Drop {
		if t.Torque, err = measure.ParseTorque(q.Value); err != nil {
			return nil, err
		}
		if t.Entered = tidied(q.Value); catalog.Normal(t.Entered) == catalog.Normal(t.Torque.String()) {
			t.Entered = ""
		}
		if ask := catalog.UnusualTorque(t.Joint, t.Torque); !ask.IsZero() && !q.Sure {
			e := fault.New(fault.Invalid, "").WithHint("shop.torque_unusual.hint")
			e.Message = ask
			return nil, e
		}
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		owners, err := q.owners(ctx, tx)
		if err != nil {
			return err
		}
		for _, o := range owners {
			t.Fork, t.Fitment = o.fork, o.fitment
			if q.Drop {
				err = catalog.DropTightening(ctx, tx, t)
			} else {
				err = catalog.SetTightening(ctx, tx, t, who.ID, again)
			}
			if err != nil {
				return err
			}
			if !q.Drop {
				out = append(out, Tightening{t.Joint, o.bike, t.Torque.String(), t.Torque, t.Entered, t.Manual, t.Page})
			}
		}
		return nil
	})
	return out, err
}

// owner is whose joint a tightening value is told of.
type owner struct{ fork, fitment, bike string }

// owners finds the fork, or the bikes: those of the years named, or all where
// their years are the same.
func (q TorqueRequest) owners(ctx context.Context, tx *store.Tx) (out []owner, err error) {
	switch {
	case q.Fork != "" && (q.Make != "" || q.Model != ""), q.Fork == "" && (q.Make == "" || q.Model == ""):
		return nil, fault.New(fault.Invalid, "shop.torque_whose").WithHint("shop.torque_whose.hint")
	case q.Fork != "":
		f, err := catalog.ForkNamed(ctx, tx, q.Fork)
		return []owner{{fork: f.ID}}, err
	}
	var asked catalog.Fitment
	if q.Years != "" {
		if err := readYears(q.Years, &asked); err != nil {
			return nil, err
		}
	}
	hits, _, err := catalog.ForksOf(ctx, tx, catalog.BikeQuery{Make: q.Make, Model: q.Model, Variant: q.Variant})
	if err != nil {
		return nil, err
	}
	e := fault.New(fault.Ambiguous, "shop.years_possible", hits[0].Make+" "+hits[0].Model).WithHint("shop.years_possible.hint")
	alike := true
	for _, m := range hits {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: m.Name()})
		if q.Years != "" && (m.YearFrom != asked.YearFrom || m.YearTo != asked.YearTo) {
			continue
		}
		alike = alike && m.YearFrom == hits[0].YearFrom && m.YearTo == hits[0].YearTo || q.Years != ""
		out = append(out, owner{fitment: m.ID, bike: m.Name()})
	}
	if len(out) == 0 || !alike {
		return nil, e
	}
	return out, nil
}
