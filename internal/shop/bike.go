package shop

import (
	"context"
	"regexp"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

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
