package shop

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// CountPosting asks for the differences of a count to be posted.
type CountPosting struct {
	Count   string            // its name
	ID      string            // of the count that was reviewed; empty: the open one of the name
	Reason  string            // of every difference; empty: the name
	Reasons map[string]string // of some, by CountLine.Key
}

// Key tells a line from the others of its count.
func (l CountLine) Key() string { return l.Bin + " " + l.Name() }

// PostCount enters the differences of a count, each as a posting of its own with
// its reason, and ends it. One that was posted before is told as it was. Errors:
// NotFound, Invalid, Conflict.
func (s *Shop) PostCount(ctx context.Context, q CountPosting) (Count, error) {
	for _, reason := range q.Reasons {
		if len(reason) > 500 {
			return Count{}, fault.New(fault.Invalid, "shop.too_long")
		}
	}
	if len(q.Reason) > 500 {
		return Count{}, fault.New(fault.Invalid, "shop.too_long")
	}
	var out Count
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		t, err := inventory.TallyNamed(ctx, tx, q.Count)
		if q.ID != "" && (fault.KindOf(err) == fault.NotFound || err == nil && t.ID != q.ID) {
			out, err = s.postedBefore(ctx, tx, q)
			return err
		}
		if err != nil {
			return err
		}
		if out, err = s.count(ctx, tx, t); err != nil {
			return err
		}
		keys := map[string]string{}
		for _, l := range out.Lines {
			keys[l.Bin+" "+l.part] = l.Key()
		}
		all, err := t.Post(ctx, tx, who.ID, func(l inventory.TallyLine) string {
			return first(q.Reasons[keys[l.BinName+" "+l.Part]], q.Reason, t.Name)
		})
		for _, p := range all {
			out.Postings = append(out.Postings, p.ID)
		}
		out.State = "posted"
		return err
	})
	return out, err
}

// postedBefore gives the count that was reviewed, which is not open any more.
// Error: NotFound where nothing of it was posted.
func (s *Shop) postedBefore(ctx context.Context, tx *store.Tx, q CountPosting) (Count, error) {
	all, err := inventory.Tallies(ctx, tx, "posted")
	if err != nil {
		return Count{}, err
	}
	for _, t := range all {
		if t.ID == q.ID {
			out, err := s.count(ctx, tx, t)
			out.Repeated = true
			return out, err
		}
	}
	return Count{}, fault.New(fault.NotFound, "inventory.tally_absent", q.Count).WithHint("inventory.tally_absent.hint")
}
