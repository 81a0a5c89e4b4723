package shop_test

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// lying gives what lies of each part in each bin, by its particulars.
func lying(t *testing.T, s *shop.Shop) map[string]int64 {
	t.Helper()
	rows, err := s.Export(t.Context(), "stock")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]int64{}
	for _, r := range rows[1:] {
		var n int64
		if _, err := fmt.Sscan(r[len(r)-1], &n); err != nil {
			t.Fatal(err)
		}
		all[strings.TrimRight(strings.Join([]string{r[0], r[2], r[6], r[7], r[8]}, " "), " ")] += n
	}
	return all
}

// sums adds up each part and bin.
func sums(all map[string]int64) map[string]int64 {
	of := map[string]int64{}
	for lot, n := range all {
		f := strings.Split(lot, " ")
		of[f[0]+" "+f[1]] += n
	}
	return of
}

type heap = map[string]int64

// A list states what lies there; one that tells more of the same pieces does
// not add them, and one that names some lots of a bin only is asked about the
// others.
func TestImportStockTellsMore(t *testing.T) {
	s, c := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	unnamed := func(lines ...int) (all []rejected) {
		for _, n := range lines {
			all = append(all, rejected{n, "lot", "shop.import.unnamed"})
		}
		return all
	}
	for i, tt := range []struct {
		text string
		want came
		lots heap // nil: as before
	}{
		{"number,bin,amount\nKB-39,A-1,6\nW-10,A-1,3\n", came{Changed: 2}, heap{"KB-39 A-1": 6, "W-10 A-1": 3}},
		{"number,bin,amount,batch,cure\nKB-39,A-1,6,B7,2024-Q1\n", came{Changed: 1}, heap{"KB-39 A-1 B7 2024-Q1": 6, "W-10 A-1": 3}},
		{"number,bin,amount,batch,cure\nkb 39,A-1,6,B7,1Q24\n", came{Unchanged: 1}, nil},
		{"number,bin,amount,lot,batch\nKB-39,A-1,2,,B8\n", came{Rejected: unnamed(2)}, nil},
		{"number,bin,amount,lot,batch\nKB-39,A-1,2,,B8\nKB-39,A-1,4,1,\n", came{Changed: 2}, heap{"KB-39 A-1 B7 2024-Q1": 4, "KB-39 A-1 B8": 2, "W-10 A-1": 3}},
		{"number,bin,amount\nKB-39,A-1,6\n", came{Unchanged: 1}, nil},                                                                                                    // the sum
		{"number,bin,amount,batch\nKB-39,A-1,2,B8\nKB-39,A-1,4,\n", came{Unchanged: 2}, nil},                                                                             // and the sum of the others
		{"number,bin,amount,batch\nW-10,A-1,2,B1\n", came{Rejected: unnamed(2)}, nil},                                                                                    // the third?
		{"number,bin,amount,batch\nW-10,A-1,1,\nW-10,A-1,1,B1\n", came{Changed: 2}, heap{"KB-39 A-1 B7 2024-Q1": 4, "KB-39 A-1 B8": 2, "W-10 A-1": 1, "W-10 A-1 B1": 1}}, // one went
		{"number,bin,lot,batch,amount\nKB-39,A-1,1,,0\nKB-39,A-1,,B8,0\n", came{Changed: 2}, heap{"W-10 A-1": 1, "W-10 A-1 B1": 1}},
		{"number,bin,amount,batch\nW-10,A-1,x,\nW-10,A-1,5,B1\n", came{Rejected: []rejected{{2, "amount", "table.no_number"}, {3, "number", "shop.import.belongs"}}}, nil},
		{"number,maker,bin,amount,batch\nW-10,,A-1,4,B1\nW-10,Tolmek,A-1,5,B1\n", came{Rejected: []rejected{{2, "number", "shop.import.belongs"}, {3, "amount", "exchange.told_twice"}}}, nil},
		{"number,bin,lot,amount\nKB-39,A-9,77,3\nKB-39,A-9,78,3\n", came{Rejected: []rejected{{2, "number", "shop.import.belongs"}, {3, "amount", "exchange.told_twice"}}}, nil}, // one lot by all that is known
	} {
		before := lying(t, s)
		if tt.lots == nil {
			tt.lots = before
		}
		c.now = c.now.Add(time.Hour)
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{DryRun: true}, tt.text), tt.want); diff != "" {
			t.Errorf("%d: dry run of %q (-got +want)\n%s", i, tt.text, diff)
		}
		if diff := cmp.Diff(lying(t, s), before); diff != "" {
			t.Errorf("%d: dry run of %q (-got +want)\n%s", i, tt.text, diff)
		}
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{}, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
		if diff := cmp.Diff(lying(t, s), tt.lots); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	if out, err := s.Check(t.Context()); err != nil || len(out.Findings) > 0 {
		t.Errorf("check = %+v, %v", out, err)
	}
}

