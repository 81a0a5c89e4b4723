package scanner

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"testing/iotest"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// AIM identifiers after ISO/IEC 15424 (re-typed from memory, and agreeing
// with those that the readers of the bench gave).
func TestLines(t *testing.T) {
	for _, tt := range []struct {
		name, in string
		want     []Line
		bad      []int // numbers of the bad lines
	}{
		{name: "nothing"},
		{name: "LF", in: "A\nB\n", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "B"}}},
		{name: "CR", in: "A\rB\r", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "B"}}},
		{name: "CR LF", in: "A\r\nB\r\n", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "B"}}},
		{name: "TAB", in: "A\tB\t", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "B"}}},
		{name: "TAB and CR LF", in: "A\t\r\nB\t\n", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "B"}}},
		{name: "no end", in: "A\nB", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "B"}}},
		{name: "blank lines count", in: "\n\r\n  \nA\n", want: []Line{{Number: 4, Text: "A"}}},
		{name: "equal lines", in: "A\nA\n", want: []Line{{Number: 1, Text: "A"}, {Number: 2, Text: "A"}}},
		{name: "byte order mark", in: "\xef\xbb\xbf9520123456788\n", want: []Line{{Number: 1, Text: "9520123456788"}}},
		{name: "case and inner space stay", in: "  kb 39/52 \n", want: []Line{{Number: 1, Text: "kb 39/52"}}},
		{name: "Latin-1", in: "D\xe4mpfer\n", want: []Line{{Number: 1, Text: "Dämpfer"}}},
		{name: "EAN-13", in: "]E09520123456788\n", want: []Line{{Number: 1, Symbology: EAN13, Text: "9520123456788"}}},
		{name: "UPC-A as printed", in: "]E0012345678905\n", want: []Line{{Number: 1, Symbology: UPCA, Text: "012345678905"}}},
		{name: "UPC-E as printed", in: "]E001234565\n", want: []Line{{Number: 1, Symbology: UPCE, Text: "01234565"}}},
		{name: "EAN-8", in: "]E401234565\n", want: []Line{{Number: 1, Symbology: EAN8, Text: "01234565"}}},
		{name: "Code 128, 39, ITF, QR, Data Matrix", in: "]C0A\n]A0B\n]I112\n]Q1C\n]d1D\n", want: []Line{
			{Number: 1, Symbology: Code128, Text: "A"},
			{Number: 2, Symbology: Code39, Text: "B"},
			{Number: 3, Symbology: ITF, Text: "12"},
			{Number: 4, Symbology: QR, Text: "C"},
			{Number: 5, Symbology: DataMatrix, Text: "D"},
		}},
		{name: "GS1", in: "]C110A\x1d305\n]d2\x1d10A\n]Q310A\n10A\x1d305\n\x1d10A\n", want: []Line{
			{Number: 1, Symbology: GS1128, Text: "10A\x1d305", Elements: gs1.Elements{{AI: "10", Value: "A"}, {AI: "30", Value: "5"}}},
			{Number: 2, Symbology: GS1DataMatrix, Text: "10A", Elements: gs1.Elements{{AI: "10", Value: "A"}}},
			{Number: 3, Symbology: GS1QR, Text: "10A", Elements: gs1.Elements{{AI: "10", Value: "A"}}},
			{Number: 4, Text: "10A\x1d305", Elements: gs1.Elements{{AI: "10", Value: "A"}, {AI: "30", Value: "5"}}},
			{Number: 5, Text: "10A", Elements: gs1.Elements{{AI: "10", Value: "A"}}},
		}},
		{name: "GS1 that breaks the rules stays text", in: "]C1KB\n", want: []Line{{Number: 1, Symbology: GS1128, Text: "KB"}}},
		{name: "STX and ETX", in: "\x02A\x03\n\x02\x03\n", want: []Line{{Number: 1, Text: "A"}}},
		{name: "GS1 without identifier", in: "010952012345678810A\n01095201234567\n01095201234567890\n10A\n(10)A(30)5\n10A{GS}305\n10A^305\n0109520123456788\n", want: []Line{
			{Number: 1, Text: "010952012345678810A", Elements: gs1.Elements{{AI: "01", Value: "09520123456788"}, {AI: "10", Value: "A"}}},
			{Number: 2, Text: "01095201234567"},
			{Number: 3, Text: "01095201234567890"},
			{Number: 4, Text: "10A"}, // a number of a maker could be that
			{Number: 5, Text: "(10)A(30)5", Elements: gs1.Elements{{AI: "10", Value: "A"}, {AI: "30", Value: "5"}}},
			{Number: 6, Text: "10A{GS}305", Elements: gs1.Elements{{AI: "10", Value: "A"}, {AI: "30", Value: "5"}}},
			{Number: 7, Text: "10A^305", Elements: gs1.Elements{{AI: "10", Value: "A"}, {AI: "30", Value: "5"}}},
			{Number: 8, Text: "0109520123456788", Elements: gs1.Elements{{AI: "01", Value: "09520123456788"}}},
		}},
		{name: "add-on, composite, DotCode", in: "]E3952012345678812\n]E09520123456788|]e010A\n]J110A\n", want: []Line{
			{Number: 1, Symbology: EAN13, Text: "9520123456788"},
			{Number: 2, Symbology: EAN13, Text: "9520123456788"},
			{Number: 3, Text: "10A", Elements: gs1.Elements{{AI: "10", Value: "A"}}},
		}},
		{name: "check digit", in: "]E09520123456789\n]E495012347\n]E012345678901\n9520123456789\n", want: []Line{{Number: 4, Text: "9520123456789"}}, bad: []int{1, 2, 3}},
		{name: "no identifier", in: "]\n]X9A\n]E\n", want: []Line{{Number: 1, Text: "]"}, {Number: 2, Text: "]X9A"}, {Number: 3, Text: "]E"}}},
		{name: "identifier alone", in: "]E0\nA\n", want: []Line{{Number: 2, Text: "A"}}, bad: []int{1}},
		{name: "control characters", in: "A\x00\nB\n\x1b[A\nC\x7f", want: []Line{{Number: 2, Text: "B"}}, bad: []int{1, 3, 4}},
		{name: "UTF-16", in: "\xff\xfeA\x00\n\x00", bad: []int{1, 2}},
		{
			name: "long", in: strings.Repeat("A", MaxLine+1) + "\n" + strings.Repeat("B", MaxLine) + "\n",
			want: []Line{{Number: 2, Text: strings.Repeat("B", MaxLine)}}, bad: []int{1},
		},
	} {
		got, bad, err := Lines(strings.NewReader(tt.in), nil)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
		}
		for i := range tt.want {
			tt.want[i].Times = 1
		}
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("%s: -got +want\n%s", tt.name, diff)
		}
		var numbers []int
		for _, b := range bad {
			numbers = append(numbers, b.Number)
			if b.Err.Kind != fault.Invalid || b.Err.Hint.IsZero() || b.Err.Message.Args[0] != b.Number {
				t.Errorf("%s: line %d: %+v, want invalid with line number and hint", tt.name, b.Number, b.Err)
			}
		}
		if diff := cmp.Diff(numbers, tt.bad); diff != "" {
			t.Errorf("%s: bad lines, -got +want\n%s", tt.name, diff)
		}
	}
}

