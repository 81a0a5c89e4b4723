package search

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// told narrows the forks of the bikes down by the variant, the model code or
// the frame number that is left among the words, as the catalog tells them.
// Without a bike, a model code finds its own.
func (f *finder) told(ctx context.Context, tx *store.Tx) error {
	for i := 0; i < len(f.rest); {
		forks, bikes, err := f.toldOf(ctx, tx, f.rest[i])
		if err != nil {
			return err
		}
		if len(forks) == 0 {
			i++
			continue
		}
		if f.bikes == nil {
			f.q.Bikes = bikes
			from, to := f.q.years()
			for _, b := range bikes {
				more, err := carriersOf(ctx, tx, b, from, to)
				if err != nil {
					return err
				}
				f.bikes = append(f.bikes, more...)
			}
		}
		f.bikes = slices.DeleteFunc(f.bikes, func(c carrier) bool { return !slices.Contains(forks, c.id) })
		f.use(f.rest[i : i+1])
		f.q.Told = append(f.q.Told, f.rest[i])
		f.rest = slices.Delete(slices.Clone(f.rest), i, i+1)
		f.q.Words = f.rest
	}
	return nil
}

// toldOf gives the forks, and the bikes, that a word tells as variant, code or
// frame number; none where it tells nothing.
func (f *finder) toldOf(ctx context.Context, tx *store.Tx, w string) (forks []string, bikes []Bike, err error) {
	norm := catalog.Normal(w)
	for _, b := range f.q.Bikes {
		asked := catalog.BikeQuery{Make: b.Make, Model: b.Model, Year: f.q.Year}
		variant, code, frame := asked, asked, asked
		variant.Variant, code.Code, frame.Frame = w, w, w
		for _, try := range []struct {
			catalog.BikeQuery
			tells func(catalog.Fitment) bool
		}{
			{variant, func(m catalog.Fitment) bool { return catalog.Normal(m.Variant) == norm }},
			{code, func(m catalog.Fitment) bool { return catalog.Normal(m.Code) == norm }},
			{frame, func(m catalog.Fitment) bool { return m.Frames.Any() && m.Frames.Hold(w) == catalog.Inside }},
		} {
			hits, err := fitments(ctx, tx, try.BikeQuery)
			if err != nil {
				return nil, nil, err
			}
			for _, m := range hits {
				if try.tells(m) {
					forks = append(forks, m.Fork)
				}
			}
			if len(forks) > 0 {
				break
			}
		}
	}
	if f.q.Bikes != nil || f.q.Make != "" || f.q.Fork != "" || !hasDigit(w) || len(norm) < 3 {
		return forks, nil, nil
	}
	hits, err := fitments(ctx, tx, catalog.BikeQuery{Code: w, Year: f.q.Year})
	for _, m := range hits {
		forks = append(forks, m.Fork)
		if b := (Bike{m.Make, m.Model}); !slices.Contains(bikes, b) {
			bikes = append(bikes, b)
		}
	}
	return forks, bikes, err
}

// fitments is catalog.ForksOf where nothing known is no error.
func fitments(ctx context.Context, tx *store.Tx, q catalog.BikeQuery) ([]catalog.Fitment, error) {
	hits, _, err := catalog.ForksOf(ctx, tx, q)
	if fault.KindOf(err) == fault.NotFound {
		err = nil
	}
	return hits, err
}
