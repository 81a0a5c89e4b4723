package pattern

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
)

// How labels are laid out is common practice, no source; all of them are
// invented.

func TestShapeOf(t *testing.T) {
	for _, tt := range []struct {
		symbology, text string
		want            Shape
		fits, not       string
	}{
		{"code128", "PARCEL-77", Shape{"code128", "PARCEL-", 9}, "PARCEL-01", "PARCEL-123"},
		{"code128", "ZQ4711000123", Shape{"code128", "ZQ47", 12}, "ZQ4799999999", "ZQ5711000123"},
		{"", "0034043416", Shape{"", "0034", 10}, "0034000000", "0035043416"},
		{"qr", "https://parcel.example/t?id=5", Shape{"qr", "https://parcel.example/", 0}, "https://parcel.example/other", "https://parcel.example.evil/"},
		{"qr", "HTTP://parcel.example", Shape{"qr", "HTTP://parcel.example", 0}, "HTTP://parcel.example/7", "http://parcel.example"},
		{"qr", "https://", Shape{"qr", "https://", 8}, "https://", "https:/x"},
		{"code39", "ÖL7", Shape{"code39", "ÖL7", 3}, "ÖL7", "ÖL8"},
	} {
		got := ShapeOf(tt.symbology, tt.text)
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("ShapeOf(%q) (-got +want)\n%s", tt.text, diff)
		}
		if !got.Fits(tt.symbology, tt.text) || !got.Fits(tt.symbology, tt.fits) || got.Fits(tt.symbology, tt.not) {
			t.Errorf("%+v fits %q %v, %q %v, want both; %q %v, want not", got, tt.text, got.Fits(tt.symbology, tt.text),
				tt.fits, got.Fits(tt.symbology, tt.fits), tt.not, got.Fits(tt.symbology, tt.not))
		}
	}
}

// A scanner that does not say its symbology is believed; one that says another
// is not.
func TestFitsSymbology(t *testing.T) {
	shape := Shape{Symbology: "code128", Begins: "P"}
	for symbology, want := range map[string]bool{"code128": true, "": true, "code39": false, "qr": false} {
		if got := shape.Fits(symbology, "P1"); got != want {
			t.Errorf("Fits(%q) = %v, want %v", symbology, got, want)
		}
	}
	if !(Shape{Begins: "P"}).Fits("qr", "P1") {
		t.Error("a shape without symbology fits none")
	}
}

// Each label and what was told of it, the rule, and what the rule makes of the
// next labels; "" stands for none of it.
func TestWork(t *testing.T) {
	type next struct {
		text, number string
		pieces       int64
	}
	for _, tt := range []struct {
		name, text, number string
		pieces             int64
		want               Rule
		next               []next
	}{
		{
			"number between marks", "HALM/KB-39/2/L7", "KB-39", 2,
			Rule{Shape{"code128", "HALM/", 0}, Span{Mark: "/", Nth: 1, From: 1, Until: "/"}, true, Span{Mark: "/", Nth: 2, From: 1, Until: "/"}},
			nil,
		},
		{
			"data identifiers behind GS", "P12345-07\x1dQ0002\x1dL9", "12345-07", 2,
			Rule{Shape{"code128", "P", 0}, Span{From: 2, Until: "\x1d"}, true, Span{Mark: "\x1d", Nth: 1, From: 2, Until: "\x1d"}},
			[]next{{"P9\x1dQ10\x1d", "9", 10}, {"X9\x1dQ10\x1d", "", 0}, {"P9\x1dQ0\x1d", "", 0}, {"P9\x1dQx\x1d", "", 0}, {"P9", "", 0}},
		},
		{
			"fixed width with zeros", "47110000123450004", "12345", 4,
			Rule{Shape{"code128", "", 17}, Span{From: 5, Length: 9}, false, Span{From: 14}},
			[]next{{"47110000000070012", "7", 12}, {"47119999999990001", "999999999", 1}, {"4711000012345004", "", 0}, {"47110000000000004", "", 0}},
		},
		{
			"letters in front, to the end", "ART0012345", "12345", 0,
			Rule{Shape{"code128", "ART", 0}, Span{From: 4}, false, Span{}},
			[]next{{"ART99", "99", 0}, {"art99", "", 0}, {"ART", "", 0}, {"ART000", "", 0}},
		},
		{
			"a number without its dashes", "HQ/KB3952/01", "KB-39/52", 0,
			Rule{Shape{"code128", "HQ/", 0}, Span{Mark: "/", Nth: 1, From: 1, Until: "/"}, true, Span{}},
			[]next{{"HQ/SW-3156/99", "SW-3156", 0}, {"HQ/SW-3156", "", 0}},
		},
		{
			"the mark stands in the number, too", "T-KB-39-7", "KB-39", 0,
			Rule{Shape{"code128", "T-", 0}, Span{Mark: "-", Nth: 1, From: 1, Length: 5}, true, Span{}},
			[]next{{"T-SW-31-9", "SW-31", 0}, {"T-SW", "", 0}},
		},
		{
			"all digits, to the end", "471100012345", "12345", 0,
			Rule{Shape{"code128", "", 12}, Span{From: 5}, false, Span{}},
			[]next{{"471100000001", "1", 0}, {"4711000000012", "", 0}},
		},
		{
			"how many first", "2x|KB-39", "KB-39", 2,
			Rule{Shape{"code128", "", 0}, Span{Mark: "|", Nth: 1, From: 1}, true, Span{From: 1, Length: 1}},
			[]next{{"4x|SW-1", "SW-1", 4}},
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			rules := Work("code128", tt.text, tt.number, tt.pieces)
			if len(rules) != 1 {
				t.Fatalf("%d rules, want one: %+v", len(rules), rules)
			}
			if diff := cmp.Diff(rules[0], tt.want); diff != "" {
				t.Errorf("rule (-got +want)\n%s", diff)
			}
			for _, n := range append(tt.next, next{tt.text, tt.number, tt.pieces}) {
				number, pieces, ok := rules[0].Read("code128", n.text)
				if ok != (n.number != "") || ok && (normal(number) != normal(n.number) || pieces != n.pieces) {
					t.Errorf("%q: %q, %d, %v; want %q, %d", n.text, number, pieces, ok, n.number, n.pieces)
				}
			}
		})
	}
}