func TestLinesLost(t *testing.T) {
	got, _, err := Lines(io.MultiReader(strings.NewReader("A\nB"), iotest.ErrReader(errors.New("unplugged"))), nil)
	if fault.KindOf(err) != fault.Invalid || len(got) != 1 {
		t.Errorf("Lines = %v, %v, want line 1 and an error of kind invalid", got, err)
	}
}

// A reader is asked for more only after what it gave was told.
type asked func() (int, error)

func (f asked) Read([]byte) (int, error) { return f() }

func TestEachLineAtOnce(t *testing.T) {
	for _, end := range []string{"\n", "\r", "\t", "\r\n", "\t\r\n"} {
		told := ""
		in := io.MultiReader(strings.NewReader("A"+end), asked(func() (int, error) {
			if told != "1 A\n" {
				t.Errorf("%q: told %q before more is read, want line 1", end, told)
			}
			return 0, io.EOF
		}))
		if err := EachLine(in, func(n int, raw []byte) error { told += fmt.Sprintf("%d %s\n", n, raw); return nil }); err != nil {
			t.Error(err)
		}
	}
	stop := errors.New("enough")
	n := 0
	if err := EachLine(strings.NewReader("A\nB\n"), func(int, []byte) error { n++; return stop }); !errors.Is(err, stop) || n != 1 {
		t.Errorf("EachLine gives %v after %d lines, want %v after one", err, n, stop)
	}
}

func TestLineKey(t *testing.T) {
	for in, want := range map[string]string{
		"]E001234565":         "00012345000065",
		"]E401234565":         "00000001234565",
		"]C10109520123456788": "09520123456788",
		"9520123456788":       "09520123456788",
		"KB-39-52-11":         "KB-39-52-11",
		"]Q1https://id.example.test/01/09520123456788/10/B42": "09520123456788",
		"https://id.example.test/01/9520123456788":            "09520123456788",
		"https://id.example.test/kb/9520123456788":            "https://id.example.test/kb/9520123456788",
	} {
		lines, _, err := Lines(strings.NewReader(in), nil)
		if err != nil || len(lines) != 1 {
			t.Fatalf("Lines(%q) = %v, %v", in, lines, err)
		}
		if got, _ := lines[0].Key(); got != want {
			t.Errorf("key of %q = %q, want %q", in, got, want)
		}
	}
}

func FuzzLines(f *testing.F) {
	for _, seed := range []string{
		"A\r\nB\t\n]C110A\x1d305\n\xff\x00", "=12\n9520123456788\n=2", "+C1010952012345678810LOTY\nKBß39-52\nXY12",
		"$Eàç(éà&é\"'(-è__\n\"ç(é&&", "]e09520123456788\n]c1010952012345678810lot", "(01)09520123456788(10)B{GS}",
		"01234565\n]E09520123456788|]e010A", "https://a/01/09520123456788?17=310200",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		lines, bad, err := Lines(strings.NewReader(string(in)), known)
		if err != nil {
			t.Fatal(err)
		}
		last := 0
		for _, l := range lines {
			if l.Number <= last || l.Text == "" || !utf8.ValidString(l.Text) || strings.ContainsAny(l.Text, "\r\n\t\x00") {
				t.Errorf("line after %d: %+v", last, l)
			}
			if l.Times < 1 || l.Times > MaxTimes {
				t.Errorf("line %d stands for %d packs", l.Number, l.Times)
			}
			code, gtin := l.Key()
			proof := gtin || l.Elements != nil || l.Symbology != "" || known(code)
			if l.Keyboard != "" && !proof {
				t.Errorf("%+v is repaired without proof", l)
			}
			last = l.Number
		}
		for _, b := range bad {
			if b.Err.Kind != fault.Invalid || b.Err.Hint.IsZero() {
				t.Errorf("line %d: %v, want invalid with a hint", b.Number, b.Err)
			}
		}
		if n := strings.Count(string(in), "\n"); len(lines)+len(bad) > n+strings.Count(string(in), "\r")+strings.Count(string(in), "\t")+1 {
			t.Errorf("%d lines of %q", len(lines)+len(bad), in)
		}
	})
}
