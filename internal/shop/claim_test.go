package shop_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// said gives the fork's answer on its first place: size and where that is
// known from, then each part with its verdict and where that is known from.
func said(t *testing.T, s *shop.Shop, fork string) []string {
	t.Helper()
	f, err := s.Fork(t.Context(), shop.ForkQuery{Name: fork})
	if err != nil {
		t.Fatal(err)
	}
	say := words.For("en").Text
	out := []string{f.Positions[0].Size + " " + say(f.Positions[0].Why)}
	for _, p := range f.Positions[0].Parts {
		out = append(out, p.Number+" "+string(p.Verdict)+" "+say(p.Why))
	}
	return out
}

// The short way of the bench: measure an old part, see what it could be, say
// which one fitted; the fork knows it from then on.
func TestConfirmTeachesFork(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	for number, size := range map[string]string{"KB-39": "39x52x11", "KB-40": "39x52x9.5"} {
		f := role("oil_seal")
		f.Size, f.How, f.Source = &size, "list", p("Halm 3/2026")
		if _, err := s.AddPart(ctx, "Tolmek/"+number, f); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.AddFork(ctx, "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}); err != nil {
		t.Fatal(err)
	}
	found, err := s.Find(ctx, "39x52x11", 10)
	if err != nil || len(found.Parts) == 0 || found.Parts[0].Number != "KB-39" {
		t.Fatalf("candidates: %+v, %v", found.Parts, err)
	}
	done, err := s.Confirm(ctx, shop.ConfirmRequest{Part: found.Parts[0].Name(), Fork: "Corva 39"})
	if err != nil || !done.Added || done.Place != 1 || done.Right != 1 || !done.InForce {
		t.Fatalf("confirmed: %+v, %v", done, err)
	}
	want := []string{
		"39x52x11 seen on the bench by Mika", "KB-39 fits confirmed 1 time",
		"KB-40 near by its size: one list says so (Halm 3/2026)",
	}
	if diff := cmp.Diff(said(t, s, "Corva 39"), want); diff != "" {
		t.Errorf("-got +want\n%s", diff)
	}
	// A list that comes later and differs changes nothing, and is named.
	take(t, s, shop.ImportRequest{Kind: "parts"}, "number,maker,role,inner,outer,height,source\nKB-39,Tolmek,oil_seal,39,52,10.5,Ost 1/2026\n")
	page, err := s.PartPage(ctx, "KB-39")
	if got := words.For("en").Text(page.Why); err != nil || page.Size != "39x52x11" || !strings.Contains(got, "height 11 / 10.5") {
		t.Errorf("after another list: %s, %q, %v", page.Size, got, err)
	}
}

// A list that is taken in adds its word once; it fills in what nobody has
// told, and contradicts without replacing.
func TestImportAddsItsWord(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	if _, err := s.AddPart(ctx, "Tolmek/KB-39", shop.PartFacts{Role: p("oil_seal"), SizeFacts: shop.SizeFacts{Size: p("39x52")}}); err != nil {
		t.Fatal(err)
	}
	head := "number,maker,inner,outer,height,elastomer,source\n"
	for i, tt := range []struct {
		row        string
		want       came
		size, line string
	}{
		{"KB-39,Tolmek,39,52,11,,Halm 3", came{Changed: 1}, "39x52x11", "one list says so (Halm 3)"},
		{"KB-39,Tolmek,39,52,11,,Halm 3", came{Unchanged: 1}, "39x52x11", "one list says so (Halm 3)"},
		{"KB-39,Tolmek,39,52,11,NBR,Ost 1", came{Changed: 1}, "39x52x11", "2 lists say so"},
		{"KB-39,Tolmek,39,52,10.5,,Pel 8", came{Changed: 1}, "39x52x11", "2 lists say so; lists disagree: height 11 / 10.5"},
		{"KB-39,Tolmek,39,52,10.5,,Pel 8", came{Unchanged: 1}, "39x52x11", "2 lists say so; lists disagree: height 11 / 10.5"},
	} {
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{Kind: "parts"}, head+tt.row+"\n"), tt.want); diff != "" {
			t.Errorf("%d: -got +want\n%s", i, diff)
		}
		page, err := s.PartPage(ctx, "KB-39")
		if err != nil {
			t.Fatal(err)
		}
		if got := words.For("en").Text(page.Why); page.Size != tt.size || got != tt.line {
			t.Errorf("%d: %s, %q; want %s, %q", i, page.Size, got, tt.size, tt.line)
		}
		if page.Description != "oil seal "+tt.size {
			t.Errorf("%d: it is still called %q", i, page.Description)
		}
	}
}

