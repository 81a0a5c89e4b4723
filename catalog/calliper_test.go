package catalog

import (
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// What callipers say of parts of each role, and what they refuse.
func TestParseCallipers(t *testing.T) {
	for _, tt := range []struct {
		text string
		role Role
		want string // size, then thread
	}{
		{"39x52x11", OilSeal, "39x52x11"},
		{"52 × 39 × 11", OilSeal, "39x52x11"},
		{"38,2x52.2x11.1", OilSeal, "38.2x52.2x11.1"},
		{"39x52x11/12.5", OilSeal, "39x52x11/12.5"},
		{"10x16", BottomWasher, "10x16"},
		{"32x2.5", CapORing, "32x37x2.5"},
		{"53x1.8", Clip, "?x53x1.8"},
		{"Ø53", Clip, "?x53"},
		{"39x20", LowerBushing, "39x?x20"},
		{"?x52x11", OilSeal, "?x52x11"},
		{"39", OilSeal, "39x?"},
		{"M10x1.25x30", BottomBolt, "?x?x30 M10x1.25"},
		{"M10x30", BottomBolt, "?x?x30 M10"},
		{"M10x1.25", BottomBolt, " M10x1.25"},
		{"M10x1.25x30", OilSeal, ""},
		{"39x52x11", BottomBolt, ""},
	} {
		c, err := ParseCallipers(tt.text)
		if err != nil {
			t.Errorf("%q: %v", tt.text, err)
			continue
		}
		s, thread := c.Size(tt.role)
		got := strings.TrimRight(s.String()+" "+thread, " ")
		if got != tt.want {
			t.Errorf("%q of %s: %q, want %q", tt.text, tt.role, got, tt.want)
		}
	}
	for _, text := range []string{"", "?", "?x?", "wide", "39x52x11x3x4", "39x-2", "M10x1.25xlong", "0x0"} {
		if _, err := ParseCallipers(text); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%q: %v, want Invalid", text, err)
		}
	}
}

// Which parts may be what was measured. A seal that never ran measures up to 3 mm
// less inside than its tube and up to 0.4 mm more outside than its bore (DIN 3760
// as sellers of rotary seals print it; the lip is common practice, no source).
func TestCallipersCompare(t *testing.T) {
	part := func(r Role, size, thread string, height measure.Length) Part {
		p := Part{Role: r, Thread: thread, Size: measure.Size{Height: height}}
		if size != "" {
			var err error
			if p.Size, err = measure.ParseSize(size); err != nil {
				t.Fatal(err)
			}
		}
		return p
	}
	for _, tt := range []struct {
		text   string
		part   Part
		agreed int // 0: it is none
	}{
		{"39x52x11", part(OilSeal, "39x52x11", "", 0), 3},
		{"37.4x52.3x11.1", part(OilSeal, "39x52x11", "", 0), 3},
		{"37.4x52.3x11.1", part(OilSeal, "39x52x9.5", "", 0), 0},
		{"37.4x52.3x11.1", part(OilSeal, "39x54x11", "", 0), 0},
		{"37.4x52.3", part(OilSeal, "39x52x11", "", 0), 2},
		{"52", part(OilSeal, "39x52x11", "", 0), 1},
		{"10.1x16.1x1.4", part(BottomWasher, "10x16x1.5", "", 0), 2},
		{"10.1x15.9x1.5", part(BottomWasher, "10x14x1.5", "", 0), 0},
		{"32.1x2.5", part(CapORing, "32x37x2.5", "", 0), 3},
		{"53x1.8", part(Clip, "?x53x1.8", "", 0), 2},
		{"M10x1.25x30", part(BottomBolt, "", "M10x1.25", 30_000), 2},
		{"M10x1.25x30", part(BottomBolt, "", "M10x1.25", 35_000), 0},
		{"M10x1.25x30", part(BottomBolt, "", "M8x1.25", 30_000), 0},
		{"M10x1.25x30", part(OilSeal, "39x52x11", "", 0), 0},
		{"39x52x11", part(Oil, "", "", 0), 0},
		{"39x52x11", part(Kit, "", "", 0), 0},
	} {
		c, err := ParseCallipers(tt.text)
		if err != nil {
			t.Fatal(err)
		}
		got, ok := c.Compare(tt.part)
		if ok != (tt.agreed > 0) || got.Agreed != tt.agreed {
			t.Errorf("%s for %s %s: %v, %d agree, want %d", tt.text, tt.part.Role, sizeText(tt.part), ok, got.Agreed, tt.agreed)
		}
		if says := len(c.Disagrees(tt.part)) > 0; says && tt.agreed > 0 {
			t.Errorf("%s disagrees with %s %s", tt.text, tt.part.Role, sizeText(tt.part))
		}
	}
}

func sizeText(p Part) string { return strings.TrimSpace(p.Size.String() + " " + p.Thread) }

// What is typed by hand never breaks the reading, and what is read has a number.
func FuzzParseCallipers(f *testing.F) {
	for _, seed := range []string{"39x52x11", "M10x1.25x30", "32x2,5", "?x52", "Ø53x1.8", "39x52x11/12.5", "x", "MxMx"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, err := ParseCallipers(text)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Errorf("%q: %v", text, err)
			}
			return
		}
		for _, r := range Roles {
			s, _ := c.Size(r)
			if s.Inner < 0 || s.Outer < 0 || s.Height < 0 {
				t.Errorf("%q of %s: %+v", text, r, s)
			}
		}
	})
}
