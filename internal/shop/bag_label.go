package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// PrintBags says that the labels which wait are printed now, or that of one bag
// alone; stamp names the sheet. Errors: NotFound (the bag, or no label waits),
// Conflict (the bag is not booked).
func (s *Shop) PrintBags(ctx context.Context, number int64) (stamp string, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		var bags []inventory.Bag
		if number != 0 {
			b, err := inventory.BagNumbered(ctx, tx, number)
			if err != nil {
				return err
			}
			if !b.Booked() {
				return fault.New(fault.Conflict, "shop.bag_not_booked", number)
			}
			bags = []inventory.Bag{b}
		} else if bags, err = inventory.BagsPrinted(ctx, tx, ""); err != nil {
			return err
		}
		if len(bags) == 0 {
			return fault.New(fault.NotFound, "shop.bag_labels_none")
		}
		stamp = store.Stamp(tx.Now)
		for _, b := range bags {
			b.Printed = stamp
			if _, err := inventory.KeepBag(ctx, tx, b); err != nil {
				return err
			}
		}
		return nil
	})
	return stamp, err
}

// BagLabels draws the labels of a sheet once more: one for each bag, with the bin
// that it lies in. Errors: Invalid (the sheet of labels), NotFound.
func (s *Shop) BagLabels(ctx context.Context, how LabelSheet, stamp string) (Labelled, error) {
	l, err := s.labelling(ctx, LabelRequest{LabelSheet: how, Today: true})
	if err != nil {
		return Labelled{}, err
	}
	l.q.Today = false
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		bags, err := inventory.BagsPrinted(ctx, tx, stamp)
		if err != nil || stamp == "" {
			return err
		}
		l.tx = tx
		for _, b := range bags {
			p, _, err := catalog.PartByID(ctx, tx, b.Part)
			if err != nil {
				return err
			}
			p.HomeBin = b.Bin // the bag's label names where the bag lies
			one := *l
			one.out.Labels, one.q.Pieces = nil, labelled(p, b)
			if err := one.part(ctx, p, -1); err != nil {
				return err
			}
			l.out.Labels = slices.Concat(l.out.Labels, one.out.Labels)
		}
		return l.make(ctx)
	})
	return l.out, err
}
