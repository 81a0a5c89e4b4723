package measure

import "testing"

// The inch sizes of the table, converted, are what public tables print in
// millimetres.
func TestAS568(t *testing.T) {
	printed := rows(t, "as568.tsv", 47)
	if len(as568) != len(printed) {
		t.Errorf("table has %d rows, want %d", len(as568), len(printed))
	}
	for _, row := range printed {
		ring, err := ParseORing("-" + row[0])
		if err != nil || ring.String() != "AS568-"+row[0] {
			t.Errorf("-%s = %v, %v", row[0], ring, err)
		}
		want := row[1] + "×" + row[2]
		if got := ring.Screen('.'); got != "AS568-"+row[0]+" ("+want+")" {
			t.Errorf("-%s shows as %s, want %s (%s)", row[0], got, want, row[3])
		}
		if listed, err := ParseORing(want); err == nil && !ring.Near(listed) {
			t.Errorf("-%s is not near %v", row[0], listed)
		}
	}
}

func TestORing(t *testing.T) {
	fork := ORing{0, 34000, 2400}
	dash := ORing{214, 24994, 3531}
	for text, want := range map[string]ORing{
		"34x2.4": fork, "34.0 x 2.4": fork, "34 × 2,4 mm": fork, "34*2.4": fork,
		"AS568-214": dash, "AS568 214": dash, "AS568A-214": dash, "as 568 - 214": dash, "-214": dash,
		"-001": {1, 737, 1016},
	} {
		got, err := ParseORing(text)
		if err != nil || got != want {
			t.Errorf("ParseORing(%q) = %+v, %v, want %+v", text, got, err, want)
		}
	}
	for text, want := range map[string]string{
		"": "bad_oring", "214": "bad_oring", "34": "bad_oring", "34x2.4x1": "bad_oring", "-21": "bad_oring", "34-2.4": "bad_oring",
		"0x2.4": "bad_oring", "34x0": "bad_oring", "-34x2.4": "bad_oring", "NaNx2": "bad_oring",
		"-999": "unknown_dash", "AS568-240": "unknown_dash", "2.4x34": "section_not_below", "2x2": "section_not_below",
	} {
		_, err := ParseORing(text)
		isInvalid(t, text, err)
		if got := messageID(err); got != "measure."+want {
			t.Errorf("ParseORing(%q): message %q, want measure.%s", text, got, want)
		}
	}
}

func TestORingNear(t *testing.T) {
	dash := ORing{214, 24994, 3531}
	for _, tt := range []struct {
		other ORing
		want  bool
	}{
		{ORing{0, 24990, 3530}, true},
		{ORing{0, 24994, 3526}, true},
		{ORing{0, 25000, 3530}, false},
		{ORing{0, 24990, 3500}, false}, // JIS B 2401 section beside an AS568 one
	} {
		if got := dash.Near(tt.other); got != tt.want {
			t.Errorf("Near(%v) = %v, want %v", tt.other, got, tt.want)
		}
	}
	if (ORing{0, 34000, 2400}).Near(ORing{0, 34000, 2620}) {
		t.Error("2.4 passes for 2.62")
	}
}

func TestORingShows(t *testing.T) {
	for _, tt := range []struct {
		ring         ORing
		text, screen string
	}{
		{ORing{}, "", ""},
		{ORing{0, 34000, 2400}, "34x2.4", "34×2,4"},
		{ORing{4, 1778, 1778}, "AS568-004", "AS568-004 (1,78×1,78)"},
	} {
		if got := tt.ring.String(); got != tt.text {
			t.Errorf("String = %q, want %q", got, tt.text)
		}
		if got := tt.ring.Screen(','); got != tt.screen {
			t.Errorf("Screen = %q, want %q", got, tt.screen)
		}
	}
}
