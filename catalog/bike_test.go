package catalog_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// addForks adds forks by name, all of 39 mm, and gives their ids by name.
func addForks(ctx context.Context, tx *store.Tx, names ...string) (map[string]string, error) {
	ids := map[string]string{}
	for _, name := range names {
		f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: name, Layout: "conventional", Leg: 39_000})
		if err != nil {
			return nil, err
		}
		ids[name] = f.ID
	}
	return ids, nil
}

func frames(t *testing.T, text string) catalog.Frames {
	t.Helper()
	f, err := catalog.ParseFrames(text)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// What is told of a variant, a code or frame numbers goes before what is told
// of all; what cannot be told apart stays open.
func TestForksOfNarrowsDown(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids, err := addForks(ctx, tx, "A", "B", "C", "D", "E")
		if err != nil {
			return err
		}
		name := map[string]string{}
		for n, id := range ids {
			name[id] = n
		}
		for _, m := range []catalog.Fitment{
			{Model: "Velda", YearFrom: 2000, YearTo: 2003, Fork: ids["A"]},
			{Model: "Velda", Variant: "S", YearFrom: 2002, YearTo: 2003, Code: "VD-2", Fork: ids["B"]},
			{Model: "Velda", YearFrom: 2004, YearTo: 2005, Frames: frames(t, "V4-00001-V4-04999"), Fork: ids["A"]},
			{Model: "Velda", YearFrom: 2004, YearTo: 2005, Frames: frames(t, "V4-05000-"), Fork: ids["C"]},
			{Model: "Velda", YearFrom: 2006, YearTo: 2008, Fork: ids["A"]},
			{Model: "Velda", YearFrom: 2008, Frames: frames(t, "V8-01000-"), Fork: ids["D"]},
			{Model: "Ulmar", Frames: frames(t, "U1-001-U1-900"), Fork: ids["E"]},
			{Model: "Ulmar", Variant: "GT", Code: "VD-2", YearFrom: 2010, Fork: ids["E"]},
		} {
			m.Make = "Kaldrin"
			if _, err := catalog.AddFitment(ctx, tx, m); err != nil {
				return err
			}
		}
		velda := catalog.BikeQuery{Make: "kaldrin", Model: "VELDA"}
		for _, tt := range []struct {
			year                 int
			variant, code, frame string
			model                string // where not Velda; "-": none
			want                 string // forks; ? behind them where nothing may be picked
			kind                 fault.Kind
		}{
			{year: 2001, want: "A"},
			{year: 2002, want: "AB"},
			{year: 2002, variant: "s", want: "B"},
			{year: 2002, variant: "GT", want: "A"}, // told of all variants
			{year: 2001, variant: "S", want: "A"},
			{year: 2002, code: "vd2", want: "B"},
			{year: 2002, code: "vd1", want: "A"},
			{year: 2002, model: "Velda S", want: "B"},
			{year: 2004, want: "AC?"},
			{year: 2004, frame: "V4-01000", want: "A"},
			{year: 2004, frame: "v4 05000", want: "C"},
			{year: 2004, frame: "5000", want: "AC?"},
			{year: 2004, frame: "V5-00010", want: "AC?"},
			{frame: "V4-05001", want: "C"},
			{year: 2008, want: "AD"},
			{year: 2008, frame: "V8-00999", want: "A"}, // before the change
			{year: 2008, frame: "V8-01000", want: "D"},
			{year: 2009, frame: "V8-00999", kind: fault.NotFound},
			{year: 2009, frame: "1000", want: "D?"}, // one fork, and still not sure
			{year: 1999, kind: fault.NotFound},
			{model: "Ulmar", variant: "GT", want: "E"},
			{model: "Ulmar", year: 1990, want: "E?"}, // no years are told of it, and the frame number is not asked for
			{model: "Ulmar", frame: "U1-500", year: 1990, want: "E"},
			{year: 2009, want: "D?"}, // from one frame number on
			{year: 2009, frame: "V8-01000", want: "D"},
			{model: "-", code: "VD2", want: "BE"},
			{model: "-", code: "VD2", year: 2010, want: "E"},
			{model: "-", code: "VD9", kind: fault.NotFound},
			{model: "-", frame: "U1-500", want: "E"},
			{model: "-", frame: "U1-901", kind: fault.NotFound},
			{model: "-", frame: "500", kind: fault.NotFound},
			{model: "Nothing", kind: fault.NotFound},
		} {
			q := velda
			q.Year, q.Variant, q.Code, q.Frame = tt.year, tt.variant, tt.code, tt.frame
			if tt.model != "" {
				q.Model = tt.model
			}
			if tt.model == "-" {
				q.Make, q.Model = "", ""
			}
			hits, unclear, err := catalog.ForksOf(ctx, tx, q)
			var found []string
			for _, m := range hits {
				if !slices.Contains(found, name[m.Fork]) {
					found = append(found, name[m.Fork])
				}
			}
			slices.Sort(found)
			got := strings.Join(found, "")
			if unclear {
				got += "?"
			}
			if got != tt.want || fault.KindOf(err) != tt.kind {
				t.Errorf("%+v: %q, %v; want %q, %q", q, got, err, tt.want, tt.kind)
			}
		}
		return nil
	})
}

