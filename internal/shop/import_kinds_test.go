package shop_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

const twoParts = "number,maker,role,inner,outer,height,elastomer\nKB-39,Tolmek,oil_seal,39,52,11,NBR\nW-10,Tolmek,bottom_washer,10,16,1.5,\n"

// A bin that only a rejected row names is not there, and no answer says so.
func TestImportNewBins(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	text := "number,maker,role,inner,outer,height,minimum,home bin\nKB-40,Tolmek,oil_seal,52,39,11,2,C-1\nKB-41,Tolmek,oil_seal,41,54,11,2,C-2\n"
	out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{file(t, "list.csv", text)}, Kind: "parts"})
	if err != nil || out.RejectedCount != 1 || out.Rejected[0].Line != 2 {
		t.Fatalf("%+v, %v", out.Rejected, err)
	}
	if diff := cmp.Diff(out.NewBins, []string{"C-2"}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// A file of stock says what is there: only the difference is posted, once.
func TestImportStock(t *testing.T) {
	s, c := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	var none shop.ImportRequest
	first := "Teilenummer;Hersteller;Lagerfach;Bestand\nKB-39;Tolmek;A-01-1;4\nW-10;Tolmek;A-01-2;10\n"
	for i, tt := range []struct {
		text string
		want came
	}{
		{first, came{Changed: 2}},
		{first, came{Unchanged: 2}},
		{"number,bin,amount\nKB-39,A-01-1,6\nW-10,A-01-2,3\n", came{Changed: 2}},
		{first, came{Rejected: []rejected{{2, "Bestand", "shop.import.counted"}, {3, "Bestand", "shop.import.counted"}}}},
		{"number,amount\nKB-39,7\n", came{Changed: 1}}, // wherever it lies
		{"number,maker,unit,amount\nKB-39,Tolmek,mL,7\nX-1,Tolmek,piece,1\nW-10,Tolmek,piece,-1\n", came{Rejected: []rejected{
			{4, "amount", "exchange.negative"}, {2, "unit", "shop.import.unit"}, {3, "number", "catalog.part_absent"},
		}}},
		{"number,bin,lot,use by,amount\nW-10,A-01-2,77,2031-01-31,5\n", came{Changed: 1}}, // a lot of its own
		{"number,bin,lot,amount\nW-10,A-01-2,77,5\n", came{Unchanged: 1}},
		{"number,bin,amount\nKB-39,A-01-1,1\nkb 39,A-01-1,2\n", came{Rejected: []rejected{
			{2, "number", "exchange.told_twice"}, {3, "number", "exchange.told_twice"},
		}}},
	} {
		c.now = c.now.Add(time.Hour)
		if diff := cmp.Diff(take(t, s, none, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	ledger, err := s.Ledger(t.Context(), shop.LedgerRequest{})
	if err != nil {
		t.Fatal(err)
	}
	type line struct {
		Number, Kind, Bin string
		Amount            int64
	}
	var got []line
	for _, m := range ledger.Movements {
		got = append(got, line{m.Number, m.Kind, m.Bin, m.Amount})
	}
	want := []line{
		{"KB-39", inventory.Opening, "A-01-1", 4},
		{"W-10", inventory.Opening, "A-01-2", 10},
		{"KB-39", inventory.Found, "A-01-1", 2},
		{"W-10", inventory.Scrap, "A-01-2", -7},
		{"KB-39", inventory.Found, "INTAKE", 1},
		{"W-10", inventory.Move, "A-01-2", -3}, // of the three there the file now says the date
		{"W-10", inventory.Move, "A-01-2", 3},
		{"W-10", inventory.Found, "A-01-2", 2},
	}
	if diff := cmp.Diff(got, want); diff != "" {
		t.Errorf("ledger (-got +want)\n%s", diff)
	}
	if out, err := s.Check(t.Context()); err != nil || len(out.Findings) > 0 {
		t.Errorf("check = %+v, %v", out, err)
	}
}

// A dry run of stock posts nothing, and makes no bin.
func TestImportStockDry(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	got := take(t, s, shop.ImportRequest{DryRun: true}, "number,bin,amount\nKB-39,Z-9,4\n")
	if diff := cmp.Diff(got, came{Changed: 1}); diff != "" {
		t.Error(diff)
	}
	bins, err := s.Bins(t.Context())
	out, err2 := s.Stock(t.Context(), "", "")
	if err != nil || err2 != nil || len(bins) != 1 || len(out.Lines) != 0 {
		t.Errorf("after a dry run: bins %v, stock %v; %v, %v", bins, out.Lines, err, err2)
	}
}

func TestImportCodes(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	for i, tt := range []struct {
		text string
		want came
	}{
		{"code,number,maker,pieces\n9520123456788,KB-39,Tolmek,2\nTO.W10,W-10,,10\nPARCEL,,,\n", came{Added: 3}},
		{"EAN;Teilenummer;Menge\n9520123456788;KB-39;2\n", came{Unchanged: 1}},
		{"code,number\n9520123456788,KB-39\n", came{Unchanged: 1}}, // how many pieces is not told
		{"code,number,pieces\n9520123456788,W-10,2\nTO.W10,W-10,5\n", came{Changed: 1, Rejected: []rejected{{2, "code", "catalog.code_taken"}}}},
		{"ean,number\n9.52012E+12,KB-39\n,KB-39\n", came{Rejected: []rejected{{2, "ean", "table.harm.scientific"}, {2, "", "exchange.empty"}, {3, "", "exchange.empty"}}}},
	} {
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{Kind: "codes"}, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	if out := receive(t, s, "09520123456788"); len(out.Lines) != 1 || out.Lines[0].Amount != 2 {
		t.Errorf("a code from a file received: %+v", out)
	}
}

// Past jobs count as use: what they took is ordered again.
func TestImportJobs(t *testing.T) {
	s, c := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	c.now = time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	before, err := s.Reorder(t.Context(), shop.ReorderRequest{})
	if err != nil || len(before.Orders) != 0 {
		t.Fatalf("without use: %+v, %v", before, err)
	}
	text := "Auftrag;Datum;Teilenummer;Menge\n"
	for i := range 40 {
		text += fmt.Sprintf("J%d;%s;KB-39;2\n", i, c.now.AddDate(0, 0, -7*i-1).Format("02.01.2006"))
	}
	if got := take(t, s, shop.ImportRequest{}, text); got.Added != 40 {
		t.Fatalf("%+v", got)
	}
	if got := take(t, s, shop.ImportRequest{}, text); got.Unchanged != 40 {
		t.Errorf("again: %+v", got)
	}
	after, err := s.Reorder(t.Context(), shop.ReorderRequest{})
	if err != nil || len(after.Orders) != 1 || after.Orders[0].Lines[0].Number != "KB-39" || after.Orders[0].Lines[0].Amount < 2 {
		t.Errorf("with 2 a week: %+v, %v", after, err)
	}
	// The same use a year later is no use any more.
	c.now = c.now.AddDate(2, 0, 0)
	if late, err := s.Reorder(t.Context(), shop.ReorderRequest{}); err != nil || len(late.Orders) != 0 {
		t.Errorf("two years later: %+v, %v", late, err)
	}
	if got := take(t, s, shop.ImportRequest{}, "job,day,number,amount\nZ,2199-01-01,KB-39,1\n"); len(got.Rejected) != 1 || got.Rejected[0].Why != "shop.day_to_come" {
		t.Errorf("a job to come: %+v", got)
	}
}

func TestImportForks(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	list := "Gabel;Bauart;Standrohrdurchmesser [mm];Dämpfung;Teileart;je Holm;Innen;Außen;Höhe;Teilenummer\n" +
		"Corva 39;konventionell;39;damper_rod;Gabeldichtring;1;39;52;11;KB-39\nCorva 39;;;;Staubkappe;1;39;52;;\n"
	for i, tt := range []struct {
		text string
		want came
	}{
		{list, came{Added: 2}},
		{list, came{Unchanged: 2}},
		{"fork,leg_mm\nCorva 39,39\nVelta 43,43\n", came{Added: 1, Unchanged: 1}},
		{"fork,leg_mm,layout\nCorva 39,38,\nCorva 39,40,\n", came{Rejected: []rejected{{2, "fork", "exchange.told_twice"}, {3, "fork", "exchange.told_twice"}}}},
		{"fork,leg_mm,place,role\nCorva 39,,1,wiper\nCorva 39,,3,nonsense\n", came{Rejected: []rejected{
			{2, "role", "shop.import.other_place"}, {3, "role", "catalog.bad_role"},
		}}},
		{"fork,leg_mm,role\nHalf 41,41,nonsense\n", came{Rejected: []rejected{{2, "role", "catalog.bad_role"}}}},
		{"fork,leg_mm\nNova 50,5\n", came{Rejected: []rejected{{2, "leg_mm", "catalog.bad_leg"}}}},
	} {
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{Kind: "forks"}, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	f, err := s.Fork(t.Context(), shop.ForkQuery{Name: "Corva 39"})
	if err != nil || len(f.Positions) != 2 || f.Positions[0].Parts[0].Number != "KB-39" || f.Positions[1].Renew != "judge" {
		t.Errorf("Corva 39 = %+v, %v", f, err)
	}
	for _, name := range []string{"Half 41", "Nova 50"} { // the fork of Half 41 was added before its place was refused
		if _, err := s.Fork(t.Context(), shop.ForkQuery{Name: name}); fault.KindOf(err) != fault.NotFound {
			t.Errorf("a rejected row left %s: %v", name, err)
		}
	}
}

func TestImportBikesAndKits(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts+"K-39,Tolmek,kit,,,,\n")
	take(t, s, shop.ImportRequest{Kind: "forks"}, "fork,leg\nCorva 39,39\n")
	for i, tt := range []struct {
		text string
		want came
	}{
		{"Marke;Modell;Baujahr von;Baujahr bis;Gabel\nKaldrin;Velda 400;2001;2004;corva 39\nKaldrin;Velda 500;2001;;Corva 40\n", came{
			Added: 1, Rejected: []rejected{{3, "Gabel", "catalog.fork_absent"}},
		}},
		{"make,model,year,fork\nKaldrin,Velda 400,2003,Corva 39\n", came{Rejected: []rejected{{2, "year", "catalog.bike_twice"}}}},
		{"make,model,year_from,year_to,fork\nKaldrin,Velda 400,2001,2005,Corva 39\n", came{Changed: 1}},
		{"kit,number,role,inner,outer,height,pieces\nK-39,KB-39,,,,,2\nK-39,,wiper,39,52,5,2\n", came{Added: 2}},
		{"kit,number,role,inner,outer,height,pieces\nK-39,KB-39,,,,,2\nK-39,,wiper,39,52,5,2\n", came{Unchanged: 2}},
		{"kit,number,pieces\nK-39,KB-39,1\nKB-39,W-10,1\n", came{Changed: 1, Rejected: []rejected{{3, "number", "catalog.no_kit"}}}},
		{"old number,maker,new number\nA-1,Tolmek,A-2\nA-2,Tolmek,A-1\n", came{Added: 1, Rejected: []rejected{{3, "new number", "catalog.cycle"}}}},
	} {
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{}, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
}
