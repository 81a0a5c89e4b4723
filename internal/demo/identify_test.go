package demo_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"forkstock/catalog"
	"forkstock/internal/demo"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// bystander stands before a bike with one fork, and answers what is asked: by
// a look without an error, by calliper within 0.1 mm, evenly spread (common
// practice, no source; the test's own error, less than the tolerances). What
// the catalog does not know of the fork the bystander sees all the same: any
// value that some fork has.
type bystander struct {
	fork   shop.Fork
	others []shop.Fork
	r      *rand.Rand
}

func (b bystander) answer(t *testing.T, question string) string {
	t.Helper()
	if text := b.see(t, b.fork, question); text != "" {
		return text
	}
	for range 1000 {
		if text := b.see(t, b.others[b.r.IntN(len(b.others))], question); text != "" {
			return text
		}
	}
	t.Fatalf("nobody can answer %s", question)
	return ""
}

// see gives what a fork shows, as one types it; empty where it is not known.
func (b bystander) see(t *testing.T, f shop.Fork, question string) string {
	t.Helper()
	measured := func(um int64, within int64) string {
		if um == 0 {
			return ""
		}
		um += b.r.Int64N(2*within+1) - within
		return fmt.Sprintf("%d.%03d", um/1000, um%1000)
	}
	switch question {
	case "layout":
		return f.Layout
	case "left_cap":
		return f.Legs[0].Cap
	case "right_cap":
		return f.Legs[1].Cap
	case "cap_shape":
		return f.Looks.CapShape
	case "leg":
		return measured(int64(f.LegDiameterUM), 100)
	case "leg_micrometer":
		return measured(int64(f.LegDiameterUM), 10)
	case "cap_flats":
		return measured(int64(f.Looks.CapFlats), 100)
	case "axle":
		return measured(int64(f.Looks.Axle), 100)
	case "centres":
		return measured(int64(f.Looks.Centres), 1000) // a rule
	}
	for _, p := range f.Positions {
		switch {
		case question == "wiper" && p.Role == catalog.Wiper:
			return measured(int64(p.OuterUM), 100)
		case question == "drain_screw" && p.Role == catalog.DrainScrew && p.Fitted != "unknown":
			return p.Fitted
		}
	}
	return ""
}

// Twenty forks of the demo, told by what a bystander could measure and asked in
// the order that the program proposes: the right one is among the first three
// each time, after at most four measurements.
func TestIdentifyTwenty(t *testing.T) {
	s := open(t)
	err := s.Load(t.Context(), func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		return demo.Fill(ctx, tx, who.ID, demo.Options{Seed: 1, End: time.Date(2026, time.March, 4, 0, 0, 0, 0, time.UTC)})
	})
	if err != nil {
		t.Fatal(err)
	}
	names, err := s.ForkNames(t.Context(), 100)
	if err != nil || len(names) < 20 {
		t.Fatalf("%d forks, %v", len(names), err)
	}
	var forks []shop.Fork
	for _, name := range names {
		f, err := s.Fork(t.Context(), shop.ForkQuery{Name: name})
		if err != nil {
			t.Fatal(err)
		}
		forks = append(forks, f)
	}
	const mostMeasurements, mostPlace, rounds = 4, 3, 2
	longest, first, asked := 0, 0, 0
	for round := range rounds {
		r := rand.New(rand.NewPCG(uint64(round), 20))
		for _, i := range r.Perm(len(forks))[:20] {
			told := map[string]string{}
			var out shop.Identified
			for n := 0; ; n++ {
				out, err = s.Identify(t.Context(), shop.IdentifyQuery{Told: told, Limit: mostPlace})
				if err != nil {
					t.Fatal(err)
				}
				if longest = max(longest, n); out.MeasureNext == nil || n == mostMeasurements {
					break
				}
				asked++
				next := out.MeasureNext.Measurement
				told[next] = bystander{forks[i], forks, r}.answer(t, next)
			}
			place := slices.IndexFunc(out.Candidates, func(c shop.Candidate) bool { return c.Fork == forks[i].Fork })
			if place < 0 || place >= mostPlace {
				t.Errorf("round %d: %s is number %d (0: not among the first) of %d after %v", round, forks[i].Fork, place+1, out.Total, told)
			}
			if place == 0 {
				first++
			}
		}
	}
	t.Logf("%d of %d first; %d measurements in all, %d at most", first, 20*rounds, asked, longest)
	if longest > mostMeasurements || strings.Count(fmt.Sprint(names), "Corva") < 10 {
		t.Errorf("%d measurements, or another demo", longest)
	}
}
