package shop_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func p[T any](v T) *T { return &v }

// role gives the facts of a part that has a role and no more.
func role(name string) shop.PartFacts { return shop.PartFacts{Role: &name} }

// A role is named by its id, by what stands on screens in either language, or
// by a word of the trade that means it alone. Words: common practice, no
// source.
func TestAddPartReadsRoles(t *testing.T) {
	s, _ := newShop(t)
	for i, tt := range []struct {
		typed, want string
		kind        fault.Kind
	}{
		{"oil_seal", "oil_seal", ""},
		{"OIL SEAL", "oil_seal", ""},
		{"fork seal", "oil_seal", ""},
		{"Gabeldichtring", "oil_seal", ""},
		{"dust seal (wiper)", "wiper", ""},
		{"Staubkappe", "wiper", ""},
		{"Gleitbuchse auf dem Innenrohr", "tube_bushing", ""},
		{"bottom bolt (from below, holds the damper)", "bottom_bolt", ""},
		{"Bodenschraube (hält den Dämpfer)", "bottom_bolt", ""},
		{"anderes Teil", "other", ""},
		{"base_valve_oring", "base_valve_oring", ""},
		{"drain bolt", "", fault.Ambiguous},
		{"washer", "", fault.Ambiguous},
		{"oil seel", "", fault.Invalid},
		{"39 mm seal", "", fault.Invalid},
		{"seal, blue", "", fault.Invalid},
		{"", "", fault.Invalid},
	} {
		got, err := s.AddPart(t.Context(), "Tolmek/R-"+string(rune('a'+i)), role(tt.typed))
		if fault.KindOf(err) != tt.kind || string(got.Role) != tt.want {
			t.Errorf("%q: role %q, %v; want %q, %q", tt.typed, got.Role, err, tt.want, tt.kind)
		}
	}
}

// Sizes come as lists print them; those of an O-ring as diameter by section
// too: 32 inside and 2.5 thick is 37 outside.
func TestAddPartReadsSizes(t *testing.T) {
	s, _ := newShop(t)
	for i, tt := range []struct {
		role, size, thread, length string
		want                       string // as printed; empty: refused
	}{
		{"oil_seal", "43 x 55 x 9,5 / 10,5", "", "", "43x55x9.5/10.5"},
		{"clip", "?x53x1.5", "", "", "?x53x1.5"},
		{"cap_oring", "32x2.5", "", "", "32x37x2.5"},
		{"wiper", "32x2.5", "", "", ""},
		{"bottom_bolt", "", "M10 P1.25", "30", "M10x1.25x30"},
		{"drain_screw", "", "M6", "8 mm", "M6x8"},
		{"tube_bushing", "36.6x39.6", "", "15", "36.6x39.6x15"},
		{"tube_bushing", "36.6x39.6x15", "", "15", "36.6x39.6x15"},
		{"tube_bushing", "36.6x39.6x15", "", "20", ""},
		{"oil_seal", "39x52x11/12.5", "", "0", ""},
		{"bottom_bolt", "", "M10x1.25x30", "", ""},
	} {
		f := shop.PartFacts{Role: &tt.role}
		for _, x := range []struct {
			to   **string
			text string
		}{{&f.Size, tt.size}, {&f.Thread, tt.thread}, {&f.Length, tt.length}} {
			if x.text != "" {
				*x.to = p(x.text)
			}
		}
		got, err := s.AddPart(t.Context(), "Tolmek/S-"+string(rune('a'+i)), f)
		if (err != nil) != (tt.want == "") || got.Size != tt.want {
			t.Errorf("%+v: size %q, %v", tt, got.Size, err)
		}
		if err != nil && fault.KindOf(err) != fault.Invalid {
			t.Errorf("%+v: %v, want invalid", tt, err)
		}
	}
}

