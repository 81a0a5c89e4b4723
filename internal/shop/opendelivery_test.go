package shop_test

import (
	"bytes"
	"context"
	"fmt"
	"image/png"
	"sync"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// ordered is a shop with an order for two seals of a job and one to another
// supplier, and an open delivery for the first.
func ordered(t *testing.T) *shop.Shop {
	t.Helper()
	s, _ := newShop(t)
	size := measure.Size{Inner: 39000, Outer: 52000, Height: 11000}
	err := s.Load(t.Context(), func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		if _, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: "A-01-1", Kind: "shelf"}); err != nil {
			return err
		}
		for _, p := range []struct {
			supplier, number string
			role             catalog.Role
			size             measure.Size
		}{
			{"Halm", "KB-39", catalog.OilSeal, size},
			{"Nordal", "CW-10", catalog.BottomWasher, washerSize},
			{"", "KB-40", catalog.OilSeal, size},
			{"", "KB-41", catalog.OilSeal, measure.Size{Inner: 39000, Outer: 52000, Height: 14000}},
		} {
			part, err := addPart(ctx, tx, p.number, p.role, p.size)
			if err != nil {
				return err
			}
			if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: "C" + p.number, Part: part.ID, Pieces: 1}, who.ID, false); err != nil {
				return err
			}
			if p.supplier == "" {
				continue
			}
			v, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: p.supplier, LeadDays: 1})
			if err != nil {
				return err
			}
			item := catalog.Item{Supplier: v.ID, Number: "1", Part: part.ID, Pack: 2, PackPriceMinor: 1000, Priced: true}
			if _, err := catalog.AddItem(ctx, tx, item); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for supplier, part := range map[string]string{"Halm": "KB-39", "Nordal": "CW-10"} {
		o, err := s.OrderPart(t.Context(), supplier, shop.LineRequest{Part: part, Packs: 1, Job: "12"})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.PlaceOrder(t.Context(), o.Code, "", ""); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.BeginDelivery(t.Context(), shop.BeginRequest{Name: "crate", Orders: []string{orderTo(t, s, "Halm")}}); err != nil {
		t.Fatal(err)
	}
	return s
}

