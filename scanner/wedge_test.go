package scanner

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/internal/fault"
)

// The numbers that the shop of these tests knows.
func known(code string) bool {
	return slices.Contains([]string{
		"KB-39/52", "ZX-10", "KB-395211", "395211", "XY12", "XZ12", "09520123456788",
		"zx-11", "ZX-11", "kb-41", "KB-41", "yx12",
	}, code)
}

// What a German and a French keyboard type for a scanner set to the United
// States, worked out by hand from X11's xkeyboard-config (de basic, fr azerty).
func TestKeyboards(t *testing.T) {
	const de, fr, caps = "scanner.keyboard.de", "scanner.keyboard.fr", "scanner.keyboard.caps"
	for _, tt := range []struct {
		name, in string
		want     []string // symbology and text
		keyboard string   // of the first
		refused  []string // message ids
	}{
		{name: "German, GS1-128", in: "+C1010952012345678810LOTYß7", want: []string{"gs1_128 010952012345678810LOTZ-7"}, keyboard: de},
		{name: "German, EAN-13", in: "+E09520123456788", want: []string{"ean13 9520123456788"}, keyboard: de},
		{name: "German, plain digits are right", in: "9520123456788", want: []string{" 9520123456788"}},
		{name: "German, Code 128", in: "+C0KBß39-52", want: []string{"code128 KB-39/52"}, keyboard: de},
		{name: "German, brackets", in: ")01=09520123456788)10=Bß42", want: []string{" (01)09520123456788(10)B-42"}, keyboard: de},
		{name: "German, FNC1 typed", in: "010952012345678810Bß42&305", want: []string{" 010952012345678810B-42^305"}, keyboard: de},
		{name: "German, wrong check digit", in: "+E09520123456789", refused: []string{"scanner.line_garbled"}},
		{name: "German, the shop knows it", in: "KBß39-52", want: []string{" KB-39/52"}, keyboard: de},
		{name: "German, nobody knows it", in: "KBß40-52", refused: []string{"scanner.line_unproven"}},
		{name: "no sign of another keyboard", in: "XY12", want: []string{" XY12"}},
		{name: "known both ways once there is a sign", in: "XY12\n+C0A", want: []string{"code128 A"}, keyboard: de, refused: []string{"scanner.line_unproven"}},
		{name: "known one way once there is a sign", in: "YXß10\n+C0A", want: []string{" ZX-10", "code128 A"}, keyboard: de},
		{name: "not known once there is a sign", in: "PARCEL\n+C0A", want: []string{" PARCEL", "code128 A"}},
		{name: "prefix before an identifier", in: "A1]E09520123456788", want: []string{"ean13 9520123456788"}},
		{name: "prefix and suffix around a GTIN", in: "F9520123456788;", want: []string{" 9520123456788"}},
		{name: "no prefix: the shop knows no such", in: "F9520123456795", want: []string{" F9520123456795"}},
		{name: "no prefix: wrong check digit", in: "F9520123456789", want: []string{" F9520123456789"}},
		{name: "wrong check digit as it stands", in: "]E09520123456789", refused: []string{"scanner.line_check"}},
		{name: "French, digits all of them signs of ASCII", in: "\"'(-_", refused: []string{"scanner.line_unproven"}},
		{name: "no number of a maker's", in: "Motor 12ä", want: []string{" Motor 12ä"}},
		{name: "German, GS1 that is none", in: "+C1KB", refused: []string{"scanner.line_garbled"}},
		{name: "German, caps lock", in: "+c1010952012345678810loty", want: []string{"gs1_128 010952012345678810LOTZ"}, keyboard: "scanner.keyboard.de_caps"},
		{name: "German, caps lock on every key", in: "*e=)%\"=!\"§$%&/((", want: []string{"ean13 9520123456788"}, keyboard: "scanner.keyboard.de_caps"},
		{name: "French, caps lock on letters", in: "$eàç(éà&é\"'(-è__", want: []string{"ean13 9520123456788"}, keyboard: "scanner.keyboard.fr_caps"},
		{name: "French, caps lock on every key", in: "£e09520123456788", want: []string{"ean13 9520123456788"}, keyboard: "scanner.keyboard.fr_caps"},
		{name: "two scanners, one of them set right", in: "]C0B\n+C0A\nXY12", want: []string{"code128 B", "code128 A", " XY12"}},
		{name: "known as it is", in: "zx-11", want: []string{" zx-11"}},
		{name: "known in two ways", in: "KBß41", refused: []string{"scanner.line_unproven"}},
		{name: "no sign, however known it would be", in: "zx12", want: []string{" zx12"}},
		{name: "an address is a word", in: "Straße 5", want: []string{" Straße 5"}},
		{name: "a word is a word", in: "Dämpferöl, Straße 5", want: []string{" Dämpferöl, Straße 5"}},
		{name: "French, EAN-13", in: "$Eàç(éà&é\"'(-è__", want: []string{"ean13 9520123456788"}, keyboard: fr},
		{name: "French, EAN-13 without identifier", in: "ç(éà&é\"'(-è__", want: []string{" 9520123456788"}, keyboard: fr},
		{name: "French, wrong check digit", in: "ç(éà&é\"'(-è_ç", refused: []string{"scanner.line_unproven"}},
		{name: "French, a number the shop knows", in: "\"ç(é&&", want: []string{" 395211"}, keyboard: fr},
		{name: "French, a number it does not", in: "\"ç(é&é", refused: []string{"scanner.line_unproven"}},
		{name: "French, Code 128", in: "$CàKB)\"ç!(é", want: []string{"code128 KB-39/52"}, keyboard: fr},
		{name: "French, caps lock, is digits", in: "9520123456788", want: []string{" 9520123456788"}},
		{name: "caps lock, EAN-13", in: "]e09520123456788", refused: []string{"scanner.line_two"}},
		{name: "caps lock, GS1-128", in: "]c1010952012345678810lotZ", want: []string{"gs1_128 010952012345678810LOTz"}, keyboard: caps},
		{name: "caps lock, DataBar", in: "]E00109520123456788", want: []string{" 0109520123456788"}, keyboard: caps},
		{name: "caps lock, the shop knows it", in: "zx-10", want: []string{" ZX-10"}, keyboard: caps},
		{name: "caps lock, nobody knows it", in: "https://example.com/a", want: []string{" https://example.com/a"}},
	} {
		got, bad, err := Lines(strings.NewReader(tt.in), known)
		if err != nil {
			t.Fatal(err)
		}
		var texts, refused []string
		for _, l := range got {
			texts = append(texts, l.Symbology+" "+l.Text)
		}
		for _, b := range bad {
			refused = append(refused, b.Err.Message.ID)
			if b.Err.Kind != fault.Invalid || b.Err.Hint.IsZero() {
				t.Errorf("%s: %v, want invalid with a hint", tt.name, b.Err)
			}
		}
		if diff := cmp.Diff(texts, tt.want); diff != "" {
			t.Errorf("%s: -got +want\n%s", tt.name, diff)
		}
		if diff := cmp.Diff(refused, tt.refused); diff != "" {
			t.Errorf("%s: refused, -got +want\n%s", tt.name, diff)
		}
		if tt.keyboard != "" && (len(got) == 0 || got[0].Keyboard != tt.keyboard) {
			t.Errorf("%s: %+v, want from keyboard %q", tt.name, got, tt.keyboard)
		}
	}
}

