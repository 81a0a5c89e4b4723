package shop_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// addSized adds parts: number, role, size.
func addSized(t *testing.T, s *shop.Shop, rows ...[3]string) {
	t.Helper()
	for _, row := range rows {
		if _, err := s.AddPart(t.Context(), "Tolmek/"+row[0], shop.PartFacts{Role: p(row[1]), SizeFacts: shop.SizeFacts{Size: p(row[2])}}); err != nil {
			t.Fatal(err)
		}
	}
}

// lay puts pieces of parts on the shelf, by finding them.
func lay(t *testing.T, s *shop.Shop, parts ...string) {
	t.Helper()
	for _, part := range parts {
		if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: "issue", Part: part, Amount: 1, Found: true}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: "return", Part: part, Amount: 1}); err != nil {
			t.Fatal(err)
		}
	}
}

func verdicts(f shop.Fitting) string {
	var all []string
	for _, p := range f.Parts {
		all = append(all, p.Number+" "+string(p.Verdict))
	}
	return strings.Join(all, ", ")
}

// What fits stands first, then what comes near, of each what is on the shelf;
// then a few that may be taken for one that fits, whatever the limit.
func TestFitOrder(t *testing.T) {
	s, _ := newShop(t)
	addSized(t, s, [3]string{"A", "oil_seal", "41x54x11"}, [3]string{"B", "oil_seal", "41x54x11"}, [3]string{"C", "oil_seal", "41x54x9.5"},
		[3]string{"D", "oil_seal", "41x54x9.5"}, [3]string{"E", "oil_seal", "41x54x12"}, [3]string{"F", "oil_seal", "41x53x11"},
		[3]string{"G", "oil_seal", "41x55x11"}, [3]string{"H", "oil_seal", "42x54x11"}, [3]string{"I", "oil_seal", "40x54x11"},
		[3]string{"J", "oil_seal", "43x54x11"}, [3]string{"K", "oil_seal", "39x54x11"})
	lay(t, s, "B", "D", "K")
	q := shop.FitQuery{Role: "fork seal", Inner: "41", Outer: "54 mm", Height: "11,0"}
	for limit, want := range map[int]string{
		0: "B fits, A fits, D near, C near, K no, E no, F no, G no, H no",
		3: "B fits, A fits, D near, C near, K no, E no, F no, G no, H no",
		1: "B fits, D near, K no, E no, F no, G no, H no",
	} {
		q.Limit = limit
		f, err := s.Fit(t.Context(), q)
		if err != nil || verdicts(f) != want || f.Total != 4 || f.Empty() || len(f.Open) != 0 {
			t.Errorf("limit %d: %s (%d), %v; want %s", limit, verdicts(f), f.Total, err, want)
		}
	}
	f, err := s.Fit(t.Context(), shop.FitQuery{Role: "oil_seal", Inner: "30", Outer: "42"})
	if err != nil || !f.Empty() || len(f.Parts) != 0 || f.Parts == nil || f.Open == nil {
		t.Errorf("nothing fits: %+v, %v", f, err)
	}
}

// As long as a size is open, every part that fits says so, and so does the
// word for its verdict.
func TestFitSaysWhatIsOpen(t *testing.T) {
	s, _ := newShop(t)
	addSized(t, s, [3]string{"A", "oil_seal", "43x54x11"}, [3]string{"B", "oil_seal", "43x54x9.5"}, [3]string{"C", "oil_seal", "43x?x11"})
	f, err := s.Fit(t.Context(), shop.FitQuery{Role: "oil_seal", Tube: "43", Bore: "54"})
	if err != nil {
		t.Fatal(err)
	}
	if got := verdicts(f); got != "A fits, B fits, C near" {
		t.Error(got)
	}
	for _, part := range f.Parts {
		says := slices.ContainsFunc(part.Reasons, func(m fault.Message) bool { return m.ID == "shop.not_compared" })
		if says != (part.Verdict == catalog.Fits) {
			t.Errorf("%s: %v", part.Number, part.Reasons)
		}
	}
	if a, b := f.Word(catalog.Fits).ID, f.Word(catalog.Near).ID; a != "verdict.so_far" || b != "verdict.near" {
		t.Errorf("words %s, %s", a, b)
	}
	f.Open = nil
	if got := f.Word(catalog.Fits).ID; got != "verdict.fits" {
		t.Errorf("word %s", got)
	}
}

