package catalog

import (
	"testing"

	"forkstock/internal/measure"
)

// What is left out because of its height is what Fit refuses for it, and
// nothing else is.
func TestHeightsAreThoseOfFit(t *testing.T) {
	for _, role := range Roles {
		for _, h := range []measure.Length{0, 1500, 5000, 10_000, 10_500, 30_000} {
			want := Wanted{Role: role, Size: measure.Size{Inner: 43_000, Outer: 55_000, Height: h}}
			low, high := heights(want)
			for got := measure.Length(100); got <= 45_000; got += 50 {
				p := Part{Role: role, Size: measure.Size{Inner: 43_000, Outer: 55_000, Height: got}}
				verdict, why := Fit(want, p)
				if within := low <= got && got <= high; within != (verdict != No) {
					t.Errorf("%s %d high, %d wanted: looked at %t, but %s %v", role, got, h, within, verdict, why)
				}
			}
		}
	}
}
