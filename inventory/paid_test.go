package inventory_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/internal/store"
	"forkstock/inventory"
)

// paid gives what the delivery cost of the seal.
func (s *shelf) paid() (p inventory.Paid) {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) error {
		of, err := inventory.PaidOf(ctx, tx, s.seal.ID)
		if err != nil {
			return err
		}
		all, err := inventory.PaidFor(ctx, tx, s.delivery.ID)
		if diff := cmp.Diff(of, all); diff != "" {
			s.t.Errorf("of the part and of the delivery (-of +for)\n%s", diff)
		}
		if len(all) > 1 {
			s.t.Errorf("one delivery and part, paid %v", all)
		}
		if len(all) == 1 {
			p = all[0]
		}
		return err
	})
	return p
}

func (s *shelf) invoice(came inventory.Posting, cost int64) (p inventory.Posting) {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) error {
		r, err := inventory.Revalue(ctx, tx, inventory.Posting{Person: s.person}, came, came.Movements[0].Lot, cost)
		p = r.Posting
		return err
	})
	return p
}

// Worked by hand: 3 for 10.00 and 2 of unknown cost; the invoice tells the 2, then
// the 3 otherwise, and its undoing gives the first cost back. Neither moves nor
// use change what was paid; an invoice for pieces that are all gone counts, too.
func TestPaid(t *testing.T) {
	s := newShelf(t)
	three, two := s.brought(3, known(1000)), s.brought(2, inventory.Value{})
	want := func(amount, unknown, minor int64) {
		t.Helper()
		if p := s.paid(); p.Amount != amount || p.Unknown != unknown || p.Minor != minor || p.Known() != (unknown == 0) {
			t.Errorf("paid %+v, want %d pieces, %d unknown, %d", p, amount, unknown, minor)
		}
	}
	want(5, 2, 1000)
	s.invoice(two, 501)
	want(5, 0, 1501)
	put := s.invoice(three, 900)
	want(5, 0, 1401)
	if _, err := s.undo(put); err != nil {
		t.Fatal(err)
	}
	want(5, 0, 1501)
	lot := three.Movements[0].Lot
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Issue, Person: s.person},
			[]inventory.Flow{{Part: s.seal.ID, Lot: lot, From: s.a.ID, Amount: 5}})
		return err
	})
	want(5, 0, 1501)
	s.invoice(three, 1300)
	want(5, 0, 1801)
	s.clean()
}

// Of two invoices at the same moment the one that was told later counts, in what
// was paid and in the value first in, first out.
func TestInvoicesOfOneMoment(t *testing.T) {
	s := newShelf(t)
	came := s.brought(2, inventory.Value{})
	moment := s.now
	for _, cost := range []int64{100, 900, 300, 800, 200, 700, 400, 600, 500} {
		s.now = moment
		s.invoice(came, cost)
	}
	average, fifo := s.worth(s.now)
	if p := s.paid(); p.Minor != 500 || average.Minor != 500 || fifo.Minor != 500 {
		t.Errorf("paid %d, worth %d and first in, first out %d, want 500", p.Minor, average.Minor, fifo.Minor)
	}
	s.clean()
}

// What a delivery cost is the sum of what its postings that stand cost, as their
// last invoice has it, whatever order they are told and undone in.
func TestPaidOfAnyDelivery(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := newShelf(t)
		type came struct {
			inventory.Posting
			amount int64
			cost   inventory.Value
		}
		var all []came
		for range rapid.IntRange(1, 12).Draw(r, "steps") {
			if len(all) > 0 && rapid.Bool().Draw(r, "invoice") {
				c := &all[rapid.IntRange(0, len(all)-1).Draw(r, "which")]
				if rapid.IntRange(0, 3).Draw(r, "undo") > 0 {
					c.cost = known(rapid.Int64Range(1, 100_000).Draw(r, "cost"))
					s.invoice(c.Posting, c.cost.Minor)
				} else if _, err := s.undo(c.Posting); err == nil {
					all = append(all[:0:0], without(all, c)...)
				}
				continue
			}
			c := came{amount: rapid.Int64Range(1, 9).Draw(r, "amount")}
			if rapid.Bool().Draw(r, "known") {
				c.cost = known(rapid.Int64Range(1, 100_000).Draw(r, "price"))
			}
			c.Posting = s.brought(c.amount, c.cost)
			all = append(all, c)
		}
		var want inventory.Paid
		for _, c := range all {
			want.Amount += c.amount
			if c.cost.Known {
				want.Minor += c.cost.Minor
			} else {
				want.Unknown += c.amount
			}
		}
		if p := s.paid(); p.Amount != want.Amount || p.Minor != want.Minor || p.Unknown != want.Unknown {
			r.Fatalf("paid %+v, want %+v", p, want)
		}
	})
}

// without gives all but the one that c points at.
func without[T any](all []T, c *T) (rest []T) {
	for i := range all {
		if &all[i] != c {
			rest = append(rest, all[i])
		}
	}
	return rest
}
