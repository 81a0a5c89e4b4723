package shop

import (
	"context"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/inventory/reorder"
)

// coming is what else counts for the list of what to order, by part id.
type coming struct {
	ordered map[string]int64  // on its way
	kept    map[string]int64  // set aside for jobs
	empty   map[string]string // since when its bag is empty, as store.Stamp
}

// comingOf gives what is on its way now; of a day that is over nothing is known.
func (s *Shop) comingOf(ctx context.Context, tx *store.Tx, asOf time.Time) (c coming, err error) {
	if asOf.Before(tx.Now) {
		return c, nil
	}
	if c.ordered, err = inventory.OnOrder(ctx, tx); err != nil {
		return c, err
	}
	if c.kept, err = inventory.Kept(ctx, tx); err != nil {
		return c, err
	}
	c.empty, err = inventory.EmptyBags(ctx, tx)
	return c, err
}

// ask gives what Advise is to look at of a part.
func (c coming) ask(p catalog.Part, use []int64, free int64, pool float64) reorder.Part {
	ask := reorder.Part{
		Use: use, OnHand: max(free, 0), OnOrder: c.ordered[p.ID], SetAside: c.kept[p.ID],
		Min: p.Minimum, Fill: fill, Unit: p.Unit, Pool: pool,
	}
	if p.Unit == catalog.Millilitre {
		ask.Bulk, ask.Pool = bulkML, 0
	}
	return ask
}

// bagEmpty puts a part on the list whose bag is empty: what its use asks for, at
// least a pack.
func (s *Shop) bagEmpty(p catalog.Part, l supplied, needed bool, items []catalog.Item, since string) (supplied, bool, error) {
	at, err := store.Time(since)
	if err != nil {
		return l, false, err
	}
	if !needed {
		ask := reorder.Part{Min: max(p.Minimum, 1), Fill: fill, Unit: p.Unit}
		if l, needed, err = advise(p, ask, items); err != nil || !needed {
			return l, needed, err
		}
	}
	l.Why = fault.Say("shop.bag_empty", s.day(at))
	return l, true, nil
}

// Emptied is a part whose bag is empty.
type Emptied struct {
	Number string `json:"number"`
	Maker  string `json:"maker"`
	Noted  bool   `json:"noted"` // false: it was before
	// Lost is what the book still had of it, and has no more.
	Lost *Posted `json:"lost,omitempty"`
}

// Empty notes that the bag of a part is empty: the week's list takes it up, and
// what the book still had in places where it may be taken is posted as a
// difference of counting. A bin stands for the parts that live in it where it
// names one part only. Errors: NotFound, Ambiguous.
func (s *Shop) Empty(ctx context.Context, name, reason string) (Emptied, error) {
	var out Emptied
	if len(reason) > 500 {
		return out, fault.New(fault.Invalid, "shop.too_long")
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		part, err := bagOf(ctx, tx, name)
		if err != nil {
			return err
		}
		out.Number, out.Maker = part.Number, part.Maker
		if out.Noted, err = inventory.EmptyBag(ctx, tx, part.ID, who.ID); err != nil {
			return err
		}
		there, _, err := inventory.Available(ctx, tx, part.ID)
		if err != nil || there == 0 {
			return err
		}
		flows, err := inventory.Pick(ctx, tx, part.ID, there, "", "")
		if err != nil {
			return err
		}
		p, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Count, Person: who.ID, Reason: reason}, flows)
		if err != nil {
			return err
		}
		lost, err := posted(ctx, tx, p, false)
		out.Lost = &lost
		return err
	})
	return out, err
}

// bagOf gives the part that a name, a code, or a bin stands for.
func bagOf(ctx context.Context, tx *store.Tx, name string) (catalog.Part, error) {
	bin, parts, err := inventory.PartsIn(ctx, tx, name)
	if err != nil {
		return catalog.Part{}, err
	}
	if bin == "" {
		p, _, err := partFor(ctx, tx, name)
		return p, err
	}
	all, err := catalog.PartsByID(ctx, tx, parts)
	if err != nil {
		return catalog.Part{}, err
	}
	switch len(parts) {
	case 0:
		return catalog.Part{}, fault.New(fault.NotFound, "shop.nothing_in_bin", bin).WithHint("shop.nothing_in_bin.hint")
	case 1:
		return all[parts[0]], nil
	}
	e := fault.New(fault.Ambiguous, "shop.bin_of_many", bin, len(parts))
	for _, id := range parts {
		p := all[id]
		e.Candidates = append(e.Candidates, fault.Candidate{Name: p.Name(), Command: "forkstock empty " + naming(p)})
	}
	return catalog.Part{}, e
}
