package inventory_test

import (
	"context"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// brought posts pieces of the seal that a delivery brings to bin A.
func (s *shelf) brought(amount int64, v inventory.Value) (p inventory.Posting) {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) error {
		lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: s.seal.ID, Delivery: s.delivery.ID})
		if err != nil {
			return err
		}
		p, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Receive, Person: s.person, Delivery: s.delivery.ID},
			[]inventory.Flow{{Part: s.seal.ID, Lot: lot.ID, To: s.a.ID, Amount: amount, Value: v}})
		return err
	})
	return p
}

// block moves pieces that the delivery brought to the blocked place.
func (s *shelf) block(amount int64) (held inventory.Bin, p inventory.Posting, err error) {
	err = s.try(func(ctx context.Context, tx *store.Tx) error {
		if held, err = inventory.BlockedBin(ctx, tx); err != nil {
			return err
		}
		flows, err := inventory.PickOf(ctx, tx, s.delivery.ID, s.seal.ID, amount, "")
		if err != nil {
			return err
		}
		for i := range flows {
			flows[i].To = held.ID
		}
		p, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Move, Person: s.person}, flows)
		return err
	})
	return held, p, err
}

// What lies in a blocked place is on hand and worth what it was; nothing that
// picks, counts what is available or advises what to order sees it.
func TestBlockedIsNeverPicked(t *testing.T) {
	s := newShelf(t)
	s.brought(5, known(1000))
	if _, err := s.post(inventory.Opening, "", s.b.ID, 2, known(400)); err != nil { // of no delivery
		t.Fatal(err)
	}
	if _, _, err := s.block(6); fault.KindOf(err) != fault.Short {
		t.Errorf("6 of 5 that the delivery brought were blocked: %v", err)
	}
	if err := s.try(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Keep(ctx, tx, inventory.SetAside{Part: s.seal.ID, Job: "12", Amount: 5}, s.person)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	bin, p, err := s.block(3)
	if err != nil {
		t.Fatal(err)
	}
	if bin.Name != inventory.Blocked || !bin.Held() || bin.Free() {
		t.Errorf("blocked in %v", bin)
	}
	if len(p.Ended) != 1 || p.Ended[0].Amount != 1 {
		t.Errorf("5 are kept of 4 that are left, %v ended", p.Ended)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		again, err := inventory.BlockedBin(ctx, tx)
		if err != nil || again.ID != bin.ID {
			t.Errorf("another blocked place %v, %v", again, err)
		}
		onHand, err := inventory.OnHand(ctx, tx, s.seal.ID)
		if err != nil || onHand != 7 {
			t.Errorf("%d on hand, %v, want 7", onHand, err)
		}
		there, kept, err := inventory.Available(ctx, tx, s.seal.ID)
		if err != nil || there != 4 || kept != 4 {
			t.Errorf("%d may be taken, %d are kept, %v, want 4 and 4", there, kept, err)
		}
		free, err := inventory.Free(ctx, tx)
		if err != nil || free[s.seal.ID] != 4 {
			t.Errorf("%d are free for the list of what to order, %v, want 4", free[s.seal.ID], err)
		}
		worth, err := inventory.Values(ctx, tx, s.now)
		if err != nil || worth[s.seal.ID].Minor != 1400 {
			t.Errorf("worth %v, %v, want 1400", worth, err)
		}
		if _, err := inventory.Pick(ctx, tx, s.seal.ID, 5, "", ""); fault.KindOf(err) != fault.Short {
			t.Errorf("5 of 4 were picked: %v", err)
		}
		if _, err := inventory.Pick(ctx, tx, s.seal.ID, 1, bin.ID, ""); fault.KindOf(err) != fault.Conflict {
			t.Errorf("one was picked out of the blocked place: %v", err)
		}
		flows, err := inventory.PickHeld(ctx, tx, s.seal.ID, 3, bin.ID, "")
		if err != nil || len(flows) != 1 || flows[0].From != bin.ID {
			t.Errorf("thrown away %v, %v", flows, err)
		}
		if _, err := inventory.PickHeld(ctx, tx, s.seal.ID, 5, "", ""); fault.KindOf(err) != fault.Short {
			t.Errorf("thrown away out of the blocked place without its name: %v", err)
		}
		flows, _, err = inventory.PickBlocked(ctx, tx, s.seal.ID, 4, "", "", "")
		if err != nil || len(flows) != 2 || flows[0].From != bin.ID || flows[0].Amount != 3 {
			t.Errorf("sent back %v, %v, want the blocked first", flows, err)
		}
		held, err := inventory.HeldOf(ctx, tx, s.delivery.ID, s.seal.ID)
		if err != nil || len(held) != 1 || held[0].Amount != 3 {
			t.Errorf("held of the delivery %v, %v", held, err)
		}
		all, err := inventory.AllHeld(ctx, tx)
		if err != nil || len(all) != 1 || all[0].Amount != 3 {
			t.Errorf("held %v, %v", all, err)
		}
		return nil
	})
	if _, _, err := s.block(3); fault.KindOf(err) != fault.Short {
		t.Errorf("what was blocked was blocked again: %v", err)
	}
	s.clean()
}

