//go:build trials

package shop_test

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/shop"
	"forkstock/internal/store"
)

const badFiles = "../../../shared/checks/csv/bad"

// row is what is kept of a row of a price list.
type row struct {
	Number, Description string
	Price, Pack         int64
	Code                string
}

// Each file of ../shared/checks/csv/bad behaves as its cases.json says.
func TestTrialBadFiles(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(badFiles, "cases.json"))
	if err != nil {
		t.Fatal(err)
	}
	var cases struct{ Cases []struct{ File string } }
	if err := json.Unmarshal(text, &cases); err != nil {
		t.Fatal(err)
	}
	type want struct {
		encoding, delimiter, decimal string
		rows                         []row
		rejected                     []rejected
		noted                        int
	}
	damaged := func(line int) rejected { return rejected{line, "part_no", "table.harm.date"} }
	all := map[string]want{
		"01_semicolon_decimal_comma_1252.csv": {"windows-1252", ";", ",", []row{
			{"0391", "Gabelsimmerring 39x52x11", 1250, 2, "09520123456788"},
			{"0412", "Kupferdichtring 8x12x1 – €", 40, 10, "09520123456795"},
		}, nil, 0},
		"02_utf8_bom.csv":          {"utf-8", ",", ".", []row{{"0391", "Oil seal 41×54×11", 995, 1, ""}}, nil, 0},
		"03_utf16le_bom_tab.txt":   {"utf-16le", "\t", ".", []row{{"0391", "", 995, 1, ""}}, nil, 0},
		"04_sep_line.csv":          {"utf-8", ";", ",", []row{{"0391", "", 995, 1, ""}}, nil, 0},
		"05_leading_zero_lost.csv": {"utf-8", ",", "", []row{{"391", "Oil seal 39x52x11", 0, 1, ""}}, nil, 1},
		"06_scientific_barcode.csv": {"utf-8", ",", "", []row{{"A-1", "", 0, 1, ""}, {"A-2", "", 0, 1, ""}, {"A-3", "", 0, 1, ""}}, []rejected{
			{2, "ean", "table.harm.scientific"}, {3, "ean", "table.harm.scientific"}, {4, "ean", "exchange.bad_gtin"},
		}, 0},
		"07_dates_from_part_numbers.csv": {"utf-8", ",", "", []row{{"3-10", "Clip", 0, 1, ""}}, []rejected{damaged(2), damaged(3), damaged(4), damaged(5)}, 0},
		"08_formula_cells.csv": {"utf-8", ",", "", []row{ // by number: +49123, -12, and so on; space around a number is none of it
			{"-12", "minus", 0, 1, ""},
			{"+49123", "phone-like", 0, 1, ""},
			{"cr", "c", 0, 1, ""},
			{`=HYPERLINK("http://x.invalid","a")`, "x", 0, 1, ""},
			{"@SUM(A1)", "at", 0, 1, ""},
			{"tab", "t", 0, 1, ""},
		}, nil, 0},
		"09_quotes_newlines.csv": {"utf-8", ",", "", []row{{"0391", "Seal \"dual lip\", 39x52x11\nsecond line", 0, 1, ""}}, nil, 0},
		"10_ragged.csv":          {"utf-8", ",", ".", nil, []rejected{{2, "", "table.ragged"}, {3, "", "table.ragged"}}, 0},
		"11_bare_quote_inch.csv": {"utf-8", ",", "", []row{{"0391", `Socket 1/2" drive`, 0, 1, ""}, {"0392", `Hose 3/8" x 1m`, 0, 1, ""}}, nil, 1},
		"12_dup_and_case.csv": {"utf-8", ",", ".", nil, []rejected{
			{2, "part_no", "exchange.told_twice"}, {3, "part_no", "exchange.told_twice"}, {4, "part_no", "exchange.told_twice"},
		}, 0},
		"13_totals_row.csv":              {"utf-8", ",", ".", []row{{"0391", "", 995, 1, ""}}, []rejected{{5, "", "exchange.total"}}, 0},
		"15_lf_no_final_newline_nul.csv": {"utf-8", ",", ".", []row{{"0391", "", 995, 1, ""}}, []rejected{{3, "", "table.nul"}}, 0},
		"17_text_prefix.csv":             {"utf-8", ",", "", []row{{"0391", "", 0, 1, "09520123456788"}}, nil, 4},
	}
	if len(cases.Cases) != len(all) {
		t.Errorf("%d cases, of which %d are judged", len(cases.Cases), len(all))
	}
	for _, c := range cases.Cases {
		w, known := all[c.File]
		if !known {
			t.Errorf("nobody judges %s", c.File)
			continue
		}
		s, _ := newShop(t)
		addSupplier(t, s, "Wesselmoor")
		if w.noted == 1 && c.File[:2] == "05" {
			take(t, s, shop.ImportRequest{Supplier: "Wesselmoor", Net: true}, "part no,price\n0391,\n")
		}
		out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{filepath.Join(badFiles, c.File)}, Supplier: "Wesselmoor", Net: true})
		if err != nil {
			t.Errorf("%s: %v", c.File, err)
			continue
		}
		f := out.Files[0]
		got := want{f.Encoding, f.Delimiter, f.Decimal, rowsOf(t, s, w.noted == 1 && c.File[:2] == "05"), short(out).Rejected, len(out.Noted)}
		if diff := cmp.Diff(got, w, cmp.AllowUnexported(want{})); diff != "" {
			t.Errorf("%s (-got +want)\n%s", c.File, diff)
		}
	}
}

// rowsOf gives what is kept, by number; the one with its zeros was there before.
func rowsOf(t *testing.T, s *shop.Shop, but bool) (rows []row) {
	t.Helper()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var r row
			err := scan(&r.Number, &r.Description, &r.Price, &r.Pack, &r.Code)
			if !but || r.Number != "0391" {
				rows = append(rows, r)
			}
			return err
		}, `SELECT number, description, coalesce(pack_price_minor, 0), pack, code FROM supplier_item ORDER BY number_norm`)
	})
	return rows
}
