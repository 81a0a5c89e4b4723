package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// RemarkRequest says something of a part of an open delivery.
type RemarkRequest struct {
	Delivery string
	Part     string // number, or maker/number
	Kind     string // inventory.RemarkDamaged, ...
	Amount   int64  // pieces; of RemarkInstead 1, and 0 takes it back
	Ordered  string // of RemarkInstead: the part that was ordered
	Reason   string
	Key      string // of the caller: the same again says nothing new
}

// Remark keeps what is said of a part of an open delivery; of each kind the last
// one counts. Errors: Invalid, NotFound, Ambiguous, Conflict (it is not open; the
// ordered part is on none of its orders).
func (s *Shop) Remark(ctx context.Context, q RemarkRequest) (OpenDelivery, error) {
	if len(q.Reason) > 500 {
		return OpenDelivery{}, fault.New(fault.Invalid, "shop.too_long")
	}
	if err := checkKey(q.Key); err != nil || q.Key == "" {
		return OpenDelivery{}, fault.New(fault.Invalid, "shop.bad_key", q.Key).WithHint("shop.bad_key.hint").WithCause(err)
	}
	return s.inOpen(ctx, q.Delivery, func(ctx context.Context, tx *store.Tx, d inventory.Delivery, who Actor) (bool, error) {
		part, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return false, err
		}
		r := inventory.Remark{Key: q.Key, Part: part.ID, Kind: q.Kind, Amount: q.Amount, Reason: trimmed(q.Reason), Person: who.ID}
		if q.Kind == inventory.RemarkInstead {
			r.Amount = min(r.Amount, 1)
			ordered, err := orderedPart(ctx, tx, d, q.Ordered)
			if err != nil {
				return false, err
			}
			r.Ordered = ordered.ID
		}
		repeated, err := d.Say(ctx, tx, r)
		if err != nil || repeated || q.Kind != inventory.RemarkDamaged && q.Kind != inventory.RemarkWrong {
			return repeated, err
		}
		return false, notMoreThanScanned(ctx, tx, d, part)
	})
}

// notMoreThanScanned refuses a remark by which more of a part is damaged or wrong
// than was scanned. Where nothing was scanned yet it may be said before; finishing
// the delivery looks again.
func notMoreThanScanned(ctx context.Context, tx *store.Tx, d inventory.Delivery, part catalog.Part) error {
	out, err := standing(ctx, tx, d)
	if err != nil {
		return err
	}
	for _, l := range out.Lines {
		if l.part != part.ID {
			continue
		}
		var came int64
		for _, p := range l.Packs {
			came += p.Total()
		}
		if bad := l.Damaged + l.Wrong; came > 0 && bad > came {
			return fault.New(fault.Conflict, "shop.remark_over", part.Name(), bad, came).WithHint("shop.remark_over.hint")
		}
	}
	return nil
}

// orderedPart finds a part that is on an order of a delivery.
func orderedPart(ctx context.Context, tx *store.Tx, d inventory.Delivery, name string) (catalog.Part, error) {
	p, _, err := partFor(ctx, tx, name)
	if err != nil {
		return p, err
	}
	lines, err := d.Expects(ctx, tx)
	for _, l := range lines {
		if l.Part == p.ID {
			return p, err
		}
	}
	if err == nil {
		err = fault.New(fault.Conflict, "shop.not_expected", p.Name(), d.Name).WithHint("shop.not_expected.hint")
	}
	return p, err
}

// Substitute is whether a part that came will do for the one that was ordered.
type Substitute struct {
	Came    Part             `json:"came"`
	Ordered Part             `json:"ordered"`
	Verdict catalog.Verdict  `json:"verdict"` // the worst of what follows
	Sizes   catalog.Verdict  `json:"sizes"`   // of the one that came, held against those of the other
	Why     []fault.Message  `json:"why"`     // of Sizes
	Told    fault.Message    `json:"told,omitzero"`
	Forks   []SubstituteFork `json:"forks"` // that the ordered part serves
}

