package shop

import (
	"context"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// ForkFacts are what can be told of a fork. An empty text is not told.
type ForkFacts struct {
	Name      string // changing: the new one
	Leg       string // outer diameter of the inner tube, as measure.ParseLength reads it
	Layout    string // of catalog.Layouts; default conventional
	Damping   string // of catalog.Dampings, of both legs or LEFT/RIGHT; default damper_rod
	Springing string // of catalog.Springings, likewise; default coil
	Note      string // how to tell it from its neighbours
	Looks     LookFacts
	Source    string // default: who adds the fork
	How       string // of catalog.Hows: what kind of source; default told
	Bike      Bike   // adding: that carries it; zero: none is told

	Wiper      string // adding: its outside, as measure.ParseLength reads it
	DrainScrew string // adding: "yes", "no"
}

// AddFork adds a fork, with no places but those that were seen from outside.
// Errors: Invalid, Conflict (the name is taken).
func (s *Shop) AddFork(ctx context.Context, name string, q ForkFacts) (out Fork, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) (err error) {
		out, err = s.addFork(ctx, tx, who, name, q)
		return err
	})
	return out, err
}

func (s *Shop) addFork(ctx context.Context, tx *store.Tx, who Actor, name string, q ForkFacts) (Fork, error) {
	if err := q.whole(); err != nil {
		return Fork{}, err
	}
	f := catalog.Fork{Layout: "conventional", Source: who.Name}
	for _, side := range catalog.Sides[1:] {
		f.Legs = append(f.Legs, catalog.Leg{Leg: side, Damping: "damper_rod", Springing: "coil"})
	}
	q = s.seenFrame(q)
	q.Name = name
	if err := q.apply(&f); err != nil {
		return Fork{}, err
	}
	f, err := catalog.AddFork(ctx, tx, f)
	if err != nil {
		return Fork{}, err
	}
	if err := catalog.TellFork(ctx, tx, catalog.Fork{}, f, word(who, q.How, q.Source)); err != nil {
		return Fork{}, err
	}
	if err := q.seenPlaces(ctx, tx, f, who); err != nil {
		return Fork{}, err
	}
	if err := q.carried(ctx, tx, f, who); err != nil {
		return Fork{}, err
	}
	return forkView(ctx, tx, f)
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
		f.Legs = slices.Clone(f.Legs)
		if err := q.apply(&f); err != nil {
			return err
		}
		if err := catalog.ChangeFork(ctx, tx, f); err != nil {
			return err
		}
		q.retold(&was, f)
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
	f.Name, f.Layout, f.Note, f.Source = or(q.Name, f.Name), or(wordFor("layout", q.Layout, catalog.Layouts), f.Layout), or(q.Note, f.Note), or(q.Source, f.Source)
	for i, l := range f.Legs {
		f.Legs[i].Damping = or(wordFor("damping", side(q.Damping, l.Leg), catalog.Dampings), l.Damping)
		f.Legs[i].Springing = or(wordFor("springing", side(q.Springing, l.Leg), catalog.Springings), l.Springing)
	}
	return q.Looks.apply(f)
}

// side gives what LEFT/RIGHT says of a leg; one word is said of both.
func side(typed, leg string) string {
	left, right, two := strings.Cut(typed, "/")
	if two && leg == "right" {
		return right
	}
	return left
}

// or gives what was typed, or else the default.
func or(typed, otherwise string) string {
	if typed = tidied(typed); typed != "" {
		return typed
	}
	return otherwise
}

// Bike says which fork some bikes carry.
type Bike struct {
	Make    string `json:"make"`
	Model   string `json:"model"`
	Variant string `json:"variant,omitempty"`
	Code    string `json:"code,omitempty"`
	Years   string `json:"years"`            // "2001", "2001-2004", "2001-" where it is still built; may be empty beside Frames
	Frames  string `json:"frames,omitempty"` // frame numbers, as catalog.ParseFrames reads them
	Fork    string `json:"fork"`
}

// Name gives all that tells the bikes from others.
func (b Bike) Name() string {
	return Model{b.Make, b.Model, b.Variant, b.Code, b.Years, b.Frames}.Name()
}

