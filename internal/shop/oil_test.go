package shop_test

import (
	"encoding/json"
	"fmt"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// Volumes as manuals print them: 1 US fl oz is 29.5735295625 mL, 1 Imperial
// fl oz 28.4130625 mL, both exact by definition; rounded to a millilitre.
func TestAddOilReadsVolumes(t *testing.T) {
	for _, tt := range []struct {
		typed string
		want  int64 // 0: refused
	}{
		{"480mL", 480},
		{"480 cc", 480},
		{"480 cm3", 480},
		{"0,48 L", 480},
		{"16.2 US fl oz", 479},
		{"16.2 Imp fl oz", 460},
		{"16.2 fl oz", 0},
		{"480", 0},
		{"0 mL", 0},
		{"6 L", 0},
		{"much", 0},
	} {
		s, _ := newShop(t)
		must[shop.Fork](t)(s.AddFork(t.Context(), "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}))
		f, err := s.AddOil(t.Context(), shop.OilRequest{Fork: "corva39", OilFacts: shop.OilFacts{Dry: &tt.typed}})
		switch {
		case tt.want == 0:
			if fault.KindOf(err) != fault.Invalid {
				t.Errorf("%s: %+v, %v", tt.typed, f.Oil, err)
			}
		case err != nil || len(f.Oil) != 1 || f.Oil[0].DryML != tt.want || f.Oil[0].JobML != 2*tt.want || f.Oil[0].Source != "Mika":
			t.Errorf("%s: %+v, %v; want %d", tt.typed, f.Oil, err, tt.want)
		}
	}
}

// A dry leg takes more than one that was only drained: common practice, no
// source. Two figures the other way round are refused, and change nothing.
func TestOilRefusesMoreAfterDraining(t *testing.T) {
	s, _ := newShop(t)
	must[shop.Fork](t)(s.AddFork(t.Context(), "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}))
	request := func(dry, refill string) shop.OilRequest {
		return shop.OilRequest{Fork: "corva39", OilFacts: shop.OilFacts{Dry: &dry, Refill: &refill}}
	}
	if _, err := s.AddOil(t.Context(), request("480 mL", "500 mL")); fault.KindOf(err) != fault.Invalid {
		t.Errorf("added: %v", err)
	}
	must[shop.Fork](t)(s.AddOil(t.Context(), request("500 mL", "500 mL")))
	if _, err := s.ChangeOil(t.Context(), request("480 mL", "500 mL")); fault.KindOf(err) != fault.Invalid {
		t.Errorf("changed: %v", err)
	}
	if f := must[shop.Fork](t)(s.Fork(t.Context(), shop.ForkQuery{Name: "corva39"})); len(f.Oil) != 1 || f.Oil[0].DryML != 500 {
		t.Errorf("afterwards %+v", f.Oil)
	}
}

// A closed cartridge has two fills. A leg's first place of oil takes the leg's,
// its second the cartridge's; the bike's own go before the fork's.
func TestOilOfPlaces(t *testing.T) {
	s, _ := newShop(t)
	ctx, fork := t.Context(), must[shop.Fork](t)
	fork(s.AddFork(ctx, "Tirona 48", shop.ForkFacts{Leg: "48", Layout: "upside-down", Damping: "closed_cartridge"}))
	for _, leg := range []string{"both", "both"} {
		must[shop.Place](t)(s.AddPlace(ctx, shop.PlaceRequest{
			Fork: "Tirona 48", Role: "oil", Another: true, PlaceFacts: shop.PlaceFacts{Leg: &leg, PerLeg: p(int64(1))},
		}))
	}
	for _, b := range []shop.Bike{{Years: "2006-2014"}, {Years: "2016-"}} {
		b.Make, b.Model, b.Fork = "Ostrell", "Bjarka 450", "Tirona 48"
		must[shop.Bike](t)(s.AddBike(ctx, b))
	}
	oil := func(q shop.OilRequest, dry string) {
		t.Helper()
		q.Fork, q.Dry = "Tirona 48", &dry
		fork(s.AddOil(ctx, q))
	}
	amounts := func(q shop.ForkQuery) string {
		t.Helper()
		f := fork(s.Fork(ctx, q))
		return fmt.Sprintf("%d+%d mL of %d fills", f.Positions[0].PerJob, f.Positions[1].PerJob, len(f.Oil))
	}
	named, bike := shop.ForkQuery{Name: "Tirona 48"}, shop.ForkQuery{Make: "Ostrell", Model: "Bjarka 450", Year: 2016}
	if got := amounts(named); got != "2+2 mL of 0 fills" {
		t.Errorf("nothing told: %s", got)
	}
	oil(shop.OilRequest{Chamber: "cartridge"}, "205mL")
	oil(shop.OilRequest{}, "370mL")
	if got := amounts(named); got != "740+410 mL of 2 fills" {
		t.Errorf("both chambers: %s", got)
	}
	oil(shop.OilRequest{Model: "ostrell bjarka 450", Years: "2016-"}, "380mL")
	oil(shop.OilRequest{Model: "ostrell bjarka 450", Years: "2006", Chamber: "cartridge"}, "200mL")
	if got := amounts(bike); got != "760+410 mL of 2 fills" {
		t.Errorf("the bike of 2016: %s", got)
	}
	bike.Year = 2006
	if got := amounts(bike); got != "740+400 mL of 2 fills" {
		t.Errorf("the bike of 2006: %s", got)
	}
	bike.Year = 2007
	if got := amounts(bike); got != "740+410 mL of 2 fills" {
		t.Errorf("the bike of 2007: %s", got)
	}
	if got := amounts(named); got != "740+410 mL of 4 fills" {
		t.Errorf("the fork: %s", got)
	}
	for _, tt := range []struct {
		q    shop.OilRequest
		want fault.Kind
	}{
		{shop.OilRequest{Model: "Ostrell Bjarka 450"}, fault.Ambiguous},
		{shop.OilRequest{Model: "Ostrell Bjarka 450", Years: "2013-2017"}, fault.NotFound},
		{shop.OilRequest{Model: "Ostrell Bjarka 450", Years: "2016-"}, fault.Conflict},
		{shop.OilRequest{Model: "Ostrell Bjarka 450", Years: "soon"}, fault.Invalid},
		{shop.OilRequest{Leg: "right"}, fault.Conflict},
		{shop.OilRequest{Leg: "front", Chamber: "cartridge"}, fault.Invalid},
	} {
		tt.q.Fork, tt.q.Dry = "Tirona 48", p("300mL")
		if _, err := s.AddOil(ctx, tt.q); fault.KindOf(err) != tt.want {
			t.Errorf("%+v: %v, want %q", tt.q, err, tt.want)
		}
	}
	f, err := s.ChangeOil(ctx, shop.OilRequest{Fork: "Tirona 48", Chamber: "cartridge", OilFacts: shop.OilFacts{CSt: p("17,2"), Index: p("150")}})
	if err != nil || f.Oil[1].CSt != 17_200 || f.Oil[1].DryML != 205 {
		t.Errorf("changed: %+v, %v", f.Oil, err)
	}
	for want, q := range map[fault.Kind]shop.OilRequest{
		fault.NotFound: {Leg: "left", OilFacts: shop.OilFacts{Grade: p("5W")}},
		fault.Invalid:  {OilFacts: shop.OilFacts{Index: p("high")}},
	} {
		q.Fork = "Tirona 48"
		if _, err := s.ChangeOil(ctx, q); fault.KindOf(err) != want {
			t.Errorf("%+v: %v, want %q", q, err, want)
		}
	}
}

// Each leg can have a fill of its own; then a change must say which.
func TestChangeOilOfOneLeg(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	must[shop.Fork](t)(s.AddFork(ctx, "Tirona 43 H", shop.ForkFacts{Leg: "43", Layout: "conventional", Damping: "damper_rod"}))
	for leg, dry := range map[string]string{"left": "430mL", "right": "560mL"} {
		must[shop.Fork](t)(s.AddOil(ctx, shop.OilRequest{Fork: "Tirona 43 H", Leg: leg, OilFacts: shop.OilFacts{Dry: &dry}}))
	}
	q := shop.OilRequest{Fork: "Tirona 43 H", OilFacts: shop.OilFacts{Grade: p("5W")}}
	if _, err := s.ChangeOil(ctx, q); fault.KindOf(err) != fault.Ambiguous || len(fault.Of(err).Candidates) != 2 {
		t.Errorf("which leg? %v", err)
	}
	q.Leg = "right"
	if f, err := s.ChangeOil(ctx, q); err != nil || f.Oil[0].Grade != "" || f.Oil[1].Grade != "5W" || f.Oil[1].JobML != 560 {
		t.Errorf("right: %+v, %v", f.Oil, err)
	}
}

// Keys of the contract (DEVELOPERS.md) are there although nothing is known, and
// null then.
func TestKeysAreThere(t *testing.T) {
	for _, tt := range []struct {
		answer any
		keys   []string
	}{
		{shop.Oil{}, []string{"dry_ml", "refill_ml", "job_ml", "air_gap_um", "cst_40c_milli", "viscosity_index"}},
		{shop.Fork{}, []string{"swap"}},
		{shop.Position{}, []string{"usual"}},
		{shop.Aging{}, []string{"rubber_says"}},
	} {
		text, err := json.Marshal(tt.answer)
		var got map[string]any
		if err != nil || json.Unmarshal(text, &got) != nil {
			t.Fatalf("%T: %s, %v", tt.answer, text, err)
		}
		for _, key := range tt.keys {
			if value, there := got[key]; !there || value != nil {
				t.Errorf("%T: %s is %v, there %v; want null", tt.answer, key, value, there)
			}
		}
	}
	text, err := json.Marshal(shop.Oil{DryML: 480, GapUM: 140_000, CSt: 32_500, Leg: "both"})
	var got map[string]any
	if err != nil || json.Unmarshal(text, &got) != nil || got["dry_ml"] != 480.0 || got["air_gap_um"] != 140_000.0 || got["cst_40c_milli"] != 32_500.0 ||
		got["leg"] != "both" || got["refill_ml"] != nil {
		t.Errorf("what is known: %s, %v", text, err)
	}
}
