package shop_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Two records of one part, and everything that can point at one.
const (
	keptName = "Tolmek/KB-390"
	goneName = "Tolmek/KB-39O"
)

func twoRecords(t *testing.T) *shop.Shop {
	t.Helper()
	s, c := newShop(t)
	seals(t, s, keptName+" 4")
	seals(t, s, goneName+" 6")
	seals(t, s, "Tolmek/KB-39o-1")
	step := func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	ctx := t.Context()
	step(nil, s.AddBin(ctx, "A-01-1", "shelf"))
	step(s.Move(ctx, shop.MoveRequest{Kind: inventory.Move, Part: goneName, Amount: 2, Bin: "INTAKE", To: "A-01-1"}))
	step(s.AddSupplier(ctx, shop.Supplier{Supplier: "Halm", LeadDays: 2}))
	step(s.AddOffer(ctx, "Halm", "H-1", goneName, shop.OfferFacts{}))
	step(s.AddNumber(ctx, goneName, "Vaskuro/V-1", "list"))
	bin, elastomer, least := "A-01-1", "NBR", int64(3)
	step(s.ChangePart(ctx, goneName, shop.PartFacts{Bin: &bin, Elastomer: &elastomer, Minimum: &least}))
	replaced(t, s, keptName, "Tolmek/KB-40", false)
	for _, fork := range []string{"One", "Two"} {
		step(s.AddFork(ctx, fork, shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}))
		parts := []string{goneName}
		if fork == "Two" {
			parts = append(parts, keptName)
		}
		step(s.AddPlace(ctx, shop.PlaceRequest{Fork: fork, Role: "oil_seal", PlaceFacts: shop.PlaceFacts{Parts: parts}}))
	}
	step(s.AddUsable(ctx, keptName, "Two", "bench"))
	step(s.Merge(ctx, goneName, "Tolmek/KB-39o-1", "counted twice"))
	load(t, s, func(ctx context.Context, tx *store.Tx) error { return pointAtGone(ctx, t, tx) })
	c.now = c.now.AddDate(0, 1, 0)
	return s
}

// pointAtGone adds what no use case of this test adds: a kit, past jobs, codes,
// usable stock, pieces of unknown value in a lot that both records have.
func pointAtGone(ctx context.Context, t *testing.T, tx *store.Tx) error {
	kept, err := catalog.PartNamed(ctx, tx, keptName)
	if err != nil {
		return err
	}
	gone, err := catalog.PartNamed(ctx, tx, goneName)
	if err != nil {
		return err
	}
	kit, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "K", Maker: "Tolmek", Role: catalog.Kit, Unit: catalog.Piece})
	if err != nil {
		return err
	}
	who := person(ctx, t, tx)
	bin, err := inventory.BinNamed(ctx, tx, inventory.Intake)
	if err != nil {
		return err
	}
	for i, p := range []catalog.Part{kept, gone} {
		lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID, Batch: "same", UseBy: "2031-01-01"})
		if err != nil {
			return err
		}
		if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Receive, Person: who}, []inventory.Flow{
			{Part: p.ID, Lot: lot.ID, To: bin.ID, Amount: 3, Value: inventory.Value{Minor: 700, Known: i == 0}},
		}); err != nil {
			return err
		}
	}
	_, err = tx.Exec(ctx, `INSERT INTO past_use (id, job, day, part, amount) VALUES ('1', 'j1', '2025-01-01', $1, 2),
		('2', 'j2', '2025-01-01', $1, 2), ('3', 'j2', '2025-01-01', $2, 1)`, gone.ID, kept.ID)
	return errors.Join(err,
		catalog.SetContents(ctx, tx, kit, []catalog.Content{{Part: gone, Pieces: 2}}),
		catalog.LinkCode(ctx, tx, catalog.Link{Code: "C-1", Part: gone.ID, Pieces: 1}, who, false),
		catalog.LinkCode(ctx, tx, catalog.Link{Code: "C-2", Part: gone.ID, Pieces: 10}, who, false),
		useAnyway(ctx, tx, gone.ID),
	)
}

func useAnyway(ctx context.Context, tx *store.Tx, part string) error {
	for _, name := range []string{"One", "Two"} {
		f, err := catalog.ForkNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if err := catalog.AddUsable(ctx, tx, part, f.ID, catalog.Told{Source: "told"}); err != nil {
			return err
		}
	}
	return nil
}

