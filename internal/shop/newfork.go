package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A new fork needs its name, leg diameter, layout and damping to begin with;
// springs are of steel unless somebody says so, and what sits in the legs is
// told place by place, or comes with the parts that are seen to fit.

// whole asks for what a new fork must tell. Nothing of it is guessed: cautions
// depend on it.
func (q ForkFacts) whole() error {
	switch {
	case trimmed(q.Leg) == "":
		return fault.New(fault.Invalid, "shop.no_leg").WithHint("shop.no_leg.hint")
	case trimmed(q.Layout) == "":
		return outOf(fault.New(fault.Invalid, "shop.no_layout").WithHint("shop.no_layout.hint"), "layout", catalog.Layouts)
	case trimmed(q.Damping) == "":
		return outOf(fault.New(fault.Invalid, "shop.no_damping").WithHint("shop.no_damping.hint"), "damping", catalog.Dampings)
	}
	return nil
}

// outOf lists the words to choose from.
func outOf(e *fault.Error, kind string, of []string) error {
	for _, c := range of {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: c, Tell: fault.Say(kind + "." + c)})
	}
	return e
}

// carried adds the bike that carries a new fork, where one was told.
func (q ForkFacts) carried(ctx context.Context, tx *store.Tx, f catalog.Fork, who Actor) error {
	if q.Bike == (Bike{}) {
		return nil
	}
	m := catalog.Fitment{Make: tidied(q.Bike.Make), Model: tidied(q.Bike.Model), Fork: f.ID, Source: who.Name}
	if err := (BikeChange{Years: q.Bike.Years, Variant: &q.Bike.Variant, Code: &q.Bike.Code, Frames: &q.Bike.Frames}).apply(&m); err != nil {
		return err
	}
	m, err := catalog.AddFitment(ctx, tx, m)
	if err != nil {
		return err
	}
	return catalog.TellFitment(ctx, tx, catalog.Fitment{}, m, word(who, q.How, q.Source))
}

// ForkNames gives the names of the first forks, by name: at most most.
func (s *Shop) ForkNames(ctx context.Context, most int) (names []string, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var name string
			err := scan(&name)
			names = append(names, name)
			return err
		}, `SELECT name FROM fork ORDER BY name_norm LIMIT $1`, most)
	})
	return names, err
}