func TestFitmentRefuses(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids, err := addForks(ctx, tx, "A", "B")
		if err != nil {
			return err
		}
		for _, tt := range []struct {
			m    catalog.Fitment
			want fault.Kind
		}{
			{catalog.Fitment{YearFrom: 2000, YearTo: 2003}, ""},
			{catalog.Fitment{YearFrom: 2003, YearTo: 2004}, fault.Conflict},
			{catalog.Fitment{YearFrom: 2003, YearTo: 2004, Variant: "S"}, ""},
			{catalog.Fitment{YearFrom: 2003, Variant: "s"}, fault.Conflict},
			{catalog.Fitment{YearFrom: 2003, Variant: "S", Code: "X"}, ""},
			{catalog.Fitment{YearFrom: 2005, Frames: frames(t, "K1-100-K1-199")}, ""},
			{catalog.Fitment{YearFrom: 2005, Frames: frames(t, "K1-199-K1-299")}, fault.Conflict},
			{catalog.Fitment{YearFrom: 2005, Frames: frames(t, "K1-200-")}, ""},
			{catalog.Fitment{YearFrom: 2005, Frames: frames(t, "-K1-099")}, ""},
			{catalog.Fitment{YearFrom: 2005, Frames: frames(t, "-K1-150")}, fault.Conflict},
			{catalog.Fitment{YearFrom: 2005, Frames: frames(t, "K2-100-K2-199")}, fault.Conflict}, // cannot be told apart
			{catalog.Fitment{}, fault.Invalid},
			{catalog.Fitment{YearFrom: 2003, YearTo: 2001}, fault.Invalid},
			{catalog.Fitment{YearTo: 2001, Frames: frames(t, "K1-100-")}, fault.Invalid},
			{catalog.Fitment{YearFrom: 2020, Variant: strings.Repeat("S", 61)}, fault.Invalid},
			{catalog.Fitment{YearFrom: 2020, Frames: catalog.Frames{From: "K1-9", To: "K1-10"}}, fault.Invalid},
		} {
			tt.m.Make, tt.m.Model, tt.m.Fork = "Kaldrin", "Velda", ids["A"]
			if _, err := catalog.AddFitment(ctx, tx, tt.m); fault.KindOf(err) != tt.want {
				t.Errorf("%s: %v, want %q", tt.m.Name(), err, tt.want)
			}
		}
		told, err := catalog.FitmentsTold(ctx, tx, "Kaldrin", "Velda S", ids["A"])
		if err != nil || len(told) != 2 {
			t.Fatalf("told of the S: %+v, %v", told, err)
		}
		m := told[0]
		m.Fork, m.Frames, m.Code, m.YearFrom, m.YearTo = ids["B"], frames(t, "K9-1-"), "C", 0, 0
		if err := catalog.ChangeFitment(ctx, tx, m); err != nil {
			return err
		}
		if again, err := catalog.FitmentsOfFork(ctx, tx, ids["B"]); err != nil || len(again) != 1 || again[0] != m {
			t.Errorf("changed: %+v, %v; want %+v", again, err, m)
		}
		return nil
	})
}

func TestFitmentNames(t *testing.T) {
	for _, tt := range []struct {
		m                 catalog.Fitment
		name, limits, yrs string
	}{
		{catalog.Fitment{Make: "K", Model: "V 4", YearFrom: 2001, YearTo: 2004}, "K V 4 2001-2004", "2001-2004", "2001-2004"},
		{catalog.Fitment{Make: "K", Model: "V 4", Variant: "S", Code: "C", YearFrom: 2001}, "K V 4 S C 2001-", "C 2001-", "2001-"},
		{catalog.Fitment{Make: "K", Model: "V 4", YearFrom: 2001, YearTo: 2001}, "K V 4 2001", "2001", "2001"},
		{catalog.Fitment{Make: "K", Model: "V 4", Frames: catalog.Frames{From: "A-1"}}, "K V 4 A-1-", "A-1-", ""},
	} {
		if tt.m.Name() != tt.name || tt.m.Limits() != tt.limits || tt.m.Years() != tt.yrs {
			t.Errorf("%+v: %q, %q, %q", tt.m, tt.m.Name(), tt.m.Limits(), tt.m.Years())
		}
	}
}
