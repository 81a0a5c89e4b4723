package catalog_test

import (
	"context"
	"testing"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// The shelf lives of ISO 2230:2002, as two secondary pages print them; the
// standard itself was not seen.
var iso2230 = []struct {
	group       string
	elastomers  []string
	years, more int
}{
	{"A", []string{"NR", "IR", "BR", "SBR", "AU", "EU"}, 5, 2},
	{"B", []string{"NBR", "HNBR", "CR", "ACM", "ECO", "IIR"}, 7, 3},
	{"C", []string{"FKM", "FFKM", "EPDM", "VMQ", "FVMQ", "CSM"}, 10, 5},
}

func TestGroups(t *testing.T) {
	if len(catalog.Groups()) != len(iso2230) {
		t.Fatalf("%d groups, want %d", len(catalog.Groups()), len(iso2230))
	}
	for i, want := range iso2230 {
		got := catalog.Groups()[i]
		if got.Name != want.group || got.Years != want.years || got.More != want.more || got.Edition != "ISO 2230:2002" || got.Source == "" ||
			len(got.Elastomers) != len(want.elastomers) {
			t.Errorf("group %+v, want %+v", got, want)
		}
		for _, e := range want.elastomers {
			if g, ok := catalog.GroupOf(e); !ok || g.Name != want.group {
				t.Errorf("%s is in %s %v, want %s", e, g.Name, ok, want.group)
			}
		}
	}
	for _, e := range []string{"", "rubber", "PTFE", "NB", "steel"} {
		if g, ok := catalog.GroupOf(e); ok {
			t.Errorf("%q is in group %s", e, g.Name)
		}
	}
	if g, ok := catalog.GroupOf(" nbr"); !ok || g.Name != "B" {
		t.Errorf("nbr is in %s %v", g.Name, ok)
	}
}

func TestUseBy(t *testing.T) {
	summer := catalog.Cure{Year: 1994, Quarter: 3}
	for _, tt := range []struct {
		elastomers []string
		cure       catalog.Cure
		useBy      string // empty: not known
		inspected  string
		elastomer  string
	}{
		{[]string{"NBR"}, summer, "2001-09-30", "2004-09-30", "NBR"},
		{[]string{"NR"}, summer, "1999-09-30", "2001-09-30", "NR"},
		{[]string{"FKM"}, summer, "2004-09-30", "2009-09-30", "FKM"},
		{[]string{"NBR"}, catalog.Cure{Year: 1994, Month: 3}, "2001-03-31", "2004-03-31", "NBR"},
		{[]string{"FKM", "NBR", "EPDM"}, summer, "2001-09-30", "2004-09-30", "NBR"}, // the shortest
		{[]string{"FKM", "EU"}, summer, "1999-09-30", "2001-09-30", "EU"},
		{[]string{"NBR", ""}, summer, "", "", ""}, // one of them is not known
		{[]string{"NBR", "rubber"}, summer, "", "", ""},
		{[]string{""}, summer, "", "", ""},
		{nil, summer, "", "", ""},
		{[]string{"NBR"}, catalog.Cure{}, "", "", ""},
	} {
		a, ok := catalog.UseBy(tt.elastomers, tt.cure)
		if ok != (tt.useBy != "") || a.UseBy != tt.useBy || a.Inspected != tt.inspected || a.Elastomer != tt.elastomer {
			t.Errorf("UseBy(%q, %s) = %+v %v, want %s, %s", tt.elastomers, tt.cure, a, ok, tt.useBy, tt.inspected)
		}
	}
}

// 3/94 is July to September 1994 of most makers, March 1994 of some: common
// practice, no source.
func TestParseCure(t *testing.T) {
	now := time.Date(2026, time.November, 28, 12, 0, 0, 0, time.UTC)
	for _, tt := range []struct {
		text, dates, want string
		kind              fault.Kind
	}{
		{"3/94", "quarter", "1994-Q3", ""},
		{"3/94", "month", "1994-03", ""},
		{"3/94", "", "", fault.Ambiguous},
		{"03.1994", "", "", fault.Ambiguous},
		{"4-12", "", "", fault.Ambiguous},
		{"7/94", "", "1994-07", ""}, // no quarter
		{"7/94", "quarter", "1994-07", ""},
		{"12/2019", "", "2019-12", ""},
		{"1Q95", "", "1995-Q1", ""},
		{"1q95", "month", "1995-Q1", ""},
		{"Q1 95", "", "1995-Q1", ""},
		{"Q2/2001", "", "2001-Q2", ""},
		{"2 Q 2001", "", "2001-Q2", ""},
		{"1994-Q3", "", "1994-Q3", ""},
		{"1994-03", "", "1994-03", ""},
		{" 4Q26 ", "", "2026-Q4", ""},   // today's quarter
		{"1Q27", "", "", fault.Invalid}, // to come, not of 1927
		{"Q1 27", "", "", fault.Invalid},
		{"1/27", "quarter", "", fault.Invalid},
		{"7/27", "", "", fault.Invalid},
		{"4Q66", "", "", fault.Invalid},
		{"4Q67", "", "1967-Q4", ""}, // 2067 nobody means
		{"1/2027", "quarter", "", fault.Invalid},
		{"12/26", "", "", fault.Invalid}, // to come
		{"13/94", "", "", fault.Invalid},
		{"0/94", "", "", fault.Invalid},
		{"5Q95", "", "", fault.Invalid},
		{"1994-13", "", "", fault.Invalid},
		{"94", "", "", fault.Invalid},
		{"", "", "", fault.Invalid},
		{"3/94/7", "quarter", "", fault.Invalid},
	} {
		c, err := catalog.ParseCure(tt.text, "Tolmek", tt.dates, now)
		if fault.KindOf(err) != tt.kind || c.String() != tt.want {
			t.Errorf("ParseCure(%q, %q) = %q, %v; want %q %s", tt.text, tt.dates, c, err, tt.want, tt.kind)
		}
		if tt.kind == fault.Ambiguous && fault.Of(err).Candidates[0].Command != "forkstock add maker Tolmek --dates quarter" {
			t.Errorf("ParseCure(%q) asks %v", tt.text, fault.Of(err).Candidates)
		}
		if err == nil {
			if again, err := catalog.ParseCure(c.String(), "", "", now); err != nil || again != c {
				t.Errorf("%s read again is %s, %v", c, again, err)
			}
		}
	}
}

func TestElastomers(t *testing.T) {
	for _, tt := range []struct {
		role catalog.Role
		told string
		want int
	}{
		{catalog.OilSeal, "NBR", 1},
		{catalog.OilSeal, "NBR/FKM", 2},
		{catalog.OilSeal, "", 1}, // rubber, nobody says of what
		{catalog.BottomWasher, "", 0},
		{catalog.BottomWasher, "NBR", 1}, // bonded
	} {
		if got := (catalog.Part{Role: tt.role, Elastomer: tt.told}).Elastomers(); len(got) != tt.want {
			t.Errorf("%s %q: %q, want %d", tt.role, tt.told, got, tt.want)
		}
	}
	kit := []catalog.Content{
		{Part: catalog.Part{Role: catalog.OilSeal, Elastomer: "FKM"}}, {Part: catalog.Part{Role: catalog.Wiper}}, {Part: catalog.Part{Role: catalog.Clip}},
	}
	if got := catalog.ElastomersOf(kit); len(got) != 2 {
		t.Errorf("a kit of a seal, a wiper and a clip: %q", got)
	}
	if _, ok := catalog.UseBy(catalog.ElastomersOf(kit), catalog.Cure{Year: 2020, Month: 1}); ok {
		t.Error("a kit with an unknown wiper has a use-by date")
	}
}

func TestMakerDates(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		for _, tt := range []struct {
			maker, dates string
			kind         fault.Kind
			want         string
		}{
			{"Tolmek", "quarter", "", "quarter"},
			{"TOLMEK", "month", "", "month"}, // the last word counts
			{"tolmek", "year", fault.Invalid, "month"},
			{"--", "month", fault.Invalid, ""},
		} {
			if err := catalog.SetDates(ctx, tx, tt.maker, tt.dates); fault.KindOf(err) != tt.kind {
				t.Errorf("SetDates(%s, %s) = %v", tt.maker, tt.dates, err)
			}
			if got, err := catalog.DatesOf(ctx, tx, tt.maker); err != nil || got != tt.want {
				t.Errorf("DatesOf(%s) = %q, %v", tt.maker, got, err)
			}
		}
		return nil
	})
}
