package catalog

import (
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// told reads what is wanted: a size, thread and what was measured.
func told(t *testing.T, role Role, printed string, m Measured) Wanted {
	t.Helper()
	return Wanted{Role: role, Size: size(t, printed), Measured: m}
}

// What was measured in the fork. Allowances: bore H8 and tube h9 (ISO 286, from
// memory), width +-0.3 mm above 10 mm (DIN 3760 as sellers print it); the rest
// is common practice, no source.
func TestFitMeasured(t *testing.T) {
	for _, tt := range []struct {
		name    string
		role    Role
		m       Measured
		part    string
		verdict Verdict
		why     string
	}{
		{"all three", OilSeal, Measured{Tube: 38_960, Bore: 52_030, Groove: 11_200}, "39x52x11", Fits, ""},
		{"bore at the end of H8 and of the tool", OilSeal, Measured{Bore: 52_066}, "39x52x11", Fits, ""},
		{"bore beyond", OilSeal, Measured{Bore: 52_067}, "39x52x11", Near, "bore_near"},
		{"bore smaller, within the tool", OilSeal, Measured{Bore: 51_980}, "39x52x11", Fits, ""},
		{"bore smaller", OilSeal, Measured{Bore: 51_979}, "39x52x11", Near, "bore_near"},
		{"0.2 mm between neighbours, one way", OilSeal, Measured{Bore: 57_900}, "48x57.7x9", No, "bore_differs"},
		{"0.2 mm between neighbours, the other", OilSeal, Measured{Bore: 57_700}, "48x57.9x9", No, "bore_differs"},
		{"tube at the end of h9", OilSeal, Measured{Tube: 38_918}, "39x52x11", Fits, ""},
		{"tube thinner", OilSeal, Measured{Tube: 38_917}, "39x52x11", Near, "tube_near"},
		{"tube thicker", OilSeal, Measured{Tube: 39_021}, "39x52x11", Near, "tube_near"},
		{"another tube", OilSeal, Measured{Tube: 38_000}, "39x52x11", No, "tube_differs"},
		{"34.9 needs a micrometer", OilSeal, Measured{Tube: 34_900}, "34.9x46x11", Fits, "micrometer"},
		{"34.9 is not 35", OilSeal, Measured{Tube: 34_900}, "35x46x11", Near, "tube_near"},
		{"35 needs a micrometer", Wiper, Measured{Tube: 35_000}, "35x46x6", Fits, "micrometer"},
		{"35 is not 34.9", Wiper, Measured{Tube: 35_000}, "34.9x46x6", Near, "tube_near"},
		{"41 needs a micrometer", OilSeal, Measured{Tube: 41_000}, "41x54x11", Fits, "micrometer"},
		{"41 is not 41.3", OilSeal, Measured{Tube: 41_000}, "41.3x54x11", Near, "tube_near"},
		{"41.3 needs a micrometer", OilSeal, Measured{Tube: 41_280}, "41.3x54x11", Fits, "micrometer"},
		{"41.3 is not 41", OilSeal, Measured{Tube: 41_280}, "41x54x11", Near, "tube_near"},
		{"43 has no neighbour", OilSeal, Measured{Tube: 43_000}, "43x54x11", Fits, ""},
		{"body as deep as the groove", OilSeal, Measured{Groove: 11_000}, "39x52x11", Fits, ""},
		{"body within its tolerance", OilSeal, Measured{Groove: 10_700}, "39x52x11", Near, "tight"},
		{"body taller", OilSeal, Measured{Groove: 10_690}, "39x52x11", No, "too_tall"},
		{"body taller than a shallow groove", OilSeal, Measured{Groove: 9_500}, "39x52x9.71", No, "too_tall"},
		{"a taller body is no better for its wider tolerance", OilSeal, Measured{Groove: 9_750}, "39x52x10.02", No, "too_tall"},
		{"body with the clip's play", OilSeal, Measured{Groove: 11_500}, "39x52x11", Fits, ""},
		{"body loose under the clip", OilSeal, Measured{Groove: 11_510}, "39x52x11", Near, "too_short"},
		{"a lip above the groove", OilSeal, Measured{Groove: 11_000}, "39x52x11/12.5", Near, "overall_open"},
		{"height not stated", OilSeal, Measured{Groove: 11_000}, "39x52", Near, "not_stated"},
		{"bore not stated", OilSeal, Measured{Bore: 52_000, Tube: 39_000}, "39x?x11", Near, "not_stated"},

		{"wall of a bushing", TubeBushing, Measured{Wall: 1_480}, "36.6x39.6x15", Fits, ""},
		{"wall of a bushing, a tenth off", TubeBushing, Measured{Wall: 1_400}, "36.6x39.6x15", Near, "wall_near"},
		{"wall of a bushing, thicker", TubeBushing, Measured{Wall: 2_000}, "36.6x39.6x15", No, "differs"},
		{"wall of half a bushing", TubeBushing, Measured{Wall: 1_500}, "36.6x?x15", Near, "not_stated"},
		{"bushing slides in its bore", TubeBushing, Measured{Bore: 39_700}, "36.6x39.6x15", Fits, ""},
		{"bushing too wide for its bore", TubeBushing, Measured{Bore: 39_400}, "36.6x39.6x15", No, "bore_differs"},
		{"bushing in the lower", LowerBushing, Measured{Tube: 39_000, Bore: 42_010}, "39x42x20", Fits, ""},

		{"backup washer clears the tube", BackupWasher, Measured{Tube: 39_000, Bore: 52_000}, "39.4x51.7x2", Fits, ""},
		{"backup washer on the tube", BackupWasher, Measured{Tube: 39_450}, "39.4x51.7x2", Near, "tube_washer"},
		{"backup washer of a thinner tube", BackupWasher, Measured{Tube: 40_000}, "39.4x51.7x2", No, "tube_differs"},
		{"backup washer loose", BackupWasher, Measured{Bore: 52_600}, "39.4x51.7x2", Near, "washer_loose"},
		{"backup washer wider", BackupWasher, Measured{Bore: 51_000}, "39.4x51.7x2", No, "washer_wide"},
		{"crush washer loose in its seat", BottomWasher, Measured{Bore: 14_000}, "10x13.5x1", Near, "washer_loose"},
		{"crush washer wider than its seat", BottomWasher, Measured{Bore: 13_900}, "10x14x1", No, "washer_wide"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			v, why := Fit(told(t, tt.role, "", tt.m), Part{Role: tt.role, Size: size(t, tt.part)})
			if v != tt.verdict || ids(why) != tt.why {
				t.Errorf("%s: %s %v, want %s %s", tt.part, v, why, tt.verdict, tt.why)
			}
		})
	}
}

