package shop_test

import (
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// A value comes with the manual that it stands in; one that is unusual for its
// joint is asked about; a bike's belongs to the bike, of whichever fork.
// 1 kgf m is 9.80665 N m, exact.
func TestTorques(t *testing.T) {
	s, _ := newShop(t)
	bikes(t, s)
	ctx := t.Context()
	for _, tt := range []struct {
		q    shop.TorqueRequest
		want fault.Kind
	}{
		{shop.TorqueRequest{Fork: "Corva 39", Joint: "bottom_bolt", Value: "25 Nm"}, fault.Invalid},
		{shop.TorqueRequest{Fork: "Corva 39", Joint: "bottom bolt", Value: "2.5 kgf m", Manual: "WM"}, ""},
		{shop.TorqueRequest{Fork: "Corva 39", Joint: "Ablassschraube", Value: "25 Nm", Manual: "WM"}, fault.Invalid},
		{shop.TorqueRequest{Fork: "Corva 39", Joint: "drain_screw", Value: "25 Nm", Manual: "WM", Sure: true}, ""},
		{shop.TorqueRequest{Fork: "Corva 39", Joint: "cap", Value: "tight", Manual: "WM"}, fault.Invalid},
		{shop.TorqueRequest{Fork: "Corva 40", Joint: "cap", Value: "25 Nm", Manual: "WM"}, fault.NotFound},
		{shop.TorqueRequest{Joint: "cap", Value: "25 Nm", Manual: "WM"}, fault.Invalid},
		{shop.TorqueRequest{Fork: "Corva 39", Make: "Kaldrin", Model: "Velda", Joint: "axle", Value: "65 Nm", Manual: "WM"}, fault.Invalid},
		{shop.TorqueRequest{Make: "Kaldrin", Model: "Velda", Joint: "axle", Value: "65 Nm", Manual: "WM"}, fault.Ambiguous},
		{shop.TorqueRequest{Make: "Kaldrin", Model: "Velda", Years: "2004-2006", Joint: "axle", Value: "65 Nm", Manual: "WM"}, ""},
		{shop.TorqueRequest{Make: "Kaldrin", Model: "Velda", Variant: "S", Joint: "axle", Value: "70 Nm", Manual: "WM"}, ""},
		{shop.TorqueRequest{Make: "Kaldrin", Model: "Velda", Years: "1901", Joint: "axle", Value: "65 Nm", Manual: "WM"}, fault.Ambiguous},
	} {
		if _, err := s.AddTorque(ctx, tt.q); fault.KindOf(err) != tt.want {
			t.Errorf("%+v: %v, want %q", tt.q, err, tt.want)
		}
	}
	f, err := s.Fork(ctx, shop.ForkQuery{Name: "Corva 39"})
	if err != nil || len(f.Tightening) != 2 || f.Tightening[0].TorqueMNM != 24_517 || f.Tightening[0].Entered != "2.5 kgf m" || f.Caution.IsZero() {
		t.Errorf("the fork's: %+v, %v", f.Tightening, err)
	}
	if _, err := s.Fork(ctx, shop.ForkQuery{Make: "Kaldrin", Model: "Velda", Year: 2005}); fault.KindOf(err) != fault.Ambiguous {
		t.Errorf("frame number not asked: %v", err)
	}
	f, err = s.Fork(ctx, shop.ForkQuery{Make: "Kaldrin", Model: "Velda", Year: 2005, Frame: "V4-0500"})
	if err != nil || len(f.Tightening) != 1 || f.Tightening[0].Bike != "Kaldrin Velda 2004-2006 V4-0500-" || f.Tightening[0].Torque != "65 N m" {
		t.Errorf("the bike's: %+v, %v", f.Tightening, err)
	}
	if f, err := s.Fork(ctx, shop.ForkQuery{Name: "Tirona 43"}); err != nil || len(f.Tightening) != 0 || !f.Caution.IsZero() {
		t.Errorf("none told: %+v %v, %v", f.Tightening, f.Caution, err)
	}
	change := shop.TorqueRequest{Fork: "Corva 39", Joint: "drain_screw", Drop: true}
	for _, want := range []fault.Kind{"", fault.NotFound} {
		if _, err := s.ChangeTorque(ctx, change); fault.KindOf(err) != want {
			t.Errorf("dropped: %v, want %q", err, want)
		}
	}
}
