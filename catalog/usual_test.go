package catalog_test

import (
	"context"
	"strconv"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// started gives what is usual of a role in a shop that took the starter.
func started(t *testing.T, leg measure.Length, role catalog.Role) (all []catalog.Usual) {
	t.Helper()
	with(t, func(ctx context.Context, tx *store.Tx) (err error) {
		if _, err := catalog.AddStarter(ctx, tx); err != nil {
			return err
		}
		all, err = catalog.Usuals(ctx, tx, leg, role)
		return err
	})
	return all
}

// Keys of socket screws and coarse pitches. Source: tables iso4762def,
// din7984def, iso10642def (s_mean, the mean of the key's socket, 0.02 to
// 0.07 mm above the key) and iso262def (P_coarse) of FreeCAD_FastenersWB,
// commit ae90a869, typed as facts.
func TestStarterScrews(t *testing.T) {
	means := map[string]map[string]float64{
		"ISO 4762":  {"M5x0.8": 4.06, "M6x1": 5.06, "M8x1.25": 6.06, "M10x1.5": 8.07, "M12x1.75": 10.07},
		"DIN 7984":  {"M6x1": 4.0, "M8x1.25": 5.0, "M10x1.5": 7.0},
		"ISO 10642": {"M6x1": 4.06, "M8x1.25": 5.06, "M10x1.5": 6.06},
	}
	seen := 0
	for _, role := range []catalog.Role{catalog.BottomBolt, catalog.DrainScrew, catalog.Other} {
		for _, u := range started(t, 0, role) {
			mean, ok := means[u.Name][u.Thread]
			if over := mean - float64(u.Key)/1000; !ok || over < 0 || over > 0.08 {
				t.Errorf("%s %s takes a key of %s, want about %v", u.Name, u.Thread, u.Key, mean)
			}
			if _, err := measure.ParseThread(u.Thread); err != nil {
				t.Errorf("%s %s: %v", u.Name, u.Thread, err)
			}
			seen++
		}
	}
	if seen != 11 {
		t.Errorf("%d screws, want 11", seen)
	}
}

// O-rings by AS568 number: rows on which two public tables agree, in mm as
// they print them (0.01). Source: checks/sizes/as568_crosschecked.json.
func TestStarterORings(t *testing.T) {
	want := map[string][2]float64{
		"AS568-001": {0.74, 1.02}, "AS568-003": {1.42, 1.52}, "AS568-012": {9.25, 1.78}, "AS568-214": {24.99, 3.53},
	}
	conflicts := []string{"AS568-240", "AS568-250", "AS568-325", "AS568-350"}
	found, sections := 0, ""
	for _, u := range started(t, 0, catalog.CapORing) {
		if u.Name == "JIS B 2401 P" {
			sections += u.Section.String() + " "
		}
		for _, c := range conflicts {
			if u.Name == c {
				t.Errorf("%s is there, though tables disagree", c)
			}
		}
		if w, ok := want[u.Name]; ok {
			found++
			for i, got := range []measure.Length{u.Size.Inner, u.Section} {
				if off := float64(got)/1000 - w[i]; off > 0.006 || off < -0.006 {
					t.Errorf("%s: %s, want %v", u.Name, got, w[i])
				}
			}
		}
	}
	if found != len(want) || sections != "1.9 2.4 3.5 " {
		t.Errorf("%d of %d O-rings, metric sections %s", found, len(want), sections)
	}
}

// ISO 3448: the viscosity at 40 °C is within 10 % of the number of the grade,
// which is rounded (15, 22, 32, 46 in the standard's own words; from memory).
func TestStarterOils(t *testing.T) {
	all := started(t, 0, catalog.Oil)
	if len(all) != 5 {
		t.Fatalf("%d grades, want 5", len(all))
	}
	for _, u := range all {
		grade, err := strconv.ParseFloat(strings.TrimPrefix(u.Name, "ISO VG "), 64)
		low, high, ok := strings.Cut(strings.TrimSuffix(u.Note, " mm²/s, 40 °C"), "-")
		l, errL := strconv.ParseFloat(low, 64)
		h, errH := strconv.ParseFloat(high, 64)
		if err != nil || errL != nil || errH != nil || !ok || u.Source != "ISO 3448" {
			t.Errorf("%+v", u)
			continue
		}
		if l < grade*0.899 || l > grade*0.901 || h < grade*1.099 || h > grade*1.101 {
			t.Errorf("%s: %v to %v, want %v to %v", u.Name, l, h, grade*0.9, grade*1.1)
		}
	}
}

// Usual seals by leg: common practice, no source, values from memory.
func TestStarterSeals(t *testing.T) {
	for leg, want := range map[measure.Length]string{
		39_000: "39x52x11", 43_000: "43x55x9.5/10.5 43x54x11", 48_000: "48x58x9", 36_000: "",
	} {
		var got []string
		for _, u := range started(t, leg, catalog.OilSeal) {
			got = append(got, u.Size.String())
			if u.Source != catalog.Practice {
				t.Errorf("%s is said by %q", u.Size, u.Source)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("leg %s: %s, want %s", leg, got, want)
		}
	}
}

func TestStarterOnce(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		all, err := catalog.Starter()
		if err != nil {
			return err
		}
		for _, u := range all {
			if u.Source == "" || u.Role == "" && u.Name == "" {
				t.Errorf("%+v has no source", u)
			}
		}
		for _, want := range []int{len(all), 0} {
			if got, err := catalog.AddStarter(ctx, tx); err != nil || got != want {
				t.Errorf("AddStarter = %d, %v; want %d", got, err, want)
			}
		}
		rows, err := catalog.Usuals(ctx, tx, 0, "")
		if len(rows) != len(all) {
			t.Errorf("%d rows, want %d", len(rows), len(all))
		}
		return err
	})
}
