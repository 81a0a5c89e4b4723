package catalog_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// The bounds of ISO 3448 VG 10 and VG 32 at 40 C, as its table has them
// (midpoint and 10 % either way).
func TestParseViscosity(t *testing.T) {
	for _, tt := range []struct {
		text string
		want catalog.Viscosity
		out  string
	}{
		{"9.00", 9_000, "9"},
		{"11.0", 11_000, "11"},
		{"28.8 cSt", 28_800, "28.8"},
		{"35,2 mm2/s", 35_200, "35.2"},
		{"32.5cst", 32_500, "32.5"},
		{"0.001", 1, "0.001"},
		{"0", 0, ""},
		{"32.1234", 0, ""},
		{"2000", 0, ""},
		{"10W", 0, ""},
		{"", 0, ""},
		{"-5", 0, ""},
		{"15 W", 0, ""},
	} {
		got, err := catalog.ParseViscosity(tt.text)
		if got != tt.want || (err == nil) != (tt.want != 0) || err == nil && got.String() != tt.out {
			t.Errorf("ParseViscosity(%q) = %d %s, %v; want %d %s", tt.text, got, got, err, tt.want, tt.out)
		}
		if err != nil && fault.KindOf(err) != fault.Invalid {
			t.Errorf("ParseViscosity(%q): %v", tt.text, err)
		}
	}
}

func FuzzParseViscosity(f *testing.F) {
	for _, s := range []string{"32.5", "1000", "0,001 cSt", "9.", ".5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := catalog.ParseViscosity(text)
		if err != nil {
			return
		}
		if again, err := catalog.ParseViscosity(v.String()); again != v || err != nil {
			t.Errorf("%q is %s, read again %s, %v", text, v, again, err)
		}
	})
}

func TestOilFillRefuses(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids, err := addForks(ctx, tx, "A")
		if err != nil {
			return err
		}
		for _, tt := range []struct {
			o    catalog.OilFill
			want fault.Kind
		}{
			{catalog.OilFill{DryML: 480, Gap: 140_000, GapHow: "spring out", Grade: "10W", CSt: 32_500, Index: 150}, ""},
			{catalog.OilFill{Gap: 140_000, GapHow: "spring out"}, fault.Conflict},
			{catalog.OilFill{DryML: 490, Leg: "left"}, fault.Conflict},
			{catalog.OilFill{Gap: 140_000}, fault.Invalid}, // how is it measured?
			{catalog.OilFill{Grade: "10W"}, fault.Invalid},
			{catalog.OilFill{DryML: 480, Chamber: "tank"}, fault.Invalid},
			{catalog.OilFill{DryML: 205, Chamber: "cartridge"}, ""},
			{catalog.OilFill{DryML: 205, Chamber: "cartridge", Gap: 140_000, GapHow: "x"}, fault.Invalid},
			{catalog.OilFill{DryML: 480, Leg: "front"}, fault.Invalid},
			{catalog.OilFill{DryML: 48_000}, fault.Invalid},
			{catalog.OilFill{DryML: 480, Index: 9999}, fault.Invalid},
			{catalog.OilFill{DryML: 480, YearFrom: 2004, YearTo: 2001}, fault.Invalid},
			{catalog.OilFill{DryML: 480, Source: strings.Repeat("x", 501)}, fault.Invalid},
		} {
			if tt.o.Leg == "" {
				tt.o.Leg = "both"
			}
			if tt.o.Chamber == "" {
				tt.o.Chamber = "leg"
			}
			if err := catalog.AddOilFill(ctx, tx, ids["A"], tt.o); fault.KindOf(err) != tt.want {
				t.Errorf("%+v: %v, want %q", tt.o, err, tt.want)
			}
		}
		all, err := catalog.OilFills(ctx, tx, ids["A"])
		if err != nil || len(all) != 2 || all[0].CSt != 32_500 || all[0].Index != 150 || all[1].Chamber != "cartridge" {
			t.Errorf("kept: %+v, %v", all, err)
		}
		all[0].CSt, all[0].RefillML = 0, 450
		if err := catalog.ChangeOilFill(ctx, tx, all[0]); err != nil {
			return err
		}
		if again, err := catalog.OilFills(ctx, tx, ids["A"]); err != nil || again[0] != all[0] {
			t.Errorf("changed: %+v, %v; want %+v", again[0], err, all[0])
		}
		return nil
	})
}

