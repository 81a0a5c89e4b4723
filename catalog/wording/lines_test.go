package wording

import (
	"encoding/csv"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"forkstock/internal/measure"
)

// bikes are invented; those of the demo shop.
var bikes = []Bike{
	{"Kaldrin", "Velda 125"},
	{"Kaldrin", "Velda 400"},
	{"Kaldrin", "Velda 400 S"},
	{"Kaldrin", "Ulmar 250"},
	{"Kaldrin", "Ulmar 250 E"},
	{"Kaldrin", "Nordane 650"},
	{"Kaldrin", "Nordane 650 GT"},
	{"Kaldrin", "Nordane 900"},
	{"Kaldrin", "Nordane 900 X"},
	{"Ruvanti", "Falena 500"},
	{"Ruvanti", "Falena 820"},
	{"Ruvanti", "Falena 820 R"},
	{"Ruvanti", "Falena 960"},
	{"Ruvanti", "Falena 960 RS"},
	{"Ruvanti", "Zefira 300"},
	{"Ruvanti", "Zefira 300 F"},
	{"Ruvanti", "Zefira 1100"},
	{"Ruvanti", "Zefira 1100 T"},
	{"Ostrell", "Torvane 600"},
	{"Ostrell", "Bjarka 125 M"},
	{"Ostrell", "Bjarka 250 M"},
	{"Ostrell", "Bjarka 450 M"},
	{"Ostrell", "Bjarka 450 MA"},
	{"Ostrell", "Bjarka 350 E"},
	{"Tavoshi", "TVQ 125"},
	{"Tavoshi", "TVQ 250"},
	{"Tavoshi", "TVQ 600 F"},
	{"Tavoshi", "TVQ 600 R"},
	{"Tavoshi", "Kurane 500"},
	{"Tavoshi", "Kurane 750"},
	{"Tavoshi", "Kurane 750 B"},
	{"Tavoshi", "Kurane 1000"},
	{"Tavoshi", "Misora 650"},
	{"Haldorn", "Drumlin 800"},
	{"Haldorn", "Drumlin 1200 C"},
	{"Haldorn", "Drumlin 1450"},
	{"Haldorn", "Moorland 600"},
	{"Haldorn", "Moorland 850"},
}

// fields of the test lines, in the order of their columns.
var fields = []string{"role", "size", "thread", "leg", "pieces", "elastomer", "material", "volume", "make", "model", "years"}

// A line is a description with what it says. A value that ends with "?" may be
// proposed as uncertain, or not at all.
type line struct {
	class, set, text string
	want             map[string]string
}

func readLines(tb testing.TB) []line {
	tb.Helper()
	file, err := os.Open("testdata/lines.tsv")
	if err != nil {
		tb.Fatal(err)
	}
	defer file.Close()
	rows := csv.NewReader(file)
	rows.Comma, rows.LazyQuotes, rows.Comment = '\t', true, '#'
	all, err := rows.ReadAll()
	if err != nil {
		tb.Fatal(err)
	}
	if got := strings.Join(all[0], " "); got != "class set description "+strings.Join(fields, " ") {
		tb.Fatalf("lines.tsv has the columns %q", got)
	}
	var lines []line
	for _, row := range all[1:] {
		l := line{row[0], row[1], row[2], map[string]string{}}
		for i, f := range fields {
			l.want[f] = row[3+i]
		}
		l.want["size"] = sizeText(tb, l.want["size"])
		lines = append(lines, l)
	}
	return lines
}

// sizeText gives the size of an O-ring as Reading has it: 34x2.4 is 34x38.8x2.4.
func sizeText(tb testing.TB, text string) string {
	doubt := strings.HasSuffix(text, "?") && len(text) > 1
	bare := strings.TrimSuffix(text, "?")
	if bare == "" {
		return text
	}
	s, err := measure.ParseSize(bare)
	if err != nil {
		o, err := measure.ParseORing(bare)
		if err != nil {
			tb.Fatalf("lines.tsv: size %q", text)
		}
		s = measure.Size{Inner: o.Inner, Outer: o.Inner + 2*o.Section, Height: o.Section}
	}
	if doubt {
		return s.String() + "?"
	}
	return s.String()
}

// A said is one proposal as text.
type said struct {
	text string
	sure bool
}

// saidOf gives the proposals of a reading by the field.
func saidOf(r Reading) map[string][]said {
	all := map[string][]said{}
	add := func(field, text string, made, sure bool) {
		if made {
			all[field] = append(all[field], said{text, sure})
		}
	}
	add("role", string(r.Role.Value), r.Role.Made(), r.Role.Sure())
	add("size", r.Size.Value.String(), r.Size.Made(), r.Size.Sure())
	add("thread", r.Thread.Value.String(), r.Thread.Made(), r.Thread.Sure())
	add("leg", r.Leg.Value.String(), r.Leg.Made(), r.Leg.Sure())
	add("pieces", fmt.Sprint(r.Pieces.Value), r.Pieces.Made(), r.Pieces.Sure())
	add("elastomer", r.Elastomer.Value, r.Elastomer.Made(), r.Elastomer.Sure())
	add("material", r.Material.Value, r.Material.Made(), r.Material.Sure())
	add("volume", fmt.Sprint(int64(r.Volume.Value)), r.Volume.Made(), r.Volume.Sure())
	for _, p := range r.Makes {
		add("make", p.Value, p.Made(), p.Sure())
	}
	for _, p := range r.Models {
		add("model", p.Value.Make+" "+p.Value.Model, p.Made(), p.Sure())
	}
	for _, p := range r.Years {
		add("years", p.Value.String(), p.Made(), p.Sure())
	}
	return all
}