// Outsides over bore of DIN 3760, as sellers of rotary seals print them: metal
// case +0.10 to +0.23, rubber-covered +0.15 to +0.35 mm. An old part that
// measures any of them may be of that bore, and never more than near.
func TestFitDIN3760(t *testing.T) {
	for _, over := range []measure.Length{100, 150, 230, 350} {
		want := told(t, OilSeal, "", Measured{Worn: true})
		want.Size.Outer = 52_000 + over
		if v, why := Fit(want, Part{Role: OilSeal, Size: size(t, "39x52x11")}); v != Near || ids(why) != "worn_seal" {
			t.Errorf("52 measured %v over: %s %v", over, v, why)
		}
		if v, _ := Fit(want, Part{Role: OilSeal, Size: size(t, "39x51x11")}); v != No {
			t.Errorf("51 measured as 52 and %v: %s", over, v)
		}
	}
	// Widths: +-0.2 mm up to 10 mm, +-0.3 mm above.
	for _, tt := range []struct {
		want, got string
		verdict   Verdict
	}{
		{"39x52x10", "39x52x10.2", Fits},
		{"39x52x10", "39x52x10.21", No},
		{"39x52x10", "39x52x9.8", Fits},
		{"39x52x10", "39x52x9.79", Near},
		{"39x52x11", "39x52x11.3", Fits},
		{"39x52x11", "39x52x11.31", No},
		{"39x52x11", "39x52x10.7", Fits},
		{"39x52x11", "39x52x10.69", Near},
	} {
		if v, why := Fit(told(t, OilSeal, tt.want, Measured{}), Part{Role: OilSeal, Size: size(t, tt.got)}); v != tt.verdict {
			t.Errorf("%s for %s: %s %v", tt.got, tt.want, v, why)
		}
	}
}

