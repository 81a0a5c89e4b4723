package inventory

import (
	"context"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Blocked is the name of the blocked place of a shop that has named none.
const Blocked = "BLOCKED"

// Held reports whether what lies in the bin is blocked: wrong, damaged, suspect
// or waiting for a credit. It is on hand, and never picked.
func (b Bin) Held() bool { return b.Kind == "blocked" }

// BlockedBin gives the shop's blocked place, the first by name where it has
// several, a new one where it has none.
func BlockedBin(ctx context.Context, tx *store.Tx) (Bin, error) {
	all, err := Bins(ctx, tx)
	if err != nil {
		return Bin{}, err
	}
	taken := map[string]bool{}
	for _, b := range all {
		if b.Held() {
			return b, nil
		}
		taken[strings.ToUpper(b.Name)] = true
	}
	name := Blocked
	for n := 2; taken[name]; n++ { // of a shelf that is called so
		name = Blocked + "-" + strconv.Itoa(n)
	}
	return AddBin(ctx, tx, Bin{Name: name, Kind: "blocked"})
}

// PickOf is Pick for pieces that a delivery brought, wherever they lie but in a
// blocked place: first where they may be taken for jobs.
func PickOf(ctx context.Context, tx *store.Tx, delivery, part string, amount int64, bin string) ([]Flow, error) {
	return picking{part: part, amount: amount, bin: bin, delivery: delivery}.from(ctx, tx, Bin.Free, func(b Bin) bool { return !b.Free() && !b.Held() })
}

// PickHeld is Pick for what is not for a job, such as what is thrown away: from
// a named bin whatever it is, a blocked one too.
func PickHeld(ctx context.Context, tx *store.Tx, part string, amount int64, bin, lot string) ([]Flow, error) {
	return picking{part: part, amount: amount, bin: bin, lot: lot, held: true}.from(ctx, tx, Bin.Free)
}

// claimedFrom gives the open claims about blocked pieces of a part against other
// suppliers than one (id), with what is not sent back of each as their amount.
func claimedFrom(ctx context.Context, tx *store.Tx, part, supplier string) ([]Claim, error) {
	open, err := Claims(ctx, tx, ClaimsOf{Part: part, Open: true})
	if err != nil {
		return nil, err
	}
	var all []Claim
	for _, c := range open {
		if !Blocks(c.What) || c.Supplier == "" || c.Supplier == supplier || c.Delivery == "" {
			continue
		}
		if c.Amount, err = c.Left(ctx, tx); err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

// HeldOf gives what a delivery brought of a part and lies in blocked places.
func HeldOf(ctx context.Context, tx *store.Tx, delivery, part string) ([]Line, error) {
	return lines(ctx, tx, `balance`, `a.part = $1 AND b.kind = 'blocked' AND coalesce(l.delivery, '') = $2`, part, delivery)
}

// AllHeld gives all that lies in blocked places, by part.
func AllHeld(ctx context.Context, tx *store.Tx) ([]Line, error) {
	return lines(ctx, tx, `balance`, `b.kind = 'blocked'`)
}

// held refuses to take for a job what lies in a blocked place.
func held(b Bin) error {
	return fault.New(fault.Conflict, "inventory.held", b.Name).WithHint("inventory.held.hint", b.Name)
}
