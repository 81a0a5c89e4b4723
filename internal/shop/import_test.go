package shop_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// file writes a file to be taken in.
func file(t testing.TB, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// came is the short form of an answer.
type came struct {
	Added, Changed, Unchanged int
	Rejected                  []rejected
}

type rejected struct {
	Line   int
	Column string
	Why    string // id
}

func short(out shop.Imported) came {
	c := came{out.Added, out.Changed, out.Unchanged, nil}
	for _, r := range out.Rejected {
		c.Rejected = append(c.Rejected, rejected{r.Line, r.Column, r.Why.ID})
	}
	return c
}

// take takes a file in and gives the short form of the answer.
func take(t *testing.T, s *shop.Shop, q shop.ImportRequest, text string) came {
	t.Helper()
	q.Files = []string{file(t, "list.csv", text)}
	out, err := s.Import(t.Context(), q)
	if err != nil {
		t.Fatalf("Import(%q) = %v", text, err)
	}
	return short(out)
}

func addSupplier(t *testing.T, s *shop.Shop, name string) {
	t.Helper()
	if _, err := s.AddSupplier(t.Context(), shop.Supplier{Supplier: name, LeadDays: 3}); err != nil {
		t.Fatal(err)
	}
}

func TestImportPrices(t *testing.T) {
	s, _ := newShop(t)
	addSupplier(t, s, "Wesselmoor")
	net := shop.ImportRequest{Supplier: "wesselmoor", Net: true}
	list := "part no;description;pack;price\n0391;Seal 39x52x11;2;12,50\n0412;Washer 8x12x1;10;0,40\n"
	for i, tt := range []struct {
		q    shop.ImportRequest
		text string
		want came
	}{
		{shop.ImportRequest{Supplier: "wesselmoor", Net: true, DryRun: true}, list, came{Added: 2}},
		{net, list, came{Added: 2}},
		{net, list, came{Unchanged: 2}},
		{net, "part no;price\n0391;13,00\n0412;0,40\n", came{Changed: 1, Unchanged: 1}}, // columns that are not there say nothing
		{net, "part no;price\nO-7;1,00\n0391;x\n;5\n", came{Added: 1, Unchanged: 1, Rejected: []rejected{
			{3, "price", "table.no_number"}, {4, "part no", "exchange.empty"},
		}}},
		{shop.ImportRequest{Supplier: "wesselmoor", Strict: true}, "part no;price\nO-8;1,00\nO-9;x\n", came{Rejected: []rejected{{3, "price", "table.no_number"}}}},
		{net, "part no;price\nO-8;1,00\no8;2,00\n", came{Rejected: []rejected{
			{2, "part no", "exchange.told_twice"}, {3, "part no", "exchange.told_twice"},
		}}},
		{shop.ImportRequest{Supplier: "wesselmoor", Discount: "35"}, "part no;price;net price;PE\n0391;10,00;;\n0412;1,00;0,50;\nP-100;20,00;;100\n", came{Added: 1, Changed: 2}},
	} {
		if diff := cmp.Diff(take(t, s, tt.q, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	out, err := s.Find(t.Context(), "0", 0)
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]int64{}
	for _, i := range out.Items {
		got[i.SupplierNumber] = *i.PackPriceMinor
	}
	if diff := cmp.Diff(got, map[string]int64{"0391": 650, "0412": 50}); diff != "" {
		t.Errorf("prices (-got +want)\n%s", diff)
	}
	if out, err := s.Find(t.Context(), "P-100", 0); err != nil || len(out.Items) != 1 || *out.Items[0].PackPriceMinor != 13 {
		t.Errorf("20.00 for 100, less 35 %%, of one = %+v, %v, want 0.13", out.Items, err)
	}
}

func TestImportRefuses(t *testing.T) {
	s, _ := newShop(t)
	addSupplier(t, s, "Wesselmoor")
	for _, tt := range []struct {
		q    shop.ImportRequest
		text string
		want string // id of the message
	}{
		{shop.ImportRequest{Kind: "prices"}, "part no,price\nA,1\n", "shop.import.no_supplier"},
		{shop.ImportRequest{Supplier: "Nobody"}, "part no,price\nA,1\n", "catalog.supplier_absent"},
		{shop.ImportRequest{Supplier: "Wesselmoor"}, "part no,price\nA,1\n", "shop.import.how_printed"},
		{shop.ImportRequest{Supplier: "Wesselmoor", Net: true, Discount: "5"}, "part no,price\nA,1\n", "shop.import.net_or_less"},
		{shop.ImportRequest{Supplier: "Wesselmoor", Discount: "101"}, "part no,price\nA,1\n", "exchange.bad_percent"},
		{shop.ImportRequest{}, "\x00\x01\x02", ""},
		{shop.ImportRequest{Kind: "parts"}, "part no,price\nA,1\n", "exchange.no_column"},
	} {
		tt.q.Files = []string{file(t, "list.csv", tt.text)}
		_, err := s.Import(t.Context(), tt.q)
		if e := fault.Of(err); e == nil || e.Kind == fault.Internal || tt.want != "" && e.Message.ID != tt.want {
			t.Errorf("Import(%+v) = %v, want %s", tt.q, err, tt.want)
		}
	}
	if out, err := s.Find(t.Context(), "A", 0); err != nil || !out.Empty() {
		t.Errorf("something went in: %+v, %v", out, err)
	}
}

func TestImportParts(t *testing.T) {
	s, _ := newShop(t)
	parts := shop.ImportRequest{Kind: "parts"}
	list := "Teilenummer;Hersteller;Teileart;Innen;Außen;Höhe;Lagerfach;Mindestbestand\n" +
		"KB-39;Tolmek;Gabeldichtring;39;52;11;A-01-1;4\nW-10;Tolmek;Dichtring der Bodenschraube;10;16;1,5;;\n"
	for i, tt := range []struct {
		text string
		want came
	}{
		{list, came{Added: 2}},
		{list, came{Unchanged: 2}},
		{"number,maker,minimum,role\nKB 39,tolmek,6,\n", came{Changed: 1}},
		{"number,maker,minimum,role\nKB-39,Tolmek,some,nonsense\nX-1,Tolmek,1,nonsense\n", came{Unchanged: 1, Rejected: []rejected{
			{2, "minimum", "table.no_number"}, {2, "role", "catalog.bad_role"}, {3, "role", "catalog.bad_role"},
		}}},
		{"number,maker,description\nY-1,Tolmek,Fork oil seal 41x54x11\nY-2,Tolmek,Ding\n", came{Added: 1, Rejected: []rejected{{3, "role", "shop.no_role"}}}},
		{"number,maker,role,inner,outer\nZ-1,Tolmek,wiper,50,40\n", came{Rejected: []rejected{{2, "", "measure.outer_not_above"}}}},
	} {
		got := take(t, s, parts, tt.text)
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	p, err := s.PartPage(t.Context(), "Tolmek/KB-39")
	if err != nil || p.Size != "39x52x11" || p.Minimum != 6 || p.HomeBin != "A-01-1" {
		t.Errorf("KB-39 = %+v, %v", p, err)
	}
}

// A row is rejected once, and what was wrong with its cells does not count
// beside it.
func TestImportCountsRowsAndCells(t *testing.T) {
	s, _ := newShop(t)
	for _, tt := range []struct {
		text        string
		rows, cells int
	}{
		{"number,maker,role,minimum\nK-1,Tolmek,oil_seal,x\n", 0, 1},
		{"number,maker,role,minimum,inner\nK-2,Tolmek,oil_seal,x,y\n", 0, 2},
		{"number,maker,role,minimum\n,,oil_seal,x\n", 1, 0},
		{"number,maker,role,minimum\nK-3,Tolmek,nonsense,x\nK-4,Tolmek,wiper,x\n", 1, 1}, // rejected when it was to go in
	} {
		out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{file(t, "list.csv", tt.text)}})
		if err != nil || out.RejectedCount != tt.rows || out.CellsLeftOut != tt.cells {
			t.Errorf("%q: %d rows, %d cells, %v; want %d and %d", tt.text, out.RejectedCount, out.CellsLeftOut, err, tt.rows, tt.cells)
		}
	}
}