// What is not told stays; what the shop itself called the part follows its
// size, and what somebody called it does not.
func TestChangePart(t *testing.T) {
	s, _ := newShop(t)
	if _, err := s.AddPart(t.Context(), "Tolmek/KB-39", shop.PartFacts{
		Role: p("oil seal"), SizeFacts: shop.SizeFacts{Size: p("39x52x11")}, Bin: p("INTAKE"), Minimum: p(int64(4)), Elastomer: p("NBR"),
	}); err != nil {
		t.Fatal(err)
	}
	type facts struct {
		Size, Description, Elastomer, Source, HomeBin string
		Minimum                                       int64
	}
	for _, tt := range []struct {
		change shop.PartFacts
		want   facts
	}{
		{shop.PartFacts{Minimum: p(int64(0))}, facts{"39x52x11", "oil seal 39x52x11", "NBR", "Mika", "INTAKE", 0}},
		{shop.PartFacts{SizeFacts: shop.SizeFacts{Size: p("39x52x10")}}, facts{"39x52x10", "oil seal 39x52x10", "NBR", "Mika", "INTAKE", 0}},
		{shop.PartFacts{Description: p("  double   lip ")}, facts{"39x52x10", "double lip", "NBR", "Mika", "INTAKE", 0}},
		{shop.PartFacts{SizeFacts: shop.SizeFacts{Size: p("39x52x11")}}, facts{"39x52x11", "double lip", "NBR", "Mika", "INTAKE", 0}},
		{shop.PartFacts{Description: p(""), Elastomer: p(""), Source: p("list 3"), Bin: p("")}, facts{"39x52x11", "oil seal 39x52x11", "", "list 3", "", 0}},
		{shop.PartFacts{Role: p("wiper"), SizeFacts: shop.SizeFacts{Size: p("")}}, facts{"", "dust seal (wiper)", "", "list 3", "", 0}},
	} {
		got, err := s.ChangePart(t.Context(), "kb39", tt.change)
		if err != nil {
			t.Fatal(err)
		}
		again, err := s.PartPage(t.Context(), "KB-39")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(shown(t, got), shown(t, again)); diff != "" {
			t.Errorf("answered -, kept +\n%s", diff)
		}
		kept := facts{again.Size, again.Description, again.Elastomer, again.Source, again.HomeBin, again.Minimum}
		if diff := cmp.Diff(kept, tt.want); diff != "" {
			t.Errorf("-got +want\n%s", diff)
		}
	}
	both := shop.PartFacts{SizeFacts: shop.SizeFacts{Size: p("39x52x11"), Length: p("")}}
	if got, err := s.ChangePart(t.Context(), "KB-39", both); err != nil || got.Size != "39x52x11" {
		t.Errorf("a size and no length: %s, %v", got.Size, err)
	}
	both = shop.PartFacts{SizeFacts: shop.SizeFacts{Length: p("")}}
	if got, err := s.ChangePart(t.Context(), "KB-39", both); err != nil || got.Size != "39x52" {
		t.Errorf("no length any more: %s, %v", got.Size, err)
	}
	if _, err := s.ChangePart(t.Context(), "KB-39", role("fork oil")); fault.KindOf(err) != fault.Invalid {
		t.Errorf("pieces of oil: %v, want invalid", err)
	}
}

