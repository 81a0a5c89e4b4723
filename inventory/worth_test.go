package inventory_test

import (
	"context"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// worth gives the value of the seal by the moving average and by FIFO.
func (s *shelf) worth(asOf time.Time) (average, fifo inventory.Worthing) {
	s.t.Helper()
	s.must(func(ctx context.Context, tx *store.Tx) error {
		values, err := inventory.Values(ctx, tx, asOf)
		if err != nil {
			return err
		}
		first, err := inventory.FIFOValues(ctx, tx, asOf)
		average, fifo = values[s.seal.ID], first[s.seal.ID]
		return err
	})
	return average, fifo
}

// Worked example of a textbook, perpetual inventory: 150 units at 21, 120 sold,
// 225 bought at 27, 180 sold, 210 bought at 33. First in, first out: sold for
// 7,200, left 8,955. Moving average: sold for 7,253, left 8,902.
// Source: OpenStax, Principles of Accounting, Volume 1: Financial Accounting,
// section 10.3 (figures from memory; they add up to the 16,155 available).
func TestTextbook(t *testing.T) {
	s := newShelf(t)
	for _, step := range []struct {
		kind     string
		from, to string
		amount   int64
		cost     int64
	}{
		{inventory.Opening, "", s.a.ID, 150, 150 * 2100},
		{inventory.Sale, s.a.ID, "", 120, 0},
		{inventory.Receive, "", s.a.ID, 225, 225 * 2700},
		{inventory.Sale, s.a.ID, "", 180, 0},
		{inventory.Receive, "", s.a.ID, 210, 210 * 3300},
	} {
		if _, err := s.post(step.kind, step.from, step.to, step.amount, known(step.cost)); err != nil {
			t.Fatal(err)
		}
	}
	average, fifo := s.worth(time.Time{})
	if fifo.Minor != 895_500 || fifo.Known != 285 {
		t.Errorf("first in, first out: %+v, want 285 for 8,955.00", fifo)
	}
	if whole := (average.Minor + 50) / 100; whole != 8902 || average.Known != 285 {
		t.Errorf("moving average: %+v, want 285 for 8,902", average)
	}
	s.clean()
}

// What was undone counts for nothing, what was put back is used first again,
// and the past stays as it was.
func TestFIFOOfThePast(t *testing.T) {
	s := newShelf(t)
	must := func(p inventory.Posting, err error) inventory.Posting {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	must(s.post(inventory.Receive, "", s.a.ID, 2, known(200)))
	must(s.post(inventory.Receive, "", s.a.ID, 2, known(400)))
	wrong := must(s.post(inventory.Receive, "", s.a.ID, 2, known(9000)))
	noon := s.now
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Reverse(ctx, tx, wrong, inventory.Posting{Person: s.person})
		return err
	})
	must(s.post(inventory.Issue, s.a.ID, "", 3, inventory.Value{}))
	must(s.post(inventory.Move, s.a.ID, s.b.ID, 1, inventory.Value{}))
	must(s.post(inventory.Return, "", s.a.ID, 1, known(100)))
	must(s.post(inventory.Issue, s.b.ID, "", 1, inventory.Value{}))
	_, fifo := s.worth(time.Time{})
	if fifo.Known != 1 || fifo.Minor != 200 {
		t.Errorf("now %+v, want the piece at 2.00: the one that came back goes first", fifo)
	}
	average, then := s.worth(noon)
	if want := (inventory.Worthing{Part: s.seal.ID, Known: 6, Minor: 9600}); then != want || average != want {
		t.Errorf("at noon %+v and %+v, want %+v", then, average, want)
	}
	s.clean()
}

// An invoice comes after one of three pieces was used for a job: two get their
// value where they lie, the third where it went. A second invoice corrects the
// first; what was used since keeps its cost, and the answer says how much that is.
func TestRevalue(t *testing.T) {
	s := newShelf(t)
	came, err := s.post(inventory.Receive, "", s.a.ID, 3, inventory.Value{})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.post(inventory.Issue, s.a.ID, "", 1, inventory.Value{}); err != nil {
		t.Fatal(err)
	}
	revalue := func(cost int64) (r inventory.Revalued) {
		t.Helper()
		s.must(func(ctx context.Context, tx *store.Tx) (err error) {
			r, err = inventory.Revalue(ctx, tx, inventory.Posting{Person: s.person, Reason: "invoice"}, came, s.lots[s.seal.ID].ID, cost)
			return err
		})
		s.clean()
		return r
	}
	r := revalue(1000)
	average, fifo := s.worth(time.Time{})
	if want := (inventory.Worthing{Part: s.seal.ID, Known: 2, Minor: 667}); average != want || fifo != want {
		t.Errorf("worth %+v and %+v, want %+v", average, fifo, want)
	}
	if len(r.Used) != 1 || r.Before.Known {
		t.Fatalf("%+v, want one posting that names the job, and no value before", r)
	}
	if got := values(r.Used[0]); !cmp.Equal(got, []inventory.Value{known(333), known(-333)}) || r.Used[0].Amends == came.ID {
		t.Errorf("used: %v amends %s, want 3.33 in and out again, naming the issue", got, r.Used[0].Amends)
	}
	r = revalue(1300)
	if average, fifo = s.worth(time.Time{}); average.Minor != 867 || fifo.Known != 2 || fifo.Minor != 867 || r.Gone != 100 || r.Before != known(1000) {
		t.Errorf("after the second invoice %+v and %+v, %+v; want 8.67, 1.00 of it gone", average, fifo, r)
	}
	r = revalue(0)
	if average, _ = s.worth(time.Time{}); average.Minor != 0 || average.Known != 2 || r.Gone != -433 {
		t.Errorf("after a gift %+v, gone %d", average, r.Gone)
	}
	if err := s.try(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Revalue(ctx, tx, inventory.Posting{Person: s.person}, came, s.lots[s.wiper.ID].ID, 5)
		return err
	}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a lot that did not come: %v", err)
	}
}

