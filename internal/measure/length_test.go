package measure

import (
	"math"
	"strings"
	"testing"
)

func TestLength(t *testing.T) {
	for text, want := range map[string]Length{
		"39": 39000, "39.5": 39500, "57,9": 57900, "Ø39": 39000, "ø 39": 39000, "39 mm": 39000, "39mm": 39000, "39\u00a0MM": 39000,
		" 34.9 ": 34900, "0.001": 1, "39.5000": 39500, "41.300 mm": 41300, ".5": 500, "10000": 10_000_000,
		"1 3/8 in": 34925, "1-3/8 in": 34925, `1 3/8"`: 34925, `3/8"`: 9525, "3/8 inch": 9525, "1.535 in": 38989, `1,535"`: 38989,
		"1.535″": 38989, "2 Zoll": 50800, `.139"`: 3531,
		// Halves go to the even micrometre: 1587.5 and 4762.5.
		"1/16 in": 1588, "3/16 in": 4762,
	} {
		got, err := ParseLength(text)
		if err != nil || got != want {
			t.Errorf("ParseLength(%q) = %d, %v, want %d", text, got, err, want)
		}
	}
}

func TestLengthRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"": "bad_length", "mm": "bad_length", "-39": "bad_length", "NaN": "bad_length", "Inf": "bad_length", "1e3": "bad_length",
		"0x1F": "bad_length", "1_000": "bad_length", "1,234.5": "bad_length", "1.234.5": "bad_length", "39.": "bad_length",
		"39 cm": "bad_length", "39 52": "bad_length", "1/0 in": "bad_length", "1 9/8 in": "bad_length", "1.5 3/8 in": "bad_length",
		"٣٩": "bad_length", strings.Repeat("1", 65): "bad_length", "39\xff": "bad_length",
		"3/8": "fraction_unit", "1 3/8 mm": "fraction_unit",
		"39.0001": "too_fine", "0.00000001": "too_fine",
		"0": "length_range", "0,000 mm": "length_range", "0 in": "length_range", "0.00001 in": "length_range", "10000.001": "length_range",
		"394 in": "length_range", strings.Repeat("9", 60): "length_range",
	} {
		_, err := ParseLength(text)
		isInvalid(t, text, err)
		if got := messageID(err); got != "measure."+want {
			t.Errorf("ParseLength(%q): message %q, want measure.%s", text, got, want)
		}
	}
}

func TestLengthShows(t *testing.T) {
	for l, want := range map[Length][2]string{
		57900: {"57.9", "57,9"}, 39000: {"39", "39"}, 38989: {"38.989", "38,989"}, 1: {"0.001", "0,001"}, 10050: {"10.05", "10,05"},
		0: {"0", "0"}, -1500: {"-1.5", "-1,5"}, -50: {"-0.05", "-0,05"},
		math.MinInt64: {"-9223372036854775.808", "-9223372036854775,808"},
	} {
		if got := [2]string{l.String(), l.Screen(',')}; got != want {
			t.Errorf("%d shows as %q, want %q", int64(l), got, want)
		}
	}
}

func BenchmarkParseLength(b *testing.B) {
	for b.Loop() {
		if _, err := ParseLength("57,9 mm"); err != nil {
			b.Fatal(err)
		}
	}
}
