package shop_test

import (
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// sealed adds a seal, a wiper and a kit of them, two of each for both legs.
func sealed(t *testing.T, s *shop.Shop) {
	t.Helper()
	for name, f := range map[string]shop.PartFacts{
		"Tolmek/KB-39": {Role: p("oil_seal"), SizeFacts: shop.SizeFacts{Size: p("39x52x11")}, Elastomer: p("FKM")},
		"Tolmek/KW-39": {Role: p("wiper"), SizeFacts: shop.SizeFacts{Size: p("39x52")}, Elastomer: p("NBR")},
		"Pelmora/PK-1": {Role: p("kit")},
	} {
		if _, err := s.AddPart(t.Context(), name, f); err != nil {
			t.Fatal(err)
		}
	}
	for _, part := range []string{"KB-39", "KW-39"} {
		if _, err := s.AddContent(t.Context(), "PK-1", shop.ContentFacts{Part: part, Pieces: p(int64(2))}); err != nil {
			t.Fatal(err)
		}
	}
}

func TestKitFor(t *testing.T) {
	s, _ := newShop(t)
	sealed(t, s)
	if _, err := s.AddFork(t.Context(), "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}); err != nil {
		t.Fatal(err)
	}
	for role, f := range map[string]shop.PlaceFacts{
		"oil_seal":      {SizeFacts: shop.SizeFacts{Size: p("39x52x11")}},
		"wiper":         {SizeFacts: shop.SizeFacts{Size: p("39x52")}},
		"bottom_washer": {SizeFacts: shop.SizeFacts{Size: p("10x16x1.5")}},
	} {
		if _, err := s.AddPlace(t.Context(), shop.PlaceRequest{Fork: "Corva 39", Role: role, PlaceFacts: f}); err != nil {
			t.Fatal(err)
		}
	}
	check := func(what string, legs int, perJob int64, lacks string) {
		t.Helper()
		kit, err := s.Kit(t.Context(), "PK-1", "corva 39")
		if err != nil {
			t.Fatal(err)
		}
		var said []string
		for _, l := range kit.Lacks {
			said = append(said, string(l.Role)+"*"+string(rune('0'+l.Missing)))
		}
		if got := strings.Join(said, " "); kit.Legs != legs || kit.PerJob != perJob || got != lacks {
			t.Errorf("%s: legs %d, %d kits, lacks %s; want %d, %d, %s", what, kit.Legs, kit.PerJob, got, legs, perJob, lacks)
		}
	}
	check("not told for how many legs", 0, 1, "bottom_washer*2")
	if _, err := s.SetLegs(t.Context(), "PK-1", 1); err != nil {
		t.Fatal(err)
	}
	check("for one leg", 1, 2, "bottom_washer*2")
	if fork, err := s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 39"}); err != nil || len(fork.Kits) != 1 || fork.Kits[0].PerJob != 2 {
		t.Errorf("kits for the fork: %+v, %v", fork.Kits, err)
	}
	if _, err := s.AddContent(t.Context(), "PK-1", shop.ContentFacts{Role: p("bottom washer"), SizeFacts: shop.SizeFacts{Size: p("10x16")}}); err != nil {
		t.Fatal(err)
	}
	check("with a washer by role", 1, 2, "")
	// What does not fit makes it no kit for the fork.
	if _, err := s.ChangePlace(t.Context(), shop.PlaceRequest{Fork: "Corva 39", Role: "wiper", PlaceFacts: shop.PlaceFacts{SizeFacts: shop.SizeFacts{Size: p("39x53")}}}); err != nil {
		t.Fatal(err)
	}
	check("with a wiper of another size", 1, 2, "wiper*2")
	if fork, err := s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 39"}); err != nil || len(fork.Kits) != 0 {
		t.Errorf("kits for the fork: %+v, %v", fork.Kits, err)
	}
}