// What is told of a bike and its years goes before what is told of the bike,
// and that before the fork's own, for each chamber of each leg.
func TestOilOn(t *testing.T) {
	all := []catalog.OilFill{
		{ID: "own", Leg: "both", Chamber: "leg", DryML: 480},
		{ID: "ownC", Leg: "both", Chamber: "cartridge", DryML: 205},
		{ID: "bike", Fitment: "m", Leg: "both", Chamber: "leg", DryML: 490},
		{ID: "years", Fitment: "m", YearFrom: 2003, YearTo: 2004, Leg: "both", Chamber: "leg", DryML: 495},
		{ID: "left", Fitment: "n", Leg: "left", Chamber: "leg", DryML: 300},
		{ID: "open", Fitment: "o", YearFrom: 2010, Leg: "both", Chamber: "leg", DryML: 510},
	}
	for _, tt := range []struct {
		bike string
		year int
		want string
	}{
		{"", 0, "own both, ownC both"},
		{"m", 0, "bike both, ownC both"},
		{"m", 2002, "bike both, ownC both"},
		{"m", 2003, "years both, ownC both"},
		{"m", 2005, "bike both, ownC both"},
		{"n", 2003, "left left, own right, ownC both"},
		{"o", 2009, "own both, ownC both"},
		{"o", 2030, "open both, ownC both"},
		{"x", 2003, "own both, ownC both"},
	} {
		var got []string
		for _, o := range catalog.OilOn(all, tt.bike, tt.year) {
			got = append(got, o.ID+" "+o.Leg)
		}
		if said := strings.Join(got, ", "); said != tt.want {
			t.Errorf("on %q of %d: %s, want %s", tt.bike, tt.year, said, tt.want)
		}
	}
	if got := catalog.OilOn(nil, "m", 2003); got != nil {
		t.Errorf("of nothing: %+v", got)
	}
}

// Whatever is told, each chamber of each leg gets one fill at most, and one if
// any holds for it.
func TestOilOnCoversEachLegOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []catalog.OilFill
		for i := range rapid.IntRange(0, 8).Draw(t, "fills") {
			o := catalog.OilFill{
				ID: fmt.Sprint(i), Leg: rapid.SampledFrom(catalog.Sides).Draw(t, "leg"), DryML: 1,
				Chamber: rapid.SampledFrom(catalog.Chambers).Draw(t, "chamber"), Fitment: rapid.SampledFrom([]string{"", "m", "n"}).Draw(t, "bike"),
			}
			if o.Fitment != "" && rapid.Bool().Draw(t, "years") {
				o.YearFrom = 2000
			}
			all = append(all, o)
		}
		got := catalog.OilOn(all, "m", 2001)
		for _, chamber := range catalog.Chambers {
			for _, leg := range catalog.Sides[1:] {
				covers := func(o catalog.OilFill) bool { return o.Chamber == chamber && (o.Leg == leg || o.Leg == "both") }
				n := len(slices.DeleteFunc(slices.Clone(got), func(p catalog.Pour) bool { return !covers(p.OilFill) }))
				told := slices.ContainsFunc(all, func(o catalog.OilFill) bool { return covers(o) && o.Fitment != "n" })
				if n > 1 || told != (n == 1) {
					t.Fatalf("%s %s: %d fills of %+v in %+v", chamber, leg, n, all, got)
				}
			}
		}
	})
}

