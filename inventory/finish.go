package inventory

import (
	"context"
	"math"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Finish posts what is known of an open delivery: each scan under its own key,
// as Settle does; then what came damaged or wrong goes to the blocked place, and
// is claimed from the supplier, like what the delivery note names and did not
// come. say gives the words for a kind of remark, for the ledger. What is not
// known waits from now on. Errors: Conflict (it is not open, nothing was
// scanned, more is said to be damaged or wrong than came).
func (d Delivery) Finish(ctx context.Context, tx *store.Tx, person string, say func(kind string) string) (Delivery, []Claim, error) {
	if err := d.mustBeOpen(); err != nil {
		return d, nil, err
	}
	scans, err := Counting(ctx, tx, d.ID)
	if err != nil {
		return d, nil, err
	}
	if len(scans) == 0 {
		return d, nil, fault.New(fault.Conflict, "inventory.delivery_empty", d.Name).WithHint("inventory.delivery_empty.hint", d.Name)
	}
	for _, i := range DatedFirst(scans) {
		if _, err := Settle(ctx, tx, scans[i]); err != nil {
			return d, nil, err
		}
	}
	claims, err := d.claims(ctx, tx, person, say)
	if err != nil {
		return d, nil, err
	}
	d, err = d.end(ctx, tx, DeliveryFinished)
	return d, claims, err
}

// claims makes what was said of a delivery claims.
func (d Delivery) claims(ctx context.Context, tx *store.Tx, person string, say func(kind string) string) ([]Claim, error) {
	remarks, err := d.Remarks(ctx, tx)
	if err != nil {
		return nil, err
	}
	var all []Claim
	left := map[string]map[spot]int64{} // of what was brought, by part, what is not blocked yet
	for _, r := range remarks {
		if left[r.Part] == nil {
			if left[r.Part], err = d.lies(ctx, tx, r.Part); err != nil {
				return nil, err
			}
		}
		c := Claim{
			Key: "remark:" + r.Key, Content: r.Key, Delivery: d.ID, Part: r.Part, What: r.Kind, Amount: r.Amount, Reason: r.Reason, Person: person,
		}
		var moved []string
		switch r.Kind {
		case RemarkDamaged, RemarkWrong:
			r.Reason = strings.Trim(say(r.Kind)+": "+r.Reason, ": ")
			if moved, err = d.block(ctx, tx, r, left[r.Part], person); err != nil {
				return nil, err
			}
		case RemarkNoted:
			c.What = TooShort
			came, err := Brought(ctx, tx, d.ID, r.Part)
			if err != nil {
				return nil, err
			}
			for _, b := range came {
				c.Amount -= b.Amount
			}
			if err := d.ordered(ctx, tx, &c); err != nil {
				return nil, err
			}
		}
		if r.Kind == RemarkInstead || c.Amount <= 0 {
			continue
		}
		if c.Supplier, err = d.SupplierOf(ctx, tx, r.Part); err != nil {
			return nil, err
		}
		if c, err = OpenClaim(ctx, tx, c, moved...); err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

// ordered takes what is said to follow off a claim about what did not come, and
// expects for the rest what the order says that it costs.
func (d Delivery) ordered(ctx context.Context, tx *store.Tx, c *Claim) error {
	lines, err := d.Expects(ctx, tx)
	for _, l := range lines {
		if l.Part == c.Part && l.Promised >= tx.Today() {
			c.Amount -= l.Missing()
		}
	}
	if err != nil || c.Amount <= 0 {
		return err
	}
	c.Expected, err = d.PriceOf(ctx, tx, c.Part, c.Amount)
	return err
}

// PriceOf gives what so much of a part costs by the orders of the delivery.
func (d Delivery) PriceOf(ctx context.Context, tx *store.Tx, part string, amount int64) (Value, error) {
	lines, err := d.Expects(ctx, tx)
	for _, l := range lines {
		if l.Part == part && l.PackPrice.Known && amount <= math.MaxInt64/max(1, l.PackPrice.Minor) {
			return Value{half(amount*l.PackPrice.Minor, l.Pack), true}, err
		}
	}
	return Value{}, err
}

// SupplierOf gives the supplier (id) that a part of the delivery came from: its
// own, else that of the order which the part is on; empty where nobody knows.
func (d Delivery) SupplierOf(ctx context.Context, tx *store.Tx, part string) (string, error) {
	lines, err := d.Expects(ctx, tx)
	if err != nil || d.Supplier != "" {
		return d.Supplier, err
	}
	instead, err := d.Instead(ctx, tx)
	for _, l := range lines {
		if l.Part == part || slices.Contains(instead[part], l.Part) {
			return l.Order.Supplier, err
		}
	}
	return "", err
}

// spot is where some pieces were put by a posting.
type spot struct {
	order    int // the last brought goes first
	bin, lot string
}

// lies gives where what the delivery brought of a part was put.
func (d Delivery) lies(ctx context.Context, tx *store.Tx, part string) (map[spot]int64, error) {
	came, err := Brought(ctx, tx, d.ID, part)
	if err != nil {
		return nil, err
	}
	where := map[spot]int64{}
	for i, c := range came {
		for _, m := range c.Posting.Movements {
			if m.Lot == c.Lot {
				where[spot{i, m.Bin, m.Lot}] += m.Amount
			}
		}
	}
	return where, nil
}

// block moves pieces of what was brought to the blocked place, what came last
// first.
func (d Delivery) block(ctx context.Context, tx *store.Tx, r Remark, left map[spot]int64, person string) ([]string, error) {
	to, err := BlockedBin(ctx, tx)
	if err != nil {
		return nil, err
	}
	var flows []Flow
	wanted := r.Amount
	for wanted > 0 {
		at, found := spot{order: -1}, false
		for s, n := range left {
			if n > 0 && (s.order > at.order || s.order == at.order && s.bin < at.bin) {
				at, found = s, true
			}
		}
		if !found {
			return nil, d.tooMuch(ctx, tx, r, r.Amount-wanted)
		}
		n := min(wanted, left[at])
		left[at] -= n
		wanted -= n
		if at.bin != to.ID {
			flows = append(flows, Flow{Part: r.Part, Lot: at.lot, From: at.bin, To: to.ID, Amount: n})
		}
	}
	if len(flows) == 0 {
		return nil, nil
	}
	p, err := Post(ctx, tx, Posting{
		Key: "remark:" + r.Key, Content: r.Key, Kind: Move, Person: person, Delivery: d.ID, Reason: r.Reason,
	}, flows)
	return []string{p.ID}, err
}

// tooMuch says that more is said to be damaged or wrong than came.
func (d Delivery) tooMuch(ctx context.Context, tx *store.Tx, r Remark, came int64) error {
	p, _, err := catalog.PartByID(ctx, tx, r.Part)
	if err != nil {
		return err
	}
	return fault.New(fault.Conflict, "inventory.remark_over", p.Name(), fault.Say("remark."+r.Kind), r.Amount, came).
		WithHint("inventory.remark_over.hint")
}
