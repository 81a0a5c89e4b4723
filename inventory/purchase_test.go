package inventory_test

import (
	"context"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// An order of 2 packs of 5 and one of 3: what came counts until it is undone, and
// the order closes when all is there.
func TestPurchase(t *testing.T) {
	s := newShelf(t)
	var p inventory.Purchase
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		if _, err := tx.Exec(ctx, `INSERT INTO supplier (id, name, name_norm, lead_days) VALUES ('x', 'Nord', 'NORD', 2)`); err != nil {
			return err
		}
		if p, err = inventory.DraftFor(ctx, tx, "x", s.person); err != nil {
			return err
		}
		if again, err := inventory.DraftFor(ctx, tx, "x", s.person); err != nil || again.ID != p.ID {
			t.Errorf("a second draft %v, %v", again, err)
		}
		if err := p.Place(ctx, tx, "2026-03-02", ""); fault.KindOf(err) != fault.Invalid {
			t.Errorf("an empty order was placed: %v", err)
		}
		for _, l := range []inventory.PurchaseLine{
			{Part: s.seal.ID, SupplierNumber: "1", Pack: 5, Packs: 9, PackPrice: known(500)},
			{Part: s.seal.ID, SupplierNumber: "1", Pack: 5, Packs: 2, PackPrice: known(500)}, // in the place of the first
			{Part: s.wiper.ID, SupplierNumber: "2", Pack: 1, Packs: 3},
		} {
			if err := p.SetLine(ctx, tx, l); err != nil {
				return err
			}
		}
		if err := p.Place(ctx, tx, "2026-03-02", "2026-03-04"); err != nil {
			return err
		}
		p, err = inventory.PurchaseNumbered(ctx, tx, p.Number)
		return err
	})
	if err := s.try(func(ctx context.Context, tx *store.Tx) error {
		return p.SetLine(ctx, tx, inventory.PurchaseLine{Part: s.seal.ID, Pack: 1, Packs: 1})
	}); fault.KindOf(err) != fault.Conflict {
		t.Errorf("a placed order was changed: %v", err)
	}
	onOrder := func(want int64) {
		t.Helper()
		s.must(func(ctx context.Context, tx *store.Tx) error {
			all, err := inventory.OnOrder(ctx, tx)
			if all[s.seal.ID] != want {
				t.Errorf("%d of the seal on order, want %d", all[s.seal.ID], want)
			}
			return err
		})
	}
	came := func(amount int64) (posting inventory.Posting) {
		t.Helper()
		posting, err := s.post(inventory.Receive, "", s.a.ID, amount, known(100*amount))
		if err != nil {
			t.Fatal(err)
		}
		s.must(func(ctx context.Context, tx *store.Tx) error {
			lines, err := inventory.PurchaseLines(ctx, tx, p.ID)
			if err != nil {
				return err
			}
			return p.Fulfil(ctx, tx, lines[0].ID, posting.ID, amount)
		})
		return posting
	}
	onOrder(10)
	wrong := came(7)
	onOrder(3)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Reverse(ctx, tx, wrong, inventory.Posting{Person: s.person})
		return err
	})
	onOrder(10)
	came(10)
	onOrder(0)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		if err := p.End(ctx, tx, inventory.Cancelled, ""); fault.KindOf(err) != fault.Conflict {
			t.Errorf("an order of which some came was cancelled: %v", err)
		}
		lines, err := inventory.PurchaseLines(ctx, tx, p.ID)
		if err != nil {
			return err
		}
		if err := p.Promise(ctx, tx, lines[1].ID, "", 3); err != nil {
			return err
		}
		return p.End(ctx, tx, inventory.Closed, "the wipers are no longer made")
	})
	s.clean()
}