// orderTo gives the code of the order to a supplier.
func orderTo(t *testing.T, s *shop.Shop, supplier string) string {
	t.Helper()
	all, err := s.Orders(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range all.Orders {
		if o.Supplier == supplier {
			return o.Code
		}
	}
	t.Fatalf("no order to %s", supplier)
	return ""
}

func scanned(t *testing.T, s *shop.Shop, n int, text, bin string) shop.ScannedInto {
	t.Helper()
	out, err := s.ScanInto(t.Context(), shop.ScanRequest{Delivery: "crate", Session: "phone", Number: n, Text: text, Bin: bin})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// lineOf gives the line of a part.
func lineOf(t *testing.T, s *shop.Shop, number string) shop.DeliveryLine {
	t.Helper()
	d, err := s.OpenDelivery(t.Context(), "crate")
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range d.Lines {
		if l.Number == number {
			return l
		}
	}
	t.Fatalf("no line of %s in %+v", number, d.Lines)
	return shop.DeliveryLine{}
}

// The code of another order adds what that one expects, and the delivery is of
// no one supplier then; one that was not placed, or that nobody knows, is
// refused. The label of a bin says where the next goes.
func TestScanOrderAndBin(t *testing.T) {
	s := ordered(t)
	if d, _ := s.OpenDelivery(t.Context(), "crate"); d.Supplier != "Halm" {
		t.Errorf("the delivery is from %q, want Halm", d.Supplier)
	}
	if out := scanned(t, s, 1, orderTo(t, s, "Nordal"), ""); out.Order == 0 {
		t.Errorf("the code of an order was taken for %+v", out)
	}
	if d, _ := s.OpenDelivery(t.Context(), "crate"); d.Supplier != "" || len(d.Orders) != 2 || len(d.Lines) != 2 {
		t.Errorf("for two orders: from %q, orders %v, %d lines", d.Supplier, d.Orders, len(d.Lines))
	}
	if _, err := s.ScanInto(t.Context(), shop.ScanRequest{Delivery: "crate", Session: "phone", Number: 2, Text: "ORDER-9-3"}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("an order that nobody placed: %v", err)
	}
	var label string
	err := s.Load(t.Context(), func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		b, err := inventory.BinNamed(ctx, tx, "A-01-1")
		if err != nil {
			return err
		}
		label, err = inventory.NumberBin(ctx, tx, b.ID, who.ID)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if out := scanned(t, s, 3, label, ""); out.Bin != "A-01-1" {
		t.Fatalf("the label of a bin was taken for %+v", out)
	}
	scanned(t, s, 4, "CCW-10", "A-01-1")
	if _, err := s.FinishDelivery(t.Context(), "crate"); err != nil {
		t.Fatal(err)
	}
	away, err := s.PutAway(t.Context(), "crate")
	if err != nil || len(away.Lines) != 1 || away.Lines[0].Bin != "A-01-1" || away.Lines[0].Job != "12" {
		t.Errorf("put away: %+v, %v; want one washer for job 12 in A-01-1", away.Lines, err)
	}
}

// A seal of the same size does for the one that was ordered, a taller body does
// not cover the same groove: common practice, no source. What was sent instead
// fills the line, names its job, and its cost is not known.
func TestSentInstead(t *testing.T) {
	s := ordered(t)
	for came, want := range map[string]catalog.Verdict{"KB-40": catalog.Fits, "KB-41": catalog.No, "CW-10": catalog.No} {
		got, err := s.Substitute(t.Context(), came, "KB-39")
		if err != nil || got.Verdict != want {
			t.Errorf("%s for KB-39: %s %v, %v; want %s", came, got.Verdict, got.Why, err, want)
		}
	}
	scanned(t, s, 1, "CKB-40", "")
	scanned(t, s, 2, "CKB-40", "")
	scanned(t, s, 3, "CKB-40", "")
	if l := lineOf(t, s, "KB-40"); l.State != shop.LineNotOrdered {
		t.Errorf("before it was said: %s", l.State)
	}
	say := func(amount int64, key string) {
		t.Helper()
		q := shop.RemarkRequest{Delivery: "crate", Part: "KB-40", Ordered: "KB-39", Kind: inventory.RemarkInstead, Amount: amount, Key: key}
		if _, err := s.Remark(t.Context(), q); err != nil {
			t.Fatal(err)
		}
	}
	say(1, "a")
	if l := lineOf(t, s, "KB-39"); l.State != shop.LineComplete || len(l.Instead) != 1 || l.Instead[0].Amount != 2 {
		t.Errorf("the ordered seal: %+v, want complete by two of the other", l)
	}
	if l := lineOf(t, s, "KB-40"); l.Over != 1 || l.InsteadOf != "Tolmek/KB-39" {
		t.Errorf("the other seal: %+v, want one too many", l)
	}
	say(0, "b")
	if l := lineOf(t, s, "KB-39"); l.State != shop.LineMissing {
		t.Errorf("taken back: %s", l.State)
	}
	say(1, "c")
	if _, err := s.FinishDelivery(t.Context(), "crate"); err != nil {
		t.Fatal(err)
	}
	if l := lineOf(t, s, "KB-39"); l.State != shop.LineComplete || l.Expected != 2 {
		t.Errorf("finished, the ordered seal: %+v", l)
	}
	o, err := s.Order(t.Context(), orderTo(t, s, "Halm"))
	if err != nil || o.State != "closed" {
		t.Errorf("the order is %s, %v; want closed", o.State, err)
	}
	worth, err := s.Worth(t.Context(), "", false)
	if err != nil || len(worth.Lines) != 1 || worth.Lines[0].Unknown != 3 {
		t.Errorf("worth %+v, %v; want 3 seals without a cost", worth.Lines, err)
	}
}

// Eight phones scan into one delivery at once: every scan counts once, though
// each is sent twice.
func TestManyPhones(t *testing.T) {
	s := ordered(t)
	const phones, scans = 8, 12
	var all sync.WaitGroup
	for phone := range phones {
		all.Go(func() {
			for n := range scans {
				for range 2 {
					q := shop.ScanRequest{Delivery: "crate", Session: fmt.Sprint("phone", phone), Number: n + 1, Text: "CKB-39"}
					if _, err := s.ScanInto(t.Context(), q); err != nil {
						t.Error(err)
					}
				}
			}
		})
	}
	all.Wait()
	if l := lineOf(t, s, "KB-39"); l.All() != phones*scans || l.Expected != 2 {
		t.Errorf("%d of %d counted, want %d of 2", l.All(), l.Expected, phones*scans)
	}
}

// A photograph that comes into an open delivery is counted like any scan, the
// same again adds nothing, and a code that nobody knows shows what it looked
// like.
func TestPictureIntoOpenDelivery(t *testing.T) {
	s := ordered(t)
	pic, err := scanner.Draw(scanner.EAN13, "9521016150103", 3, 90) // 952: GS1 prefix for demonstrations
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, pic); err != nil {
		t.Fatal(err)
	}
	for n := range 2 {
		in := shop.Intake{Delivery: "crate", Pictures: []shop.Picture{{Name: "bag.png", Data: b.Bytes()}}}
		got, err := s.Receive(t.Context(), in)
		if err != nil || len(got.Symbols) != 1 || got.Repeated != n || len(got.Lines) != 0 {
			t.Fatalf("time %d: %+v, %v", n+1, got, err)
		}
	}
	d, err := s.OpenDelivery(t.Context(), "crate")
	if err != nil || len(d.Unknown) != 1 || d.Unknown[0].Look == 0 || d.Unknown[0].Count != 1 || len(d.Pictures) != 1 {
		t.Fatalf("unknown %+v, pictures %+v, %v", d.Unknown, d.Pictures, err)
	}
	if _, err := s.Link(t.Context(), shop.LinkRequest{Code: "9521016150103", Part: "KB-39", Pieces: 2}); err != nil {
		t.Fatal(err)
	}
	if l := lineOf(t, s, "KB-39"); l.State != shop.LineComplete {
		t.Errorf("said what it is: %s", l.State)
	}
}
