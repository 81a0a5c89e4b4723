package inventory_test

import (
	"context"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// The book has 5 in A and 2 in B. Counted are 4 in A, then one is taken from
// there; B is looked through and empty; a pack is scanned twice under one key.
func TestTally(t *testing.T) {
	s := newShelf(t)
	for bin, n := range map[string]int64{s.a.ID: 5, s.b.ID: 2} {
		if _, err := s.post(inventory.Receive, "", bin, n, known(100*n)); err != nil {
			t.Fatal(err)
		}
	}
	var tally inventory.Tally
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		if tally, err = inventory.BeginTally(ctx, tx, "spring", s.person); err != nil {
			return err
		}
		if _, err := inventory.BeginTally(ctx, tx, "spring", s.person); fault.KindOf(err) != fault.Conflict {
			t.Errorf("a second count of the name: %v", err)
		}
		if err := tally.Set(ctx, tx, s.a.ID, s.seal.ID, s.person, 4); err != nil {
			return err
		}
		if err := tally.Open(ctx, tx, s.b.ID, true); err != nil {
			return err
		}
		for i, want := range []bool{true, false} {
			if counted, err := tally.Add(ctx, tx, s.b.ID, s.wiper.ID, s.person, "k", 1); err != nil || counted != want {
				t.Errorf("scan %d: %v, %v", i, counted, err)
			}
		}
		return nil
	})
	if _, err := s.post(inventory.Issue, s.a.ID, "", 1, inventory.Value{}); err != nil {
		t.Fatal(err)
	}
	var lines []inventory.TallyLine
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		lines, err = tally.Lines(ctx, tx)
		return err
	})
	difference := map[string]int64{}
	for _, l := range lines {
		difference[l.BinName+l.Part] = l.Difference()
	}
	if len(lines) != 3 || difference["A-01-1"+s.seal.ID] != -1 || difference["B-01-1"+s.seal.ID] != -2 || difference["B-01-1"+s.wiper.ID] != 1 {
		t.Fatalf("differences %v of %+v; want one less in A (what was taken since is reckoned in), two less in B, a wiper more", difference, lines)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		posted, err := tally.Post(ctx, tx, s.person, because("spring"))
		if len(posted) != 3 {
			t.Errorf("%d postings, want one for each difference", len(posted))
		}
		return err
	})
	s.must(func(ctx context.Context, tx *store.Tx) error {
		there, _, err := inventory.Available(ctx, tx, s.seal.ID)
		if there != 3 {
			t.Errorf("%d seals by the book, want 3", there)
		}
		return err
	})
	s.clean()
}

// A part that was moved between two scans is to be counted again.
func TestTallyMoved(t *testing.T) {
	s := newShelf(t)
	var tally inventory.Tally
	add := func(key string) {
		s.must(func(ctx context.Context, tx *store.Tx) error {
			_, err := tally.Add(ctx, tx, s.a.ID, s.seal.ID, s.person, key, 1)
			return err
		})
	}
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		tally, err = inventory.BeginTally(ctx, tx, "spring", s.person)
		return err
	})
	add("1")
	if _, err := s.post(inventory.Receive, "", s.a.ID, 1, known(5)); err != nil {
		t.Fatal(err)
	}
	add("2")
	post := func() error {
		return s.try(func(ctx context.Context, tx *store.Tx) error {
			_, err := tally.Post(ctx, tx, s.person, because(""))
			return err
		})
	}
	if err := post(); fault.KindOf(err) != fault.Conflict {
		t.Errorf("posted though something moved: %v", err)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		return tally.Set(ctx, tx, s.a.ID, s.seal.ID, s.person, 3)
	})
	if err := post(); err != nil {
		t.Error(err)
	}
	s.clean()
}

// None was counted of two by the book; then both are found and taken: the book is
// right, and there is nothing to post.
func TestTallyTakenSince(t *testing.T) {
	s := newShelf(t)
	if _, err := s.post(inventory.Receive, "", s.a.ID, 2, known(200)); err != nil {
		t.Fatal(err)
	}
	var tally inventory.Tally
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		if tally, err = inventory.BeginTally(ctx, tx, "spring", s.person); err != nil {
			return err
		}
		return tally.Set(ctx, tx, s.a.ID, s.seal.ID, s.person, 0)
	})
	if _, err := s.post(inventory.Issue, s.a.ID, "", 2, inventory.Value{}); err != nil {
		t.Fatal(err)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		posted, err := tally.Post(ctx, tx, s.person, because(""))
		if len(posted) != 0 {
			t.Errorf("posted %+v", posted)
		}
		return err
	})
	s.clean()
}

// because gives the same reason for every line.
func because(reason string) func(inventory.TallyLine) string {
	return func(inventory.TallyLine) string { return reason }
}

// What is put into a bin after it was looked through was not seen, and is not
// taken for missing; counting one line more does not open the bin again.
func TestTallyPutInSince(t *testing.T) {
	s := newShelf(t)
	if _, err := s.post(inventory.Receive, "", s.a.ID, 3, known(300)); err != nil {
		t.Fatal(err)
	}
	var tally inventory.Tally
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		if tally, err = inventory.BeginTally(ctx, tx, "spring", s.person); err != nil {
			return err
		}
		return tally.Open(ctx, tx, s.a.ID, true)
	})
	if _, err := s.post(inventory.Receive, "", s.a.ID, 2, known(200)); err != nil {
		t.Fatal(err)
	}
	s.must(func(ctx context.Context, tx *store.Tx) error {
		if err := tally.Open(ctx, tx, s.a.ID, false); err != nil {
			return err
		}
		lines, err := tally.Lines(ctx, tx)
		if len(lines) != 1 || lines[0].Counted != 2 || lines[0].Book != 5 || lines[0].Seen {
			t.Errorf("lines %+v, want two counted of five, for they came since", lines)
		}
		return err
	})
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := tally.Post(ctx, tx, s.person, because("spring"))
		return err
	})
	s.must(func(ctx context.Context, tx *store.Tx) error {
		there, _, err := inventory.Available(ctx, tx, s.seal.ID)
		if there != 2 {
			t.Errorf("%d seals by the book, want the 2 that came since", there)
		}
		return err
	})
	s.clean()
}
