package catalog

import (
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"

	"github.com/google/go-cmp/cmp"
)

func size(t *testing.T, text string) measure.Size {
	t.Helper()
	if text == "" {
		return measure.Size{}
	}
	s, err := measure.ParseSize(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Fits and misses as a workshop knows them: common practice, no source, but
// for the rows that name one.
func TestFit(t *testing.T) {
	for _, tt := range []struct {
		name         string
		role         Role
		want, thread string
		partRole     Role
		got, has     string
		verdict      Verdict
		reason       string // id of the first reason
	}{
		{"the usual 39 mm seal", OilSeal, "39x52x11", "", OilSeal, "39x52x11", "", Fits, ""},
		{"another bore", OilSeal, "39x52x11", "", OilSeal, "41x54x11", "", No, "catalog.differs"},
		{"outsides a tenth apart", OilSeal, "48x57.7x9", "", OilSeal, "48x57.9x9", "", No, "catalog.differs"},
		{"a taller body covers the clip groove", OilSeal, "39x52x9.5", "", OilSeal, "39x52x11", "", No, "catalog.too_tall"},
		{"a shorter body is loose under the clip", OilSeal, "39x52x11", "", OilSeal, "39x52x9.5", "", Near, "catalog.too_short"},
		// DIN 3760, as sellers of rotary seals print it: width +-0.3 mm above 10 mm.
		{"height within its tolerance", OilSeal, "39x52x11", "", OilSeal, "39x52x11.3", "", Fits, ""},
		{"height beyond its tolerance", OilSeal, "39x52x11", "", OilSeal, "39x52x11.31", "", No, "catalog.too_tall"},
		{"taller overall", OilSeal, "39x52x11/12.5", "", OilSeal, "39x52x11/14", "", Near, "catalog.taller_overall"},
		{"lower overall", OilSeal, "39x52x11/14", "", OilSeal, "39x52x11/12.5", "", Fits, ""},
		{"a lip above the body where only the body is known", OilSeal, "39x52x11", "", OilSeal, "39x52x11/12.5", "", Near, "catalog.overall_open"},
		{"another lip of a wiper", Wiper, "39x52x5/13.5", "", Wiper, "39x52x5/12", "", Near, "catalog.lip"},
		{"a wiper by the height of its body alone", Wiper, "39x52x5", "", Wiper, "39x52x5/13.5", "", Near, "catalog.lip_open"},
		{"a wiper without a lip above its body", Wiper, "39x52x5", "", Wiper, "39x52x5/5.3", "", Fits, ""},
		{"a wiper by bore and outside alone", Wiper, "39x52", "", Wiper, "39x52x5/13.5", "", Fits, ""}, // see Open
		{"the same lip of a wiper", Wiper, "39x52x5/13.5", "", Wiper, "39x52x5/13.5", "", Fits, ""},
		{"a wiper's lip not stated", Wiper, "39x52x5/13.5", "", Wiper, "39x52x5", "", Near, "catalog.not_stated"},
		{"overall not stated", OilSeal, "39x52x11/12.5", "", OilSeal, "39x52x11", "", Fits, ""},
		{"height not stated", OilSeal, "39x52x11", "", OilSeal, "39x52", "", Near, "catalog.not_stated"},
		{"a wiper of the same sizes is no seal", OilSeal, "39x52x11", "", Wiper, "39x52x11", "", No, "catalog.other_role"},
		{"a bushing of another length", TubeBushing, "39x42x20", "", TubeBushing, "39x42x15", "", No, "catalog.differs"},
		// ISO 3547-1, from memory: +-0.25 mm.
		{"a bushing's length within its tolerance", TubeBushing, "39x42x15", "", TubeBushing, "39x42x15.25", "", Fits, ""},
		{"a bushing's length beyond it", TubeBushing, "39x42x15", "", TubeBushing, "39x42x15.26", "", No, "catalog.differs"},
		{"a washer of another thickness", BottomWasher, "10x16x1.5", "", BottomWasher, "10x16x1", "", Fits, ""},
		{"a washer of another outside", BottomWasher, "10x16", "", BottomWasher, "10x14", "", No, "catalog.differs"},
		{"a bolt", BottomBolt, "", "M10x1.25", BottomBolt, "", "M10 P1.25", Fits, ""},
		{"a bolt of another pitch", BottomBolt, "", "M10x1.25", BottomBolt, "", "M10x1.5", No, "catalog.differs"},
		// ISO 262 gives M10 the coarse pitch 1.5, which is a hint and never a match.
		{"a bolt without a pitch", BottomBolt, "", "M10x1.5", BottomBolt, "", "M10", Near, "catalog.no_pitch_coarse"},
		{"an inch bolt without its threads per inch", BottomBolt, "", "5/16-24 UNF", BottomBolt, "", "5/16 UNF", Near, "catalog.no_pitch"},
		{"a bolt of another diameter", BottomBolt, "", "M10x1.25", BottomBolt, "", "M8x1.25", No, "catalog.differs"},
		{"a bolt without a thread", BottomBolt, "", "M10x1.25", BottomBolt, "", "", Near, "catalog.not_stated"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			verdict, reasons := Fit(Wanted{Role: tt.role, Size: size(t, tt.want), Thread: tt.thread}, Part{Role: tt.partRole, Size: size(t, tt.got), Thread: tt.has})
			var first fault.Message
			if len(reasons) > 0 {
				first = reasons[0]
			}
			if verdict != tt.verdict || first.ID != tt.reason {
				t.Errorf("Fit = %s %v, want %s %s", verdict, reasons, tt.verdict, tt.reason)
			}
		})
	}
}

// Reasons carry lengths, so that each language can print them.
func TestFitReasonsMeasure(t *testing.T) {
	_, reasons := Fit(Wanted{Role: OilSeal, Size: size(t, "39x52x9.5")}, Part{Role: OilSeal, Size: size(t, "39x52x11")})
	want := []fault.Message{fault.Say("catalog.too_tall", 1500*measure.Micrometre)}
	if diff := cmp.Diff(reasons, want, cmp.AllowUnexported(fault.Message{})); diff != "" {
		t.Errorf("reasons (-got +want)\n%s", diff)
	}
}

func TestNormal(t *testing.T) {
	for text, want := range map[string]string{
		"ab-12.3 4/x": "AB1234X", "": "", "--": "", "Ölring 5": "ÖLRING5", "O0I1": "O0I1",
	} {
		if got := Normal(text); got != want {
			t.Errorf("Normal(%q) = %q, want %q", text, got, want)
		}
	}
}
