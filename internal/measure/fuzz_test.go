package measure

import "testing"

// backAndForth fuzzes one type: what parses has to write itself in a form
// that reads back to the same value, in ASCII and as a German screen shows
// it; what does not parse has to be refused as bad input.
func backAndForth[T interface {
	comparable
	String() string
}](f *testing.F, parse func(string) (T, error), seeds ...string) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		v, err := parse(text)
		if err != nil {
			isInvalid(t, text, err)
			return
		}
		shown := []string{v.String()}
		if s, ok := any(v).(interface{ Screen(rune) string }); ok {
			if _, ring := any(v).(ORing); !ring {
				shown = append(shown, s.Screen(','))
			}
		}
		for _, s := range shown {
			if got, err := parse(s); err != nil || got != v {
				t.Errorf("%q reads as %v, shown as %q, which reads as %v, %v", text, v, s, got, err)
			}
		}
	})
}

func FuzzLength(f *testing.F) {
	backAndForth(f, ParseLength, "39", "57,9 mm", "Ø39", "1 3/8 in", `1.535"`, "3/8″", "0", "-1", "39.0001")
}

func FuzzSize(f *testing.F) {
	backAndForth(f, ParseSize, "39x52x11", "39×52×11/12,5", "43x55x9.5x10.5", "39-52-11", "10/14x1.5", "?x52", `1"x2"x3/8"`)
}

func FuzzThread(f *testing.F) {
	backAndForth(f, ParseThread, "M10x1.25", "M10 P1,25", "M10", "5/16-24 UNF", "UNF #10-32", "1-1/8 x 12 UNF", "M10x40")
}

func FuzzORing(f *testing.F) {
	backAndForth(f, ParseORing, "34x2.4", "AS568-214", "-004", "34 × 2,4 mm", "-999")
}

func FuzzVolume(f *testing.F) {
	backAndForth(f, ParseVolume, "480 mL", "0,48 l", "16.2 US fl oz", "16.2 imp fl oz", "16 oz", "0 mL")
}

func FuzzTorque(f *testing.F) {
	backAndForth(f, ParseTorque, "25 Nm", "18 lbf ft", "88 lbf in", "2,5 kgf m", "250 kgf cm", "2.5 mkp")
}

func FuzzFind(f *testing.F) {
	for _, s := range []string{"FORK SEAL 39X52X11 PAIR", "2 x 39x52x11, Ø39 57,9 mm", "KB-39-52-11", "39 x 52 x 11 / 12"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		sizes, rest := FindSizes(text)
		for _, s := range sizes {
			if again, _ := FindSizes(s.String()); len(again) != 1 || again[0] != s {
				t.Errorf("%q has the size %v, which is found as %v", text, s, again)
			}
		}
		lengths, rest := FindLengths(rest)
		for _, l := range lengths {
			if l <= 0 {
				t.Errorf("%q has the length %v", text, l)
			}
		}
		if len(rest) > len(text)+len(sizes)+len(lengths) {
			t.Errorf("%q leaves more than it was: %q", text, rest)
		}
	})
}