// SubstituteFork is whether the part goes into a fork that the ordered one
// serves.
type SubstituteFork struct {
	Fork    string          `json:"fork"`
	Verdict catalog.Verdict `json:"verdict"`
	Why     []fault.Message `json:"why"`
}

// Substitute tells whether a part that came will do for the one that was
// ordered: by what is told of replaced numbers, by the sizes, and fork by fork.
// Errors: NotFound, Ambiguous.
func (s *Shop) Substitute(ctx context.Context, came, ordered string) (out Substitute, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		a, _, err := partFor(ctx, tx, ordered)
		if err != nil {
			return err
		}
		b, _, err := partFor(ctx, tx, came)
		if err != nil {
			return err
		}
		out, err = substitute(ctx, tx, b, a)
		return err
	})
	return out, err
}

func substitute(ctx context.Context, tx *store.Tx, came, ordered catalog.Part) (out Substitute, err error) {
	out = Substitute{Verdict: catalog.Near, Why: []fault.Message{}, Forks: []SubstituteFork{}}
	if out.Came, err = view(ctx, tx, came, fault.Message{}); err != nil {
		return out, err
	}
	if out.Ordered, err = view(ctx, tx, ordered, fault.Message{}); err != nil {
		return out, err
	}
	place := catalog.Position{Role: ordered.Role, Size: ordered.Size, Thread: ordered.Thread, Traits: ordered.Traits}
	verdict, why := place.Takes(came)
	out.Sizes, out.Why = verdict, append(out.Why, why...)
	if err := out.forks(ctx, tx, came, ordered); err != nil {
		return out, err
	}
	fits := out.Sizes == catalog.Fits
	if len(out.Forks) > 0 { // where each fork was asked, that goes before the sizes of another part
		fits = true
		for _, f := range out.Forks {
			fits = fits && f.Verdict == catalog.Fits
		}
	}
	replaced, err := out.replaced(ctx, tx, came, ordered)
	switch {
	case err != nil:
		return out, err
	case fits || replaced:
		out.Verdict = catalog.Fits
	case out.Sizes == catalog.No:
		out.Verdict = catalog.No
	}
	for _, f := range out.Forks {
		if f.Verdict == catalog.No {
			out.Verdict = catalog.No
		}
	}
	return out, nil
}

// replaced tells what is known of the two numbers, and reports whether the one
// that came is to be fitted instead of the other.
func (out *Substitute) replaced(ctx context.Context, tx *store.Tx, came, ordered catalog.Part) (bool, error) {
	chain, err := catalog.Chain(ctx, tx, ordered.Ref())
	if err != nil {
		return false, err
	}
	at := func(id string) int {
		for i, l := range chain {
			if l.Part == id {
				return i
			}
		}
		return -1
	}
	a, b := at(ordered.ID), at(came.ID)
	switch {
	case a < 0 || b < 0:
		return false, nil
	case b > a:
		out.Told = fault.Say("shop.newer_number", came.Name(), ordered.Name())
		return true, nil
	}
	out.Told = fault.Say("shop.older_number", came.Name(), ordered.Name())
	return chain[b].Usable, nil
}

// forks asks every fork that the ordered part serves.
func (out *Substitute) forks(ctx context.Context, tx *store.Tx, came, ordered catalog.Part) error {
	names, err := catalog.ForksTaking(ctx, tx, ordered)
	if err != nil {
		return err
	}
	for _, name := range names {
		f, err := catalog.ForkNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		places, err := catalog.Positions(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		if places, err = catalog.Doubted(ctx, tx, places, []catalog.Content{{Part: came, Pieces: 1}}); err != nil {
			return err
		}
		one := SubstituteFork{Fork: name, Verdict: catalog.Fits, Why: []fault.Message{}}
		for _, p := range places {
			if p.Role != ordered.Role || p.Fitted == "no" {
				continue
			}
			if verdict, _ := p.Takes(ordered); verdict != catalog.Fits {
				continue
			}
			if verdict, why := p.Takes(came); verdict != catalog.Fits && one.Verdict != catalog.No {
				one.Verdict, one.Why = verdict, append([]fault.Message{}, why...)
			}
		}
		out.Forks = append(out.Forks, one)
	}
	return nil
}
