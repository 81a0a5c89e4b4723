package shop

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Remarks gives what is odd about a posting though it stands: more came back
// from a job than was out for it. An id that is none has nothing odd.
func (s *Shop) Remarks(ctx context.Context, posting string) (all []fault.Message, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, _, err := inventory.PostingByID(ctx, tx, posting)
		if err != nil {
			return err
		}
		all, err = remarksOf(ctx, tx, p)
		return err
	})
	return all, err
}

func remarksOf(ctx context.Context, tx *store.Tx, p inventory.Posting) ([]fault.Message, error) {
	if p.Kind != inventory.Return || len(p.Movements) == 0 {
		return nil, nil
	}
	first := p.Movements[0]
	out, err := inventory.OutFor(ctx, tx, first.Part, p.Job, first.Seq)
	var back int64
	for _, m := range p.Movements {
		back += m.Amount
	}
	switch {
	case err != nil || back <= out:
		return nil, err
	case p.Job == "":
		return []fault.Message{fault.Say("shop.back_more_none", back, max(out, 0))}, nil
	}
	return []fault.Message{fault.Say("shop.back_more", back, p.Job, max(out, 0))}, nil
}