// A kit for 10.00 holds three parts of one weight: the cents that rounding
// leaves go to the first, and no cent is lost.
func TestUnpack(t *testing.T) {
	s := newShelf(t)
	if _, err := s.post(inventory.Receive, "", s.a.ID, 2, known(2001)); err != nil {
		t.Fatal(err)
	}
	var p inventory.Posting
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		kit := inventory.Flow{Part: s.seal.ID, Lot: s.lots[s.seal.ID].ID, From: s.a.ID, Amount: 1}
		p, err = inventory.Unpack(ctx, tx, inventory.Posting{Person: s.person}, []inventory.Flow{kit}, []inventory.Content{
			{Part: s.wiper.ID, Pieces: 2},
		}, map[string]string{s.wiper.ID: s.b.ID})
		return err
	})
	if got := values(p); !cmp.Equal(got, []inventory.Value{known(-1000), known(1000)}) {
		t.Errorf("values %v, want 10.00 from the kit to the wipers", got)
	}
	s.clean()
	for name, tt := range map[string]struct {
		total   int64
		weights []int64
		want    []int64
	}{
		"two left":  {101, []int64{1, 1, 1}, []int64{34, 34, 33}},
		"thirds":    {100, []int64{1, 1, 1}, []int64{34, 33, 33}},
		"weights":   {100, []int64{5, 3, 3}, []int64{46, 27, 27}},
		"nothing":   {0, []int64{1, 2}, []int64{0, 0}},
		"no weight": {7, []int64{0, 0}, []int64{7, 0}},
		"large":     {9_000_000_000_000_000_000, []int64{9_000_000_000_000_000_000, 9_000_000_000_000_000_000}, []int64{4_500_000_000_000_000_000, 4_500_000_000_000_000_000}},
	} {
		if got := inventory.Apportion(tt.total, tt.weights); !cmp.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", name, got, tt.want)
		}
	}
}

func TestSetAsides(t *testing.T) {
	s := newShelf(t)
	if _, err := s.post(inventory.Receive, "", s.a.ID, 3, known(300)); err != nil {
		t.Fatal(err)
	}
	keep := func(job string, amount int64, until string) (a inventory.SetAside, err error) {
		err = s.try(func(ctx context.Context, tx *store.Tx) error {
			a, err = inventory.Keep(ctx, tx, inventory.SetAside{Part: s.seal.ID, Job: job, Amount: amount, Until: until}, s.person)
			return err
		})
		return a, err
	}
	available := func() (there, kept int64) {
		s.must(func(ctx context.Context, tx *store.Tx) (err error) {
			there, kept, err = inventory.Available(ctx, tx, s.seal.ID)
			return err
		})
		return there, kept
	}
	if _, err := keep("12", 2, "2026-03-09"); err != nil {
		t.Fatal(err)
	}
	if _, err := keep("13", 2, ""); fault.KindOf(err) != fault.Short {
		t.Errorf("more than is there was set aside: %v", err)
	}
	if _, err := keep("13", 1, ""); err != nil {
		t.Fatal(err)
	}
	lot := s.lots[s.seal.ID].ID
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Issue, Job: "12", Person: s.person},
			[]inventory.Flow{{Part: s.seal.ID, Lot: lot, From: s.a.ID, Amount: 1}})
		return err
	})
	if there, kept := available(); there != 2 || kept != 2 {
		t.Errorf("%d kept after job 12 took one, want 2", kept)
	}
	gone, err := s.post(inventory.Scrap, s.a.ID, "", 1, inventory.Value{})
	if err != nil {
		t.Fatal(err)
	}
	if there, kept := available(); len(gone.Ended) != 1 || gone.Ended[0].Job != "13" || there != 1 || kept != 1 {
		t.Errorf("ended %+v, %d of %d kept; want the newest, that of job 13", gone.Ended, kept, there)
	}
	back, err := s.post(inventory.Receive, "", s.a.ID, 2, known(200))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := keep("14", 2, ""); err != nil {
		t.Fatal(err)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		u, err := inventory.Reverse(ctx, tx, back, inventory.Posting{Person: s.person})
		if len(u.Ended) != 1 || u.Ended[0].Job != "14" {
			t.Errorf("a receipt undone ended %+v, want what job 14 kept of it", u.Ended)
		}
		return err
	})
	s.now = time.Date(2026, 3, 10, 8, 0, 0, 0, time.UTC)
	if _, kept := available(); kept != 0 {
		t.Errorf("%d kept the day after the last", kept)
	}
}