// From an old seal 57.7, 57.9 and 58.1 cannot be told apart, whichever of them
// it measures; in a bore they can. Common practice, no source.
func TestFitOldSealLeavesOutsideOpen(t *testing.T) {
	outsides := []measure.Length{57_700, 57_900, 58_100}
	for _, measured := range outsides {
		for _, outside := range outsides {
			part := Part{Role: OilSeal, Size: measure.Size{Inner: 48_000, Outer: outside, Height: 9_000}}
			old := Wanted{Role: OilSeal, Size: measure.Size{Inner: 46_500, Outer: measured, Height: 9_200}, Measured: Measured{Worn: true}}
			if v, why := Fit(old, part); v != Near {
				t.Errorf("old part measures %v, seal of %v: %s %v", measured, outside, v, why)
			}
			v, _ := Fit(Wanted{Role: OilSeal, Measured: Measured{Bore: measured}}, part)
			if (v == Fits) != (outside == measured) || outside != measured && v != No {
				t.Errorf("bore measures %v, seal of %v: %s", measured, outside, v)
			}
		}
	}
}

// Old parts: what wear explains comes near, what it does not is no. Common
// practice, no source.
func TestFitWorn(t *testing.T) {
	for _, tt := range []struct {
		name        string
		role        Role
		old, part   string
		wall        measure.Length
		verdict     Verdict
		first, last string // reasons
	}{
		{"the sizes printed on it", OilSeal, "39x52x11", "39x52x11", 0, Near, "worn_seal", "worn_seal"},
		{"a free lip stands smaller", OilSeal, "37.5x52.2x11", "39x52x11", 0, Near, "worn_seal", "worn_seal"},
		{"a worn lip gives way to callipers", OilSeal, "39.05x52.2x11", "39x52x11", 0, Near, "worn_seal", "worn_seal"},
		{"a lip a little larger than the tube", OilSeal, "39.1x52.2x11", "39x52x11", 0, Near, "worn_wide", "worn_seal"},
		{"a lip half a millimetre larger", OilSeal, "39.5x52.2x11", "39x52x11", 0, Near, "worn_wide", "worn_seal"},
		{"an old wiper's lip larger than the tube", Wiper, "39.5x52.2x5", "39x52x5", 0, Near, "worn_wide", "worn_wiper"},
		{"a lip is never much larger than the tube", OilSeal, "39.6x52.2x11", "39x52x11", 0, No, "worn_differs", "worn_seal"},
		{"a lip 3 mm smaller", OilSeal, "36x52.2x11", "39x52x11", 0, No, "worn_differs", "worn_seal"},
		{"pulled out of round", OilSeal, "37.5x51.8x11", "39x52x11", 0, Near, "worn_small", "worn_seal"},
		{"squeezed", OilSeal, "37.5x52.2x10.6", "39x52x11", 0, Near, "worn_seal", "worn_seal"},
		{"a taller one", OilSeal, "37.5x52.2x9.5", "39x52x11", 0, No, "worn_differs", "worn_seal"},
		{"a shorter one", OilSeal, "37.5x52.2x11", "39x52x9.5", 0, Near, "too_short", "worn_seal"},
		{"a taller lip", OilSeal, "37.5x52.2x11/12", "39x52x11/13", 0, Near, "taller_overall", "worn_seal"},
		{"a squeezed lip", OilSeal, "37.5x52.2x11/12", "39x52x11/12.5", 0, Near, "worn_seal", "worn_seal"},
		{"an old wiper", Wiper, "38x52.2x5", "39x52x5/13", 0, Near, "lip_open", "worn_wiper"},
		{"an old bushing", TubeBushing, "?x?x15", "36.6x39.6x15", 1_380, Near, "worn_bushing", "worn_bushing"},
		{"an old bushing of another wall", TubeBushing, "?x?x15", "36.6x39.6x15", 1_000, No, "differs", "worn_bushing"},
		{"a crushed washer", BottomWasher, "10.1x16.3x1.2", "10x16x1.5", 0, Near, "worn_washer", "worn_washer"},
		{"a washer of another outside", BottomWasher, "10x16.3x1.2", "10x14x1.5", 0, No, "worn_differs", "worn_washer"},
		{"a swollen O-ring", CapORing, "32.4x37.5x2.55", "32x37x2.5", 0, Near, "worn", "worn"},
		{"any other ring", "piston_ring", "20.2x25.1x3", "20x25x3", 0, Near, "worn", "worn"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			want := Wanted{Role: tt.role, Measured: Measured{Worn: true, Wall: tt.wall}}
			if tt.old != "?x?x15" {
				want.Size = size(t, tt.old)
			} else {
				want.Size.Height = 15_000
			}
			v, why := Fit(want, Part{Role: tt.role, Size: size(t, tt.part)})
			if v != tt.verdict || why[0].ID != "catalog."+tt.first || why[len(why)-1].ID != "catalog."+tt.last {
				t.Errorf("%s for an old %s: %s %v", tt.part, tt.old, v, why)
			}
		})
	}
}

