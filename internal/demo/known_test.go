package demo

import (
	"context"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// The demo shows each way by which a bike leads to its fork.
func TestKnownBikes(t *testing.T) {
	look(t, filled(t, Options{Seed: 1, End: wednesday}), func(ctx context.Context, tx *store.Tx) error {
		for _, tt := range []struct {
			q       catalog.BikeQuery
			forks   int
			unclear bool
		}{
			{catalog.BikeQuery{Make: "Ostrell", Model: "Torvane 600", Year: 2004}, 2, true}, // ask the frame number,
			{catalog.BikeQuery{Make: "Ostrell", Model: "Torvane 600", Year: 2004, Frame: "TV6 03000"}, 1, false},
			{catalog.BikeQuery{Make: "Ostrell", Model: "Torvane 600", Year: 2004, Frame: "3000"}, 2, true},
			{catalog.BikeQuery{Make: "Ostrell", Model: "Torvane 600", Year: 2003}, 1, false},
			{catalog.BikeQuery{Make: "Kaldrin", Model: "Nordane 900", Year: 2012}, 2, false},
			{catalog.BikeQuery{Make: "Kaldrin", Model: "Nordane 900", Year: 2012, Variant: "R"}, 1, false},
			{catalog.BikeQuery{Code: "TV3"}, 1, false},
			{catalog.BikeQuery{Frame: "ML-20500"}, 1, false},
		} {
			hits, unclear, err := catalog.ForksOf(ctx, tx, tt.q)
			forks := map[string]bool{}
			for _, m := range hits {
				forks[m.Fork] = true
			}
			if err != nil || len(forks) != tt.forks || unclear != tt.unclear {
				t.Errorf("%+v: %d forks, unclear %v, %v", tt.q, len(forks), unclear, err)
			}
		}
		if s, ok, err := catalog.SwapOf(ctx, tx, "tv6 02718"); err != nil || !ok || s.Note == "" {
			t.Errorf("the swapped bike: %+v, %v", s, err)
		}
		return nil
	})
}

// No value of the handbook is one that the program itself would question.
func TestHandbookIsUsual(t *testing.T) {
	for _, of := range append(append([][4]string{}, forkTorques...), bikeTorques...) {
		torque, err := measure.ParseTorque(of[2])
		if q := catalog.UnusualTorque(of[1], torque); err != nil || !q.IsZero() {
			t.Errorf("%s: %v, %v", of, q, err)
		}
	}
}