// What pieces cost stays with them when more is told of them, and what a sum
// beside a new lot does not need is not moved.
func TestImportStockKeepsValue(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	take(t, s, shop.ImportRequest{}, "number,bin,amount\nKB-39,A-1,1\n")
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		lines, err := inventory.Stock(ctx, tx, "")
		if err != nil {
			return err
		}
		_, err = inventory.Post(ctx, tx, inventory.Posting{Key: "bought", Kind: inventory.Receive, Person: person(ctx, t, tx)}, []inventory.Flow{{
			Part: lines[0].Part, Lot: lines[0].Lot.ID, To: lines[0].Bin.ID, Amount: 5, Value: inventory.Value{Minor: 500, Known: true},
		}})
		return err
	})
	take(t, s, shop.ImportRequest{}, "number,bin,amount\nKB-39,A-1,5\n")
	for i, tt := range []struct {
		text string
		want []string
	}{
		{"number,bin,amount,batch\nKB-39,A-1,4,B7\nKB-39,A-1,1,\n", []string{"move -4 -400", "move 4 400"}},
		{"number,bin,amount,batch\nKB-39,A-1,4,B7\nKB-39,A-1,2,B8\nKB-39,A-1,1,\n", []string{"found 2 200"}},
	} {
		before, err := s.Ledger(t.Context(), shop.LedgerRequest{})
		if err != nil {
			t.Fatal(err)
		}
		take(t, s, shop.ImportRequest{}, tt.text)
		after, err := s.Ledger(t.Context(), shop.LedgerRequest{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, m := range after.Movements[len(before.Movements):] {
			value := "unknown"
			if m.ValueMinor != nil {
				value = fmt.Sprint(*m.ValueMinor)
			}
			got = append(got, fmt.Sprint(m.Kind, " ", m.Amount, " ", value))
		}
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("%d (-got +want)\n%s", i, diff)
		}
	}
}

// changes are at most 50, all counted, and say lot, before and after.
func TestImportStockChanges(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	text := "number,bin,amount\n"
	for i := range 60 {
		text += fmt.Sprintf("KB-39,B-%d,%d\n", i, i+1)
	}
	out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{file(t, "list.csv", text)}, DryRun: true})
	if err != nil || out.ChangesCount != 60 || len(out.Changes) != 50 {
		t.Fatalf("%d of %d changes, %v", len(out.Changes), out.ChangesCount, err)
	}
	want := shop.StockChange{File: "list.csv", Line: 4, Number: "KB-39", Maker: "Tolmek", Unit: "piece", Bin: "B-2", Now: 3}
	if diff := cmp.Diff(out.Changes[2], want); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
	take(t, s, shop.ImportRequest{}, text)
	out, err = s.Import(t.Context(), shop.ImportRequest{Files: []string{file(t, "list.csv", "number,bin,amount,batch\nKB-39,B-2,5,B7\n")}})
	want = shop.StockChange{File: "list.csv", Line: 2, Number: "KB-39", Maker: "Tolmek", Unit: "piece", Bin: "B-2", Lot: 2, Batch: "B7", Now: 5, Relotted: 3}
	if err != nil || len(out.Changes) != 1 || out.Changes[0].What().ID != "shop.import.relot" {
		t.Fatalf("%+v, %v", out.Changes, err)
	}
	if diff := cmp.Diff(out.Changes[0], want); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// A row that would have changed something is told as no change where another
