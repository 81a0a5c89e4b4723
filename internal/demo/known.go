package demo

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// printed is what stands on the bottles beside the grade: cSt at 40 C and
// viscosity index. Invented, in the range of fork oils (from memory).
var printed = map[string]struct {
	cst   catalog.Viscosity
	index int64
}{"5": {17_200, 152}, "7.5": {24_500, 150}, "10": {32_500, 148}, "15": {45_800, 140}}

// swapped are single bikes that carry another fork than their model.
var swapped = []struct{ bike, fork, note string }{
	{"TV6-02718", "Pasko 43", "Fork of a Torvane 600 from the wrecker's; axle and spacers swapped with it."},
	{"The courier's grey Kurane", "Corva 39", "Longer springs fitted, oil level as on the Corva 39."},
}

// handbook is invented, and so are its values, which lie where such joints are
// mostly tightened (common practice, from memory). Nobody may tighten anything
// by them.
const handbook = "Invented handbook for the demo shop, edition 3"

// forkTorques are of joints of a fork, bikeTorques of joints of a bike: fork or
// model, joint, torque, page.
var forkTorques = [][4]string{
	{"Corva 39", "cap", "23 N m", "7-14"},
	{"Corva 39", "bottom_bolt", "20 N m", "7-12"},
	{"Corva 39", "drain_screw", "6 N m", "7-11"},
	{"Pasko 41", "cap", "23 N m", "7-31"},
	{"Pasko 41", "bottom_bolt", "2.1 kgf m", "7-29"},
	{"Tirona 48", "base_valve", "55 N m", "9-18"},
}

var bikeTorques = [][4]string{
	{"Velda 400", "upper_clamp", "22 N m", "7-4"},
	{"Velda 400", "lower_clamp", "32 N m", "7-4"},
	{"Velda 400", "axle", "59 N m", "6-9"},
	{"Velda 400", "pinch_bolt", "9 N m", "6-9"},
	{"Velda 400", "caliper", "31 N m", "8-3"},
}

// known enters what the shop knows of single bikes and of tightening.
func (s *filler) known(ctx context.Context, b *book) error {
	forks, bikes := map[string]string{}, map[string]string{}
	for _, f := range b.forks {
		forks[f.Name] = f.ID
		for _, m := range f.bikes {
			bikes[m.Model] = m.ID
		}
	}
	for _, w := range swapped {
		if err := catalog.AddSwap(ctx, s.tx, catalog.Swap{Bike: w.bike, Fork: forks[w.fork], Note: w.note}, s.person); err != nil {
			return err
		}
	}
	tell := func(of [4]string, t catalog.Tightening) error {
		t.Joint, t.Torque, t.Manual, t.Page = of[1], must(measure.ParseTorque(of[2])), handbook, of[3]
		if t.Torque.String() != of[2] {
			t.Entered = of[2]
		}
		return catalog.SetTightening(ctx, s.tx, t, s.person, false)
	}
	for _, of := range forkTorques {
		if err := tell(of, catalog.Tightening{Fork: forks[of[0]]}); err != nil {
			return err
		}
	}
	for _, of := range bikeTorques {
		if err := tell(of, catalog.Tightening{Fitment: bikes[of[0]]}); err != nil {
			return err
		}
	}
	return nil
}