// A shelf that is called as the blocked place would be stays a shelf.
func TestBlockedBinBesideAShelf(t *testing.T) {
	s := newShelf(t)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		if _, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: "Blocked", Kind: "shelf"}); err != nil {
			return err
		}
		b, err := inventory.BlockedBin(ctx, tx)
		if err != nil || b.Name != "BLOCKED-2" || !b.Held() {
			t.Errorf("blocked place %v, %v", b, err)
		}
		return nil
	})
}

// claim opens one, and fails the test where that does not go.
func (s *shelf) claim(c inventory.Claim, postings ...string) inventory.Claim {
	s.t.Helper()
	c.Part, c.Person = s.seal.ID, s.person
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		c, err = inventory.OpenClaim(ctx, tx, c, postings...)
		return err
	})
	return c
}

// now gives a claim as it is now.
func (s *shelf) claimed(number int64) (c inventory.Claim) {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		c, err = inventory.ClaimNumbered(ctx, tx, number)
		return err
	})
	return c
}

// on runs f on a claim as it is now.
func (s *shelf) on(number int64, f func(context.Context, *store.Tx, inventory.Claim) error) error {
	s.t.Helper()
	return s.try(func(ctx context.Context, tx *store.Tx) error {
		c, err := inventory.ClaimNumbered(ctx, tx, number)
		if err != nil {
			return err
		}
		return f(ctx, tx, c)
	})
}

// Money by hand: 25.00 are expected; 10.00 and 14.99 leave 0.01, and that ends it.
// The last credit taken back opens it again.
func TestClaimIsPaidBack(t *testing.T) {
	s := newShelf(t)
	c := s.claim(inventory.Claim{What: inventory.Damaged, Amount: 2, Delivery: s.delivery.ID, Expected: known(2500)})
	pay := func(minor int64, last bool) error {
		return s.on(c.Number, func(ctx context.Context, tx *store.Tx, c inventory.Claim) error {
			return c.Pay(ctx, tx, inventory.Credit{Minor: minor, Day: tx.Today(), Person: s.person}, last)
		})
	}
	back := func() error {
		return s.on(c.Number, func(ctx context.Context, tx *store.Tx, c inventory.Claim) error { return c.TakeBack(ctx, tx) })
	}
	want := func(owed inventory.Value, ending string) {
		t.Helper()
		if c := s.claimed(c.Number); c.Owed() != owed || c.Ending != ending {
			t.Errorf("owed %v, ended %q, want %v and %q", c.Owed(), c.Ending, owed, ending)
		}
	}
	want(known(2500), "")
	for _, bad := range []int64{0, -1} {
		if err := pay(bad, false); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%d was paid back: %v", bad, err)
		}
	}
	if err := back(); fault.KindOf(err) != fault.Conflict {
		t.Errorf("taken back what was not paid: %v", err)
	}
	for _, minor := range []int64{1000, 1499} {
		if err := pay(minor, false); err != nil {
			t.Fatal(err)
		}
	}
	want(known(1), "")
	if err := pay(1, false); err != nil {
		t.Fatal(err)
	}
	want(known(0), inventory.Credited)
	if err := pay(1, false); fault.KindOf(err) != fault.Conflict {
		t.Errorf("paid back after the end: %v", err)
	}
	if err := back(); err != nil {
		t.Fatal(err)
	}
	want(known(1), "")
	if err := back(); err != nil { // the 14.99
		t.Fatal(err)
	}
	want(known(1500), "")
	if err := pay(200, true); err != nil { // the rest will not come
		t.Fatal(err)
	}
	want(known(0), inventory.Credited)
	if got := s.claimed(c.Number).Credited; got != 1200 {
		t.Errorf("paid back %d, want 1200", got)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		all, err := s.claimedIn(ctx, tx, c.Number).Credits(ctx, tx)
		if len(all) != 4 || all[0].TakenBack || !all[1].TakenBack || !all[2].TakenBack || all[3].Minor != 200 {
			t.Errorf("credits %v", all)
		}
		return err
	})
}

func (s *shelf) claimedIn(ctx context.Context, tx *store.Tx, number int64) inventory.Claim {
	s.t.Helper()
	c, err := inventory.ClaimNumbered(ctx, tx, number)
	if err != nil {
		s.t.Fatal(err)
	}
	return c
}

