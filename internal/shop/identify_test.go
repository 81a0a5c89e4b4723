package shop_test

import (
	"errors"
	"fmt"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// All forks that agree are counted, the first five named; those of which not
// all is known that was told agree in nothing but silence.
func TestAddIdentifiedTwice(t *testing.T) {
	s, _ := newShop(t)
	for i := range 9 {
		f := shop.ForkFacts{Leg: "44", Layout: "upside-down", Damping: "open_cartridge"}
		if i >= 2 {
			f.Looks.Axle = "20"
		}
		if _, err := s.AddFork(t.Context(), fmt.Sprint("Orlo ", i), f); err != nil {
			t.Fatal(err)
		}
	}
	q := shop.IdentifyQuery{Told: map[string]string{"leg": "44", "axle": "20"}}
	_, err := s.AddIdentified(t.Context(), "Orlo 9", q, shop.ForkFacts{}, false)
	e, ok := errors.AsType[*fault.Error](err)
	if !ok || e.Kind != fault.Conflict || e.Message.ID != "shop.fork_fits" {
		t.Fatalf("%v", err)
	}
	if n := e.Message.Args[0]; n != 7 || len(e.Candidates) != 5 || e.Candidates[0].Name != "Orlo 2" {
		t.Errorf("%v agree, named: %+v", n, e.Candidates)
	}
}
