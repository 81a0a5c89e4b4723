package gs1

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
)

// The GTINs are of the figures of the General Specifications (see
// vectors.tsv) or have the demonstration prefix 952.
func TestKey(t *testing.T) {
	for _, tt := range []struct {
		symbology, text, want string
		gtin                  bool
	}{
		{"ean13", "9501101531000", "09501101531000", true},
		{"", "9501101531000", "09501101531000", true},
		{"upca", "012345678905", "00012345678905", true},
		{"ean8", "95012346", "00000095012346", true},
		{"itf", "15400141288763", "15400141288763", true},
		{"code128", " 9501101531000\r", "09501101531000", true},
		{"ean13", "9501101531001", "9501101531001", false}, // wrong check digit
		{"code39", "950110153100", "950110153100", false},  // 12 digits, wrong check digit
		{"upce", "01234565", "00012345000065", true},
		{"ean8", "01234565", "00000001234565", true},
		{"", "01234565", "00000001234565", true},
		{"upce", "01234566", "01234566", false},
		{"upce", "91234565", "91234565", false}, // number system 9 does not exist
		{"code128", " kb-39-52-11 ", "kb-39-52-11", false},
		{"code128", "123456789012345", "123456789012345", false},
		{"qr", "", "", false},
	} {
		got, gtin := Key(tt.symbology, tt.text)
		if got != tt.want || gtin != tt.gtin {
			t.Errorf("Key(%q, %q) = %q, %v, want %q, %v", tt.symbology, tt.text, got, gtin, tt.want, tt.gtin)
		}
	}
}

// 01234565 is valid both ways: as EAN-8 by its check digit, and as the UPC-E
// whose UPC-A is 012345000065 (BS EN 797:1996; zint's tests give the same).
func TestReadings(t *testing.T) {
	for _, tt := range []struct {
		text string
		want []string
	}{
		{"01234565", []string{"00000001234565", "00012345000065"}},
		{"95012346", []string{"00000095012346"}},
		{"04567840", []string{"00045670000080"}}, // UPC-E, BS EN 797 rule 3 (b); no EAN-8
		{"12345678", nil},
		{"9501101531000", nil},
		{"KB395211", nil},
	} {
		if diff := cmp.Diff(Readings(tt.text), tt.want); diff != "" {
			t.Errorf("Readings(%q): -got +want\n%s", tt.text, diff)
		}
	}
}

func TestElements(t *testing.T) {
	now := time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC)
	type label struct {
		GTIN, Batch, UseBy string
		Count              int
		Counted            bool
	}
	for _, tt := range []struct {
		text string
		want label
	}{
		{"]C1010952012345678817310200" + "10B-42/7\x1d3012", label{"09520123456788", "B-42/7", "2031-02-28", 12, true}},
		{"\x1d0209520123456788" + "3724", label{GTIN: "09520123456788", Count: 24, Counted: true}},
		{"]d20109520123456788" + "15280229", label{GTIN: "09520123456788", UseBy: "2028-02-29"}},
		{"]Q315270101" + "17261231", label{UseBy: "2026-12-31"}},
		{"00395210000000000019", label{}},
	} {
		es, err := Parse(tt.text)
		if err != nil {
			t.Errorf("Parse(%q): %v", tt.text, err)
			continue
		}
		got := label{GTIN: es.GTIN(), Batch: es.Batch(), UseBy: es.UseBy(now)}
		got.Count, got.Counted = es.Count()
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("%q: -got +want\n%s", tt.text, diff)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, tt := range []struct{ text, id string }{
		{"", "gs1.empty"},
		{"\x1d", "gs1.empty"},
		{"]C1", "gs1.empty"},
		{"KB-39-52-11", "gs1.unknown_ai"},
		{"0109520123456789", "gs1.bad_value"},              // check digit
		{"0109520123456788" + "17261301", "gs1.bad_value"}, // month 13
		{"10", "gs1.bad_value"},
		{"10A\x1d\x1d21B", "gs1.unknown_ai"},
		{"10A\x1d10B", "gs1.twice"},
		{"10\xff", "gs1.bad_value"},
	} {
		es, err := Parse(tt.text)
		if fault.KindOf(err) != fault.Invalid {
			t.Errorf("Parse(%q) = %v, %v, want an error of kind invalid", tt.text, es, err)
			continue
		}
		if e := fault.Of(err); e.Message.ID != tt.id || e.Hint.IsZero() {
			t.Errorf("Parse(%q) says %s with hint %q, want %s and a hint", tt.text, e.Message.ID, e.Hint.ID, tt.id)
		}
	}
}

// Every format of the table is taken at its shortest and refused one longer
// than its longest; no AI is the beginning of another.
func TestTable(t *testing.T) {
	for ai := range formats {
		for n := 2; n < len(ai); n++ {
			if _, ok := formats[ai[:n]]; ok {
				t.Errorf("AI %s begins AI %s", ai[:n], ai)
			}
		}
		if n, ok := predefined[ai[:2]]; ok {
			longest := 0
			for _, p := range formats[ai].pieces {
				longest += p.max
			}
			if len(ai)+longest != n {
				t.Errorf("AI %s has %d characters in the table, predefined are %d", ai, len(ai)+longest, n)
			}
		}
	}
	if len(formats) < 450 {
		t.Errorf("%d AIs, want 450 or more", len(formats))
	}
}