// A leg takes some 100 to 1200 mL, a closed cartridge 30 to 500: common
// practice, no source.
func TestUnusualFill(t *testing.T) {
	for _, tt := range []struct {
		chamber string
		ml      int64
		want    string
	}{
		{"leg", 99, "catalog.fill_low"},
		{"leg", 100, ""},
		{"leg", 480, ""},
		{"leg", 1200, ""},
		{"leg", 1201, "catalog.fill_high"},
		{"leg", 4500, "catalog.fill_high"},
		{"cartridge", 29, "catalog.fill_low"},
		{"cartridge", 205, ""},
		{"cartridge", 501, "catalog.fill_high"},
	} {
		if got := catalog.UnusualFill(tt.chamber, tt.ml).ID; got != tt.want {
			t.Errorf("%d mL in the %s: %q, want %q", tt.ml, tt.chamber, got, tt.want)
		}
	}
}

// What is told of a bike overrides only what it states; the rest stays the
// fork's, and says so. An oil is one thing, and so is an air gap with how it is
// measured; a drain refill above the dry fill is nobody's.
func TestOilOnTakesOver(t *testing.T) {
	own := catalog.OilFill{ID: "own", Leg: "both", Chamber: "leg", DryML: 480, RefillML: 460, Gap: 140_000, GapHow: "spring out", Grade: "10W", CSt: 32_500, Index: 150}
	for _, tt := range []struct {
		bike, want catalog.OilFill
		lent       string
	}{
		{catalog.OilFill{DryML: 490}, catalog.OilFill{DryML: 490, RefillML: 460, Gap: 140_000, GapHow: "spring out", Grade: "10W", CSt: 32_500, Index: 150}, "refill gap grade"},
		{catalog.OilFill{Gap: 120_000, GapHow: "spring in"}, catalog.OilFill{DryML: 480, RefillML: 460, Gap: 120_000, GapHow: "spring in", Grade: "10W", CSt: 32_500, Index: 150}, "dry refill grade"},
		{catalog.OilFill{DryML: 450, Grade: "5W"}, catalog.OilFill{DryML: 450, Gap: 140_000, GapHow: "spring out", Grade: "5W"}, "gap"},
		{catalog.OilFill{RefillML: 500, CSt: 20_000}, catalog.OilFill{RefillML: 500, Gap: 140_000, GapHow: "spring out", CSt: 20_000}, "gap"},
	} {
		for _, o := range []*catalog.OilFill{&tt.bike, &tt.want} {
			o.ID, o.Fitment, o.Leg, o.Chamber = "bike", "m", "both", "leg"
		}
		got := catalog.OilOn([]catalog.OilFill{own, tt.bike}, "m", 2003)
		if len(got) != 1 || got[0].OilFill != tt.want {
			t.Errorf("%+v: %+v, want %+v", tt.bike, got, tt.want)
			continue
		}
		var lent []string
		for _, l := range got[0].Lent {
			if lent = append(lent, l.Field); l.Of.ID != "own" {
				t.Errorf("%s is lent by %s", l.Field, l.Of.ID)
			}
		}
		if said := strings.Join(lent, " "); said != tt.lent {
			t.Errorf("%+v: lent %q, want %q", tt.bike, said, tt.lent)
		}
	}
	years := catalog.OilFill{ID: "years", Fitment: "m", YearFrom: 2003, YearTo: 2004, Leg: "left", Chamber: "leg", DryML: 495}
	bike := catalog.OilFill{ID: "bike", Fitment: "m", Leg: "both", Chamber: "leg", RefillML: 470}
	got := catalog.OilOn([]catalog.OilFill{own, bike, years}, "m", 2003)
	if len(got) != 2 || got[0].DryML != 495 || got[0].RefillML != 470 || got[0].Gap != 140_000 || got[1].ID != "bike" || got[1].DryML != 480 ||
		got[0].Lent[0].Of.ID != "bike" || got[0].Lent[1].Of.ID != "own" {
		t.Errorf("years, bike and fork: %+v", got)
	}
}
