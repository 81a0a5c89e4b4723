package catalog

import (
	"testing"

	"forkstock/internal/measure"
)

// A seal runs on the tube: 39x52x11 on 39 mm, 41.3 beside 41 (common practice,
// no source).
func TestOffLeg(t *testing.T) {
	for _, tt := range []struct {
		leg  measure.Length
		role Role
		size string
		want measure.Length
	}{
		{39_000, OilSeal, "39x52x11", 0},
		{41_300, OilSeal, "41x54x11", 0},
		{34_900, Wiper, "35x48x11", 0},
		{33_000, OilSeal, "41x54x11", 41_000},
		{41_000, LowerBushing, "39x41x15", 39_000},
		{41_000, Wiper, "43x55x5", 43_000},
		{41_000, TubeBushing, "38.6x41.6x15", 0}, // snaps into a groove of the tube
		{41_000, BottomWasher, "10x14x1", 0},
		{41_000, OilSeal, "?x54x11", 0},
	} {
		size, err := measure.ParseSize(tt.size)
		if err != nil {
			t.Fatal(err)
		}
		if got := (Fork{Leg: tt.leg}).OffLeg(tt.role, size); got != tt.want {
			t.Errorf("leg %v, %s %s: %v is off, want %v", tt.leg, tt.role, tt.size, got, tt.want)
		}
	}
}
