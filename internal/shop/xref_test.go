package shop_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

var sealSize = measure.Size{Inner: 39000, Outer: 52000, Height: 11000}

// seals adds oil seals of one size, MAKER/NUMBER each, and opens their stock:
// "Tolmek/A 4" has 4 pieces worth 100 each.
func seals(t *testing.T, s *shop.Shop, names ...string) {
	t.Helper()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		bin, err := inventory.BinNamed(ctx, tx, inventory.Intake)
		if err != nil {
			return err
		}
		for _, name := range names {
			var amount int64
			name, count, stocked := strings.Cut(name, " ")
			maker, number, _ := strings.Cut(name, "/")
			p, err := catalog.AddPart(ctx, tx, catalog.Part{Number: number, Maker: maker, Role: catalog.OilSeal, Unit: catalog.Piece, Size: sealSize})
			if err != nil || !stocked {
				return err
			}
			if _, err := fmt.Sscan(count, &amount); err != nil {
				return err
			}
			lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID, Batch: "B" + number})
			if err != nil {
				return err
			}
			if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: person(ctx, t, tx)}, []inventory.Flow{
				{Part: p.ID, Lot: lot.ID, To: bin.ID, Amount: amount, Value: inventory.Value{Minor: 100 * amount, Known: true}},
			}); err != nil {
				return err
			}
		}
		return nil
	})
}

func replaced(t *testing.T, s *shop.Shop, old, by string, both bool) {
	t.Helper()
	if _, err := s.AddReplacement(t.Context(), old, by, shop.ReplacementFacts{BothWays: &both}); err != nil {
		t.Fatal(err)
	}
}

// What was used of the old number is ordered under the current one. What lies
// there of the old one counts only where it does for the current one.
func TestReorderCurrentNumber(t *testing.T) {
	for _, tt := range []struct {
		name string
		both bool
		kept bool // the shop has the current number as a part
		want string
	}{
		{"one way, kept", false, true, "NEW replaces [Tolmek/OLD] on hand 0"},
		{"both ways, kept", true, true, "NEW replaces [Tolmek/OLD] on hand 20"},
		{"one way, not kept", false, false, "NEW replaces [Tolmek/OLD] on hand 0"},
		{"both ways, not kept", true, false, "NEW replaces [Tolmek/OLD] on hand 20"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s, c := newShop(t)
			seals(t, s, "Tolmek/OLD 100")
			if tt.kept {
				seals(t, s, "Tolmek/NEW")
			}
			for range 40 {
				c.now = c.now.AddDate(0, 0, 7)
				if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "OLD", Amount: 2}); err != nil {
					t.Fatal(err)
				}
			}
			before, err := s.Reorder(t.Context(), shop.ReorderRequest{})
			if err != nil || len(before.Orders) != 0 {
				t.Fatalf("20 are there, and yet %+v, %v", before.Orders, err)
			}
			replaced(t, s, "OLD", "Tolmek/NEW", tt.both)
			least := int64(30)
			if _, err := s.ChangePart(t.Context(), "OLD", shop.PartFacts{Minimum: &least}); err != nil {
				t.Fatal(err)
			}
			out, err := s.Reorder(t.Context(), shop.ReorderRequest{})
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, o := range out.Orders {
				for _, l := range o.Lines {
					got = append(got, fmt.Sprintf("%s replaces %v on hand %d", l.Number, l.Replaces, l.OnHand))
					if l.Amount < 10 {
						t.Errorf("%d ordered: the minimum of the old one is not kept", l.Amount)
					}
				}
			}
			if diff := cmp.Diff(got, []string{tt.want}); diff != "" {
				t.Errorf("(-got +want)\n%s", diff)
			}
		})
	}
}

