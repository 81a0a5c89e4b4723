package shop_test

import (
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// claiming is a shop in which a delivery brought 3 seals for 10.00 together.
func claiming(t *testing.T) *shop.Shop {
	t.Helper()
	s, _ := newShop(t)
	ctx := t.Context()
	none := func(_ any, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	none(s.AddPart(ctx, "Tolmek/KB-39", shop.PartFacts{Role: ref("oil seal"), Elastomer: ref("NBR")}))
	none(s.AddSupplier(ctx, shop.Supplier{Supplier: "Halm", LeadDays: 2}))
	none(s.AddOffer(ctx, "Halm", "H-1", "KB-39", shop.OfferFacts{Pack: ref[int64](3), Price: ref("10")}))
	none(s.OrderPart(ctx, "Halm", shop.LineRequest{Part: "KB-39", Packs: 1}))
	none(s.PlaceOrder(ctx, "1", "", ""))
	none(s.Link(ctx, shop.LinkRequest{Code: "KB39", Part: "KB-39", Pieces: 3}))
	none(s.Receive(ctx, shop.Intake{Delivery: "p-1", Order: "1", Session: "s", Lines: strings.NewReader("KB39\n")}))
	return s
}

func ref[T any](v T) *T { return &v }

// 2 of 3 for 10.00 cost 6.67 (half to even: 6.666...), and that is expected where
// nothing else is said; what was told stays, also nothing.
func TestComplaintExpectsTheCost(t *testing.T) {
	for _, test := range []struct {
		name   string
		what   string
		credit string
		want   *int64
	}{
		{"cost", inventory.Damaged, "", ref[int64](667)},
		{"told", inventory.Damaged, "5", ref[int64](500)},
		{"short is expected at the price of the order", inventory.TooShort, "", ref[int64](667)},
		{"what a kit lacks has no price", inventory.KitShort, "", nil},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := claiming(t)
			c, err := s.Complain(t.Context(), shop.ComplaintRequest{Delivery: "p-1", Part: "KB-39", Amount: 2, What: test.what, Credit: test.credit})
			if err != nil {
				t.Fatal(err)
			}
			if (c.Expected == nil) != (test.want == nil) || c.Expected != nil && *c.Expected != *test.want {
				t.Errorf("expects %v, want %v", c.Expected, test.want)
			}
		})
	}
}

// A complaint changes neither what is on hand nor what it is worth; what is
// blocked is not available, and no job, sale, loan or kit takes it.
func TestComplaintBlocks(t *testing.T) {
	s := claiming(t)
	ctx := t.Context()
	before, err := s.Worth(ctx, "", false)
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Complain(ctx, shop.ComplaintRequest{Delivery: "p-1", Part: "KB-39", Amount: 2, What: inventory.Suspect})
	if err != nil {
		t.Fatal(err)
	}
	after, err := s.Worth(ctx, "", false)
	if err != nil || after.Total != before.Total || after.Total != 1000 {
		t.Errorf("worth %d, before %d, %v, want 1000", after.Total, before.Total, err)
	}
	p, err := s.PartPage(ctx, "KB-39")
	if err != nil || p.OnHand != 3 || p.Available != 1 {
		t.Errorf("%d on hand, %d available, %v, want 3 and 1", p.OnHand, p.Available, err)
	}
	for _, kind := range []string{inventory.Issue, inventory.Sale, inventory.Lend} {
		for bin, want := range map[string]fault.Kind{"": fault.Short, c.Held[0].Bin: fault.Conflict} {
			q := shop.MoveRequest{Kind: kind, Part: "KB-39", Amount: 2, Bin: bin, Partner: "Ina"}
			if _, err := s.Move(ctx, q); fault.KindOf(err) != want {
				t.Errorf("%s out of %q: %v, want %s", kind, bin, err, want)
			}
		}
	}
	if _, err := s.SetAside(ctx, "KB-39", 2, "12", ""); fault.KindOf(err) != fault.Short {
		t.Errorf("what is blocked was set aside: %v", err)
	}
	list, err := s.Complaints(ctx, false, "p-1")
	if err != nil || len(list.Held) != 1 || list.Held[0].Supplier != "Halm" || list.Held[0].Delivery != "p-1" || len(list.Owed) != 1 || list.Owed[0].Minor != 667 {
		t.Errorf("list %+v, %v", list, err)
	}
	if _, err := s.Complaints(ctx, false, "p-9"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("of a delivery that is not there: %v", err)
	}
	for _, q := range []shop.MoveRequest{
		{Kind: inventory.Scrap, Part: "KB-39", Amount: 1, Bin: c.Held[0].Bin},
		{Kind: inventory.Move, Part: "KB-39", Amount: 1, Bin: c.Held[0].Bin, To: inventory.Intake},
	} {
		if _, err := s.Move(ctx, q); err != nil {
			t.Errorf("%s out of the blocked place: %v", q.Kind, err)
		}
	}
	if p, err = s.PartPage(ctx, "KB-39"); err != nil || p.OnHand != 2 || p.Available != 2 {
		t.Errorf("%d on hand, %d available, %v, want 2 and 2", p.OnHand, p.Available, err)
	}
}

// A key opens one complaint and one credit, also when the answer was lost.
func TestComplaintOnce(t *testing.T) {
	s := claiming(t)
	ctx := t.Context()
	q := shop.ComplaintRequest{Delivery: "p-1", Part: "KB-39", Amount: 1, What: inventory.Wrong, Key: "k"}
	for i := range 2 {
		c, err := s.Complain(ctx, q)
		if err != nil || c.Complaint != 1 || c.Repeated != (i == 1) {
			t.Errorf("%d: %+v, %v", i, c, err)
		}
	}
	q.Amount = 2
	if _, err := s.Complain(ctx, q); fault.KindOf(err) != fault.Conflict {
		t.Errorf("another complaint under the key: %v", err)
	}
	k := shop.CreditRequest{Complaint: 1, Amount: "1", Key: "k"}
	for i := range 2 {
		c, err := s.TakeCredit(ctx, k)
		if err != nil || c.Credited != 100 || c.Repeated != (i == 1) {
			t.Errorf("%d: %+v, %v", i, c, err)
		}
	}
	k.Amount = "2"
	if _, err := s.TakeCredit(ctx, k); fault.KindOf(err) != fault.Conflict {
		t.Errorf("another credit under the key: %v", err)
	}
	for _, bad := range []shop.CreditRequest{
		{Complaint: 1, Amount: "x"},
		{Complaint: 1, Amount: "0"},
		{Complaint: 1, Amount: "1", Day: "soon"},
		{Complaint: 1, Amount: "1", Day: "2999-01-01"},
		{Complaint: 1, Amount: "1", Note: strings.Repeat("x", 501)},
		{Complaint: 1, Amount: "1", Key: "7"},
	} {
		if _, err := s.TakeCredit(ctx, bad); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%+v: %v", bad, err)
		}
	}
}