// Bolts and bushings by what tells them from others of their size. Common
// practice, no source; lengths within js15 (ISO 4759-1, from memory: +-0.42 mm
// for 30 mm).
func TestFitTraits(t *testing.T) {
	m10 := "M10x1.25"
	for _, tt := range []struct {
		name    string
		want    Wanted
		part    Part
		verdict Verdict
		why     string
	}{
		{"length within js15", Wanted{Size: measure.Size{Height: 30_000}}, Part{Size: measure.Size{Height: 29_580}}, Fits, ""},
		{"too long", Wanted{Size: measure.Size{Height: 30_000}}, Part{Size: measure.Size{Height: 30_430}}, No, "bolt_long"},
		{"too short", Wanted{Size: measure.Size{Height: 30_000}}, Part{Size: measure.Size{Height: 28_000}}, No, "bolt_short"},
		{"head within h14", Wanted{Traits: Traits{Head: 10_000}}, Part{Traits: Traits{Head: 9_640}}, Fits, ""},
		{"head not stated", Wanted{Traits: Traits{Head: 10_000}}, Part{}, Near, "not_stated"},
		{"seat", Wanted{Traits: Traits{Seat: "flanged"}}, Part{Traits: Traits{Seat: "flanged"}}, Fits, ""},
		{"another seat", Wanted{Traits: Traits{Seat: "flanged"}}, Part{Traits: Traits{Seat: "sealed"}}, No, "word_differs"},
		{"seat not stated", Wanted{Traits: Traits{Seat: "flanged"}}, Part{}, Near, "not_stated"},
		{"class", Wanted{Traits: Traits{Strength: "10.9"}}, Part{Traits: Traits{Strength: "10.9"}}, Fits, ""},
		{"weaker", Wanted{Traits: Traits{Strength: "10.9"}}, Part{Traits: Traits{Strength: "8.8"}}, No, "weaker"},
		{"stronger", Wanted{Traits: Traits{Strength: "8.8"}}, Part{Traits: Traits{Strength: "12.9"}}, Near, "stronger"},
		{"stainless", Wanted{Traits: Traits{Strength: "8.8"}}, Part{Traits: Traits{Strength: "A2-70"}}, No, "strength_other"},
		{"class not stated", Wanted{Traits: Traits{Strength: "8.8"}}, Part{}, Near, "not_stated"},
		{"an old bolt", Wanted{Size: measure.Size{Height: 30_000}, Measured: Measured{Worn: true}}, Part{Size: measure.Size{Height: 30_000}}, Near, "worn_bolt"},
		{"an old bolt of another length", Wanted{Size: measure.Size{Height: 30_000}, Measured: Measured{Worn: true}}, Part{Size: measure.Size{Height: 35_000}}, No, "worn_differs worn_bolt"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			tt.want.Role, tt.want.Thread, tt.part.Role, tt.part.Thread = BottomBolt, m10, BottomBolt, m10
			if v, why := Fit(tt.want, tt.part); v != tt.verdict || ids(why) != tt.why {
				t.Errorf("%s %v, want %s %s", v, why, tt.verdict, tt.why)
			}
		})
	}
	for _, tt := range []struct {
		want, got string
		verdict   Verdict
	}{
		{"outside", "outside", Fits},
		{"outside", "inside", No},
		{"outside", "both", Near},
		{"both", "both", Fits},
		{"both", "outside", No},
		{"outside", "", Near},
		{"", "outside", Fits},
	} {
		v, why := Fit(Wanted{Role: TubeBushing, Traits: Traits{Coated: tt.want}}, Part{Role: TubeBushing, Traits: Traits{Coated: tt.got}})
		if v != tt.verdict {
			t.Errorf("coated %q for %q: %s %v", tt.got, tt.want, v, why)
		}
	}
}