// of the same part and bin is refused.
func TestImportStockRefusedChanges(t *testing.T) {
	s, _ := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	const list = "number,bin,amount,batch\nKB-39,A-1,2,B1\nKB-39,A-1,3,B2\n"
	take(t, s, shop.ImportRequest{}, "number,bin,amount,batch\nKB-39,A-1,2,B1\n")
	take(t, s, shop.ImportRequest{}, list)
	take(t, s, shop.ImportRequest{}, "number,bin,amount,batch\nKB-39,A-1,1,B1\nKB-39,A-1,1,B2\n")
	before := lying(t, s)
	out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{file(t, "list.csv", list)}})
	if err != nil || out.RejectedCount != 2 || out.Rejected[0].Why.ID != "shop.import.counted" || out.ChangesCount != 0 || len(out.Changes) != 0 {
		t.Errorf("%d rejected %+v, %d changes %+v, %v", out.RejectedCount, out.Rejected, out.ChangesCount, out.Changes, err)
	}
	if diff := cmp.Diff(lying(t, s), before); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// After any list of stock either the sum of a part and bin is that of its
// rows, or its rows are refused and nothing has changed there; what a change
// does not tell is as it was; the same list again changes nothing, nor does
// what is exported then.
func TestImportStockSums(t *testing.T) {
	s, c := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	r := rand.New(rand.NewPCG(7, 11))
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	refused, rowsIn := 0, 0
	for i := range 120 {
		before := sums(lying(t, s))
		want, at, seen := maps.Clone(before), map[int]string{}, map[string]bool{}
		rows := []string{fmt.Sprintf("number,bin,batch,cure,use_by,amount,list %d", i)}
		stated := map[string]int64{}
		for range 1 + r.IntN(6) {
			part := pick("KB-39", "W-10") + " " + pick("A-1", "A-2")
			lot := pick("", "B1", "B2") + "," + pick("", "2024-Q1") + "," + pick("", "", "2031-01-31")
			if seen[part+lot] {
				continue
			}
			seen[part+lot] = true
			n := r.Int64N(9)
			stated[part] += n
			rows = append(rows, strings.Replace(part, " ", ",", 1)+fmt.Sprintf(",%s,%d,", lot, n))
			at[len(rows)] = part
		}
		for part := range stated {
			if n := r.Int64N(9); n < 5 && !seen[part+",,"] {
				stated[part] += n
				rows = append(rows, strings.Replace(part, " ", ",", 1)+fmt.Sprintf(",,,,%d,", n))
				at[len(rows)] = part
			}
		}
		text := strings.Join(rows, "\n") + "\n"
		c.now = c.now.Add(time.Hour)
		out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{file(t, "list.csv", text)}})
		if err != nil {
			t.Fatal(err)
		}
		maps.Copy(want, stated)
		rowsIn += out.Changed
		for _, j := range out.Rejected {
			if j.Why.ID != "shop.import.unnamed" {
				t.Fatalf("%d: %s: %+v", i, text, j)
			}
			refused++
			want[at[j.Line]] = before[at[j.Line]]
		}
		maps.DeleteFunc(want, func(_ string, n int64) bool { return n == 0 })
		if diff := cmp.Diff(sums(lying(t, s)), want); diff != "" {
			t.Fatalf("%d: %s (-got +want)\n%s", i, text, diff)
		}
		for _, again := range []string{text, exported(t, s)} {
			if out := take(t, s, shop.ImportRequest{}, again); out.Changed > 0 || again != text && len(out.Rejected) > 0 {
				t.Fatalf("%d: again: %s: %+v", i, again, out)
			}
		}
	}
	if refused < 50 || rowsIn < 50 {
		t.Errorf("%d rows refused, %d changed something: the lists say little of the rule", refused, rowsIn)
	}
	if out, err := s.Check(t.Context()); err != nil || len(out.Findings) > 0 {
		t.Errorf("check = %+v, %v", out, err)
	}
}

