package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Reverse enters the reverse of a posting: the same parts, bins and lots the
// other way round. Errors: Conflict (undone already), Short (what came in is
// not all there any more).
func Reverse(ctx context.Context, tx *store.Tx, wrong, p Posting) (Posting, error) {
	var by string
	found, err := tx.One(ctx, store.Into(&by), `SELECT id FROM posting WHERE corrects = $1`, wrong.ID)
	if err != nil {
		return p, err
	}
	if found {
		return p, fault.New(fault.Conflict, "inventory.undone", wrong.ID, by).WithHint("inventory.undone.hint", by)
	}
	p.Kind, p.Corrects, p.Delivery = Undo, wrong.ID, wrong.Delivery
	if p, err = open(ctx, tx, p); err != nil {
		return p, err
	}
	// Backwards, so that what the posting brought in leaves before what it took out comes back.
	for i := len(wrong.Movements) - 1; i >= 0; i-- {
		m := wrong.Movements[i]
		shares := []share{{-m.Amount, Value{-m.Value.Minor, m.Value.Known}}}
		if m.Amount > 0 {
			h, err := holdingOf(ctx, tx, m.Part)
			if err != nil {
				return p, err
			}
			shares = h.reverse(m.Amount, m.Value)
			for i := range shares {
				shares[i] = share{-shares[i].amount, Value{-shares[i].value.Minor, shares[i].value.Known}}
			}
		}
		for _, s := range shares {
			if err := enter(ctx, tx, &p, Movement{Part: m.Part, Bin: m.Bin, Lot: m.Lot, Amount: s.amount, Value: s.value}); err != nil {
				return p, err
			}
		}
	}
	return p, nil
}

// PostingNamed finds a posting by its id, by its key, or by the number of one
// of its movements as the ledger shows it. Error: NotFound.
func PostingNamed(ctx context.Context, tx *store.Tx, name string) (Posting, error) {
	var id string
	found, err := tx.One(ctx, store.Into(&id), `SELECT id FROM posting WHERE id = $1 OR key = $1
		UNION SELECT posting FROM movement WHERE CAST(seq AS TEXT) = $1 ORDER BY 1 LIMIT 1`, name)
	if err != nil {
		return Posting{}, err
	}
	if !found {
		return Posting{}, fault.New(fault.NotFound, "inventory.posting_absent", name).WithHint("inventory.posting_absent.hint")
	}
	p, _, err := PostingByID(ctx, tx, id)
	return p, err
}
