package wording

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// TestRead holds a reading as a whole, with the words of each proposal.
func TestRead(t *testing.T) {
	at := func(text, words string) (string, int, int) {
		i := strings.Index(text, words)
		return words, i, i + len(words)
	}
	const text = "Gabelsimmerring-Satz 41x54x11 (2 St.), NBR, Kaldrin Velda 400 ab '97"
	var want Reading
	want.Role = Proposal[catalog.Role]{Value: catalog.OilSeal, Trust: Certain}
	want.Role.Words, want.Role.From, want.Role.To = at(text, "Gabelsimmerring")
	want.Size = Proposal[measure.Size]{Value: measure.Size{Inner: 41000, Outer: 54000, Height: 11000}, Trust: Certain}
	want.Size.Words, want.Size.From, want.Size.To = at(text, "41x54x11")
	want.Pieces = Proposal[int64]{Value: 2, Trust: Certain}
	want.Pieces.Words, want.Pieces.From, want.Pieces.To = at(text, "2 St")
	want.Elastomer = Proposal[string]{Value: "NBR", Trust: Certain}
	want.Elastomer.Words, want.Elastomer.From, want.Elastomer.To = at(text, "NBR")
	maker := Proposal[string]{Value: "Kaldrin", Trust: Certain}
	maker.Words, maker.From, maker.To = at(text, "Kaldrin")
	model := Proposal[Bike]{Value: Bike{"Kaldrin", "Velda 400"}, Trust: Certain}
	model.Words, model.From, model.To = at(text, "Velda 400")
	years := Proposal[Years]{Value: Years{1997, 0}, Trust: Certain}
	years.Words, years.From, years.To = at(text, "ab '97")
	want.Makes, want.Models, want.Years = []Proposal[string]{maker}, []Proposal[Bike]{model}, []Proposal[Years]{years}
	if diff := cmp.Diff(want, Read(text, NewKnown(bikes))); diff != "" {
		t.Errorf("want - got +\n%s", diff)
	}
}

func FuzzRead(f *testing.F) {
	for _, l := range readLines(f) {
		f.Add(l.text)
	}
	f.Add("Ga\u0308nge Ø \xff 41x\xc3")
	known := NewKnown(bikes)
	f.Fuzz(func(t *testing.T, text string) {
		got := Read(text, known)
		again := Read(text, known)
		if diff := cmp.Diff(got, again); diff != "" {
			t.Fatalf("not the same twice: %s", diff)
		}
		spans(t, text, got)
		if got.Foreign.Made() && (got.Role.Made() || got.Size.Made() || got.Models != nil) {
			t.Errorf("%+v: something is proposed of what is foreign", got)
		}
		if got.Size.Made() && got.Size.Value.Check() != nil {
			t.Errorf("size %s cannot be", got.Size.Value)
		}
		if got.Pieces.Made() && got.Pieces.Value < 1 {
			t.Errorf("%d pieces", got.Pieces.Value)
		}
	})
}

// spans checks that each proposal has the words of the text that it names.
func spans(t *testing.T, text string, r Reading) {
	t.Helper()
	check := func(words string, from, to int) {
		if from == 0 && to == 0 && words == "" {
			return
		}
		if from < 0 || to <= from || to > len(text) || text[from:to] != words {
			t.Errorf("%q: words %q from %d to %d", text, words, from, to)
		}
		if utf8.ValidString(text) && !utf8.ValidString(words) {
			t.Errorf("%q: words %q begin or end inside a letter", text, words)
		}
	}
	check(r.Role.Words, r.Role.From, r.Role.To)
	check(r.Size.Words, r.Size.From, r.Size.To)
	check(r.Thread.Words, r.Thread.From, r.Thread.To)
	check(r.Leg.Words, r.Leg.From, r.Leg.To)
	check(r.Pieces.Words, r.Pieces.From, r.Pieces.To)
	check(r.Volume.Words, r.Volume.From, r.Volume.To)
	check(r.Elastomer.Words, r.Elastomer.From, r.Elastomer.To)
	check(r.Material.Words, r.Material.From, r.Material.To)
	check(r.Foreign.Words, r.Foreign.From, r.Foreign.To)
	for _, p := range r.Makes {
		check(p.Words, p.From, p.To)
	}
	for _, p := range r.Models {
		check(p.Words, p.From, p.To)
	}
	for _, p := range r.Years {
		check(p.Words, p.From, p.To)
	}
}

// BenchmarkRead reads 1000 lines of testdata, and for comparison takes only the
// sizes and lengths out of the same lines, by regular expressions.
func BenchmarkRead(b *testing.B) {
	var texts []string
	for _, l := range readLines(b) {
		texts = append(texts, l.text)
	}
	texts = texts[:1000]
	known := NewKnown(bikes)
	for name, read := range map[string]func(text string){
		"all fields": func(text string) { Read(text, known) },
		"baseline": func(text string) {
			_, rest := measure.FindSizes(text)
			measure.FindLengths(rest)
		},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				for _, text := range texts {
					read(text)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*len(texts)), "ns/line")
		})
	}
}
