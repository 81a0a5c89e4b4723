package catalog_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"forkstock/catalog"
	"forkstock/internal/fault"
)

// Frame numbers here are invented. That they end in a running number, behind
// letters and digits of the model, is common practice, no source; ISO 3779 has
// the last four characters of a vehicle's number be digits (from memory).
func TestParseFrames(t *testing.T) {
	for _, tt := range []struct {
		text, from, to string
		kind           fault.Kind
	}{
		{"", "", "", ""},
		{"K1-00500-K1-04999", "K1-00500", "K1-04999", ""},
		{" K1-00500 – K1-04999 ", "K1-00500", "K1-04999", ""},
		{"k1 00500-K1 04999", "k1 00500", "K1 04999", ""},
		{"K1-05000-", "K1-05000", "", ""},
		{"-K1-04999", "", "K1-04999", ""},
		{"K1-00500", "K1-00500", "K1-00500", ""},
		{"JK2-500", "JK2-500", "JK2-500", ""},
		{"500100-500999", "500100", "500999", ""},
		{"12-3456", "12-3456", "12-3456", ""},
		{"ZZ9AA00B1C0012345-ZZ9AA00B1C0019999", "ZZ9AA00B1C0012345", "ZZ9AA00B1C0019999", ""},
		{"K1-04999-K1-00500", "", "", fault.Invalid}, // the wrong way round
		{"K1-0500-K1-10000", "", "", fault.Invalid},  // another length
		{"K1-ABC", "", "", fault.Invalid},
		{"-", "", "", fault.Invalid},
	} {
		got, err := catalog.ParseFrames(tt.text)
		if fault.KindOf(err) != tt.kind || err == nil && (got.From != tt.from || got.To != tt.to) {
			t.Errorf("ParseFrames(%q) = %q to %q, %v; want %q to %q, %q", tt.text, got.From, got.To, err, tt.from, tt.to, tt.kind)
		}
		if err != nil {
			continue
		}
		if again, err := catalog.ParseFrames(got.String()); again != got || err != nil {
			t.Errorf("ParseFrames(%q) = %q, %v; want %q", got.String(), again, err, got)
		}
	}
}

func TestFramesHold(t *testing.T) {
	const inside, outside, unclear = catalog.Inside, catalog.Outside, catalog.Unclear
	for _, tt := range []struct {
		frames, number string
		want           catalog.Within
	}{
		{"K1-00500-K1-04999", "K1-00500", inside},
		{"K1-00500-K1-04999", "k1 04999", inside},
		{"K1-00500-K1-04999", "K100500", inside}, // typed without the dash
		{"K1-00500-K1-04999", "K1-05000", outside},
		{"K1-00500-K1-04999", "K1-00499", outside},
		{"K1-00500-K1-04999", "K2-00600", unclear}, // another prefix
		{"K1-00500-K1-04999", "K1-000600", unclear},
		{"K1-00500-K1-04999", "600", unclear}, // the running number alone
		{"K1-00500-K1-04999", "00600", unclear},
		{"K1-00500-K1-04999", "K1-0060X", unclear},
		{"K1-00500-K1-04999", "", unclear},
		{"K1-05000-", "K1-99999", inside},
		{"K1-05000-", "K1-04999", outside},
		{"K1-05000-", "K2-00001", unclear}, // the next model, not a later number
		{"-K1-04999", "K1-00001", inside},
		{"-K1-04999", "K1-05000", outside},
		{"09-10", "9", unclear}, // 9 is not 09: nobody knows which digits are missing
		{"K1-00500", "K1-00500", inside},
		{"K1-00500", "K1-00501", outside},
		{"", "whatever", inside},
	} {
		f, err := catalog.ParseFrames(tt.frames)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Hold(tt.number); got != tt.want {
			t.Errorf("%q holds %q: %v, want %v", tt.frames, tt.number, got, tt.want)
		}
	}
}

// Against plain numbers: with one prefix and length, frames hold what lies
// between their ends.
func TestFramesHoldAsNumbersDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		prefix := rapid.StringMatching(`[A-Z]{0,3}([0-9]{1,3}-)?`).Draw(t, "prefix")
		digits := rapid.IntRange(1, 7).Draw(t, "digits")
		most := 1
		for range digits {
			most *= 10
		}
		draw := func(name string) int { return rapid.IntRange(0, most-1).Draw(t, name) }
		from, to, n := draw("from"), draw("to"), draw("n")
		number := func(n int) string { return fmt.Sprintf("%s%0*d", prefix, digits, n) }
		if from > to {
			from, to = to, from
		}
		f, err := catalog.ParseFrames(number(from) + "-" + number(to))
		if err != nil || f.From != number(from) || f.To != number(to) {
			t.Fatalf("%s to %s: %q, %v", number(from), number(to), f, err)
		}
		want := catalog.Outside
		if from <= n && n <= to {
			want = catalog.Inside
		}
		if got := f.Hold(number(n)); got != want {
			t.Fatalf("%s holds %s: %v, want %v", f, number(n), got, want)
		}
	})
}

func FuzzParseFrames(f *testing.F) {
	for _, s := range []string{"K1-00500-K1-04999", "-9", "9-", "1-2-3-4", "–", "K1-05000-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		frames, err := catalog.ParseFrames(text)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Fatalf("%q: %v", text, err)
			}
			return
		}
		for _, end := range []string{frames.From, frames.To} {
			if end != "" && frames.Hold(end) != catalog.Inside {
				t.Errorf("%q: %q does not hold its end %q", text, frames, end)
			}
		}
	})
}
