package web

import (
	"forkstock/catalog"
	"forkstock/internal/measure"
)

// known adds to the test shop what is known of bikes by variant and frame
// number, of a swapped fork, of oil in a cartridge, and of tightening.
func (f *filling) known() {
	both := []catalog.Leg{
		{Leg: "left", Damping: "closed_cartridge", Springing: "coil"}, {Leg: "right", Damping: "closed_cartridge", Springing: "coil"},
	}
	fork := fill(f, func() (catalog.Fork, error) {
		return catalog.AddFork(f.ctx, f.tx, catalog.Fork{Name: "Osk 46", Layout: "upside-down", Leg: 46_000, Legs: both})
	})
	other := fill(f, func() (catalog.Fork, error) { return catalog.ForkNamed(f.ctx, f.tx, "Tarn 41") })
	var bike catalog.Fitment
	for _, m := range []catalog.Fitment{
		{YearFrom: 2004, YearTo: 2006, Frames: catalog.Frames{From: "P5-00001", To: "P5-00999"}, Fork: other.ID},
		{YearFrom: 2004, YearTo: 2006, Frames: catalog.Frames{From: "P5-01000"}, Code: "PK2", Fork: fork.ID},
		{YearFrom: 2007, Variant: "S", Fork: fork.ID},
	} {
		m.Make, m.Model = "Ovarra", "Sorren 600"
		bike = fill(f, func() (catalog.Fitment, error) { return catalog.AddFitment(f.ctx, f.tx, m) })
	}
	for _, o := range []catalog.OilFill{
		{Leg: "both", Chamber: "leg", DryML: 350, Grade: "5W", CSt: 17_200, Index: 152},
		{Leg: "both", Chamber: "cartridge", DryML: 190, Grade: "2.5W"},
		{Leg: "both", Chamber: "leg", DryML: 360, Fitment: bike.ID, Gap: 110_000, GapHow: "spring out"},
	} {
		fill(f, func() (struct{}, error) { return struct{}{}, catalog.AddOilFill(f.ctx, f.tx, fork.ID, o) })
	}
	for _, t := range []catalog.Tightening{
		{Fork: fork.ID, Joint: "bottom_bolt", Torque: 54 * 1000, Entered: "39.8 lbf ft", Page: "7-3"},
		{Fitment: bike.ID, Joint: "axle", Torque: measure.Torque(65_500)},
	} {
		t.Manual = "Handbook S, edition 2"
		fill(f, func() (struct{}, error) { return struct{}{}, catalog.SetTightening(f.ctx, f.tx, t, f.person, false) })
	}
	fill(f, func() (struct{}, error) {
		return struct{}{}, catalog.AddSwap(f.ctx, f.tx, catalog.Swap{Bike: "P5-00123", Fork: fork.ID, Note: "from a wreck"}, f.person)
	})
}