// A claim without an agreed credit ends only by a word; whose it is follows the
// delivery; it is found by all that it is about.
func TestClaims(t *testing.T) {
	s := newShelf(t)
	c := s.claim(inventory.Claim{What: inventory.KitShort, Amount: 1, Delivery: s.delivery.ID, Lacks: "clip", Key: "k"})
	if c.Owed().Known || s.claimed(c.Number).Supplier != "" {
		t.Errorf("opened as %v", s.claimed(c.Number))
	}
	if err := s.try(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.OpenClaim(ctx, tx, inventory.Claim{Part: s.seal.ID, What: inventory.Wrong, Person: s.person})
		return err
	}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("a claim about nothing: %v", err)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		v, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: "Nord", LeadDays: 2})
		if err != nil {
			return err
		}
		if _, err := inventory.SetSupplier(ctx, tx, s.delivery, v.ID, false); err != nil {
			return err
		}
		if got := s.claimedIn(ctx, tx, c.Number).Supplier; got != v.ID {
			t.Errorf("claimed from %q", got)
		}
		for _, of := range []inventory.ClaimsOf{
			{},
			{Number: c.Number},
			{Key: "k"},
			{Delivery: s.delivery.ID},
			{Part: s.seal.ID},
			{Open: true},
			{Most: 1},
		} {
			if all, err := inventory.Claims(ctx, tx, of); err != nil || len(all) != 1 || all[0].ID != c.ID {
				t.Errorf("%+v: %v, %v", of, all, err)
			}
		}
		for _, of := range []inventory.ClaimsOf{{Number: 9}, {Key: "j"}, {Delivery: "x"}, {Part: s.wiper.ID}, {Posting: "x"}} {
			if all, err := inventory.Claims(ctx, tx, of); err != nil || len(all) != 0 {
				t.Errorf("%+v: %v, %v", of, all, err)
			}
		}
		for _, number := range []int64{0, -1, 9} {
			if _, err := inventory.ClaimNumbered(ctx, tx, number); fault.KindOf(err) != fault.NotFound {
				t.Errorf("claim %d: %v", number, err)
			}
		}
		return nil
	})
	end := func(ctx context.Context, tx *store.Tx, c inventory.Claim) error {
		return c.End(ctx, tx, inventory.Refusal, s.person, "too late")
	}
	reopen := func(ctx context.Context, tx *store.Tx, c inventory.Claim) error { return c.Reopen(ctx, tx) }
	if err := s.on(c.Number, reopen); fault.KindOf(err) != fault.Conflict {
		t.Errorf("an open claim was opened again: %v", err)
	}
	if err := s.on(c.Number, end); err != nil {
		t.Fatal(err)
	}
	if err := s.on(c.Number, end); fault.KindOf(err) != fault.Conflict {
		t.Errorf("settled twice: %v", err)
	}
	if err := s.on(c.Number, reopen); err != nil {
		t.Fatal(err)
	}
	if err := s.on(c.Number, func(ctx context.Context, tx *store.Tx, c inventory.Claim) error {
		return c.Expect(ctx, tx, known(300))
	}); err != nil {
		t.Fatal(err)
	}
	if got := s.claimed(c.Number); got.Owed() != known(300) || got.Note != "" || got.EndedBy != "" {
		t.Errorf("taken up again as %+v", got)
	}
}

// What was sent back is claimed as long as that stands: undone it is not, and
// undone once more it is again.
func TestClaimOfWhatWasSentBack(t *testing.T) {
	s := newShelf(t)
	s.brought(5, known(1000))
	p, err := s.post(inventory.Opening, "", s.a.ID, 1, inventory.Value{})
	if err != nil {
		t.Fatal(err)
	}
	if p, err = s.post(inventory.SendBack, s.a.ID, "", 1, inventory.Value{}); err != nil {
		t.Fatal(err)
	}
	c := s.claim(inventory.Claim{What: inventory.SentBack, Amount: 1, Expected: known(200)}, p.ID)
	for i, undone := range []bool{true, false, true} {
		if p, err = s.undo(p); err != nil {
			t.Fatal(err)
		}
		got := s.claimed(c.Number)
		if got.Undone != undone || got.Open() == undone {
			t.Errorf("after %d undos: undone %v, open %v", i+1, got.Undone, got.Open())
		}
	}
	if owed := s.claimed(c.Number).Owed(); owed != known(0) {
		t.Errorf("owed %v for what was not sent back", owed)
	}
	if err := s.on(c.Number, func(ctx context.Context, tx *store.Tx, c inventory.Claim) error {
		return c.Expect(ctx, tx, known(1))
	}); fault.KindOf(err) != fault.Conflict {
		t.Errorf("a credit is expected for it: %v", err)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		all, err := inventory.Claims(ctx, tx, inventory.ClaimsOf{Open: true})
		if len(all) != 0 {
			t.Errorf("open: %v", all)
		}
		return err
	})
	s.clean()
}
