package shop_test

import (
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// twoSeals adds a seal and a wiper, of which nothing lies anywhere.
func twoSeals(t *testing.T, s *shop.Shop) {
	t.Helper()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := addPart(ctx, tx, "S-39", catalog.OilSeal, measure.Size{Inner: 39000, Outer: 52000, Height: 11000})
		if err == nil {
			_, err = addPart(ctx, tx, "W-39", catalog.Wiper, measure.Size{Inner: 39000, Outer: 52000, Height: 5000})
		}
		return err
	})
}

// A count that was posted answers the same review once more as it was posted,
// also after another of its name was begun; each line has its reason.
func TestPostCountOnce(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	twoSeals(t, s)
	begun, err := s.BeginCount(ctx, "spring")
	if err != nil {
		t.Fatal(err)
	}
	for part, n := range map[string]int64{"Tolmek/S-39": 3, "Tolmek/W-39": 2} {
		if _, err := s.SetCount(ctx, shop.CountSet{Count: "spring", Bin: "INTAKE", Part: part, Amount: n, Key: "k " + part}); err != nil {
			t.Fatal(err)
		}
	}
	q := shop.CountPosting{Count: "spring", ID: begun.ID, Reason: "first count", Reasons: map[string]string{"INTAKE Tolmek/W-39": " lay behind "}}
	posted, err := s.PostCount(ctx, q)
	if err != nil || len(posted.Postings) != 2 || posted.Repeated {
		t.Fatalf("posted %+v, %v", posted, err)
	}
	if _, err := s.BeginCount(ctx, "spring"); err != nil {
		t.Fatal(err)
	}
	again, err := s.PostCount(ctx, q)
	if err != nil || !again.Repeated {
		t.Fatalf("again %+v, %v", again, err)
	}
	if diff := cmp.Diff(again.Postings, posted.Postings); diff != "" {
		t.Errorf("postings (-again +first)\n%s", diff)
	}
	var got []string
	for _, l := range again.Lines {
		got = append(got, l.Number+": "+l.Reason)
	}
	if diff := cmp.Diff(got, []string{"S-39: first count", "W-39: lay behind"}); diff != "" {
		t.Errorf("reasons (-got +want)\n%s", diff)
	}
	if _, err := s.PostCount(ctx, shop.CountPosting{Count: "spring", ID: "another"}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a review of a count that never was: %v", err)
	}
	if _, err := s.PostCount(ctx, shop.CountPosting{Count: "spring", Reason: strings.Repeat("x", 501)}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("a long reason: %v", err)
	}
}

// The same form again sets nothing, whatever was counted since.
func TestSetCountOnce(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	twoSeals(t, s)
	if _, err := s.BeginCount(ctx, "spring"); err != nil {
		t.Fatal(err)
	}
	set := func(n int64, key string) int64 {
		t.Helper()
		c, err := s.SetCount(ctx, shop.CountSet{Count: "spring", Bin: "INTAKE", Part: "Tolmek/S-39", Amount: n, Key: key})
		if err != nil {
			t.Fatal(err)
		}
		return c.Lines[0].Counted
	}
	for _, tt := range []struct {
		n    int64
		key  string
		want int64
	}{{5, "a", 5}, {4, "b", 4}, {5, "a", 4}, {6, "", 6}} {
		if got := set(tt.n, tt.key); got != tt.want {
			t.Errorf("set %d under %q: counted %d, want %d", tt.n, tt.key, got, tt.want)
		}
	}
	b, err := s.CountedBin(ctx, "spring", "intake")
	if err != nil || len(b.Counted) != 1 || b.Done {
		t.Errorf("the bin: %+v, %v", b, err)
	}
}