// What all parts of a verdict say stands once above them.
func TestFitGroups(t *testing.T) {
	said := func(ids ...string) (all []fault.Message) {
		for _, id := range ids {
			all = append(all, fault.Say(id, 1))
		}
		return all
	}
	f := shop.Fitting{Parts: []shop.Fit{
		{Verdict: catalog.Fits, Reasons: said("a")},
		{Verdict: catalog.Near, Reasons: said("a", "b", "c")},
		{Verdict: catalog.Near, Reasons: said("b", "a")},
		{Verdict: catalog.No, Reasons: said("d")},
		{Verdict: catalog.No, Reasons: said("e")},
	}}
	var got []string
	for _, g := range f.Groups() {
		row := string(g.Verdict) + ":"
		for _, m := range g.Common {
			row += " " + m.ID
		}
		for _, p := range g.Parts {
			row += " |"
			for _, m := range p.Reasons {
				row += " " + m.ID
			}
		}
		got = append(got, row)
	}
	if diff := cmp.Diff(got, []string{"fits: | a", "near: a b | c |", "no: | d | e"}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
	if got := f.Parts[1].Reasons; len(got) != 3 || got[2].ID != "c" {
		t.Errorf("the part itself lost reasons: %v", got)
	}
}

func TestFitRefuses(t *testing.T) {
	s, _ := newShop(t)
	for _, tt := range []struct {
		q    shop.FitQuery
		kind fault.Kind
		id   string
	}{
		{shop.FitQuery{Inner: "41"}, fault.Invalid, "shop.no_role"},
		{shop.FitQuery{Role: "washer", Inner: "10"}, fault.Ambiguous, "shop.roles_possible"},
		{shop.FitQuery{Role: "oil_seal"}, fault.Invalid, "catalog.no_size"},
		{shop.FitQuery{Role: "oil_seal", Inner: "4l"}, fault.Invalid, "measure.bad_length"},
		{shop.FitQuery{Role: "oil_seal", Inner: "-41"}, fault.Invalid, "measure.bad_length"},
		{shop.FitQuery{Role: "oil_seal", Inner: "41", Coated: "inside"}, fault.Invalid, "catalog.no_use"},
		{shop.FitQuery{Role: "bottom_bolt", Thread: "M10x30"}, fault.Invalid, "measure.bad_pitch"},
		{shop.FitQuery{Role: "bottom_bolt", Thread: "M10x1.25", Length: "30", Height: "20"}, fault.Invalid, "shop.height_length"},
		{shop.FitQuery{Role: "oil_seal", Tube: "41", Bore: "39"}, fault.Invalid, "catalog.contradict"},
	} {
		_, err := s.Fit(t.Context(), tt.q)
		if e := fault.Of(err); err == nil || e.Kind != tt.kind || e.Message.ID != tt.id || e.Hint.IsZero() {
			t.Errorf("%+v: %v, want %s %s", tt.q, err, tt.kind, tt.id)
		}
	}
	q := shop.FitQuery{Role: "bottom_bolt", Thread: "m10 x 1,25", Length: "30", Height: "30", Strength: "10,9", Seat: "flat", Head: "10"}
	if _, err := s.Fit(t.Context(), q); err != nil {
		t.Error(err)
	}
}

// The text of a size in inches stays beside it for as long as it says the
// same. 1 in is 25.4 mm, exact.
func TestEnteredInches(t *testing.T) {
	s, _ := newShop(t)
	if _, err := s.AddPart(t.Context(), "Tolmek/X", shop.PartFacts{Role: p("tube_bushing"), SizeFacts: shop.SizeFacts{Size: p(`1 1/2" x 1.625 in`)}}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		facts         shop.SizeFacts
		size, entered string
	}{
		{shop.SizeFacts{Length: p(`3/4"`)}, "38.1x41.275x19.05", `1 1/2" x 1.625 in; 3/4"`},
		{shop.SizeFacts{Length: p("20")}, "38.1x41.275x20", `1 1/2" x 1.625 in`},
		{shop.SizeFacts{TraitFacts: shop.TraitFacts{Coated: p("outside")}}, "38.1x41.275x20", `1 1/2" x 1.625 in`},
		{shop.SizeFacts{Size: p("38.1x41.275x20")}, "38.1x41.275x20", ""},
		{shop.SizeFacts{Size: p(`1 1/2" x 1 5/8" x 3/4"`)}, "38.1x41.275x19.05", `1 1/2" x 1 5/8" x 3/4"`},
		{shop.SizeFacts{Length: p("20")}, "38.1x41.275x20", ""},
		{shop.SizeFacts{Size: p("1.5in x 1.625inch"), Length: p("0.75 zoll")}, "38.1x41.275x19.05", "1.5in x 1.625inch; 0.75 zoll"},
		{shop.SizeFacts{Size: p("")}, "", ""},
	} {
		got, err := s.ChangePart(t.Context(), "X", shop.PartFacts{SizeFacts: tt.facts})
		if err != nil || got.Size != tt.size || got.Entered != tt.entered {
			t.Errorf("size %q entered %q, %v; want %q %q", got.Size, got.Entered, err, tt.size, tt.entered)
		}
	}
	got, err := s.AddPart(t.Context(), "Tolmek/O", shop.PartFacts{Role: p("cap_oring"), SizeFacts: shop.SizeFacts{Size: p("AS568-214")}})
	if err != nil || got.Entered != "AS568-214" || got.Screen('.') != "24.994×32.056×3.531 (AS568-214)" {
		t.Errorf("%s entered %q, %v", got.Screen('.'), got.Entered, err)
	}
}

// Traits of parts and places are told, corrected and taken back.
func TestTraitsTold(t *testing.T) {
	s, _ := newShop(t)
	facts := shop.SizeFacts{Thread: p("M10x1.25"), Length: p("30"), TraitFacts: shop.TraitFacts{Head: p("10 mm"), Seat: p("flanged"), Strength: p("10,9")}}
	part, err := s.AddPart(t.Context(), "Tolmek/BB", shop.PartFacts{Role: p("bottom_bolt"), SizeFacts: facts})
	want := shop.Traits{Head: 10_000, Seat: "flanged", Strength: "10.9"}
	if err != nil || part.Traits != want {
		t.Errorf("part %+v, %v", part.Traits, err)
	}
	if _, err := s.AddFork(t.Context(), "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}); err != nil {
		t.Fatal(err)
	}
	place, err := s.AddPlace(t.Context(), shop.PlaceRequest{Fork: "Corva 39", Role: "bottom_bolt", PlaceFacts: shop.PlaceFacts{SizeFacts: facts}})
	if err != nil || place.Traits != want || len(place.Parts) != 1 || place.Parts[0].Verdict != catalog.Fits {
		t.Errorf("place %+v, %v", place, err)
	}
	weaker := shop.PartFacts{SizeFacts: shop.SizeFacts{TraitFacts: shop.TraitFacts{Strength: p("8.8"), Head: p("")}}}
	if part, err = s.ChangePart(t.Context(), "BB", weaker); err != nil || part.Traits != (shop.Traits{Seat: "flanged", Strength: "8.8"}) {
		t.Errorf("part %+v, %v", part.Traits, err)
	}
	place, err = s.ChangePlace(t.Context(), shop.PlaceRequest{
		Fork: "Corva 39", Role: "bottom_bolt", PlaceFacts: shop.PlaceFacts{SizeFacts: shop.SizeFacts{TraitFacts: shop.TraitFacts{Seat: p("")}}},
	})
	if err != nil || place.Traits != (shop.Traits{Head: 10_000, Strength: "10.9"}) || len(place.Parts) != 0 {
		t.Errorf("place %+v, %v", place, err)
	}
	rows, err := s.Export(t.Context(), "parts")
	if err != nil || !slices.Contains(rows[0], "strength") || !slices.Contains(rows[1], "8.8") || !slices.Contains(rows[1], "flanged") {
		t.Errorf("%v, %v", rows, err)
	}
}
