package measure

import "testing"

func TestSize(t *testing.T) {
	seal := Size{39000, 52000, 11000, 0}
	lipped := Size{39000, 52000, 11000, 12500}
	for text, want := range map[string]Size{
		"39x52x11": seal, "39×52×11": seal, "39X52X11": seal, "39-52-11": seal, "39 x 52 x 11": seal, "39*52*11": seal,
		"39x52x11 mm": seal, "39mm x 52mm x 11mm": seal, "39 - 52 - 11": seal, "Ø39x52x11": seal,
		"39x52x11/12.5": lipped, "39×52×11/12,5": lipped, "39x52x11x12.5": lipped, "39-52-11/12.5": lipped, "39 x 52 x 11 / 12,5 mm": lipped,
		"43x55x9.5x10.5": {43000, 55000, 9500, 10500}, "43x55x9.5/10.5": {43000, 55000, 9500, 10500}, "43-55-9,5-10,5": {43000, 55000, 9500, 10500},
		"39,5x52,7x11": {39500, 52700, 11000, 0}, "39x52": {39000, 52000, 0, 0},
		"10/14": {10000, 14000, 0, 0}, "10/14x1.5": {10000, 14000, 1500, 0},
		"?x52": {0, 52000, 0, 0}, "39x?x11": {39000, 0, 11000, 0}, "39x52x?/12.5": {39000, 52000, 0, 12500}, "39x?": {39000, 0, 0, 0},
		`1 3/8" x 1 7/8" x 3/8"`: {34925, 47625, 9525, 0}, "30x33x120": {30000, 33000, 120000, 0},
	} {
		got, err := ParseSize(text)
		if err != nil || got != want {
			t.Errorf("ParseSize(%q) = %v, %v, want %v", text, got, err, want)
		}
	}
}

// Common practice, no source: seal sizes met in service read as their list
// prints them.
func TestSealSizes(t *testing.T) {
	for _, text := range []string{
		"33x46x11", "35x48x11", "37x50x11", "38x50x11", "39x52x11", "41x54x11", "43x55x9.5/10.5", "43x54x11", "45x58x11",
		"46x58x9.5", "47x58x10", "48x58x9", "49x60x10", "50x63x11", "48x57.9x9.5", "43x52.9x9.5",
	} {
		if got, err := ParseSize(text); err != nil || got.String() != text {
			t.Errorf("ParseSize(%q) = %v, %v", text, got, err)
		}
	}
}

func TestSizeRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"": "bad_size", "39": "bad_size", "x": "bad_size", "39x": "bad_size", "x52": "bad_size", "39x52x11x12x13": "bad_size",
		"39-52": "bad_size", "39x52-11": "bad_size", "39x52/54": "bad_size", "39x52x11x12/13": "bad_size", "-39x52x11": "bad_size",
		"39x-52x11": "bad_size", "0x52x11": "bad_size", "39x52x0": "bad_size", "NaNx52": "bad_size", "39 52 11": "bad_size",
		"?x?": "bad_size", "99999999x99999999x1": "bad_size", "39x52xpair": "bad_size", "2024-11-25": "outer_not_above",
		"52x39x11": "outer_not_above", "39x39x11": "outer_not_above", "34x2.4": "outer_not_above",
		"39x52x11/10": "overall_below", "43x55x10.5x9.5": "overall_below",
	} {
		got, err := ParseSize(text)
		isInvalid(t, text, err)
		if id := messageID(err); id != "measure."+want || got != (Size{}) {
			t.Errorf("ParseSize(%q) = %v, message %q, want measure.%s", text, got, id, want)
		}
	}
	for _, s := range []Size{{Inner: -1}, {Height: longestLen + 1}} {
		isInvalid(t, s.String(), s.Check())
	}
}

func TestSizeShows(t *testing.T) {
	for _, tt := range []struct {
		size         Size
		text, screen string
	}{
		{Size{}, "", ""},
		{Size{39500, 52000, 11000, 12500}, "39.5x52x11/12.5", "39,5×52×11/12,5"},
		{Size{0, 52000, 0, 0}, "?x52", "?×52"},
		{Size{39000, 0, 0, 0}, "39x?", "39×?"},
		{Size{0, 0, 11000, 0}, "?x?x11", "?×?×11"},
		{Size{39000, 52000, 0, 12500}, "39x52x?/12.5", "39×52×?/12,5"},
	} {
		if got := tt.size.String(); got != tt.text {
			t.Errorf("String = %q, want %q", got, tt.text)
		}
		if got := tt.size.Screen(','); got != tt.screen {
			t.Errorf("Screen = %q, want %q", got, tt.screen)
		}
	}
}

func BenchmarkParseSize(b *testing.B) {
	for b.Loop() {
		if _, err := ParseSize("39x52x11/12.5"); err != nil {
			b.Fatal(err)
		}
	}
}
