package gs1

import (
	"testing"
	"time"
)

// Source of what the AIs mean: GS1 General Specifications 21.0.1, clause 3.4.3
// (15), 3.4.6 (17) and 3.8.4 (7003, YYMMDDHHMM); numbers of clauses from memory.
func TestUseBy(t *testing.T) {
	now := time.Date(2026, 11, 28, 0, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		es   Elements
		want string
	}{
		{Elements{{"17", "280131"}}, "2028-01-31"},
		{Elements{{"15", "270630"}, {"17", "280131"}}, "2028-01-31"},
		{Elements{{"15", "270630"}}, "2027-06-30"},
		{Elements{{"7003", "2802291530"}}, "2028-02-29"},
		{Elements{{"15", "270630"}, {"7003", "2802291530"}}, "2028-02-29"},
		{Elements{{"11", "250101"}}, ""},
		{nil, ""},
	} {
		if got := tt.es.UseBy(now); got != tt.want {
			t.Errorf("%v: use by %q, want %q", tt.es, got, tt.want)
		}
	}
}