// everything is every row of the shop but the ledger's history and what counts up;
// of codes what they stand for now, of stock what is there.
func everything(t *testing.T, s *shop.Shop) map[string][]string {
	t.Helper()
	all := map[string][]string{}
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		list := func(query string, args ...any) (rows []string) {
			err := tx.Each(ctx, func(scan store.Scan) error {
				var row string
				err := scan(&row)
				rows = append(rows, row)
				return err
			}, query, args...)
			if err != nil {
				t.Fatal(err)
			}
			return rows
		}
		history := []string{"movement", "posting", "lot", "merge", "merge_moved", "change", "code_link"}
		for _, table := range list(`SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%'`) {
			if slices.Contains(history, table) {
				continue
			}
			where := map[string]string{"balance": ` WHERE amount <> 0`, "holding": ` WHERE known + unknown <> 0`}[table]
			columns := strings.Join(list(`SELECT name FROM pragma_table_info($1) ORDER BY cid`, table), ", ")
			all[table] = list(`SELECT json_array(` + columns + `) FROM ` + table + where + ` ORDER BY 1`)
		}
		links, err := catalog.Links(ctx, tx)
		for _, l := range links {
			all["links"] = append(all["links"], fmt.Sprint(l.Code, l.Part, l.Pieces))
		}
		return err
	})
	for _, kind := range []string{"parts", "codes", "stock"} {
		rows, err := s.Export(t.Context(), kind)
		if err != nil {
			t.Fatal(err)
		}
		all["export "+kind] = []string{fmt.Sprint(rows)}
	}
	return all
}

// clean looks through the books: what the catalog lacks is not asked here.
func clean(t *testing.T, s *shop.Shop) {
	t.Helper()
	out, err := s.Check(t.Context())
	for _, f := range out.Findings {
		if f.Kind == "file" || f.Kind == "books" {
			t.Errorf("check finds %v", f)
		}
	}
	if err != nil {
		t.Error(err)
	}
}

// worth gives what all that is there is worth.
func worth(t *testing.T, s *shop.Shop) (known, minor, unknown int64) {
	t.Helper()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.One(ctx, store.Into(&known, &minor, &unknown), `SELECT sum(known), sum(value_minor), sum(unknown) FROM holding`)
		return err
	})
	return known, minor, unknown
}

// Merging and undoing leaves everything as it was, but for the ledger, which
// tells of both.
func TestMergeAndUndo(t *testing.T) {
	for _, byPosting := range []bool{false, true} {
		s := twoRecords(t)
		before := everything(t, s)
		known, minor, unknown := worth(t, s)
		plan, err := s.MergeShow(t.Context(), keptName, goneName)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(everything(t, s), before); diff != "" {
			t.Errorf("showing it changes (-got +want)\n%s", diff)
		}
		out, err := s.Merge(t.Context(), keptName, goneName, "")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(kinds(out), kinds(plan)); diff != "" || out.State != "done" || !strings.Contains(out.Reason, "KB-390 = KB-39O") {
			t.Errorf("%s %q: done, and shown before (-got +want)\n%s", out.State, out.Reason, diff)
		}
		clean(t, s)
		if k, m, u := worth(t, s); k != known || m != minor || u != unknown {
			t.Errorf("worth %d %d %d, was %d %d %d", k, m, u, known, minor, unknown)
		}
		name := goneName
		if byPosting {
			ledger, err := s.Ledger(t.Context(), shop.LedgerRequest{})
			if err != nil {
				t.Fatal(err)
			}
			name = fmt.Sprint(ledger.Movements[len(ledger.Movements)-1].Seq)
			_, err = s.Undo(t.Context(), name, "", "")
			if err != nil {
				t.Fatal(err)
			}
			if _, err := s.Undo(t.Context(), name, "", ""); fault.KindOf(err) != fault.Conflict {
				t.Errorf("undone twice = %v, want conflict", err)
			}
			last := fmt.Sprint(ledger.Movements[len(ledger.Movements)-1].Seq + 1)
			if _, err := s.Undo(t.Context(), last, "", ""); fault.KindOf(err) != fault.Conflict {
				t.Errorf("the undo undone = %v, want conflict", err)
			}
		} else if out, err := s.Unmerge(t.Context(), name); err != nil || out.Used != 0 {
			t.Fatalf("undo = %d used, %v", out.Used, err)
		}
		clean(t, s)
		if diff := cmp.Diff(everything(t, s), before); diff != "" {
			t.Errorf("merged and undone (-got +want)\n%s", diff)
		}
		if list, err := s.MergeList(t.Context()); err != nil || len(list.Proposals) != 0 {
			t.Errorf("what was undone is proposed again: %v, %v", list.Proposals, err)
		}
		if _, err := s.Unmerge(t.Context(), out.Merge); fault.KindOf(err) != fault.Conflict {
			t.Errorf("undone again = %v, want conflict", err)
		}
	}
}

