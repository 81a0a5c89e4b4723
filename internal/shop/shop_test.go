package shop_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// clock is a clock that a test sets.
type clock struct{ now time.Time }

func (c *clock) read() time.Time { return c.now }

// newShop makes a shop in Vienna, whose clock the test sets.
func newShop(t *testing.T) (*shop.Shop, *clock) {
	t.Helper()
	c := &clock{time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}
	dir := filepath.Join(t.TempDir(), "shop")
	opt := shop.Options{Clock: c.read}
	err := shop.Init(t.Context(), dir, shop.Settings{Zone: "Europe/Vienna", Currency: "EUR", Language: "en", Person: "Mika"}, opt)
	if err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s, c
}

// load fills the shop.
func load(t *testing.T, s *shop.Shop, f func(context.Context, *store.Tx) error) {
	t.Helper()
	err := s.Load(t.Context(), func(ctx context.Context, tx *store.Tx, _ shop.Actor) error { return f(ctx, tx) })
	if err != nil {
		t.Fatal(err)
	}
}

func addPart(ctx context.Context, tx *store.Tx, number string, role catalog.Role, size measure.Size) (catalog.Part, error) {
	return catalog.AddPart(ctx, tx, catalog.Part{Number: number, Maker: "Tolmek", Role: role, Unit: catalog.Piece, Size: size})
}

var washerSize = measure.Size{Inner: 10000, Outer: 16000, Height: 1500}

// Two places that take the same part share what is there: 3 washers are
// enough for one of two places that need 2 each, and lack 1 at the other.
func TestForkSharesPieces(t *testing.T) {
	s, _ := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := addPart(ctx, tx, "W-10", catalog.BottomWasher, washerSize)
		if err != nil {
			return err
		}
		f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "Corva 39", Layout: "conventional", Leg: 39000, Legs: []catalog.Leg{
			{Leg: "left", Damping: "damper_rod", Springing: "coil"}, {Leg: "right", Damping: "none", Springing: "air"},
		}})
		if err != nil {
			return err
		}
		for i, fitted := range []string{"yes", "yes", "unknown", "no"} {
			if _, err := catalog.AddPosition(ctx, tx, f.ID, catalog.Position{
				Seq: i + 1, Role: catalog.BottomWasher, Leg: "both", PerLeg: 1, Renew: "opened", Fitted: fitted, Size: washerSize,
			}); err != nil {
				return err
			}
		}
		return catalog.LinkCode(ctx, tx, catalog.Link{Code: "W", Part: p.ID, Pieces: 3}, person(ctx, t, tx), false)
	})
	receive(t, s, "W")
	f, err := s.Fork(t.Context(), shop.ForkQuery{Name: "corva39"})
	if err != nil {
		t.Fatal(err)
	}
	var missing []int64
	for _, p := range f.Positions {
		missing = append(missing, p.Missing)
	}
	if diff := cmp.Diff(missing, []int64{0, 1, 0, 0}); diff != "" || f.Missing != 1 {
		t.Errorf("missing %d (-got +want)\n%s", f.Missing, diff)
	}
	var ids []string
	for _, c := range f.Cautions {
		ids = append(ids, c.ID)
	}
	said := strings.Join(ids, " ")
	for id, want := range map[string]bool{"caution.air": true, "caution.spring": true, "caution.cartridge": false, "caution.manual": true} {
		if strings.Contains(said, id) != want {
			t.Errorf("%s shown: %v, want %v", id, !want, want)
		}
	}
}

func person(ctx context.Context, t *testing.T, tx *store.Tx) (id string) {
	t.Helper()
	if _, err := tx.One(ctx, store.Into(&id), `SELECT id FROM person ORDER BY id`); err != nil {
		t.Fatal(err)
	}
	return id
}

func receive(t *testing.T, s *shop.Shop, lines ...string) shop.Received {
	t.Helper()
	out, err := s.Receive(t.Context(), shop.Intake{Lines: strings.NewReader(strings.Join(lines, "\n"))})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Which supplier and how many packs: 6 washers wanted at least. Ten for 2.00
// are cheaper than six at 0.40 each; without a price nobody is preferred to
// one with.
func TestReorderChoosesThePack(t *testing.T) {
	s, c := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "W-10", Maker: "Tolmek", Role: catalog.BottomWasher, Unit: catalog.Piece, Minimum: 6})
		if err != nil {
			return err
		}
		lone := catalog.Part{Number: "L-1", Maker: "Tolmek", Role: catalog.Clip, Unit: catalog.Piece, Minimum: 1}
		if _, err := catalog.AddPart(ctx, tx, lone); err != nil {
			return err
		}
		for _, o := range []struct {
			name  string
			days  int
			pack  int64
			price int64
		}{{"Dear", 2, 1, 40}, {"Cheap", 5, 10, 200}, {"Silent", 1, 1, -1}} {
			sup, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: o.name, LeadDays: o.days})
			if err != nil {
				return err
			}
			if _, err := catalog.AddItem(ctx, tx, catalog.Item{
				Supplier: sup.ID, Number: o.name + "-1", Part: p.ID, Pack: o.pack, PackPriceMinor: max(o.price, 0), Priced: o.price >= 0,
			}); err != nil {
				return err
			}
		}
		return nil
	})
	c.now = time.Date(2026, 12, 31, 23, 30, 0, 0, time.UTC) // half past midnight of 2027-01-01 in Vienna
	out, err := s.Reorder(t.Context(), shop.ReorderRequest{})
	if err != nil {
		t.Fatal(err)
	}
	// ISO 8601: 1 January 2027 is a Friday, and belongs to week 53 of 2026.
	if out.Week != "2026-W53" || out.AsOf != "2027-01-01" {
		t.Errorf("week %s, as of %s", out.Week, out.AsOf)
	}
	type line struct {
		Supplier, Number string
		Amount, Packs    int64
	}
	var got []line
	for _, o := range out.Orders {
		for _, l := range o.Lines {
			got = append(got, line{o.Supplier, l.Number, l.Amount, l.Packs})
		}
	}
	want := []line{{"Cheap", "W-10", 10, 1}, {"", "L-1", 1, 1}}
	if diff := cmp.Diff(got, want); diff != "" || out.Total != 200 || out.Unpriced != 1 {
		t.Errorf("total %d, unpriced %d (-got +want)\n%s", out.Total, out.Unpriced, diff)
	}
}

