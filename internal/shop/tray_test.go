package shop_test

import (
	"context"
	"slices"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// traying is a shop with eight washers W-10 on a shelf, two of them in the tray
// of job 7 and two more set aside for it.
func traying(t *testing.T) *shop.Shop {
	t.Helper()
	s, _ := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := addPart(ctx, tx, "W-10", catalog.BottomWasher, washerSize)
		if err != nil {
			return err
		}
		return catalog.LinkCode(ctx, tx, catalog.Link{Code: "W10", Part: p.ID, Pieces: 4}, person(ctx, t, tx), false)
	})
	receive(t, s, "W10", "W10")
	if _, err := s.FillTray(t.Context(), shop.FillRequest{Job: "7", Part: "W-10", Amount: 2, Key: "f1"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.SetAside(t.Context(), "W-10", 2, "7", ""); err != nil {
		t.Fatal(err)
	}
	return s
}

// amounts gives how much lies in the tray of a job and is to be put there.
func amounts(t *testing.T, s *shop.Shop, job string) (in, toPut int64) {
	t.Helper()
	tray, err := s.Tray(t.Context(), job)
	if fault.KindOf(err) == fault.NotFound {
		return 0, 0
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range tray.Lines {
		in += l.Amount
	}
	for _, l := range tray.ToPut {
		toPut += l.Amount
	}
	return in, toPut
}

func issue(t *testing.T, s *shop.Shop, job string, amount int64) (shop.Posted, error) {
	t.Helper()
	return s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "W-10", Amount: amount, Job: job})
}

// A job takes from its tray before the shelf: what is set aside on the shelf
// stays set aside until the tray is empty.
func TestJobTakesFromItsTray(t *testing.T) {
	s := traying(t)
	for i, want := range [][2]int64{{1, 2}, {0, 2}, {0, 1}, {0, 0}} {
		if _, err := issue(t, s, "7", 1); err != nil {
			t.Fatal(err)
		}
		if in, toPut := amounts(t, s, "7"); [2]int64{in, toPut} != want {
			t.Errorf("after %d: %d in the tray, %d set aside, want %v", i+1, in, toPut, want)
		}
	}
}

// One use can empty the tray and go on at the shelf.
func TestJobTakesFromTrayAndShelf(t *testing.T) {
	s := traying(t)
	if _, err := issue(t, s, "7", 3); err != nil {
		t.Fatal(err)
	}
	if in, toPut := amounts(t, s, "7"); in != 0 || toPut != 1 {
		t.Errorf("%d in the tray, %d set aside, want 0 and 1", in, toPut)
	}
}

// Others get neither what lies in the tray nor what is set aside: of eight
// pieces four are free.
func TestOthersLeaveTheTray(t *testing.T) {
	s := traying(t)
	if _, err := issue(t, s, "8", 5); fault.KindOf(err) != fault.Short {
		t.Errorf("five for another job: %v, want short", err)
	}
	if _, err := issue(t, s, "8", 4); err != nil {
		t.Errorf("four for another job: %v", err)
	}
	_, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "W-10", Amount: 1, Bin: "TRAY-1"})
	if fault.KindOf(err) != fault.Conflict {
		t.Errorf("out of the tray by its name, without the job: %v, want conflict", err)
	}
	if in, toPut := amounts(t, s, "7"); in != 2 || toPut != 2 {
		t.Errorf("%d in the tray, %d set aside, want 2 and 2", in, toPut)
	}
}

// What is moved into a tray by hand counts as put there for its job.
func TestMoveIntoTray(t *testing.T) {
	s := traying(t)
	out, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Move, Part: "W-10", Amount: 2, Bin: "INTAKE", To: "TRAY-1"})
	if err != nil {
		t.Fatal(err)
	}
	if out.Posting.Job != "7" || len(out.Ended) > 0 {
		t.Errorf("job %q, ended %v, want 7 and nothing", out.Posting.Job, out.Ended)
	}
	if in, toPut := amounts(t, s, "7"); in != 4 || toPut != 0 {
		t.Errorf("%d in the tray, %d set aside, want 4 and 0", in, toPut)
	}
	cleared, err := s.ClearTray(t.Context(), "7", "c1")
	if err != nil || cleared.Bin != "" {
		t.Errorf("clear: %v, bin %q", err, cleared.Bin)
	}
	if stock := onHand(t, s, "W-10"); stock["INTAKE"] != 8 {
		t.Errorf("after clearing: %v, want all eight in INTAKE", stock)
	}
}