func kinds(m shop.Merged) (all []string) {
	for _, x := range m.Moves {
		all = append(all, fmt.Sprint(x.Kind, " ", x.Count))
	}
	return all
}

// What was merged is one part: its stock, codes, offers and numbers.
func TestMergedIsOne(t *testing.T) {
	s := twoRecords(t)
	out, err := s.Merge(t.Context(), keptName, goneName, "same bag")
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"stock 9", "code 2", "offer 1", "number 1", "place 1", "content 1", "usable 1", "past_use 1", "claim 5", "record 1", "fact 3",
	}
	got := slices.DeleteFunc(kinds(out), func(k string) bool { return strings.HasPrefix(k, "fit_claim") })
	for i, k := range got { // how many claims there are is another room's matter
		if strings.HasPrefix(k, "claim ") {
			got[i] = "claim 5"
		}
	}
	if diff := cmp.Diff(got, want); diff != "" {
		t.Errorf("moves (-got +want)\n%s", diff)
	}
	for _, name := range []string{"KB39O", goneName, "Vaskuro/V-1", "Tolmek/KB-39o-1"} {
		page, err := s.PartPage(t.Context(), name)
		if err != nil || page.Name() != keptName || page.OnHand != 16 {
			t.Errorf("%s is %s with %d, %v", name, page.Name(), page.OnHand, err)
		}
	}
	for _, text := range []string{"KB-39O", goneName, "V-1", "C-2", "H-1"} {
		found, err := s.Find(t.Context(), text, 0)
		if err != nil || len(found.Parts) == 0 || found.Parts[0].Name() != keptName {
			t.Errorf("find %s = %v, %v", text, found.Parts, err)
		}
		for _, p := range found.Parts {
			if p.Name() == goneName {
				t.Errorf("find %s shows the record that is gone", text)
			}
		}
	}
	page, err := s.PartPage(t.Context(), keptName)
	if err != nil || page.HomeBin != "A-01-1" || page.Elastomer != "NBR" || page.Minimum != 3 || len(page.Codes) != 2 || len(page.Kits) != 1 {
		t.Errorf("kept %+v, %v", page, err)
	}
	since := map[string]bool{}
	for _, l := range page.Lines {
		since[l.Since] = true
		if l.Number != "KB-390" {
			t.Errorf("%s lies there", l.Number)
		}
	}
	if !since["2026-01-05"] || len(since) != 1 {
		t.Errorf("on the shelf since %v", since)
	}
	// A seal that was taken under the old number can be put back; what was posted
	// of the record that is gone cannot be undone behind its back.
	ledger, err := s.Ledger(t.Context(), shop.LedgerRequest{Part: goneName})
	if err != nil || len(ledger.Movements) < 10 {
		t.Fatalf("ledger of both: %d, %v", len(ledger.Movements), err)
	}
	for _, m := range ledger.Movements {
		if m.Number == "KB-39O" && m.Kind == "opening" {
			if _, err := s.Undo(t.Context(), fmt.Sprint(m.Seq), "", ""); fault.KindOf(err) != fault.Conflict {
				t.Errorf("undo of a posting of the record that is gone = %v, want conflict", err)
			}
		}
	}
	clean(t, s)
}

// Undoing gives back what is left, wherever it lies; what was used stays used.
func TestUnmergeAfterUse(t *testing.T) {
	s := twoRecords(t)
	if _, err := s.Merge(t.Context(), keptName, goneName, ""); err != nil {
		t.Fatal(err)
	}
	_, minor, _ := worth(t, s)
	for _, q := range []shop.MoveRequest{
		{Kind: inventory.Move, Part: "KB390", Amount: 2, Bin: "A-01-1", To: "INTAKE"},
		{Kind: inventory.Issue, Part: "KB390", Amount: 14},
	} {
		if _, err := s.Move(t.Context(), q); err != nil {
			t.Fatal(err)
		}
	}
	_, left, _ := worth(t, s)
	out, err := s.Unmerge(t.Context(), goneName)
	if err != nil {
		t.Fatal(err)
	}
	_, after, _ := worth(t, s)
	if out.Kept.OnHand+out.Gone.OnHand != 2 || out.Used != 9-out.Gone.OnHand || after != left || left >= minor {
		t.Errorf("%d and %d are there, %d used, worth %d, was %d", out.Kept.OnHand, out.Gone.OnHand, out.Used, after, left)
	}
	clean(t, s)
}

