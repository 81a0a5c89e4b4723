package shop_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// A picture in which nothing was read is recorded anew once something is; one
// that was read stays as it was.
func TestPictureReadLater(t *testing.T) {
	s, _ := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.DeliveryNamed(ctx, tx, "DN 1")
		if err != nil {
			return err
		}
		var who string
		if _, err := tx.One(ctx, store.Into(&who), `SELECT id FROM person ORDER BY id LIMIT 1`); err != nil {
			return err
		}
		record := func(symbols int, why fault.Message) (inventory.Picture, bool) {
			t.Helper()
			p, repeated, err := inventory.RecordPicture(ctx, tx, inventory.Picture{
				Delivery: d.ID, SHA256: "ab", Name: "a.png", Pages: 1, Symbols: symbols, Why: why, Person: who,
			})
			if err != nil {
				t.Fatal(err)
			}
			return p, repeated
		}
		first, repeated := record(0, fault.Say("shop.no_symbol"))
		if err := inventory.KeepLook(ctx, tx, inventory.Look{Picture: first.ID, Page: 1, Why: fault.Say("shop.no_symbol")}); err != nil {
			return err
		}
		if _, seen, err := inventory.PictureSeen(ctx, tx, "ab"); repeated || seen || err != nil {
			t.Errorf("repeated %v, seen %v, %v", repeated, seen, err)
		}
		if again, repeated := record(0, fault.Message{}); !repeated || again.Why.ID != "shop.no_symbol" {
			t.Errorf("nothing again: %+v, %v", again, repeated)
		}
		later, repeated := record(2, fault.Message{})
		looks, err := inventory.UnreadLooks(ctx, tx, first.ID)
		if repeated || later.ID != first.ID || later.Symbols != 2 || len(looks) != 0 || err != nil {
			t.Errorf("read at last: %+v, %v, %v, %v", later, repeated, looks, err)
		}
		if kept, repeated := record(1, fault.Message{}); !repeated || kept.Symbols != 2 {
			t.Errorf("read once more: %+v, %v", kept, repeated)
		}
		all, err := inventory.PicturesOf(ctx, tx, d.ID)
		want := []inventory.Picture{{
			ID: first.ID, Delivery: d.ID, SHA256: "ab", Name: "a.png", Pages: 1, Symbols: 2, Person: who,
		}}
		if diff := cmp.Diff(want, all, cmp.AllowUnexported(fault.Message{})); err != nil || diff != "" {
			t.Errorf("%v (-want +got):\n%s", err, diff)
		}
		return nil
	})
}