// exported gives the export of stock as a file has it.
func exported(t *testing.T, s *shop.Shop) string {
	t.Helper()
	rows, err := s.Export(t.Context(), "stock")
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.Join(r, ",") + "\n")
	}
	return b.String()
}

// A batch alone names the lot that has it, in whichever bin; a date that is
// told later, also after one that could not be read, becomes the lot's; where
// two lots have the batch, nothing is guessed.
func TestImportStockBatch(t *testing.T) {
	s, c := newShop(t)
	take(t, s, shop.ImportRequest{}, twoParts)
	for i, tt := range []struct {
		text string
		want came
		lots heap
	}{
		{"number,bin,amount,batch,cure\nKB-39,A-1,5,L1,1Q24\nKB-39,A-1,1,L2,2Q24\n", came{Changed: 2}, heap{"KB-39 A-1 L1 2024-Q1": 5, "KB-39 A-1 L2 2024-Q2": 1}},
		{"number,bin,amount,batch\nKB-39,A-1,4,L1\nKB-39,A-1,1,L2\n", came{Changed: 1, Unchanged: 1}, heap{"KB-39 A-1 L1 2024-Q1": 4, "KB-39 A-1 L2 2024-Q2": 1}},
		{"number,bin,amount,batch\nKB-39,A-1,4,L1\n", came{Rejected: []rejected{{2, "lot", "shop.import.unnamed"}}}, heap{"KB-39 A-1 L1 2024-Q1": 4, "KB-39 A-1 L2 2024-Q2": 1}},
		{"number,bin,amount,batch\nKB-39,A-2,3,L1\n", came{Changed: 1}, heap{"KB-39 A-1 L1 2024-Q1": 4, "KB-39 A-1 L2 2024-Q2": 1, "KB-39 A-2 L1 2024-Q1": 3}},
		{"number,bin,amount,batch,cure\nW-10,A-1,3,B1,2024-99\n", came{Changed: 1, Rejected: []rejected{{2, "cure", "catalog.bad_cure"}}}, heap{"KB-39 A-1 L1 2024-Q1": 4, "KB-39 A-1 L2 2024-Q2": 1, "KB-39 A-2 L1 2024-Q1": 3, "W-10 A-1 B1": 3}},
		{"number,bin,amount,batch,cure\nW-10,A-1,3,B1,2024-09\n", came{Changed: 1}, heap{"KB-39 A-1 L1 2024-Q1": 4, "KB-39 A-1 L2 2024-Q2": 1, "KB-39 A-2 L1 2024-Q1": 3, "W-10 A-1 B1 2024-09": 3}},
	} {
		c.now = c.now.Add(time.Hour)
		if diff := cmp.Diff(take(t, s, shop.ImportRequest{}, tt.text), tt.want); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
		if diff := cmp.Diff(lying(t, s), tt.lots); diff != "" {
			t.Errorf("%d: %q (-got +want)\n%s", i, tt.text, diff)
		}
	}
	out, err := s.Import(t.Context(), shop.ImportRequest{DryRun: true, Files: []string{file(t, "list.csv", "number,bin,amount,batch\nKB-39,A-1,4,L1\n")}})
	if err != nil || len(out.Rejected) != 1 {
		t.Fatalf("%+v, %v", out, err)
	}
	if got := words.For("de").Text(out.Rejected[0].Why); !strings.Contains(got, "Los 2 (Charge L2)") {
		t.Errorf("the lot is not named with its batch: %s", got)
	}
}
