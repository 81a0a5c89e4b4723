package search

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// says reports whether a message, or one that it is made of, has an id.
func says(m fault.Message, id string) bool {
	return m.ID == id || slices.ContainsFunc(m.Args, func(a any) bool {
		part, ok := a.(fault.Message)
		return ok && says(part, id)
	})
}

// An answer for which not all parts were looked at says so, and counts nothing
// that it has not seen.
func TestSaysWhatWasNotLookedAt(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		for i := range mostLooked + 10 {
			p := catalog.Part{Number: fmt.Sprintf("ZZ-%05d", i), Maker: "Brammwig", Role: catalog.Wiper, Unit: catalog.Piece, Description: "plumtrel"}
			p.Size = measure.Size{Inner: 47 * mm, Outer: 58 * mm}
			if _, err := catalog.AddPart(ctx, tx, p); err != nil {
				return err
			}
		}
		return nil
	})
	catchUp(t, db, ix, true)
	for _, text := range []string{"od 58", "zz-0", "plumtrel", "wiper", "47 mm wiper"} {
		hits := find(t, db, ix, text, Options{Tally: true})
		if !hits.More || !says(all(hits), "search.first_only") || hits.Tally.Roles != nil || hits.Tally.Makers != nil {
			t.Errorf("%s: more %t, %v, counted %v; want that not all was looked at", text, hits.More, hits.Understood, hits.Tally)
		}
		if hits = find(t, db, ix, text, Options{}); says(all(hits), "search.first_only") {
			t.Errorf("%s: %v, though nothing was to be narrowed down", text, hits.Understood)
		}
	}
	hits := find(t, db, ix, "47x58", Options{Tally: true}) // of a size alone, all are counted
	if hits.More || hits.Total != mostLooked+10 || len(hits.Parts) != 20 || hits.Parts[0].Part.Number != "ZZ-00000" {
		t.Errorf("47x58: more %t, %d parts, first %v; want all, by number", hits.More, hits.Total, hits.Parts)
	}
	if hits := find(t, db, ix, "39x52x11", Options{Tally: true}); hits.More || says(all(hits), "search.first_only") {
		t.Errorf("39x52x11: more %t, %v; all of it was looked at", hits.More, hits.Understood)
	}
}

// A thread that nothing has is never answered by what states no pitch without
// a word about it.
func TestPitchThatNothingStates(t *testing.T) {
	db, _ := shop(t)
	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		for number, thread := range map[string]string{"TH-1": "M11", "TH-2": "M12", "TH-3": "M12x1.5"} {
			if _, err := catalog.AddPart(ctx, tx, catalog.Part{
				Number: number, Maker: "Brammwig", Role: catalog.BottomBolt, Unit: catalog.Piece, Thread: thread,
			}); err != nil {
				return err
			}
		}
		return nil
	})
	for text, want := range map[string]bool{"M11x1.25 bolt": true, "M11 bolt": false, "M12x1.5 bolt": false, "M12x1.25 bolt": true, "M13x1": false} {
		hits := find(t, db, nil, text, Options{})
		if got := says(all(hits), "search.pitch_open"); got != want {
			t.Errorf("%s: %v, %d parts; warned of pitches: %t, want %t", text, hits.Understood, len(hits.Parts), got, want)
		}
	}
}

// What bySize leaves out by its height alone is refused by Fit.
func TestTooTallForAnyRole(t *testing.T) {
	for _, role := range catalog.Roles {
		for _, h := range []measure.Length{1 * mm, 5 * mm, 11 * mm, 60 * mm} {
			size := measure.Size{Inner: 80 * mm, Outer: 95 * mm, Height: h}
			p := catalog.Part{Role: role, Size: size}
			p.Size.Height += 1*mm + 1
			verdict, _ := catalog.Fit(catalog.Wanted{Role: role, Size: size}, p)
			if washer := role == catalog.BottomWasher || role == catalog.DrainWasher; washer != (verdict != catalog.No) {
				t.Errorf("%s, %d for %d: %s", role, p.Size.Height, h, verdict)
			}
		}
	}
}