// A failed request changes nothing, and no limit of the database shows as a
// defect.
func TestAddRefuses(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	fill(t, s)
	long := strings.Repeat("x", 501)
	part := func(name string, f shop.PartFacts) error { _, err := s.AddPart(ctx, name, f); return err }
	fork := func(name string, f shop.ForkFacts) error { _, err := s.AddFork(ctx, name, f); return err }
	place := func(role string, f shop.PlaceFacts) error {
		_, err := s.AddPlace(ctx, shop.PlaceRequest{Fork: "Corva 39", Role: role, After: "oil_seal", PlaceFacts: f})
		return err
	}
	bike := func(model, years string) error {
		_, err := s.AddBike(ctx, shop.Bike{Make: "Kaldrin", Model: model, Years: years, Fork: "Corva 39"})
		return err
	}
	supplier := func(name string, days int) error {
		_, err := s.AddSupplier(ctx, shop.Supplier{Supplier: name, LeadDays: days})
		return err
	}
	offer := func(number string, f shop.OfferFacts) error {
		_, err := s.AddOffer(ctx, "Halm", number, "KB-39", f)
		return err
	}
	before := state(t, s)
	for name, tt := range map[string]struct {
		err  error
		want fault.Kind
	}{
		"part twice":         {part("TOLMEK/kb 39", role("clip")), fault.Conflict},
		"long number":        {part("Tolmek/"+long, role("clip")), fault.Invalid},
		"long text":          {part("Tolmek/X", shop.PartFacts{Role: p("clip"), Description: &long}), fault.Invalid},
		"bell":               {part("Tolmek/X\a", role("clip")), fault.Invalid},
		"two lines":          {part("Tolmek/X", shop.PartFacts{Role: p("clip"), Source: p("a\nb")}), fault.Invalid},
		"hidden direction":   {part("Tolmek/X\u202e", role("clip")), fault.Invalid},
		"no text":            {part("Tolmek/X\xff", role("clip")), fault.Invalid},
		"below zero":         {part("Tolmek/X", shop.PartFacts{Role: p("clip"), Minimum: p(int64(-1))}), fault.Invalid},
		"fork twice":         {fork("corva39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}), fault.Conflict},
		"long fork":          {fork(long, shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}), fault.Invalid},
		"bad springing":      {fork("X", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod", Springing: "rubber"}), fault.Invalid},
		"leg of 5 m":         {fork("X", shop.ForkFacts{Leg: "5000", Layout: "conventional", Damping: "damper_rod"}), fault.Invalid},
		"place twice":        {place("oil_seal", shop.PlaceFacts{}), fault.Conflict},
		"unknown part":       {place("clip", shop.PlaceFacts{Parts: []string{"NONE"}}), fault.NotFound},
		"part of other role": {place("clip", shop.PlaceFacts{Parts: []string{"KB-39"}}), fault.Invalid},
		"long note":          {place("clip", shop.PlaceFacts{Note: &long}), fault.Invalid},
		"many per leg":       {place("clip", shop.PlaceFacts{PerLeg: p(int64(1) << 60)}), fault.Invalid},
		"bike twice":         {bike("velda 400", "2004"), fault.Conflict},
		"bike for ever":      {bike("Velda 400", "1990-"), fault.Conflict},
		"year 1800":          {bike("Velda 500", "1800"), fault.Invalid},
		"year 9999":          {bike("Velda 500", "2001-9999"), fault.Invalid},
		"backwards":          {bike("Velda 500", "2004-2001"), fault.Invalid},
		"no model":           {bike("-", "2004"), fault.Invalid},
		"supplier twice":     {supplier("HALM", 3), fault.Conflict},
		"days below zero":    {supplier("X", -1), fault.Invalid},
		"long supplier":      {supplier(long, 1), fault.Invalid},
		"offer twice":        {offer("h1", shop.OfferFacts{}), fault.Conflict},
		"no pack":            {offer("H-2", shop.OfferFacts{Pack: p(int64(0))}), fault.Invalid},
		"long number theirs": {offer(long, shop.OfferFacts{}), fault.Invalid},
		"thousands":          {offer("H-2", shop.OfferFacts{Price: p("1.000")}), fault.Invalid},
		"three digits":       {offer("H-2", shop.OfferFacts{Price: p("4.505")}), fault.Invalid},
		"currency":           {offer("H-2", shop.OfferFacts{Price: p("4 EUR")}), fault.Invalid},
		"price huge":         {offer("H-2", shop.OfferFacts{Price: p("10000000.01")}), fault.Invalid},
	} {
		if got := fault.KindOf(tt.err); got != tt.want {
			t.Errorf("%s: %v, want %s", name, tt.err, tt.want)
		}
	}
	if diff := cmp.Diff(before, state(t, s)); diff != "" {
		t.Errorf("something was changed\n%s", diff)
	}
}

// shown gives what JSON shows of v.
func shown(t *testing.T, v any) string {
	t.Helper()
	b, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// fill makes a part, a fork with two places, a bike, a supplier and an offer.
func fill(t *testing.T, s *shop.Shop) {
	t.Helper()
	ctx := t.Context()
	_, err := s.AddPart(ctx, "Tolmek/KB-39", role("oil_seal"))
	do := func(next error) {
		if err == nil {
			err = next
		}
	}
	_, next := s.AddFork(ctx, "Corva 39", shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"})
	do(next)
	for _, role := range []string{"oil_seal", "wiper"} {
		_, next = s.AddPlace(ctx, shop.PlaceRequest{Fork: "Corva 39", Role: role})
		do(next)
	}
	_, next = s.AddBike(ctx, shop.Bike{Make: "Kaldrin", Model: "Velda 400", Years: "2001-2004", Fork: "Corva 39"})
	do(next)
	_, next = s.AddSupplier(ctx, shop.Supplier{Supplier: "Halm", LeadDays: 3})
	do(next)
	_, next = s.AddOffer(ctx, "Halm", "H-1", "KB-39", shop.OfferFacts{Price: p("4,50")})
	do(next)
	if err != nil {
		t.Fatal(err)
	}
}

// state is what fill told, as the shop shows it, and all parts.
func state(t *testing.T, s *shop.Shop) string {
	t.Helper()
	fork, err := s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 39"})
	if err != nil {
		t.Fatal(err)
	}
	part, err := s.PartPage(t.Context(), "KB-39")
	if err != nil {
		t.Fatal(err)
	}
	parts, err := s.Export(t.Context(), "parts")
	if err != nil {
		t.Fatal(err)
	}
	return shown(t, fork) + shown(t, part) + shown(t, parts)
}

// Places go behind the last of the role that was named, and the rest moves up.
func TestAddPlaceAfter(t *testing.T) {
	s, _ := newShop(t)
	fill(t, s)
	for _, q := range []shop.PlaceRequest{
		{Role: "clip", After: "oil seal"},
		{Role: "backup_washer", After: "wiper"},
		{Role: "clip", After: "clip", Another: true},
		{Role: "gaiter", After: "clip"},
		{Role: "oil", PlaceFacts: shop.PlaceFacts{PerLeg: p(int64(480))}},
	} {
		q.Fork = "corva-39"
		if _, err := s.AddPlace(t.Context(), q); err != nil {
			t.Fatal(err)
		}
	}
	f, err := s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 39"})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, place := range f.Positions {
		got = append(got, string(place.Role)+" "+place.Renew)
	}
	// Renewal by role: common practice, no source.
	want := []string{"oil_seal always", "clip judge", "clip judge", "gaiter judge", "wiper judge", "backup_washer judge", "oil always"}
	if diff := cmp.Diff(got, want); diff != "" {
		t.Errorf("-got +want\n%s", diff)
	}
}

// A left and a right place of one role stand side by side; moving one to both
// legs would double it.
func TestChangePlaceAlone(t *testing.T) {
	s, _ := newShop(t)
	fill(t, s)
	for _, leg := range []string{"left", "right"} {
		q := shop.PlaceRequest{Fork: "Corva 39", Role: "air_valve", PlaceFacts: shop.PlaceFacts{Leg: &leg}}
		if _, err := s.AddPlace(t.Context(), q); err != nil {
			t.Fatal(err)
		}
	}
	q := shop.PlaceRequest{Fork: "Corva 39", Role: "air_valve", PlaceFacts: shop.PlaceFacts{Leg: p("both")}}
	if _, err := s.ChangePlace(t.Context(), q); fault.KindOf(err) != fault.Ambiguous {
		t.Errorf("which of two: %v, want ambiguous", err)
	}
	q.Number = 3
	if _, err := s.ChangePlace(t.Context(), q); fault.KindOf(err) != fault.Conflict {
		t.Errorf("both legs beside the right one: %v, want conflict", err)
	}
	q.PlaceFacts = shop.PlaceFacts{Note: p("left only")}
	if got, err := s.ChangePlace(t.Context(), q); err != nil || got.Note != "left only" || got.Leg != "left" {
		t.Errorf("got %+v, %v", got, err)
	}
	q = shop.PlaceRequest{Fork: "Corva 39", Role: "wiper", PlaceFacts: shop.PlaceFacts{Leg: p("left")}}
	if got, err := s.ChangePlace(t.Context(), q); err != nil || got.PerJob != 1 {
		t.Errorf("alone in both legs, now left: %+v, %v", got, err)
	}
}

// A part is named for a place once; the last who says so counts.
func TestPlaceNamesParts(t *testing.T) {
	s, _ := newShop(t)
	fill(t, s)
	for _, source := range []string{"", "list 3"} {
		q := shop.PlaceRequest{Fork: "Corva 39", Role: "oil_seal", PlaceFacts: shop.PlaceFacts{
			Parts: []string{"KB-39", "tolmek/kb39"}, Source: source,
		}}
		got, err := s.ChangePlace(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		want := source
		if want == "" {
			want = "Mika"
		}
		if len(got.Parts) != 1 || got.Parts[0].Verdict != "fits" || got.Parts[0].Reasons[0].Args[0] != want {
			t.Errorf("said by %q: %+v", want, got.Parts)
		}
	}
}

// Years of one bike and fork do not overlap; "2005-" goes on.
func TestAddBikeYears(t *testing.T) {
	s, _ := newShop(t)
	fill(t, s) // 2001-2004
	for _, tt := range []struct{ years, want string }{
		{"2000", "2000"},
		{"2004-2005", ""},
		{"2005 - ", "2005-"},
		{"2010", ""},
		{"2010-2012", ""},
		{"1998–1999", "1998-1999"},
		{"1990-", ""},
		{"98-99", ""},
		{"2001-04", ""},
	} {
		b, err := s.AddBike(t.Context(), shop.Bike{Make: "KALDRIN", Model: "velda400", Years: tt.years, Fork: "corva39"})
		if (err != nil) != (tt.want == "") || err == nil && b.Years != tt.want {
			t.Errorf("%s: %s, %v; want %q", tt.years, b.Years, err, tt.want)
		}
	}
}

// A bike's years grow over its own, and never over others of that fork.
func TestChangeBike(t *testing.T) {
	s, _ := newShop(t)
	fill(t, s) // 2001-2004
	later := shop.Bike{Make: "Kaldrin", Model: "Velda 400", Years: "2006-", Fork: "Corva 39"}
	if _, err := s.AddBike(t.Context(), later); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		was, now string
		want     fault.Kind
	}{
		{"2001-2004", "2002-2005", ""},
		{"2001-2004", "2003", fault.NotFound},
		{"2002-2005", "2002-2006", fault.Conflict},
		{"2002-2005", "2002-", fault.Conflict},
		{"2006-", "2006-2010", ""},
	} {
		b := later
		b.Years = tt.was
		if got, err := s.ChangeBike(t.Context(), b, shop.BikeChange{Years: tt.now}); fault.KindOf(err) != tt.want || err == nil && got.Years != tt.now {
			t.Errorf("%s to %s: %+v, %v; want %q", tt.was, tt.now, got, err, tt.want)
		}
	}
}

// A price that is not known is not zero.
func TestOfferPrices(t *testing.T) {
	s, _ := newShop(t)
	fill(t, s)
	for _, tt := range []struct {
		price string
		want  int64 // -1: not known
	}{{"400", 40000}, {"400.50", 40050}, {"400,5", 40050}, {" 0,05", 5}, {"0", 0}, {"", -1}, {"9999999.99", 999999999}} {
		got, err := s.ChangeOffer(t.Context(), "halm", "h-1", shop.OfferFacts{Price: &tt.price})
		minor := int64(-1)
		if got.PackPriceMinor != nil {
			minor = *got.PackPriceMinor
		}
		if err != nil || minor != tt.want || got.Pack != 1 || got.Currency != "EUR" {
			t.Errorf("%q: %d, %v; want %d", tt.price, minor, err, tt.want)
		}
	}
}