func bike(m catalog.Fitment, f catalog.Fork) Bike {
	return Bike{m.Make, m.Model, m.Variant, m.Code, m.Years(), m.Frames.String(), f.Name}
}

// AddBike says that some bikes carry a fork. Errors: Invalid, NotFound,
// Conflict.
func (s *Shop) AddBike(ctx context.Context, b Bike) (Bike, error) {
	m := catalog.Fitment{Make: tidied(b.Make), Model: tidied(b.Model)}
	if err := (BikeChange{b.Years, "", &b.Variant, &b.Code, &b.Frames}).apply(&m); err != nil {
		return b, err
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, b.Fork)
		if err != nil {
			return err
		}
		m.Fork, m.Source = f.ID, who.Name
		if m, err = catalog.AddFitment(ctx, tx, m); err != nil {
			return err
		}
		b = bike(m, f)
		return catalog.TellFitment(ctx, tx, catalog.Fitment{}, m, word(who, "", ""))
	})
	return b, err
}

// BikeChange is what to change of some bikes: years and fork where they are
// not empty, the rest where it is not nil.
type BikeChange struct {
	Years, Fork           string
	Variant, Code, Frames *string
}

// apply sets all but the fork. Error: Invalid.
func (c BikeChange) apply(m *catalog.Fitment) (err error) {
	set(&m.Variant, c.Variant)
	set(&m.Code, c.Code)
	if c.Frames != nil {
		if m.Frames, err = catalog.ParseFrames(tidied(*c.Frames)); err != nil {
			return err
		}
	}
	if tidied(c.Years) == "" {
		return nil
	}
	return readYears(c.Years, m)
}

// ChangeBike corrects what was told of some bikes, which b names as they were
// told: Years are their years, or their frame numbers where they have none,
// and a variant stands with Model. Errors: Invalid, NotFound, Ambiguous,
// Conflict.
func (s *Shop) ChangeBike(ctx context.Context, b Bike, c BikeChange) (Bike, error) {
	if c == (BikeChange{}) {
		return b, noChange()
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, b.Fork)
		if err != nil {
			return err
		}
		m, err := toldBike(ctx, tx, b, f)
		if err != nil {
			return err
		}
		was := m
		if err := c.apply(&m); err != nil {
			return err
		}
		if c.Fork != "" {
			if f, err = catalog.ForkNamed(ctx, tx, c.Fork); err != nil {
				return err
			}
		}
		m.Fork, m.Source = f.ID, who.Name
		b = bike(m, f)
		if err := catalog.ChangeFitment(ctx, tx, m); err != nil {
			return err
		}
		return catalog.TellFitment(ctx, tx, was, m, word(who, "", ""))
	})
	return b, err
}

// toldBike finds what was told of exactly those bikes.
func toldBike(ctx context.Context, tx *store.Tx, b Bike, f catalog.Fork) (found catalog.Fitment, err error) {
	var asked catalog.Fitment
	if err := readYears(b.Years, &asked); err != nil {
		if asked.Frames, err = catalog.ParseFrames(tidied(b.Years)); err != nil || !asked.Frames.Any() {
			return found, readYears(b.Years, &asked)
		}
	}
	told, err := catalog.FitmentsTold(ctx, tx, b.Make, b.Model, f.ID)
	if err != nil {
		return found, err
	}
	e := fault.New(fault.NotFound, "shop.bike_absent", clipped(b.Make), clipped(b.Model), clipped(b.Years), f.Name).
		WithHint("shop.bike_absent.hint")
	hits := 0
	for _, m := range told {
		if m.YearFrom == asked.YearFrom && m.YearTo == asked.YearTo &&
			(asked.YearFrom != 0 || catalog.Normal(m.Frames.String()) == catalog.Normal(asked.Frames.String())) {
			found = m
			hits++
		}
		e.Candidates = append(e.Candidates, fault.Candidate{Name: m.Name()})
	}
	switch hits {
	case 1:
		return found, nil
	case 0:
		return found, e
	}
	e.Kind, e.Message = fault.Ambiguous, fault.Say("shop.bikes_possible", clipped(b.Make+" "+b.Model), f.Name)
	return found, e.WithHint("shop.bikes_possible.hint")
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
