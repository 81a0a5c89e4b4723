package gs1

import "testing"

// The GTINs begin with 952, the prefix for demonstrations; their check digits
// were worked out by hand after GS1 General Specifications 7.9.1.
func TestInner(t *testing.T) {
	for _, tt := range []struct {
		gtin, want string
	}{
		{"19521016150100", "09521016150103"},
		{"89521016150109", "09521016150103"},
		{"09521016150103", ""}, // a pack
		{"99521016150106", ""}, // a measure that varies
		{"19521016150101", ""}, // wrong check digit
		{"9521016150103", ""},  // no GTIN-14
		{"", ""},
	} {
		got, ok := Inner(tt.gtin)
		if got != tt.want || ok != (tt.want != "") {
			t.Errorf("Inner(%s) = %q, %v, want %q", tt.gtin, got, ok, tt.want)
		}
		if ok && !Valid(got) {
			t.Errorf("Inner(%s) = %s: wrong check digit", tt.gtin, got)
		}
	}
}
