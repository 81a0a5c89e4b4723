package shop_test

import (
	"context"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// Of two packs one goes to a shelf at once, whose name comes before INTAKE: what
// lies in INTAKE is put away all the same.
func TestPutAwayBesideAShelf(t *testing.T) {
	s, _ := newShop(t)
	if err := s.AddBin(t.Context(), "A-01", "shelf"); err != nil {
		t.Fatal(err)
	}
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		p, err := addPart(ctx, tx, "W-10", catalog.BottomWasher, washerSize)
		if err != nil {
			return err
		}
		return catalog.LinkCode(ctx, tx, catalog.Link{Code: "W10", Part: p.ID, Pieces: 4}, person(ctx, t, tx), false)
	})
	for _, bin := range []string{"A-01", ""} {
		_, err := s.Receive(t.Context(), shop.Intake{Delivery: "crate", Bin: bin, Session: "s" + bin, Lines: strings.NewReader("W10")})
		if err != nil {
			t.Fatal(err)
		}
	}
	home := "A-01"
	if _, err := s.ChangePart(t.Context(), "W-10", shop.PartFacts{Bin: &home}); err != nil {
		t.Fatal(err)
	}
	out, err := s.PutInPlace(t.Context(), shop.PutRequest{Delivery: "crate"})
	if err != nil || out.Moved != 4 || out.Waiting() != 0 {
		t.Errorf("moved %d, %d lines wait, %v; want 4 and none", out.Moved, out.Waiting(), err)
	}
}
