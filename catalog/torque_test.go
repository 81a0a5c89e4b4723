package catalog

import (
	"testing"

	"forkstock/internal/measure"
)

// Values of trade.md: common practice, from memory. Units as manuals print
// them; 1 kgf m is 9.80665 N m, 1 lbf ft 1.3558179483314004 N m, exact.
func TestUnusualTorque(t *testing.T) {
	for _, tt := range []struct {
		joint, torque, asks string
	}{
		{"drain_screw", "6 Nm", ""},
		{"drain_screw", "1 N m", ""},
		{"drain_screw", "10 N m", ""},
		{"drain_screw", "25 Nm", "catalog.torque_high"}, // the bottom bolt's line
		{"drain_screw", "6 kgf m", "catalog.torque_high"},
		{"drain_screw", "6 lbf in", "catalog.torque_low"},
		{"pinch_bolt", "9 Nm", ""},
		{"pinch_bolt", "70 Nm", "catalog.torque_high"},
		{"bottom_bolt", "2.5 kgf m", ""},
		{"bottom_bolt", "18 lbf ft", ""},
		{"bottom_bolt", "2.5 Nm", "catalog.torque_low"},
		{"bottom_bolt", "250 Nm", "catalog.torque_high"},
		{"bottom_bolt", "61 Nm", "catalog.torque_high"}, // only a large base valve takes that
		{"base_valve", "60 Nm", ""},
		{"base_valve", "80 Nm", ""},
		{"base_valve", "8 Nm", "catalog.torque_low"},
		{"base_valve", "81 Nm", "catalog.torque_high"},
		{"mudguard", "200 Nm", ""}, // nothing usual is known
		{"", "1 Nm", ""},
	} {
		torque, err := measure.ParseTorque(tt.torque)
		if err != nil {
			t.Fatal(err)
		}
		if got := UnusualTorque(tt.joint, torque); got.ID != tt.asks {
			t.Errorf("%s %s: %v, want %q", tt.joint, tt.torque, got, tt.asks)
		}
	}
}
