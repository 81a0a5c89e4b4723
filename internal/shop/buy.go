package shop

import (
	"context"
	"fmt"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// BuyRequest is a part that was bought round the corner, and is in the hand.
type BuyRequest struct {
	Part     string // number, or maker/number
	Amount   int64
	Supplier string
	Price    string // of all pieces, net: 400, 400.50 or 400,50; empty: not known yet
	Job      string // whom it is for
	Bin      string // empty: the part's home
	Key      string
}

// Bought is what became of it.
type Bought struct {
	Posted
	Order int64 `json:"order"`
}

// Buy orders, takes in and closes in one step what was bought over the counter
// of a supplier. Errors: Invalid, NotFound, Ambiguous, Conflict (the key).
func (s *Shop) Buy(ctx context.Context, q BuyRequest) (Bought, error) {
	var out Bought
	price, err := q.check()
	if err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		part, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return err
		}
		sup, err := catalog.SupplierLike(ctx, tx, q.Supplier)
		if err != nil {
			return err
		}
		m := moving{q: MoveRequest{Bin: q.Bin}, part: part, who: who}
		if err := m.places(ctx, tx); err != nil {
			return err
		}
		head := inventory.Posting{
			Key: q.Key, Kind: inventory.Receive, Person: who.ID, Job: q.Job, Partner: sup.Name,
			Content: fmt.Sprintf("buy\n%s\n%s\n%d\n%s\n%s\n%s", part.ID, sup.ID, q.Amount, q.Price, q.Job, m.bin),
		}
		if q.Key != "" {
			old, repeated, err := inventory.PostingByKey(ctx, tx, q.Key, head.Content)
			if err != nil {
				return err
			}
			if repeated {
				return out.tell(ctx, tx, old, true)
			}
		}
		p, err := m.buy(ctx, tx, head, sup, q.Amount, price)
		if err != nil {
			return err
		}
		return out.tell(ctx, tx, p, false)
	})
	return out, err
}

// check tidies a request, and reads its price.
func (q *BuyRequest) check() (price inventory.Value, err error) {
	if q.Amount <= 0 || q.Amount > mostAmount {
		return price, fault.New(fault.Invalid, "shop.bad_amount", q.Amount, int64(mostAmount))
	}
	if q.Job = strings.TrimSpace(q.Job); len(q.Job) > longestName {
		return price, fault.New(fault.Invalid, "shop.too_long")
	}
	if q.Price = trimmed(q.Price); q.Price != "" {
		price.Known = true
		if price.Minor, err = readMoney(q.Price); err != nil {
			return price, err
		}
	}
	return price, checkKey(q.Key)
}

func (out *Bought) tell(ctx context.Context, tx *store.Tx, p inventory.Posting, repeated bool) error {
	_, err := tx.One(ctx, store.Into(&out.Order), `SELECT number FROM purchase WHERE id = $1`, p.Purchase)
	if err == nil {
		out.Posted, err = posted(ctx, tx, p, repeated)
	}
	return err
}

// buy makes an order of one line, placed today, and takes it in.
func (m *moving) buy(ctx context.Context, tx *store.Tx, head inventory.Posting, sup catalog.Supplier, amount int64, price inventory.Value) (inventory.Posting, error) {
	p, err := inventory.NewPurchase(ctx, tx, sup.ID, m.who.ID)
	if err != nil {
		return head, err
	}
	if err := p.SetLine(ctx, tx, inventory.PurchaseLine{Part: m.part.ID, Pack: amount, Packs: 1, PackPrice: price, Job: head.Job}); err != nil {
		return head, err
	}
	if err := p.Place(ctx, tx, tx.Today(), tx.Today()); err != nil {
		return head, err
	}
	if p, err = inventory.PurchaseNumbered(ctx, tx, p.Number); err != nil {
		return head, err
	}
	d, err := inventory.DeliveryNamed(ctx, tx, tx.Today())
	if err != nil {
		return head, err
	}
	head.Purchase, head.Delivery = p.ID, d.ID
	lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: m.part.ID, Delivery: d.ID})
	if err != nil {
		return head, err
	}
	to, err := m.home(ctx, tx)
	if err != nil {
		return head, err
	}
	if head, err = inventory.Post(ctx, tx, head, []inventory.Flow{{Part: m.part.ID, Lot: lot.ID, To: to, Amount: amount, Value: price}}); err != nil {
		return head, err
	}
	lines, err := inventory.PurchaseLines(ctx, tx, p.ID)
	if err != nil {
		return head, err
	}
	return head, p.Fulfil(ctx, tx, lines[0].ID, head.ID, amount)
}
