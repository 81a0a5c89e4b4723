package gs1

import "testing"

// Check digits worked out by hand with weights 3, 1, 3 from the right (GS1
// General Specifications 7.9.1).
func TestOwn(t *testing.T) {
	for _, tt := range []struct {
		n    int64
		want string
	}{
		{1, "00400000000015"},       // 4·3 + 1·3 = 15, so 5
		{17, "00400000000176"},      // 4·3 + 1·1 + 7·3 = 34, so 6
		{MostOwn, "00499999999998"}, // 4·3 + nine times (5·3 + 5·1) = 12 + 180 = 192, so 8
		{0, ""}, {-1, ""}, {MostOwn + 1, ""},
	} {
		got, ok := Own(tt.n)
		if got != tt.want || ok != (tt.want != "") {
			t.Errorf("Own(%d) = %q, %v, want %q", tt.n, got, ok, tt.want)
		}
		if ok && (!Valid(got) || !IsOwn(got) || len(Printed(got)) != 13) {
			t.Errorf("%s: not valid, not of the range, or not printed with 13 digits", got)
		}
	}
}

func TestIsOwn(t *testing.T) {
	for text, want := range map[string]bool{
		"00400000000176": true, "00490000000004": false, "0400000000176": false, "00400000000177": false,
		"09520123456788": false, "00200000000004": false, "10400000000173": false, "": false, "KB-39": false,
	} {
		if got := IsOwn(text); got != want {
			t.Errorf("IsOwn(%q) = %v, want %v", text, got, want)
		}
	}
}