// The fork offers old stock first where it is marked for it, and does not count
// it elsewhere; what is to be bought is never an old number.
func TestForkOffersOldStock(t *testing.T) {
	s, _ := newShop(t)
	seals(t, s, "Tolmek/OLD 4")
	seals(t, s, "Tolmek/NEW 1")
	replaced(t, s, "OLD", "NEW", false)
	for _, name := range []string{"One", "Two"} {
		size := "39x52x11"
		if _, err := s.AddFork(t.Context(), name, shop.ForkFacts{Leg: "39", Layout: "conventional", Damping: "damper_rod"}); err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddPlace(t.Context(), shop.PlaceRequest{Fork: name, Role: "oil_seal", PlaceFacts: shop.PlaceFacts{SizeFacts: shop.SizeFacts{Size: &size}}}); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.AddUsable(t.Context(), "NEW", "Two", ""); fault.KindOf(err) != fault.Conflict {
		t.Errorf("a current part marked as usable = %v, want conflict", err)
	}
	if _, err := s.AddUsable(t.Context(), "OLD", "Two", "bench"); err != nil {
		t.Fatal(err)
	}
	see := func(fork string) string {
		f, err := s.Fork(t.Context(), shop.ForkQuery{Name: fork})
		if err != nil {
			t.Fatal(err)
		}
		p := f.Positions[0]
		return fmt.Sprintf("%s first, %s last, on hand %d, missing %d, buy %s", p.Parts[0].Number, p.Parts[1].Number, p.OnHand, p.Missing, p.Buy().Number)
	}
	if got, want := see("One"), "NEW first, OLD last, on hand 1, missing 1, buy NEW"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if got, want := see("Two"), "OLD first, NEW last, on hand 5, missing 0, buy NEW"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "OLD", Amount: 4}); err != nil {
		t.Fatal(err)
	}
	if got, want := see("Two"), "NEW first, OLD last, on hand 1, missing 1, buy NEW"; got != want {
		t.Errorf("with none left got %s, want %s", got, want)
	}
	if _, err := s.DropUsable(t.Context(), "OLD", "Two"); err != nil {
		t.Fatal(err)
	}
	if _, err := s.DropUsable(t.Context(), "OLD", "Two"); fault.KindOf(err) != fault.Conflict {
		t.Errorf("taken back twice = %v, want conflict", err)
	}
	if page, err := s.PartPage(t.Context(), "OLD"); err != nil || len(page.Forks) != 0 {
		t.Errorf("an old version fits %v, %v", page.Forks, err)
	}
}

// The number itself first, then what replaced it, with the reason; an old one
// says that it is old.
func TestFindOldNumber(t *testing.T) {
	s, _ := newShop(t)
	seals(t, s, "Tolmek/12-345")
	seals(t, s, "Tolmek/99-1")
	since, reason := "2019", "new lip"
	if _, err := s.AddReplacement(t.Context(), "12-345", "99-1", shop.ReplacementFacts{Since: &since, Reason: &reason}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.AddNumber(t.Context(), "99-1", "Vaskuro/12-3456", ""); err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"12345":         "12-345 search.why_number, 99-1 search.why_replaces",
		"tolmek/12-345": "12-345 search.why_number, 99-1 search.why_replaces",
		"123456":        "99-1 search.why_other",
		"12-34":         "12-345 search.why_begins, 99-1 search.why_other",
		"12-3A5":        "",

		"Vaskuro/12-3456": "99-1 search.why_other",
	} {
		out, err := s.Find(t.Context(), text, 0)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, p := range out.Parts {
			why := p.Why
			if p.Number == "12-345" {
				if why.ID != "list.comma" || why.Args[1].(fault.Message).ID != "catalog.old_version" {
					t.Errorf("%q: %v does not say that it is old", text, why)
					continue
				}
				why = why.Args[0].(fault.Message)
			}
			got = append(got, p.Number+" "+why.ID)
		}
		if named := slices.ContainsFunc(out.Notes, func(m fault.Message) bool { return m.ID == "search.named" }); named != (want != "" && text != "12-34") {
			t.Errorf("%q is taken for a number: %v", text, named)
		}
		if diff := cmp.Diff(strings.Join(got, ", "), want); diff != "" {
			t.Errorf("%q (-got +want)\n%s", text, diff)
		}
	}
}