// A score counts the values of one field.
type score struct{ right, wrong, missed, sure, wrongSure int }

func (s *score) add(o score) {
	s.right += o.right
	s.wrong += o.wrong
	s.missed += o.missed
	s.sure += o.sure
	s.wrongSure += o.wrongSure
}

// precision is the share of the proposals that are right, recall the share of
// what the lines say that is proposed, certain that of what is certain.
func (s score) precision() float64 { return ratio(s.right, s.right+s.wrong) }
func (s score) recall() float64    { return ratio(s.right, s.right+s.missed) }
func (s score) certain() float64   { return ratio(s.sure, s.right+s.missed) }

func ratio(a, b int) float64 {
	if b == 0 {
		return 1
	}
	return float64(a) / float64(b)
}

// judge compares the proposals of one field with what they should be.
func judge(got []said, want string) (s score) {
	var values []string
	if want != "" {
		values = strings.Split(want, "+")
	}
	for _, g := range got {
		i := slices.IndexFunc(values, func(v string) bool { return strings.TrimSuffix(v, "?") == g.text })
		switch {
		case i >= 0 && !strings.HasSuffix(values[i], "?"):
			s.right++
			if g.sure {
				s.sure++
			}
			values = slices.Delete(values, i, i+1)
		case i >= 0 && !g.sure:
			values = slices.Delete(values, i, i+1)
		default:
			s.wrong++
			if g.sure {
				s.wrongSure++
			}
		}
	}
	for _, v := range values {
		if !strings.HasSuffix(v, "?") {
			s.missed++
		}
	}
	return s
}

// least is what each set reached and has to keep, precision and recall over all
// classes: of role and size never below 0.99 and 0.9.
var least = map[string]map[string][2]float64{
	"work":    {"role": {0.99, 0.98}, "size": {0.99, 0.98}, "": {0.97, 0.97}},
	"spent":   {"role": {0.99, 0.98}, "size": {0.99, 0.98}, "": {0.97, 0.97}},
	"counter": {"role": {0.99, 0.97}, "size": {0.99, 0.98}, "": {0.97, 0.97}},
	"kept":    {"role": {0.99, 0.97}, "size": {0.99, 0.98}, "": {0.97, 0.97}, "material": {0.97, 0.8}},
}

// TestLines reads the lines of testdata and holds what it reached. All lines
// are our own, by the hand that wrote the rules, so they say less about the
// lists of the world than those would.
//
// The 280 lines of the set work stood before the rules. Ten sets were written
// after them, each before the rules had seen it, and read once: the first nine
// fell short, their mistakes were mended in general terms and some labels that
// were wrong were put right, and a fresh set was written. These nine are the
// set spent, no measure of anything new any more. What each gave at its first
// reading, labels as first written, precision/recall:
//
//	set         1            2            3            4            5
//	role   0.982/0.974  0.922/0.981  0.898/0.933  0.964/0.946  0.938/0.972
//	size   1.000/0.986  0.921/0.986  0.984/0.940  0.987/1.000  0.969/0.969
//
//	set         6            7            8            9           10
//	role   0.948/0.991  0.975/1.000  0.980/0.990  0.978/0.956  1.000/0.990
//	size   0.973/0.986  0.957/1.000  0.964/0.964  0.982/1.000  1.000/1.000
//
// The set counter is an eleventh, 42 lines of a parts counter in short words,
// American and German, with sizes and threads in inches. At its first reading it
// gave 0.963/0.743 of roles and 1.000/0.688 of sizes, then what it missed was
// mended; it is spent too. With it, a copper washer alone became an uncertain
// bottom washer; 18 labels of the older sets, two of them of the set kept, that
// had asked for nothing there or for less certainty, and two sizes, in inches
// and of a clip, were changed to that.
//
// The tenth is the set kept; nothing was mended for it. It is worded more
// plainly than sets 2 to 9, which looked for trouble: for lists that do, expect
// a precision of about 0.98 until rules of the shop mend the rest.
func TestLines(t *testing.T) {
	known := NewKnown(bikes)
	type cell struct{ set, class, field string }
	scores := map[cell]*score{}
	var classes, sets []string
	for _, l := range readLines(t) {
		if !slices.Contains(classes, l.class) {
			classes = append(classes, l.class)
		}
		if !slices.Contains(sets, l.set) {
			sets = append(sets, l.set)
		}
		got := saidOf(Read(l.text, known))
		for _, f := range fields {
			s := judge(got[f], l.want[f])
			for _, class := range []string{l.class, "all"} {
				c := cell{l.set, class, f}
				if scores[c] == nil {
					scores[c] = &score{}
				}
				scores[c].add(s)
			}
			if s.wrong+s.missed > 0 {
				t.Logf("%s, %s: %s: %s: got %v, want %q", l.set, l.class, l.text, f, got[f], l.want[f])
			}
		}
	}
	for _, set := range sets {
		for _, class := range append(classes, "all") {
			for _, f := range fields {
				s := scores[cell{set, class, f}]
				if s == nil || s.right+s.wrong+s.missed == 0 {
					continue
				}
				t.Logf("%-5s %-9s %-9s precision %.3f recall %.3f certain %.3f (right %d, wrong %d, %d of them certain, missed %d)", set, class, f,
					s.precision(), s.recall(), s.certain(), s.right, s.wrong, s.wrongSure, s.missed)
				want, ok := least[set][f]
				if !ok {
					want = least[set][""]
				}
				if class == "all" && (s.precision() < want[0] || s.recall() < want[1]) {
					t.Errorf("%s of the set %s: precision %.3f, recall %.3f, want at least %.2f and %.2f", f, set, s.precision(),
						s.recall(), want[0], want[1])
				}
			}
		}
	}
}