// A number that stands twice in a label gives both rules, one that does not
// stand in it none.
func TestWorkAmbiguous(t *testing.T) {
	for _, tt := range []struct {
		text, number string
		pieces       int64
		want         int
	}{
		{"77/77/1", "77", 0, 2},
		{"A/KB-39/2/2", "KB-39", 2, 2},
		{"1111/11", "11", 0, 1}, // the field of its own
		{"1111", "11", 0, 3},
		{"A/KB-39/KB39", "kb-39", 0, 1}, // as it was told
		{"A/KB-39/2", "KB-40", 0, 0},
		{"A/KB-39/2", "KB-39", 3, 0},
		{"A/KB-39/2", "", 0, 0},
		{"A/KB-39/2", "--", 0, 0},
		{"", "1", 0, 0},
		{"12", "12", 12, 0}, // what is the number cannot be how many, too
	} {
		if got := Work("", tt.text, tt.number, tt.pieces); len(got) != tt.want {
			t.Errorf("Work(%q, %q, %d): %d rules, want %d: %+v", tt.text, tt.number, tt.pieces, len(got), tt.want, got)
		}
	}
}

// Whatever is shown: a rule that comes out reads its example, and reads
// nothing that is not there.
func FuzzWork(f *testing.F) {
	f.Add("code128", "P12345-07\x1dQ0002\x1dL9", "12345-07", int64(2), "P9\x1dQ3\x1d")
	f.Add("", "47110000123450004", "12345", int64(4), "47110000000070012")
	f.Add("qr", "T-KB-39-7", "KB39", int64(0), "")
	f.Fuzz(func(t *testing.T, symbology, text, number string, pieces int64, other string) {
		if !utf8.ValidString(text) || !utf8.ValidString(number) || !utf8.ValidString(other) || len(text) > 200 || pieces < 0 || pieces > MostPieces {
			t.Skip()
		}
		for _, r := range Work(symbology, text, number, pieces) {
			if !r.reads(text, number, pieces) {
				t.Fatalf("%+v does not read its example %q as %q, %d", r, text, number, pieces)
			}
			for _, label := range []string{text, other} {
				got, n, ok := r.Read(symbology, label)
				if ok && (!strings.Contains(label, got) || n < 0 || n > MostPieces || normal(got) == "") {
					t.Fatalf("%+v reads %q, %d out of %q", r, got, n, label)
				}
			}
		}
		if s := ShapeOf(symbology, text); !s.Fits(symbology, text) {
			t.Fatalf("%+v does not fit its example %q", s, text)
		}
	})
}