// An undo brings pieces back into the tray that they came from, but not once it is
// another job's.
func TestUndoIntoATray(t *testing.T) {
	s := traying(t)
	for _, key := range []string{"i1", "i2"} {
		q := shop.MoveRequest{Kind: inventory.Issue, Part: "W-10", Amount: 1, Job: "7", Key: key}
		if _, err := s.Move(t.Context(), q); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := s.Undo(t.Context(), "i1", "", ""); err != nil {
		t.Errorf("into the job's own tray: %v", err)
	}
	if in, _ := amounts(t, s, "7"); in != 1 {
		t.Errorf("%d in the tray after the undo, want 1", in)
	}
	if _, err := s.ClearTray(t.Context(), "7", "c1"); err != nil {
		t.Fatal(err)
	}
	if tray, err := s.GiveTray(t.Context(), "8", "TRAY-1"); err != nil || tray.Bin != "TRAY-1" {
		t.Fatal(tray, err)
	}
	for _, key := range []string{"i2", "c1"} {
		if _, err := s.Undo(t.Context(), key, "", ""); fault.KindOf(err) != fault.Conflict {
			t.Errorf("%s, into the tray of another job: %v, want conflict", key, err)
		}
	}
	if in, _ := amounts(t, s, "8"); in != 0 {
		t.Errorf("%d in the other job's tray, want none", in)
	}
}

func onHand(t *testing.T, s *shop.Shop, part string) map[string]int64 {
	t.Helper()
	stock, err := s.Stock(t.Context(), part, "")
	if err != nil {
		t.Fatal(err)
	}
	in := map[string]int64{}
	for _, l := range stock.Lines {
		in[l.Bin] += l.Amount
	}
	return in
}

// What the customer brought changes neither stock nor value, and is on no count.
func TestBroughtIsNeverTheShops(t *testing.T) {
	s := traying(t)
	before := onHand(t, s, "W-10")
	b, err := s.Bring(t.Context(), shop.BringRequest{Job: "7", What: "W-10", Amount: 5, Key: "b1"})
	if err != nil || b.Number != "W-10" || b.Left != 5 {
		t.Fatalf("%+v, %v", b, err)
	}
	after := onHand(t, s, "W-10")
	if len(after) != len(before) || after["TRAY-1"] != before["TRAY-1"] {
		t.Errorf("stock %v, before %v", after, before)
	}
	worth, err := s.Worth(t.Context(), "", false)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range worth.Lines {
		if l.Amount != 8 {
			t.Errorf("worth counts %d, want the shop's 8", l.Amount)
		}
	}
	if _, err := s.BeginCount(t.Context(), "spring"); err != nil {
		t.Fatal(err)
	}
	count, err := s.CountBin(t.Context(), "spring", "TRAY-1")
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range count.Lines {
		if l.Book != 2 {
			t.Errorf("the book of the tray says %d, want 2", l.Book)
		}
	}
	if _, err := s.ClearTray(t.Context(), "7", ""); fault.KindOf(err) != fault.Conflict {
		t.Errorf("clearing with the customer's parts in it: %v, want conflict", err)
	}
}

// What is ordered for a job is kept for it once it is there, and is not taken for
// stock to come before.
func TestOrderedForAJob(t *testing.T) {
	s := traying(t)
	out, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "W-10", Amount: 4, Job: "8"})
	if err != nil {
		t.Fatal(out, err)
	}
	if _, err := s.AddSupplier(t.Context(), shop.Supplier{Supplier: "Halm", LeadDays: 2}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Buy(t.Context(), shop.BuyRequest{Part: "W-10", Amount: 2, Supplier: "Halm", Job: "9"}); err != nil {
		t.Fatal(err)
	}
	if in, toPut := amounts(t, s, "9"); in != 0 || toPut != 2 {
		t.Errorf("%d in the tray, %d set aside, want 0 and 2", in, toPut)
	}
	if _, err := issue(t, s, "8", 1); fault.KindOf(err) != fault.Short {
		t.Errorf("one for another job: %v, want short", err)
	}
}

// What came on an order for a job goes into its tray, though older pieces lie on
// the shelf: it is what the bench has in hand.
func TestWhatCameForAJobGoesToIt(t *testing.T) {
	s := traying(t)
	if _, err := s.AddSupplier(t.Context(), shop.Supplier{Supplier: "Halm", LeadDays: 2}); err != nil {
		t.Fatal(err)
	}
	if err := s.AddBin(t.Context(), "B-1", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Move, Part: "W-10", Amount: 6, Bin: "INTAKE", To: "B-1"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Buy(t.Context(), shop.BuyRequest{Part: "W-10", Amount: 2, Supplier: "Halm", Job: "9"}); err != nil {
		t.Fatal(err)
	}
	tray, err := s.Tray(t.Context(), "9")
	if err != nil || len(tray.ToPut) != 1 || !slices.Equal(tray.ToPut[0].Bins, []string{"INTAKE"}) {
		t.Errorf("to put: %+v, %v", tray.ToPut, err)
	}
	if _, err := s.FillTray(t.Context(), shop.FillRequest{Job: "9"}); err != nil {
		t.Fatal(err)
	}
	if in := onHand(t, s, "W-10"); in["B-1"] != 6 || in["TRAY-2"] != 2 {
		t.Errorf("%v, want the two of INTAKE in the tray", in)
	}
}