func TestMergeRefuses(t *testing.T) {
	s, _ := newShop(t)
	seals(t, s, "Tolmek/A")
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		taller := sealSize
		taller.Height = 12000
		for _, p := range []catalog.Part{
			{Number: "TALL", Role: catalog.OilSeal, Size: taller},
			{Number: "WIPER", Role: catalog.Wiper, Size: sealSize},
			{Number: "CLIP", Role: catalog.Other},
			{Number: "GREASE", Role: catalog.Other, Unit: catalog.Millilitre},
			{Number: "NBR", Role: catalog.OilSeal, Elastomer: "NBR"},
			{Number: "FKM", Role: catalog.OilSeal, Elastomer: "FKM"},
			{Number: "OLD", Role: catalog.OilSeal},
			{Number: "NEW", Role: catalog.OilSeal},
			{Number: "OTHER", Role: catalog.OilSeal},
			{Number: "K1", Role: catalog.Kit},
			{Number: "K2", Role: catalog.Kit},
		} {
			p.Maker = "Tolmek"
			if p.Unit == "" {
				p.Unit = catalog.Piece
			}
			added, err := catalog.AddPart(ctx, tx, p)
			if err != nil {
				return err
			}
			if p.Role == catalog.Kit {
				seal, err := catalog.PartNamed(ctx, tx, "A")
				if err != nil {
					return err
				}
				if err := catalog.SetContents(ctx, tx, added, []catalog.Content{{Part: seal, Pieces: int64(len(p.Number)) + int64(p.Number[1]-'0')}}); err != nil {
					return err
				}
			}
		}
		return nil
	})
	replaced(t, s, "OLD", "Tolmek/MID", true)
	replaced(t, s, "Tolmek/MID", "NEW", false)
	replaced(t, s, "OTHER", "Tolmek/ELSE", false)
	for _, tt := range []struct {
		kept, gone, id string
	}{
		{"A", "a", "catalog.merge_itself"},
		{"A", "TALL", "catalog.merge_differs"},
		{"A", "WIPER", "catalog.merge_role"},
		{"CLIP", "GREASE", "catalog.merge_unit"},
		{"NBR", "FKM", "catalog.merge_differs"},
		{"OLD", "NEW", "catalog.merge_versions"},
		{"NEW", "OLD", "catalog.merge_versions"},
		{"OLD", "OTHER", "catalog.merge_apart"},
		{"K1", "K2", "catalog.merge_contents"},
	} {
		_, err := s.Merge(t.Context(), tt.kept, tt.gone, "")
		if e := fault.Of(err); e == nil || e.Kind != fault.Conflict || e.Message.ID != tt.id {
			t.Errorf("merge %s %s = %v, want %s", tt.kept, tt.gone, err, tt.id)
		}
	}
	if _, err := s.Unmerge(t.Context(), "A"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("undo of nothing = %v", err)
	}
}

// Merges on top of each other are undone from the top.
func TestMergeTwice(t *testing.T) {
	s, _ := newShop(t)
	for _, name := range []string{"Tolmek/A 1", "Tolmek/B 2", "Tolmek/C 3"} {
		seals(t, s, name)
	}
	before := everything(t, s)
	for _, pair := range [][2]string{{"B", "A"}, {"C", "B"}} {
		if _, err := s.Merge(t.Context(), pair[0], pair[1], ""); err != nil {
			t.Fatal(err)
		}
	}
	if page, err := s.PartPage(t.Context(), "A"); err != nil || page.Number != "C" || page.OnHand != 6 {
		t.Errorf("A is %s with %d, %v", page.Number, page.OnHand, err)
	}
	if _, err := s.Unmerge(t.Context(), "A"); fault.KindOf(err) != fault.Conflict {
		t.Errorf("undo of the first = %v, want conflict", err)
	}
	for _, name := range []string{"B", "A"} {
		if _, err := s.Unmerge(t.Context(), name); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(everything(t, s), before); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}

// Every table that points at a part is one that a merge knows of.
func TestMergeKnowsTheTables(t *testing.T) {
	known := []string{
		"bag",
		"balance",
		"brought",
		"code_link",
		"empty_bag",
		"holding",
		"kit_content",
		"lot",
		"merge",
		"movement",
		"other_number",
		"own_number",
		"part",
		"past_use",
		"position_part",
		"purchase_line",
		"remark",
		"scan",
		"set_aside",
		"still_usable",
		"supplier_claim",
		"supplier_item",
		"take_scan",
		"tally_line",
	}
	s, _ := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		var got []string
		err := tx.Each(ctx, func(scan store.Scan) error {
			var name string
			err := scan(&name)
			got = append(got, name)
			return err
		}, `SELECT DISTINCT m.name FROM sqlite_master m JOIN pragma_foreign_key_list(m.name) f WHERE f."table" = 'part' ORDER BY 1`)
		if diff := cmp.Diff(got, known); diff != "" {
			t.Errorf("point at parts: say in catalog/merged.go what a merge does with it (-got +want)\n%s", diff)
		}
		return err
	})
}
