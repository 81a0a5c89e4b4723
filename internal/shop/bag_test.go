package shop_test

import (
	"sync"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// Two people send forms for one bag at once: it is booked once, and the other is
// told. The same form twice counts once, whichever way it comes.
func TestBagBookedOnce(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	twoSeals(t, s)
	aside, err := s.KeepBag(ctx, shop.BagForm{Key: "form", Marking: "S-39", Bin: "INTAKE", Amount: 3})
	if err != nil || aside.State != "aside" {
		t.Fatalf("aside %+v, %v", aside, err)
	}
	if err := s.AddBin(ctx, "B-1", "shelf"); err != nil {
		t.Fatal(err)
	}
	book := func(key string, amount int64) (shop.Bag, error) {
		bin := map[bool]string{true: "B-1", false: "INTAKE"}[key == "b"] // one of the two says another bin
		return s.BookBag(ctx, shop.BagBooking{BagForm: shop.BagForm{Bag: aside.Bag, Key: key, Bin: bin, Amount: amount}, Part: "S-39"})
	}
	var wg sync.WaitGroup
	errs := make([]error, 4)
	for i, key := range []string{"a", "a", "b", "b"} {
		wg.Go(func() { _, errs[i] = book(key, 3) })
	}
	wg.Wait()
	refused := 0
	for _, err := range errs {
		if fault.KindOf(err) == fault.Conflict {
			refused++
		} else if err != nil {
			t.Error(err)
		}
	}
	if refused != 2 {
		t.Errorf("%d of four forms refused, want those of the one who came later: %v", refused, errs)
	}
	onHand := func(want int64) {
		t.Helper()
		p, err := s.PartPage(ctx, "S-39")
		if err != nil || p.OnHand != want {
			t.Errorf("%d on hand, %v, want %d", p.OnHand, err, want)
		}
	}
	onHand(3)
	if _, err := book("c", 5); fault.KindOf(err) != fault.Conflict {
		t.Errorf("booked again: %v", err)
	}
	// Taken back it is aside, an old form books nothing, and a new one does.
	if b, err := s.UnbookBag(ctx, aside.Bag); err != nil || b.State != "aside" {
		t.Fatalf("taken back: %+v, %v", b, err)
	}
	onHand(0)
	old := "a"
	if errs[0] != nil {
		old = "b"
	}
	if b, err := book(old, 3); err != nil || !b.Repeated {
		t.Errorf("an old form: %+v, %v", b, err)
	}
	onHand(0)
	if _, err := book(old, 4); fault.KindOf(err) != fault.Conflict {
		t.Errorf("an old form with another count: %v", err)
	}
	if b, err := book("d", 4); err != nil || b.State != "booked" || b.Text == "" {
		t.Errorf("a new form: %+v, %v", b, err)
	}
	onHand(4)
}

// A bag that is found when the lot without a delivery is used up lies on the
// shelf since its own day; taken back and booked again, since that day still.
func TestBagOfAnUsedUpLot(t *testing.T) {
	s, c := newShop(t)
	ctx := t.Context()
	twoSeals(t, s)
	day := func(want string) {
		t.Helper()
		p, err := s.PartPage(ctx, "S-39")
		if err != nil || len(p.Lines) != 1 || p.Lines[0].Since != want {
			t.Errorf("%+v, %v, want one lot since %s", p.Lines, err, want)
		}
	}
	book := func() shop.Bag {
		t.Helper()
		b, err := s.BookBag(ctx, shop.BagBooking{BagForm: shop.BagForm{Bin: "INTAKE", Amount: 3}, Part: "S-39", Another: true})
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	book()
	c.now = c.now.AddDate(0, 0, 10)
	book() // beside it: what is there keeps its day
	day("2026-01-05")
	if _, err := s.Move(ctx, shop.MoveRequest{Kind: inventory.Issue, Part: "S-39", Amount: 6}); err != nil {
		t.Fatal(err)
	}
	c.now = c.now.AddDate(0, 0, 10)
	last := book()
	day("2026-01-25")
	c.now = c.now.AddDate(0, 0, 10)
	if _, err := s.UnbookBag(ctx, last.Bag); err != nil {
		t.Fatal(err)
	}
	book()
	day("2026-01-25")
}

// Each bag has a label of its own, with the bin that it lies in; a sheet that was
// printed can be had again, and what waits is not on it twice.
func TestBagLabels(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	twoSeals(t, s)
	for _, bin := range []string{"A-1", "B-1"} {
		if err := s.AddBin(ctx, bin, "shelf"); err != nil {
			t.Fatal(err)
		}
		q := shop.BagBooking{BagForm: shop.BagForm{Key: "k" + bin, Bin: bin, Amount: 2}, Part: "S-39"}
		if _, err := s.BookBag(ctx, q); err != nil {
			t.Fatal(err)
		}
	}
	stamp, err := s.PrintBags(ctx, 0)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		got, err := s.BagLabels(ctx, shop.LabelSheet{}, stamp)
		if err != nil || len(got.Labels) != 2 {
			t.Fatalf("labels %+v, %v", got.Labels, err)
		}
		if a, b := got.Labels[0], got.Labels[1]; a.Bin != "A-1" || b.Bin != "B-1" || a.Code != b.Code || a.Code == "" {
			t.Errorf("labels %+v", got.Labels)
		}
	}
	if _, err := s.PrintBags(ctx, 0); fault.KindOf(err) != fault.NotFound {
		t.Errorf("none waits: %v", err)
	}
}