// The day of a delivery is the shop's, not Greenwich's.
func TestDeliveryOfTheDay(t *testing.T) {
	s, c := newShop(t)
	c.now = time.Date(2026, 6, 30, 22, 30, 0, 0, time.UTC)
	if out := receive(t, s, "X"); out.Delivery != "2026-07-01" {
		t.Errorf("delivery %s, want 2026-07-01", out.Delivery)
	}
}

func TestSettings(t *testing.T) {
	s, _ := newShop(t)
	for _, tt := range []struct {
		change shop.Change
		want   fault.Kind
	}{
		{shop.Change{Zone: "Mars/Base"}, fault.Invalid},
		{shop.Change{Currency: "eur"}, fault.Invalid},
		{shop.Change{Language: "tlh"}, fault.Invalid},
		{shop.Change{Currency: "CHF", Language: "de", Zone: "UTC"}, ""},
	} {
		if _, err := s.SetSettings(t.Context(), tt.change); fault.KindOf(err) != tt.want {
			t.Errorf("SetSettings(%+v) = %v, want %q", tt.change, err, tt.want)
		}
	}
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		sup, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: "A"})
		if err != nil {
			return err
		}
		_, err = catalog.AddItem(ctx, tx, catalog.Item{Supplier: sup.ID, Number: "1", Pack: 1, PackPriceMinor: 5, Priced: true})
		return err
	})
	if _, err := s.SetSettings(t.Context(), shop.Change{Currency: "USD"}); fault.KindOf(err) != fault.Conflict {
		t.Errorf("another currency under prices that are there = %v, want conflict", err)
	}
}

// Remove takes what is the shop's, and nothing else.
func TestRemove(t *testing.T) {
	dir := t.TempDir()
	err := shop.Init(t.Context(), dir, shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Mika"}, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	mine := filepath.Join(dir, "letter.txt")
	if err := os.WriteFile(mine, []byte("keep"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := shop.Remove(t.Context(), dir); err != nil {
		t.Fatal(err)
	}
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	if diff := cmp.Diff(left, []string{mine}); diff != "" || err != nil {
		t.Errorf("left (-got +want)\n%s", diff)
	}
}

// A search finds what was committed a moment ago, by number and by word, in
// the process that has the index and in one that has not.
func TestFindIsUpToDate(t *testing.T) {
	s, _ := newShop(t)
	for i, number := range []string{"AA-1", "AA-2"} {
		load(t, s, func(ctx context.Context, tx *store.Tx) error {
			_, err := catalog.AddPart(ctx, tx, catalog.Part{Number: number, Maker: "Tolmek", Role: catalog.Clip, Unit: catalog.Piece, Description: "wavy springring"})
			return err
		})
		for _, text := range []string{"aa", "wavy", "wavi"} {
			out, err := s.Find(t.Context(), text, 0)
			if err != nil || out.Total != i+1 {
				t.Errorf("Find(%q) = %d parts, %v, want %d", text, out.Total, err, i+1)
			}
		}
	}
	if _, err := s.Find(t.Context(), "", 0); fault.KindOf(err) != fault.Invalid {
		t.Errorf("Find of nothing = %v, want invalid", err)
	}
}

// What the book lacks but the hand holds is posted as found, then taken; the
// key covers both.
func TestFoundIsPostedFirst(t *testing.T) {
	s, _ := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := addPart(ctx, tx, "W-10", catalog.BottomWasher, washerSize)
		return err
	})
	q := shop.MoveRequest{Kind: inventory.Issue, Part: "W-10", Amount: 2, Key: "k"}
	if _, err := s.Move(t.Context(), q); fault.KindOf(err) != fault.Short {
		t.Fatalf("issue of nothing = %v, want short", err)
	}
	q.Found = true
	for i := range 2 {
		out, err := s.Move(t.Context(), q)
		if err != nil || out.Repeated != (i == 1) || out.Found != 2 {
			t.Fatalf("issue %d = %+v, %v", i, out, err)
		}
	}
	ledger, err := s.Ledger(t.Context(), shop.LedgerRequest{Part: "W-10"})
	var got []string
	for _, m := range ledger.Movements {
		got = append(got, m.Kind)
	}
	if diff := cmp.Diff(got, []string{"found", "issue"}); diff != "" || err != nil {
		t.Errorf("ledger %v (-got +want)\n%s", err, diff)
	}
}