func FuzzKey(f *testing.F) {
	f.Add("ean13", "9501101531000")
	f.Add("upce", "01234565")
	f.Add("code128", " KB-39-52-11 ")
	f.Fuzz(func(t *testing.T, symbology, text string) {
		key, gtin := Key(symbology, text)
		if gtin && (len(key) != 14 || !Valid(key)) {
			t.Errorf("Key(%q, %q) = %q, no GTIN-14", symbology, text, key)
		}
		if !gtin && key != strings.TrimSpace(text) {
			t.Errorf("Key(%q, %q) = %q, not the trimmed text", symbology, text, key)
		}
		if again, _ := Key("", key); gtin && again != key {
			t.Errorf("Key of key %q = %q", key, again)
		}
		for _, r := range Readings(text) {
			if !Valid(r) || len(r) != 14 {
				t.Errorf("Readings(%q) has %q", text, r)
			}
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"]C10109520123456788" + "10B-42/7\x1d3012", "\x1d8013" + "1987654Ad4X4bL5ttr2310c2K", "42352852",
		"(01)09520123456788(10)B\\(42", "0109520123456788" + "10B{GS}17310200", "^8110012345612345611110123", "3103000123",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, parse := range []func(string) (Elements, error){Parse, ParseTyped, ParseBracketed} {
			es, err := parse(text)
			if err != nil {
				if e := fault.Of(err); e.Kind != fault.Invalid || e.Hint.IsZero() {
					t.Errorf("%q: %v, want invalid with a hint", text, err)
				}
				continue
			}
			// Written again, with FNC1 behind each or in brackets, they say
			// the same.
			var b strings.Builder
			for _, e := range es {
				b.WriteString(e.AI + e.Value + string(GS))
				e.Decimal()
			}
			again, err := Parse(b.String())
			if diff := cmp.Diff(again, es); err != nil || diff != "" {
				t.Errorf("%q = %v, again: %v, %v", text, es, again, err)
			}
			again, err = ParseBracketed(es.String())
			if diff := cmp.Diff(again, es); err != nil || diff != "" {
				t.Errorf("%q = %v, in brackets: %v, %v", text, es, again, err)
			}
			es.UseBy(time.Unix(0, 0))
			es.Count()
			es.Warnings()
		}
	})
}

func FuzzParseLink(f *testing.F) {
	f.Add("https://id.example.test/stem/01/9520123456788/10/B%2F42/21/S1?17=310200&x=y#z")
	f.Add("HTTP://[2001:db8::1]/8003/09521234567899KB?3103=000195")
	f.Fuzz(func(t *testing.T, uri string) {
		es, err := ParseLink(uri)
		if err != nil {
			if e := fault.Of(err); e.Kind != fault.Invalid || e.Hint.IsZero() {
				t.Errorf("%q: %v, want invalid with a hint", uri, err)
			}
			return
		}
		again, err := ParseBracketed(es.String())
		if diff := cmp.Diff(again, es); err != nil || diff != "" || !formats[es[0].AI].key {
			t.Errorf("%q = %v, again: %v, %v", uri, es, again, err)
		}
	})
}

// A label that is odd where no stock depends on it is taken with a warning; a
// wrong key, date or length is not. Each pair of AIs warns once.
func TestWarnings(t *testing.T) {
	for in, want := range map[string][]fault.Message{
		"(01)09520123456788(10)B-42":             nil,
		"(10)B-42":                               {fault.Say("gs1.warn.needs", "10", "(01), (02), (03), (8006), (8026)")},
		"(10)B-42(10)B-42(00)395210000000000019": {fault.Say("gs1.warn.needs", "10", "(01), (02), (03), (8006), (8026)")},
		"(01)09520123456788(426)987":             {fault.Say("gs1.warn.value", "426", "987", fault.Say("gs1.why.country"))},
		"(01)09520123456788(37)12(00)395210000000000019": {
			fault.Say("gs1.warn.bars", "01", "37"), fault.Say("gs1.warn.needs", "37", "(00)+(02), (00)+(8026)"),
		},
		"(01)09520123456788(3100)000010(3101)000010": {fault.Say("gs1.warn.bars", "3100", "3101")},
	} {
		es, err := ParseBracketed(in)
		if diff := cmp.Diff(es.Warnings(), want, cmp.AllowUnexported(fault.Message{})); err != nil || diff != "" {
			t.Errorf("%s: %v, -got +want\n%s", in, err, diff)
		}
	}
}

// EAN-8, EAN-13 and GTIN-14 as packs print them: GS1 General Specifications
// 21.0.1, clause 3.3.2 (zeros on the left only fill up).
func TestPrinted(t *testing.T) {
	for key, want := range map[string]string{
		"00000001234565": "01234565", "04000000000051": "4000000000051", "00012345000065": "0012345000065",
		"19520000000004": "19520000000004", "04000000000052": "04000000000052", "PARCEL": "PARCEL",
	} {
		if got := Printed(key); got != want {
			t.Errorf("Printed(%q) = %q, want %q", key, got, want)
		}
		if back, _ := GTIN14(Printed(key)); back != key {
			t.Errorf("Printed(%q) is filed as %q", key, back)
		}
	}
}