// A kit says of a part what the fork says of it: what was seen not to fit, and
// an old version, do not fit by their sizes.
func TestKitOfDoubtfulParts(t *testing.T) {
	s, _ := newShop(t)
	sealed(t, s)
	if _, err := s.AddFork(t.Context(), "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}); err != nil {
		t.Fatal(err)
	}
	for role, size := range map[string]string{"oil_seal": "39x52x11", "wiper": "39x52"} {
		if _, err := s.AddPlace(t.Context(), shop.PlaceRequest{Fork: "Corva 39", Role: role, PlaceFacts: shop.PlaceFacts{SizeFacts: shop.SizeFacts{Size: p(size)}}}); err != nil {
			t.Fatal(err)
		}
	}
	var kits int
	check := func(what, want string) {
		t.Helper()
		kit, err := s.Kit(t.Context(), "PK-1", "Corva 39")
		if err != nil {
			t.Fatal(err)
		}
		fork, err := s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 39"})
		if err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, c := range kit.Foreign {
			got += c.Number + " " + string(c.Verdict) + " " + c.Reasons[0].ID
		}
		if kits = len(fork.Kits); got != want || (kits == 0) != (want != "") {
			t.Errorf("%s: %q and %d kits for the fork, want %q", what, got, kits, want)
		}
	}
	check("before", "")
	if _, err := s.Confirm(t.Context(), shop.ConfirmRequest{Part: "KB-39", Fork: "Corva 39", Wrong: true, Why: "leaks"}); err != nil {
		t.Fatal(err)
	}
	check("seen not to fit", "KB-39 near claim.not_fit")
	if _, err := s.Confirm(t.Context(), shop.ConfirmRequest{Part: "KB-39", Fork: "Corva 39"}); err != nil {
		t.Fatal(err)
	}
	check("seen to fit after all", "")
	if _, err := s.AddReplacement(t.Context(), "Tolmek/KB-39", "Tolmek/KB-39A", shop.ReplacementFacts{}); err != nil {
		t.Fatal(err)
	}
	check("an old version", "KB-39 no catalog.old_version")
	if _, err := s.AddUsable(t.Context(), "KB-39", "Corva 39", "bench"); err != nil {
		t.Fatal(err)
	}
	check("still usable in that fork", "")
}

func TestContentRefuses(t *testing.T) {
	s, _ := newShop(t)
	sealed(t, s)
	for name, tt := range map[string]struct {
		kit  string
		f    shop.ContentFacts
		add  fault.Kind
		then fault.Kind // of ChangeContent
	}{
		"no kit":            {"KB-39", shop.ContentFacts{Part: "KW-39", Pieces: p(int64(1))}, fault.Invalid, fault.Invalid},
		"nobody's kit":      {"PK-9", shop.ContentFacts{Part: "KW-39", Pieces: p(int64(1))}, fault.NotFound, fault.NotFound},
		"nothing":           {"PK-1", shop.ContentFacts{Pieces: p(int64(1))}, fault.Invalid, fault.Invalid},
		"part and role":     {"PK-1", shop.ContentFacts{Part: "KB-39", Role: p("clip"), Pieces: p(int64(1))}, fault.Invalid, fault.Invalid},
		"part and size":     {"PK-1", shop.ContentFacts{Part: "KB-39", SizeFacts: shop.SizeFacts{Size: p("39x52")}, Pieces: p(int64(1))}, fault.Invalid, fault.Invalid},
		"twice":             {"PK-1", shop.ContentFacts{Part: "KB-39", Pieces: p(int64(1))}, fault.Conflict, ""},
		"fewer than none":   {"PK-1", shop.ContentFacts{Part: "KW-39", Pieces: p(int64(-1))}, fault.Invalid, fault.Invalid},
		"not in it by role": {"PK-1", shop.ContentFacts{Role: p("clip"), Pieces: p(int64(0))}, fault.Invalid, fault.NotFound},
	} {
		if _, err := s.AddContent(t.Context(), tt.kit, tt.f); fault.KindOf(err) != tt.add {
			t.Errorf("%s: AddContent: %v, want %s", name, err, tt.add)
		}
		if _, err := s.ChangeContent(t.Context(), tt.kit, tt.f); fault.KindOf(err) != tt.then {
			t.Errorf("%s: ChangeContent: %v, want %s", name, err, tt.then)
		}
	}
}