// What is refused changes nothing.
func TestConfirmRefuses(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	fill(t, s) // Corva 39 with a seal, and KB-39
	for _, role := range []string{"oil", "kit", "clip"} {
		if _, err := s.AddPart(ctx, "Tolmek/X-"+role, shop.PartFacts{Role: &role}); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.AddPlace(ctx, shop.PlaceRequest{Fork: "Corva 39", Role: "clip", PlaceFacts: shop.PlaceFacts{Fitted: p("no")}}); err != nil {
		t.Fatal(err)
	}
	before := state(t, s)
	for name, tt := range map[string]struct {
		q    shop.ConfirmRequest
		want fault.Kind
	}{
		"no such part":      {shop.ConfirmRequest{Part: "NONE", Fork: "Corva 39"}, fault.NotFound},
		"no such fork":      {shop.ConfirmRequest{Part: "KB-39", Fork: "NONE"}, fault.NotFound},
		"no such claim":     {shop.ConfirmRequest{Claim: 999}, fault.NotFound},
		"no such place":     {shop.ConfirmRequest{Part: "KB-39", Fork: "Corva 39", Place: 77}, fault.NotFound},
		"wrong, no reason":  {shop.ConfirmRequest{Part: "KB-39", Fork: "Corva 39", Wrong: true}, fault.Invalid},
		"oil, how much":     {shop.ConfirmRequest{Part: "X-oil", Fork: "Corva 39"}, fault.Invalid},
		"a kit is no place": {shop.ConfirmRequest{Part: "X-kit", Fork: "Corva 39"}, fault.Invalid},
		"it has none":       {shop.ConfirmRequest{Part: "X-clip", Fork: "Corva 39"}, fault.Conflict},
		"wrong at no place": {shop.ConfirmRequest{Part: "X-oil", Fork: "Corva 39", Wrong: true, Why: "thin"}, fault.NotFound},
		"nothing known":     {shop.ConfirmRequest{Part: "X-clip"}, fault.NotFound},
		"no such field":     {shop.ConfirmRequest{Part: "KB-39", Field: "colour"}, fault.NotFound},
		"long reason":       {shop.ConfirmRequest{Part: "KB-39", Fork: "Corva 39", Why: strings.Repeat("x", 501)}, fault.Invalid},
	} {
		if _, err := s.Confirm(ctx, tt.q); fault.KindOf(err) != tt.want {
			t.Errorf("%s: %v, want %s", name, err, tt.want)
		}
	}
	if diff := cmp.Diff(state(t, s), before); diff != "" {
		t.Errorf("changed: -after +before\n%s", diff)
	}
	for typed, want := range map[string]int64{"12": 12, "#12": 12, " 7 ": 7, "0": 0, "-1": 0, "x": 0, "": 0, "99999999999999999999": 0} {
		if got, err := shop.ReadClaim(typed); got != want || (err != nil) != (want == 0) {
			t.Errorf("ReadClaim(%q) = %d, %v", typed, got, err)
		}
	}
}

// A place whose sizes nobody told takes those of the part that was seen in it,
// and one of several is named by its number.
func TestConfirmFillsPlace(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	if _, err := s.AddPart(ctx, "Tolmek/BB-10", shop.PartFacts{Role: p("bottom_bolt"), SizeFacts: shop.SizeFacts{Thread: p("M10x1.25"), Length: p("30")}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddFork(ctx, "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		q := shop.PlaceRequest{Fork: "Corva 39", Role: "bottom_bolt", Another: true, PlaceFacts: shop.PlaceFacts{Fitted: p("unknown")}}
		if _, err := s.AddPlace(ctx, q); err != nil {
			t.Fatal(err)
		}
	}
	_, err := s.Confirm(ctx, shop.ConfirmRequest{Part: "BB-10", Fork: "Corva 39"})
	if fault.KindOf(err) != fault.Ambiguous || len(fault.Of(err).Candidates) != 2 {
		t.Fatalf("one of two: %v", err)
	}
	done, err := s.Confirm(ctx, shop.ConfirmRequest{Part: "BB-10", Fork: "Corva 39", Place: 2})
	if err != nil || done.Added {
		t.Fatalf("%+v, %v", done, err)
	}
	f, err := s.Fork(ctx, shop.ForkQuery{Name: "Corva 39"})
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Positions[1]; got.Fitted != "yes" || got.Size != "M10x1.25x30" {
		t.Errorf("place 2: fitted %s, %s", got.Fitted, got.Size)
	}
	if got := f.Positions[0]; got.Fitted != "unknown" || got.Size != "" {
		t.Errorf("place 1: fitted %s, %s", got.Fitted, got.Size)
	}
}

// Naming a part for a place does not make it fit against its sizes: somebody
// has to have seen it. Nor does a part fit that has become another kind.
func TestNamedAgainstItsSizes(t *testing.T) {
	s, _ := newShop(t)
	sealed(t, s)
	must[shop.Fork](t)(s.AddFork(t.Context(), "Corva 41", shop.ForkFacts{Leg: "41", Layout: "conventional", Damping: "damper_rod"}))
	seal := shop.PlaceFacts{SizeFacts: shop.SizeFacts{Size: p("41x54x11")}, Parts: []string{"Tolmek/KB-39"}}
	must[shop.Place](t)(s.AddPlace(t.Context(), shop.PlaceRequest{Fork: "Corva 41", Role: "oil_seal", PlaceFacts: seal}))
	check := func(what, want string) {
		t.Helper()
		fork := must[shop.Fork](t)(s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 41"}))
		kit := must[shop.Kit](t)(s.Kit(t.Context(), "PK-1", "Corva 41"))
		part := must[shop.PartPage](t)(s.PartPage(t.Context(), "KB-39"))
		got := string(fork.Positions[0].Parts[0].Verdict)
		if got != want || (len(kit.Fits) > 0) != (want == "fits") || (len(part.Forks) > 0) != (want == "fits") {
			t.Errorf("%s: %s, the kit's %+v, the part's %v, want %s", what, got, kit.Fits, part.Forks, want)
		}
	}
	check("named", "near")
	must[shop.Confirmed](t)(s.Confirm(t.Context(), shop.ConfirmRequest{Part: "KB-39", Fork: "Corva 41", Why: "sleeved"}))
	check("seen to fit", "fits")
	must[shop.PartPage](t)(s.ChangePart(t.Context(), "KB-39", shop.PartFacts{Role: p("wiper")}))
	check("another kind of part", "no")
}

// One person counts once on a day for a claim, in the shop's zone; another
// person and the next day count, and so does the opposite.
func TestConfirmCountsOncePerDay(t *testing.T) {
	s, clock := newShop(t)
	if _, err := s.AddPart(t.Context(), "Tolmek/KB-39", shop.PartFacts{Role: p("oil_seal"), SizeFacts: shop.SizeFacts{Size: p("39x52x11")}}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		later         time.Duration
		wrong         bool
		right, wrongs int
		repeated      bool
	}{
		{0, false, 1, 0, false},
		{time.Minute, false, 1, 0, true},
		{time.Minute, true, 1, 1, false},
		{time.Minute, true, 1, 1, true},
		{24 * time.Hour, false, 2, 1, false},
	} {
		clock.now = clock.now.Add(tt.later)
		got, err := s.Confirm(t.Context(), shop.ConfirmRequest{Part: "KB-39", Wrong: tt.wrong, Why: "callipers"})
		if err != nil || got.Right != tt.right || got.Wrong != tt.wrongs || got.Repeated != tt.repeated {
			t.Errorf("%+v: %d right, %d wrong, repeated %v, %v", tt, got.Right, got.Wrong, got.Repeated, err)
		}
	}
}
