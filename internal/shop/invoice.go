package shop

import (
	"context"
	"fmt"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// InvoiceRequest tells what the pieces of a part did cost that a delivery
// brought.
type InvoiceRequest struct {
	Delivery string // name
	Part     string // number, or maker/number
	Cost     string // of all its pieces, net: 400, 400.50 or 400,50
	Reason   string // such as the number of the invoice
	Key      string
}

// Invoiced is what an invoice changed.
type Invoiced struct {
	Number   string `json:"number"`
	Maker    string `json:"maker"`
	Unit     string `json:"unit"`
	Amount   int64  `json:"amount"` // that the delivery brought
	Cost     int64  `json:"cost_minor"`
	Before   *int64 `json:"before_minor"` // null: it was not known
	Used     int    `json:"used"`         // postings that had taken some while the cost was not known, and have it now
	Gone     int64  `json:"gone_minor"`   // of the difference, what belongs to pieces that left before at another cost
	Repeated bool   `json:"repeated"`     // it was told before
	Jump     *Jump  `json:"jump"`         // the cost is far from what was ordered, or paid last; null: it is not
	Currency string `json:"currency"`
}

// Invoice enters what the pieces of a part did cost that a delivery brought,
// where that was not known or known otherwise. What is on hand stays. Errors:
// Invalid, NotFound (the delivery, the part, or it brought none of it), Conflict
// (the key).
func (s *Shop) Invoice(ctx context.Context, q InvoiceRequest) (Invoiced, error) {
	out := Invoiced{Currency: s.settings.Currency}
	var err error
	if out.Cost, err = readMoney(trimmed(q.Cost)); err != nil {
		return out, err
	}
	if err := checkKey(q.Key); err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		part, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return err
		}
		d, err := inventory.KnownDelivery(ctx, tx, q.Delivery)
		if err != nil {
			return err
		}
		out.Number, out.Maker, out.Unit = part.Number, part.Maker, part.Unit
		came, err := inventory.Brought(ctx, tx, d.ID, part.ID)
		if err != nil {
			return err
		}
		if len(came) == 0 {
			return fault.New(fault.NotFound, "shop.not_brought", d.Name, part.Name()).WithHint("shop.not_brought.hint")
		}
		if err := out.enter(ctx, tx, q, part, came, who); err != nil || out.Repeated {
			return err
		}
		out.Jump, err = s.jumpOfInvoice(ctx, tx, out, d, part)
		return err
	})
	return out, err
}

// enter shares the cost out over all that came, by pieces.
func (out *Invoiced) enter(ctx context.Context, tx *store.Tx, q InvoiceRequest, part catalog.Part, came []inventory.Came, who Actor) error {
	pieces := make([]int64, len(came))
	for i, c := range came {
		pieces[i] = c.Amount
		out.Amount += c.Amount
	}
	var before int64
	known := true
	for i, cost := range inventory.Apportion(out.Cost, pieces) {
		head := inventory.Posting{
			Content: fmt.Sprintf("invoice\n%s\n%s\n%d\n%s", part.ID, came[i].Posting.ID, out.Cost, q.Reason), Person: who.ID, Reason: q.Reason,
		}
		if q.Key != "" {
			head.Key = fmt.Sprintf("%s/%d", q.Key, i)
			_, used, err := inventory.PostingByKey(ctx, tx, head.Key, head.Content)
			if err != nil {
				return err
			}
			if used {
				out.Repeated = true
				continue
			}
		}
		r, err := inventory.Revalue(ctx, tx, head, came[i].Posting, came[i].Lot, cost)
		if err != nil {
			return err
		}
		before += r.Before.Minor
		known = known && r.Before.Known
		out.Used += len(r.Used)
		out.Gone += r.Gone
	}
	if known {
		out.Before = &before
	}
	return nil
}