// The shop is not asked about lines that show no sign of anything: a delivery
// has many.
func TestAsksSeldom(t *testing.T) {
	asked := 0
	_, _, err := Lines(strings.NewReader("9520123456788\n]C0KB-39\nKB-39/52\nPARCEL\n010952012345678810A"), func(string) bool {
		asked++
		return false
	})
	if err != nil || asked > 0 {
		t.Errorf("asked %d times, %v", asked, err)
	}
}

// A code that a scanner sends with AIM identifier comes back from every
// keyboard as it was, or is refused: never as another.
func TestKeyboardsNeverLie(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sent := rapid.SampledFrom([]string{"]E09520123456788", "]E495012346", "]C10109520123456788", "]d2010952012345678817310200", "]C0", "]A0", "]Q1"}).Draw(t, "code")
		if strings.HasSuffix(sent, "0") && len(sent) == 3 || sent == "]Q1" {
			sent += rapid.StringMatching(`[A-Z0-9/.-]{1,20}`).Draw(t, "text")
		} else if sent[1] == 'C' || sent[1] == 'd' {
			sent += "10" + rapid.StringMatching(`[A-Za-z0-9/-]{1,20}`).Draw(t, "batch")
		}
		want, _, _ := Lines(strings.NewReader(sent), nil)
		k := rapid.SampledFrom(keyboards).Draw(t, "keyboard")
		typed, ok := k.typing(sent)
		if !ok {
			t.Skip("cannot be typed there")
		}
		got, bad, err := Lines(strings.NewReader(typed), nil)
		if err != nil || len(got)+len(bad) != 1 {
			t.Fatalf("%q: %v, %v, %v", typed, got, bad, err)
		}
		if len(got) == 1 && (got[0].Text != want[0].Text || got[0].Symbology != want[0].Symbology) {
			t.Errorf("%q typed as %q is read as %s %q", sent, typed, got[0].Symbology, got[0].Text)
		}
	})
}

func TestTimes(t *testing.T) {
	for _, tt := range []struct {
		in      string
		want    []int
		refused []string
	}{
		{"=12\n9520123456788\n9520123456788", []int{12, 1}, nil},
		{"=12\r\n\r\n]C0A", []int{12}, nil},
		{"=1\nA", []int{1}, nil},
		{"=999\nA", []int{999}, nil},
		{"=1000\nA", []int{1}, []string{"scanner.times_range"}},
		{"=0\nA", []int{1}, []string{"scanner.times_range"}},
		{"=99999999999999999999\nA", []int{1}, []string{"scanner.times_range"}},
		{"=2\n=3\nA", []int{3}, []string{"scanner.times_nothing"}},
		{"A\n=2", []int{1}, []string{"scanner.times_nothing"}},
		{"]C0=12\nA", []int{1, 1}, nil},
		{"= 12\nA", []int{12}, nil},
		{"=12A\n12\nA", []int{1, 1}, []string{"scanner.times_range"}},
		{"=abc\nA", []int{1}, []string{"scanner.times_range"}},
	} {
		got, bad, err := Lines(strings.NewReader(tt.in), nil)
		var times []int
		for _, l := range got {
			times = append(times, l.Times)
		}
		var refused []string
		for _, b := range bad {
			refused = append(refused, b.Err.Message.ID)
			if b.Err.Hint.ID != "scanner.times_hint" {
				t.Errorf("%q: hint %q", tt.in, b.Err.Hint.ID)
			}
		}
		if diff := cmp.Diff(times, tt.want); diff != "" || err != nil {
			t.Errorf("%q: %v, -got +want\n%s", tt.in, err, diff)
		}
		if diff := cmp.Diff(refused, tt.refused); diff != "" {
			t.Errorf("%q: refused, -got +want\n%s", tt.in, diff)
		}
	}
	got, _, _ := Lines(strings.NewReader("=12\nA"), func(code string) bool { return code == "=12" })
	if len(got) != 2 || got[0].Times != 1 || got[1].Times != 1 {
		t.Errorf("a code that the shop knows is taken for a number of packs: %+v", got)
	}
}
