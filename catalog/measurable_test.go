package catalog_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/catalog/lineup"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

func long(um measure.Length) []lineup.Value { return []lineup.Value{{Length: um}} }

func either(of ...string) (all []lineup.Value) {
	for _, w := range of {
		all = append(all, lineup.Value{Word: w})
	}
	return all
}

// What a fork can answer: what is told of it, of its wiper and drain screw, and
// of caps that nobody told only what the inside of the leg leaves.
func TestLineup(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		full, bare := mixed(), mixed()
		bare.Name, bare.Looks = "Orlo 44 B", catalog.Looks{}
		bare.Legs[0].Cap, bare.Legs[1].Cap = "", ""
		for _, f := range []catalog.Fork{full, bare} {
			f, err := catalog.AddFork(ctx, tx, f)
			if err != nil {
				return err
			}
			places := []catalog.Position{
				{Seq: 1, Role: catalog.Wiper, Leg: "left", Fitted: "yes", Size: measure.Size{Outer: 56_000}},
				{Seq: 2, Role: catalog.Wiper, Leg: "right", Fitted: "yes", Size: measure.Size{Outer: 57_000}},
				{Seq: 3, Role: catalog.DrainScrew, Leg: "both", Fitted: "no"},
			}
			if f.Name == bare.Name {
				places = []catalog.Position{
					{Seq: 1, Role: catalog.Wiper, Leg: "both", Fitted: "no", Size: measure.Size{Outer: 56_000}},
					{Seq: 2, Role: catalog.DrainScrew, Leg: "both", Fitted: "unknown"},
				}
			}
			for _, p := range places {
				p.PerLeg, p.Renew = 1, "judge"
				if _, err := catalog.AddPosition(ctx, tx, f.ID, p); err != nil {
					return err
				}
			}
		}
		forks, err := catalog.Lineup(ctx, tx)
		if err != nil {
			return err
		}
		var got []map[string][]lineup.Value
		for _, f := range forks {
			got = append(got, f.Can)
		}
		want := []map[string][]lineup.Value{
			{
				"layout": either("upside-down"), "leg": long(44_000), "leg_micrometer": long(44_000), "cap_shape": either("hexagon"),
				"cap_flats": long(46_000), "cap_thread": {{Length: 48_000, Word: "1.5"}}, "axle": long(22_000), "centres": long(200_000),
				"left_cap": either("air"), "right_cap": either("damping"), "wiper": {{Length: 56_000}, {Length: 57_000}}, "drain_screw": either("no"),
			},
			{
				"layout": either("upside-down"), "leg": long(44_000), "leg_micrometer": long(44_000),
				"left_cap": either("plain", "preload", "air"), "right_cap": either("plain", "preload", "damping", "preload_damping"),
			},
		}
		if diff := cmp.Diff(got, want); diff != "" {
			t.Errorf("(-got +want)\n%s", diff)
		}
		return nil
	})
}

func TestReadAnswer(t *testing.T) {
	for _, tt := range []struct {
		question, typed string
		want            lineup.Value // zero: refused
	}{
		{"leg", "41,3", lineup.Value{Length: 41_300}},
		{"leg", "1.625 in", lineup.Value{Length: 41_275}}, // exact: 1 in = 25.4 mm
		{"leg", "wide", lineup.Value{}},
		{"leg", "411", lineup.Value{}}, // 41.1: no leg is so wide; common practice, no source
		{"leg", "1.6", lineup.Value{}}, // inches
		{"centres", "204", lineup.Value{Length: 204_000}},
		{"leg", "0", lineup.Value{}},
		{"layout", "upside-down", lineup.Value{Word: "upside-down"}},
		{"layout", "sideways", lineup.Value{}},
		{"left_cap", "air", lineup.Value{Word: "air"}},
		{"drain_screw", "no", lineup.Value{Word: "no"}},
		{"drain_screw", "unknown", lineup.Value{}},
		{"cap_thread", "M48 x 1,5", lineup.Value{Length: 48_000, Word: "1.5"}},
		{"cap_thread", "M48", lineup.Value{Length: 48_000}},
		{"cap_thread", "47.8", lineup.Value{Length: 47_800}},
		{"cap_thread", "wide", lineup.Value{}},
	} {
		q, ok := catalog.QuestionNamed(tt.question)
		a, err := catalog.ReadAnswer(q, tt.typed)
		if refused := tt.want == (lineup.Value{}); !ok || refused != (err != nil) || err == nil && a.Value != tt.want {
			t.Errorf("%s %q: %+v, %v, want %+v", tt.question, tt.typed, a.Value, err, tt.want)
		} else if refused && fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s %q: %v", tt.question, tt.typed, err)
		}
	}
	if _, ok := catalog.QuestionNamed("colour"); ok {
		t.Error("a question that nobody asks")
	}
}

// The tolerances hold what standards allow the thing itself to be off, and what
// the trade says takes a micrometer takes one. From memory: ISO 4759-1, product
// grade A, lets a hexagon of 36 mm be 0.62 mm smaller; ISO 965-1 a thread 6g of
// pitch 1.5 be 0.268 mm smaller (0.032 and 0.236). DIN 3760 as sellers print
// it: rubber-covered outsides 0.15 to 0.35 mm above the bore.
func TestTolerances(t *testing.T) {
	for _, tt := range []struct {
		question     string
		least, below measure.Length
	}{
		{"cap_flats", 620, 1000},             // hexagons of 1 mm apart are told apart
		{"cap_thread", 268, 1000},            // and threads of 1 mm apart
		{"wiper", 350, 1000},                 // and bores of 1 mm apart
		{"leg", 300, 500},                    // 41 may be 41.3; 38 and 38.5 are two legs
		{"leg_micrometer", 10, 100},          // 34.9 and 35 are two legs
		{"axle", 100, 1000},                  // 17 and 18
		{"centres", 500, 3_000},              // common practice, no source
		{"layout", 0, 1}, {"left_cap", 0, 1}, // looked at
	} {
		q, _ := catalog.QuestionNamed(tt.question)
		if q.Tolerance < tt.least || q.Tolerance >= tt.below {
			t.Errorf("%s: %v, want from %v to below %v", q.Name, q.Tolerance, tt.least, tt.below)
		}
	}
}
