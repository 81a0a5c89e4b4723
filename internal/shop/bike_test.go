package shop_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// must fails the test at the first error of what was told.
func must[T any](t *testing.T) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// bikes tells two forks and which bikes carry them.
func bikes(t *testing.T, s *shop.Shop) {
	t.Helper()
	ctx := t.Context()
	fork, bike, place := must[shop.Fork](t), must[shop.Bike](t), must[shop.Place](t)
	fork(s.AddFork(ctx, "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}))
	fork(s.AddFork(ctx, "Pasko 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "open_cartridge", Note: "slotted adjuster"}))
	fork(s.AddFork(ctx, "Tirona 43", shop.ForkFacts{Leg: "43", Layout: "upside-down", Damping: "open_cartridge"}))
	for _, name := range []string{"Corva 39", "Pasko 39"} {
		place(s.AddPlace(ctx, shop.PlaceRequest{Fork: name, Role: "oil_seal", PlaceFacts: shop.PlaceFacts{SizeFacts: shop.SizeFacts{Size: p("39x52x11")}}}))
	}
	place(s.AddPlace(ctx, shop.PlaceRequest{Fork: "Pasko 39", Role: "drain_screw", PlaceFacts: shop.PlaceFacts{Fitted: p("no")}}))
	for _, b := range []shop.Bike{
		{Years: "1998-2000", Fork: "Tirona 43"},
		{Years: "2001-2003", Fork: "Corva 39"},
		{Years: "2004", Fork: "Corva 39", Frames: "V4-0001-V4-0499"},
		{Years: "2004-2006", Fork: "Pasko 39", Frames: "V4-0500-"},
		{Years: "2007-", Fork: "Tirona 43"},
		{Years: "2012-", Fork: "Pasko 39", Variant: "S"},
	} {
		b.Make, b.Model = "Kaldrin", "Velda"
		bike(s.AddBike(ctx, b))
	}
}

// Neighbours are the nearest years before and after, and the same ones; never
// bikes with the same fork.
func TestNeighbours(t *testing.T) {
	s, _ := newShop(t)
	bikes(t, s)
	for _, tt := range []struct {
		q    shop.ForkQuery
		want []string
	}{
		{shop.ForkQuery{Year: 2002}, []string{
			"Kaldrin Velda, 2000 and earlier: another fork (Tirona 43)",
			"Kaldrin Velda, 2004 and later: another fork (Pasko 39)",
		}},
		{shop.ForkQuery{Year: 2004, Frame: "V4 0100"}, []string{
			"Kaldrin Velda, 2000 and earlier: another fork (Tirona 43)",
			"Kaldrin Velda 2004-2006 V4-0500-: another fork (Pasko 39)",
			"Kaldrin Velda, 2007 and later: another fork (Tirona 43)",
		}},
		{shop.ForkQuery{Year: 2013, Variant: "S"}, []string{
			"Kaldrin Velda, 2004 and earlier: another fork (Corva 39)",
			"Kaldrin Velda 2007-: another fork (Tirona 43)",
		}},
		{shop.ForkQuery{Year: 1999}, []string{"Kaldrin Velda, 2001 and later: another fork (Corva 39)"}},
	} {
		tt.q.Make, tt.q.Model = "kaldrin", "velda"
		f, err := s.Fork(t.Context(), tt.q)
		var got []string
		for _, n := range f.Neighbours {
			got = append(got, words.For("en").Text(n.Tell))
			if n.Fork == f.Fork || n.Make != "Kaldrin" {
				t.Errorf("%+v is beside %s", n, f.Fork)
			}
		}
		if d := cmp.Diff(tt.want, got); d != "" || err != nil {
			t.Errorf("%+v: %v\n%s", tt.q, err, d)
		}
	}
}

// Two forks of one year are never picked from: each candidate says how to tell
// it, names only what differs, and gives a command that means it.
func TestCandidatesTellApart(t *testing.T) {
	s, _ := newShop(t)
	bikes(t, s)
	_, err := s.Fork(t.Context(), shop.ForkQuery{Make: "Kaldrin", Model: "Velda", Year: 2004})
	e := fault.Of(err)
	if e == nil || e.Kind != fault.Ambiguous || len(e.Candidates) != 2 {
		t.Fatalf("%+v", e)
	}
	told := map[string]string{}
	for _, c := range e.Candidates {
		told[c.Name] = words.For("en").Text(c.Tell)
		if !strings.HasPrefix(c.Command, "forkstock fork '"+c.Name+"' --make Kaldrin --model Velda --year 2004") {
			t.Errorf("command %s", c.Command)
		}
		f, err := s.Fork(t.Context(), shop.ForkQuery{Name: c.Name, Make: "Kaldrin", Model: "Velda", Year: 2004})
		if err != nil || f.Fork != c.Name || len(f.Bikes) != 1 {
			t.Errorf("%s chosen: %s of %+v, %v", c.Name, f.Fork, f.Bikes, err)
		}
	}
	want := map[string]string{
		"Corva 39": "leg 39 mm, conventional, 2004 V4-0001-V4-0499 – what differs: damper rod (fixed tube)",
		"Pasko 39": "leg 39 mm, conventional, 2004-2006 V4-0500-: slotted adjuster – what differs: open-bath cartridge",
	}
	if d := cmp.Diff(want, told); d != "" {
		t.Error(d)
	}
}

// The query must name one thing, and wholly.
func TestForkQueryRefuses(t *testing.T) {
	s, _ := newShop(t)
	bikes(t, s)
	for _, tt := range []struct {
		q    shop.ForkQuery
		want fault.Kind
	}{
		{shop.ForkQuery{}, fault.Invalid},
		{shop.ForkQuery{Make: "Kaldrin"}, fault.Invalid},
		{shop.ForkQuery{Variant: "S"}, fault.Invalid},
		{shop.ForkQuery{Name: "Corva 39", Year: 2001}, fault.Invalid},
		{shop.ForkQuery{Name: "Corva 39", Frame: "V4-0100"}, fault.Invalid},
		{shop.ForkQuery{Name: "Corva 39", Make: "Kaldrin", Model: "Velda", Bike: "x"}, fault.Invalid},
		{shop.ForkQuery{Name: "Corva 39", Make: "Kaldrin", Model: "Velda", Year: 2013}, fault.NotFound},
		{shop.ForkQuery{Make: "Kaldrin", Model: "Velda", Year: 2004, Frame: "100"}, fault.Ambiguous},
		{shop.ForkQuery{Make: "Kaldrin", Model: "Velda", Year: 2005, Frame: "600"}, fault.Ambiguous}, // one fork, and still not sure
		{shop.ForkQuery{Bike: "x"}, fault.NotFound},
		{shop.ForkQuery{Bike: "x", Make: "Kaldrin", Model: "Velda", Year: 1999}, ""},
		{shop.ForkQuery{Frame: "V4-0600"}, ""},
	} {
		if _, err := s.Fork(t.Context(), tt.q); fault.KindOf(err) != tt.want {
			t.Errorf("%+v: %v, want %q", tt.q, err, tt.want)
		}
	}
}

// A swapped fork goes before that of the model, for that bike alone, and its
// day is the shop's: half past eleven in the evening UTC is tomorrow in Vienna.
func TestSwapGoesFirst(t *testing.T) {
	s, c := newShop(t)
	bikes(t, s)
	ctx := t.Context()
	c.now = time.Date(2026, 1, 5, 23, 30, 0, 0, time.UTC)
	if w, err := s.AddSwap(ctx, " V4-0100 ", "tirona43", "from a  wreck"); err != nil || w.Day != "2026-01-06" || w.Fork != "Tirona 43" || w.Note != "from a wreck" {
		t.Errorf("AddSwap = %+v, %v", w, err)
	}
	q := shop.ForkQuery{Make: "Kaldrin", Model: "Velda", Year: 2004, Frame: "v40100"}
	f, err := s.Fork(ctx, q)
	if err != nil || f.Fork != "Tirona 43" || f.Swap == nil || f.Swap.Day != "2026-01-06" || len(f.Neighbours) != 0 {
		t.Errorf("swapped: %s %+v, %v", f.Fork, f.Swap, err)
	}
	q.Frame = "V4-0101"
	if f, err := s.Fork(ctx, q); err != nil || f.Fork != "Corva 39" || f.Swap != nil {
		t.Errorf("another bike: %s %+v, %v", f.Fork, f.Swap, err)
	}
	for _, tt := range []struct {
		bike   string
		change shop.SwapChange
		want   fault.Kind
	}{
		{"V4-0100", shop.SwapChange{}, fault.Invalid},
		{"V4-0100", shop.SwapChange{Fork: p("none such")}, fault.NotFound},
		{"V4-0100", shop.SwapChange{Note: p("")}, ""},
		{"V4-9999", shop.SwapChange{Own: true}, fault.NotFound},
		{"V4-0100", shop.SwapChange{Own: true}, ""},
	} {
		if _, err := s.ChangeSwap(ctx, tt.bike, tt.change); fault.KindOf(err) != tt.want {
			t.Errorf("%s %+v: %v, want %q", tt.bike, tt.change, err, tt.want)
		}
	}
	q.Frame = "V4-0100"
	if f, err := s.Fork(ctx, q); err != nil || f.Fork != "Corva 39" {
		t.Errorf("its own again: %s, %v", f.Fork, err)
	}
}