// A seal without a known use comes near where all of it is the same.
func TestFitUseUnknown(t *testing.T) {
	want := told(t, OilSeal, "39x52x11", Measured{})
	if v, why := Fit(want, Part{Role: Other, Size: size(t, "39x52x11")}); v != Near || ids(why) != "use_unknown" {
		t.Errorf("same size, role other: %s %v", v, why)
	}
	if v, why := Fit(want, Part{Role: Other, Size: size(t, "39x52x12")}); v != No {
		t.Errorf("another size, role other: %s %v", v, why)
	}
	if v, why := Fit(told(t, Other, "39x52x11", Measured{}), Part{Role: Other, Size: size(t, "39x52x11")}); v != Fits {
		t.Errorf("asked for role other: %s %v", v, why)
	}
}

// Where the depth under the clip is told beside the height of the body, a lip
// is held against the lower of them.
func TestFitLipAboveTheLowerBody(t *testing.T) {
	for _, groove := range []measure.Length{11_000, 11_400, 12_500} {
		_, why := Fit(told(t, OilSeal, "39x52x11", Measured{Groove: groove}), Part{Role: OilSeal, Size: size(t, "39x52x11/12.5")})
		if !strings.Contains(ids(why), "overall_open") {
			t.Errorf("groove %v: %v", groove, why)
		}
	}
}

// Every reason says by how much, or what of what: the worst stands first, and
// what one may mind with a part that fits is not said of one that does not.
func TestFitReasonsInOrder(t *testing.T) {
	want := Wanted{Role: OilSeal, Measured: Measured{Tube: 41_000, Bore: 54_000, Groove: 11_000}}
	for part, reasons := range map[string]string{
		"41x54x11": "micrometer", "41x54x9.5": "too_short micrometer", "41x53x9.5": "bore_differs too_short", "41x53x11/13": "bore_differs overall_open",
	} {
		if _, why := Fit(want, Part{Role: OilSeal, Size: size(t, part)}); ids(why) != reasons {
			t.Errorf("%s: %s, want %s", part, ids(why), reasons)
		}
	}
	_, why := Fit(want, Part{Role: OilSeal, Size: size(t, "41x54x9.5")})
	if why[0].Args[0] != 1500*measure.Micrometre {
		t.Errorf("loose by %v, want 1.5 mm", why[0].Args[0])
	}
	if _, why := Fit(want, Part{Role: Wiper}); len(why) != 1 || why[0].Args[0].(fault.Message).ID != "role.wiper" {
		t.Errorf("another role: %v", why)
	}
}
