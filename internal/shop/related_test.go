package shop_test

import (
	"context"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// What belongs to the one part that was found comes with it, also where its
// name cannot be typed: a maker may have a slash in its own.
func TestFindTellsWhatBelongs(t *testing.T) {
	s, _ := newShop(t)
	size, _ := measure.ParseSize("41x54x11")
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		for _, p := range []catalog.Part{
			{Number: "HV-41", Maker: "Halvik A/S"}, {Number: "TK-41", Maker: "Tolmek"}, {Number: "HV-42", Maker: "Halvik A/S"},
		} {
			p.Role, p.Unit, p.Size = catalog.OilSeal, catalog.Piece, size
			if _, err := catalog.AddPart(ctx, tx, p); err != nil {
				return err
			}
		}
		return nil
	})
	f, err := s.FindOnly(t.Context(), "HV-41", 0, shop.Only{})
	if err != nil || f.Total != 1 || f.Related == nil {
		t.Fatalf("%d parts, related %v, %v; want one with what belongs to it", f.Total, f.Related, err)
	}
	if r := f.Related; r.Part != "Halvik A/S/HV-41" || len(r.SameSize) != 1 || r.SameSize[0].Number != "TK-41" {
		t.Errorf("related: %+v, want TK-41 of the other maker", r)
	}
	if f, err = s.FindOnly(t.Context(), "HV-4", 0, shop.Only{}); err != nil || f.Total != 2 || f.Related != nil {
		t.Errorf("%d parts, related %v, %v; want two, and nothing that belongs to one", f.Total, f.Related, err)
	}
	if f, err = s.Find(t.Context(), "HV-41", 0); err != nil || f.Related != nil || f.Narrow != nil {
		t.Errorf("related %v, narrow %v, %v; want neither where nobody asked", f.Related, f.Narrow, err)
	}
}
