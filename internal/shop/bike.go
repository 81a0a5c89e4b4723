package shop

import (
	"context"
	"regexp"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// ForkFacts are what can be told of a fork. An empty text is not told. Both
// legs are alike.
type ForkFacts struct {
	Name      string // changing: the new one
	Leg       string // outer diameter of the inner tube, as measure.ParseLength reads it
	Layout    string // of catalog.Layouts; default conventional
	Damping   string // of catalog.Dampings; default damper_rod
	Springing string // of catalog.Springings; default coil
	Note      string // how to tell it from its neighbours
	Source    string // default: who adds the fork
	How       string // of catalog.Hows: what kind of source; default told
}

// AddFork adds a fork without places. Errors: Invalid, Conflict (the name is
// taken).
func (s *Shop) AddFork(ctx context.Context, name string, q ForkFacts) (Fork, error) {
	if trimmed(q.Leg) == "" {
		return Fork{}, fault.New(fault.Invalid, "shop.no_leg").WithHint("shop.no_leg.hint")
	}
	var out Fork
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f := catalog.Fork{Layout: "conventional", Source: who.Name}
		for _, side := range catalog.Sides[1:] {
			f.Legs = append(f.Legs, catalog.Leg{Leg: side, Damping: "damper_rod", Springing: "coil"})
		}
		q.Name = name
		if err := q.apply(&f); err != nil {
			return err
		}
		f, err := catalog.AddFork(ctx, tx, f)
		if err != nil {
			return err
		}
		if err := catalog.TellFork(ctx, tx, catalog.Fork{}, f, word(who, q.How, q.Source)); err != nil {
			return err
		}
		out, err = forkView(ctx, tx, f)
		return err
	})
	return out, err
}

// ChangeFork changes facts of a fork. Errors: Invalid, NotFound, Conflict (the
// name is taken).
func (s *Shop) ChangeFork(ctx context.Context, name string, q ForkFacts) (Fork, error) {
	if q == (ForkFacts{}) {
		return Fork{}, noChange()
	}
	var out Fork
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		was := f
		if err := q.apply(&f); err != nil {
			return err
		}
		if err := catalog.ChangeFork(ctx, tx, f); err != nil {
			return err
		}
		if trimmed(q.Leg) != "" && was.Leg == f.Leg { // one more source for it
			was.Leg = 0
		}
		if err := catalog.TellFork(ctx, tx, was, f, word(who, q.How, q.Source)); err != nil {
			return err
		}
		out, err = forkView(ctx, tx, f)
		return err
	})
	return out, err
}

// apply sets the facts that were told of f.
func (q ForkFacts) apply(f *catalog.Fork) (err error) {
	if trimmed(q.Leg) != "" {
		if f.Leg, err = measure.ParseLength(q.Leg); err != nil {
			return err
		}
	}
	f.Name, f.Layout, f.Note, f.Source = or(q.Name, f.Name), or(q.Layout, f.Layout), or(q.Note, f.Note), or(q.Source, f.Source)
	for i, l := range f.Legs {
		f.Legs[i].Damping, f.Legs[i].Springing = or(q.Damping, l.Damping), or(q.Springing, l.Springing)
	}
	return nil
}

// or gives what was typed, or else the default.
func or(typed, otherwise string) string {
	if typed = tidied(typed); typed != "" {
		return typed
	}
	return otherwise
}

// Bike says which fork a bike carries.
type Bike struct {
	Make  string `json:"make"`
	Model string `json:"model"`
	Years string `json:"years"` // "2001", "2001-2004", "2001-" where it is still built
	Fork  string `json:"fork"`
}

// AddBike says that a bike of those years carries a fork. Errors: Invalid,
// NotFound, Conflict.
func (s *Shop) AddBike(ctx context.Context, b Bike) (Bike, error) {
	m := catalog.Fitment{Make: tidied(b.Make), Model: tidied(b.Model)}
	if err := readYears(b.Years, &m); err != nil {
		return b, err
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, b.Fork)
		if err != nil {
			return err
		}
		m.Fork, m.Source = f.ID, who.Name
		m, err = catalog.AddFitment(ctx, tx, m)
		b = Bike{m.Make, m.Model, m.Years(), f.Name}
		return err
	})
	return b, err
}

// ChangeBike corrects what was told of a bike: to other years or another fork,
// each where it is not empty. Errors: Invalid, NotFound, Conflict.
func (s *Shop) ChangeBike(ctx context.Context, b Bike, years, fork string) (Bike, error) {
	if years == "" && fork == "" {
		return b, noChange()
	}
	var asked catalog.Fitment
	if err := readYears(b.Years, &asked); err != nil {
		return b, err
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, b.Fork)
		if err != nil {
			return err
		}
		m, err := toldBike(ctx, tx, b, asked, f)
		if err != nil {
			return err
		}
		if years != "" {
			if err := readYears(years, &m); err != nil {
				return err
			}
		}
		if fork != "" {
			if f, err = catalog.ForkNamed(ctx, tx, fork); err != nil {
				return err
			}
		}
		m.Fork, m.Source = f.ID, who.Name
		b = Bike{m.Make, m.Model, m.Years(), f.Name}
		return catalog.ChangeFitment(ctx, tx, m)
	})
	return b, err
}

// toldBike finds what was told of exactly those years.
func toldBike(ctx context.Context, tx *store.Tx, b Bike, asked catalog.Fitment, f catalog.Fork) (catalog.Fitment, error) {
	told, err := catalog.FitmentsTold(ctx, tx, b.Make, b.Model, f.ID)
	if err != nil {
		return asked, err
	}
	e := fault.New(fault.NotFound, "shop.bike_absent", clipped(b.Make), clipped(b.Model), asked.Years(), f.Name).
		WithHint("shop.bike_absent.hint")
	for _, m := range told {
		if m.YearFrom == asked.YearFrom && m.YearTo == asked.YearTo {
			return m, nil
		}
		e.Candidates = append(e.Candidates, fault.Candidate{Name: m.Make + " " + m.Model + " " + m.Years()})
	}
	return asked, e
}

var yearsForm = regexp.MustCompile(`^(\d{4})(?: ?([-–]) ?(\d{4})?)?$`)

// readYears sets the years of m.
func readYears(text string, m *catalog.Fitment) error {
	part := yearsForm.FindStringSubmatch(trimmed(text))
	if part == nil {
		return fault.New(fault.Invalid, "shop.bad_years", clipped(text)).WithHint("catalog.bad_years.hint")
	}
	m.YearFrom, _ = strconv.Atoi(part[1])
	if m.YearTo, _ = strconv.Atoi(part[3]); part[2] == "" {
		m.YearTo = m.YearFrom
	}
	return nil
}
