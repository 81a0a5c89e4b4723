package catalog

import (
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Sizes that make no sense together, or none of the role, are refused with
// what to do; each role asks for what tells its parts apart.
func TestWantedCheck(t *testing.T) {
	mm := measure.Millimetre
	for _, tt := range []struct {
		name string
		want Wanted
		id   string // empty: taken
	}{
		{"a seal", Wanted{Role: OilSeal, Size: size(t, "39x52x11/12.5"), Measured: Measured{Tube: 39 * mm, Bore: 52 * mm, Groove: 11 * mm}}, ""},
		{"a wiper", Wanted{Role: Wiper, Size: size(t, "39x52x5"), Measured: Measured{Tube: 39 * mm, Bore: 52 * mm}}, ""},
		{"a bushing", Wanted{Role: LowerBushing, Size: size(t, "39x42x20"), Traits: Traits{Coated: "inside"}, Measured: Measured{Wall: 1500, Tube: 39 * mm}}, ""},
		{"a bolt", Wanted{Role: DrainScrew, Thread: "M6x1", Size: measure.Size{Height: 8 * mm}, Traits: Traits{6 * mm, "flat", "8.8", ""}}, ""},
		{"an O-ring", Wanted{Role: CapORing, Size: size(t, "32x37x2.5")}, ""},
		{"a clip", Wanted{Role: Clip, Measured: Measured{Bore: 53 * mm}}, ""},
		{"an air valve", Wanted{Role: "air_valve", Thread: "M8x1"}, ""},
		{"an old seal in a measured bore", Wanted{Role: OilSeal, Size: size(t, "37.5x52.2x11"), Measured: Measured{Tube: 39 * mm, Bore: 52 * mm, Worn: true}}, ""},

		{"no role", Wanted{Size: size(t, "39x52x11")}, "catalog.bad_role"},
		{"no size", Wanted{Role: OilSeal}, "catalog.no_size"},
		{"worn alone", Wanted{Role: OilSeal, Measured: Measured{Worn: true}}, "catalog.no_size"},
		{"worn, but measured in the fork", Wanted{Role: OilSeal, Measured: Measured{Bore: 52 * mm, Worn: true}}, "catalog.worn_what"},
		{"oil", Wanted{Role: Oil, Size: size(t, "39x52x11")}, "catalog.no_sizes"},
		{"a kit", Wanted{Role: Kit, Size: size(t, "39x52x11")}, "catalog.no_sizes"},
		{"a seal's thread", Wanted{Role: OilSeal, Thread: "M10x1.25"}, "catalog.no_use"},
		{"a wiper's groove", Wanted{Role: Wiper, Measured: Measured{Groove: 11 * mm}}, "catalog.no_use"},
		{"a bolt's bore", Wanted{Role: BottomBolt, Measured: Measured{Bore: 10 * mm}}, "catalog.no_use"},
		{"a seal's head", Wanted{Role: OilSeal, Traits: Traits{Head: 10 * mm}}, "catalog.no_use"},
		{"the tube of a bushing in its groove", Wanted{Role: TubeBushing, Measured: Measured{Tube: 39 * mm}}, "catalog.no_use"},
		{"no such seat", Wanted{Role: BottomBolt, Traits: Traits{Seat: "round"}}, "catalog.bad_choice"},
		{"no such class", Wanted{Role: BottomBolt, Traits: Traits{Strength: "13"}}, "catalog.bad_strength"},

		{"inside out", Wanted{Role: OilSeal, Size: measure.Size{Inner: 52 * mm, Outer: 39 * mm}}, "measure.outer_not_above"},
		{"overall below the body", Wanted{Role: OilSeal, Size: measure.Size{Height: 11 * mm, Overall: 9 * mm}}, "measure.overall_below"},
		{"tube wider than bore", Wanted{Role: OilSeal, Measured: Measured{Tube: 52 * mm, Bore: 39 * mm}}, "catalog.contradict"},
		{"inside wider than bore", Wanted{Role: OilSeal, Size: measure.Size{Inner: 54 * mm}, Measured: Measured{Bore: 52 * mm}}, "catalog.contradict"},
		{"tube wider than outside", Wanted{Role: OilSeal, Size: measure.Size{Outer: 39 * mm}, Measured: Measured{Tube: 41 * mm}}, "catalog.contradict"},
		{"two tubes", Wanted{Role: OilSeal, Size: measure.Size{Inner: 39 * mm}, Measured: Measured{Tube: 41 * mm}}, "catalog.contradict"},
		{"two bores", Wanted{Role: OilSeal, Size: measure.Size{Outer: 52 * mm}, Measured: Measured{Bore: 54 * mm}}, "catalog.contradict"},
		{"half a millimetre is a slip of the callipers", Wanted{Role: OilSeal, Size: measure.Size{Outer: 52 * mm}, Measured: Measured{Bore: 52*mm + 500}}, ""},
		{"a body that its groove does not hold", Wanted{Role: OilSeal, Size: measure.Size{Height: 11 * mm}, Measured: Measured{Groove: 9 * mm}}, "catalog.contradict"},
		{"a body loose in its groove", Wanted{Role: OilSeal, Size: measure.Size{Height: 9 * mm}, Measured: Measured{Groove: 11 * mm}}, "catalog.contradict"},
		{"a body with play in its groove", Wanted{Role: OilSeal, Size: measure.Size{Height: 11 * mm}, Measured: Measured{Groove: 11*mm + 800}}, ""},
		{"an old seal of another tube", Wanted{Role: OilSeal, Size: measure.Size{Inner: 45 * mm}, Measured: Measured{Tube: 39 * mm, Worn: true}}, "catalog.contradict"},
		{"an old seal whose lip is gone", Wanted{Role: OilSeal, Size: measure.Size{Inner: 36 * mm}, Measured: Measured{Tube: 39 * mm, Worn: true}}, "catalog.contradict"},
		{"an old seal as its free lip stands", Wanted{Role: OilSeal, Size: measure.Size{Inner: 37 * mm}, Measured: Measured{Tube: 39 * mm, Worn: true}}, ""},
		{"an old seal of another bore", Wanted{Role: OilSeal, Size: measure.Size{Outer: 54 * mm}, Measured: Measured{Bore: 52 * mm, Worn: true}}, "catalog.contradict"},
		{"an old seal of another groove", Wanted{Role: OilSeal, Size: measure.Size{Height: 11 * mm}, Measured: Measured{Groove: 9 * mm, Worn: true}}, "catalog.contradict"},
		{"another wall", Wanted{Role: LowerBushing, Size: size(t, "39x42x20"), Measured: Measured{Wall: 2000}}, "catalog.contradict"},
	} {
		err := tt.want.Check()
		if tt.id == "" {
			if err != nil {
				t.Errorf("%s: %v", tt.name, err)
			}
			continue
		}
		if e := fault.Of(err); err == nil || e.Kind != fault.Invalid || e.Message.ID != tt.id || e.Hint.IsZero() {
			t.Errorf("%s: %v, want %s with a hint", tt.name, err, tt.id)
		}
	}
}

// A seal is chosen by bore, outside and height, a bushing not by its wall
// alone. Common practice, no source.
func TestWantedOpen(t *testing.T) {
	for _, tt := range []struct {
		name string
		want Wanted
		open string
	}{
		{"a seal's bore", Wanted{Role: OilSeal, Size: measure.Size{Inner: 39000}}, "outer height"},
		{"a seal in the fork", Wanted{Role: OilSeal, Measured: Measured{Tube: 39000, Bore: 52000, Groove: 11000}}, ""},
		{"a seal as printed", Wanted{Role: OilSeal, Size: size(t, "39x52x11")}, ""},
		{"a wiper", Wanted{Role: Wiper, Size: size(t, "39x52")}, ""},
		{"a bushing by wall and length", Wanted{Role: TubeBushing, Size: measure.Size{Height: 15000}, Measured: Measured{Wall: 1500}}, "bore"},
		{"a bushing by wall, length and bore", Wanted{Role: TubeBushing, Size: measure.Size{Height: 15000}, Measured: Measured{Wall: 1500, Bore: 41600}}, ""},
		{"a bolt's thread", Wanted{Role: BottomBolt, Thread: "M10x1.25"}, "length head"},
		{"a washer's hole", Wanted{Role: BottomWasher, Size: measure.Size{Inner: 10000}}, "outer"},
		{"a backup washer's thickness", Wanted{Role: BackupWasher, Size: measure.Size{Height: 2000}}, "inner outer"},
		{"a clip's bore", Wanted{Role: Clip, Measured: Measured{Bore: 53000}}, "height"},
		{"an O-ring's inside", Wanted{Role: CapORing, Size: measure.Size{Inner: 32000}}, "section"},
		{"a spring", Wanted{Role: "spring", Size: measure.Size{Inner: 30000}}, "outer height"},
		{"a cartridge's seal", Wanted{Role: "cartridge_seal", Size: size(t, "12x22x5")}, ""},
		{"an air valve", Wanted{Role: "air_valve", Thread: "M8x1"}, "height"},
		{"oil", Wanted{Role: Oil}, ""},
	} {
		if got := ids(tt.want.Open()); got != tt.open {
			t.Errorf("%s: open %q, want %q", tt.name, got, tt.open)
		}
	}
}

// Every size that a role takes can be told and has a name of its own.
func TestRoleSizes(t *testing.T) {
	for _, role := range Roles {
		names := map[string]bool{}
		for _, name := range role.Sizes() {
			if _, known := (Wanted{}).told()[name]; !known {
				t.Errorf("%s: nobody can tell %s", role, name)
			}
			names[role.sizeName(name).ID] = true
		}
		if len(names) != len(role.Sizes()) {
			t.Errorf("%s: two sizes have one name", role)
		}
	}
	if Role("nonsense").Sizes() != nil {
		t.Error("an unknown role has sizes")
	}
}

// What tells bolts and bushings apart is told of them alone, in the words that
// there are.
func TestTraitsCheck(t *testing.T) {
	for _, tt := range []struct {
		role   Role
		traits Traits
		ok     bool
	}{
		{BottomBolt, Traits{Head: 10_000, Seat: "sealed", Strength: "12.9"}, true},
		{DrainScrew, Traits{Strength: "A4-80"}, true},
		{LowerBushing, Traits{Coated: "both"}, true},
		{OilSeal, Traits{}, true},
		{BottomBolt, Traits{Head: -1}, false},
		{BottomBolt, Traits{Head: 51_000}, false},
		{BottomBolt, Traits{Seat: "round"}, false},
		{BottomBolt, Traits{Strength: "10,9"}, false},
		{BottomBolt, Traits{Strength: "hard"}, false},
		{BottomBolt, Traits{Coated: "inside"}, false},
		{LowerBushing, Traits{Coated: "top"}, false},
		{LowerBushing, Traits{Head: 1000}, false},
		{OilSeal, Traits{Strength: "8.8"}, false},
		{OilSeal, Traits{Seat: "flat"}, false},
	} {
		err := tt.traits.check(tt.role)
		if (err == nil) != tt.ok || err != nil && fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s %+v: %v, want ok %v", tt.role, tt.traits, err, tt.ok)
		}
	}
	for typed, want := range map[string]string{"10,9": "10.9", " 8.8 ": "8.8", "a2-70": "A2-70", "": ""} {
		if got := Strength(typed); got != want {
			t.Errorf("Strength(%q) = %q, want %q", typed, got, want)
		}
	}
}
