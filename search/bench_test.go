package search

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// BenchmarkFind asks each kind of question of a small and of a large catalog,
// and beside them what the plainest program would: SQLite with LIKE over the
// descriptions alone.
func BenchmarkFind(b *testing.B) {
	for _, n := range []int{600, 60_000} {
		db := large(b, n)
		ix := Memory()
		defer ix.Close()
		catchUp(b, db, ix, true)
		for _, q := range []struct{ kind, text string }{
			{"number", "SX-00417"},
			{"begins", "SX-004"},
			{"middle", "0417"},
			{"size", "39x52x11"},
			{"diameter", "39 mm seal"},
			{"diameter alone", "39 mm"},
			{"bike", "wiper Make2 Model7 2001"},
			{"role", "seal"},
			{"words", "black spring"},
			{"role and words", "39 mm seal green"},
			{"mistyped", "gabeldichtrng 39 grean"},
			{"nothing", "blorpish quux"},
		} {
			b.Run(fmt.Sprintf("%s/%d", q.kind, n), func(b *testing.B) {
				read(b, db, func(ctx context.Context, tx *store.Tx) error {
					for b.Loop() {
						if _, err := ix.Find(ctx, tx, q.text, Options{OnHand: onHand("")}); err != nil {
							return err
						}
					}
					return nil
				})
			})
		}
		b.Run(fmt.Sprintf("vocabulary/%d", n), func(b *testing.B) {
			read(b, db, func(ctx context.Context, tx *store.Tx) error {
				for b.Loop() {
					if _, err := loadVocabulary(ctx, tx); err != nil {
						return err
					}
				}
				return nil
			})
		})
		b.Run(fmt.Sprintf("LIKE alone/%d", n), func(b *testing.B) {
			read(b, db, func(ctx context.Context, tx *store.Tx) error {
				for b.Loop() {
					if _, err := partsWhere(ctx, tx, meets, because("plain", ""),
						`p.description LIKE '%39X%' AND p.description LIKE '%seal%'`); err != nil {
						return err
					}
				}
				return nil
			})
		})
	}
}

// BenchmarkCatchUp makes an index of a whole catalog, on disk.
func BenchmarkCatchUp(b *testing.B) {
	for _, n := range []int{600, 60_000} {
		db := large(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				ix := Open(b.TempDir(), "catalog")
				catchUp(b, db, ix, true)
				ix.Close()
			}
		})
	}
}

// BenchmarkOpen opens the index of a whole catalog and closes it again, as each
// command does.
func BenchmarkOpen(b *testing.B) {
	for _, n := range []int{600, 60_000} {
		db, dir := large(b, n), b.TempDir()
		ix := Open(dir, "catalog")
		catchUp(b, db, ix, true)
		ix.Close()
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				Open(dir, "catalog").Close()
			}
		})
	}
}

// large makes a catalog of n parts, with one fork for 25 of them, three bikes
// for each fork and an offer for each part. Every sixteenth part is a seal.
func large(b *testing.B, n int) *store.DB {
	b.Helper()
	db, _ := shop(b)
	r := rand.New(rand.NewPCG(1, 2))
	legs := []measure.Length{31 * mm, 35 * mm, 36 * mm, 37 * mm, 38 * mm, 39 * mm, 41 * mm, 43 * mm, 45 * mm, 48 * mm}
	roles := []catalog.Role{
		catalog.OilSeal, catalog.Wiper, catalog.TubeBushing, catalog.LowerBushing, catalog.BackupWasher, catalog.Clip,
		catalog.BottomBolt, catalog.BottomWasher, catalog.DrainScrew, catalog.DrainWasher, catalog.CapORing, "consumable",
		catalog.Other, "spring", "spacer", "piston_ring",
	}
	words := []string{"black", "green", "spring", "double", "lip", "coated", "pair", "hollow", "split", "round"}
	inTx(b, db, func(ctx context.Context, tx *store.Tx) error {
		for i := range n {
			leg := legs[r.IntN(len(legs))]
			p := catalog.Part{
				Number: fmt.Sprintf("SX-%05d", i), Maker: fmt.Sprint("Maker", r.IntN(8)), Role: roles[i%len(roles)],
				Unit: catalog.Piece, Size: measure.Size{Inner: leg, Outer: leg + measure.Length(11+r.IntN(4))*mm, Height: 11 * mm},
			}
			p.Description = fmt.Sprintf("%s %dX%dX11 %s %s batch%d", p.Role, leg/mm, p.Size.Outer/mm,
				words[r.IntN(len(words))], words[r.IntN(len(words))], r.IntN(n))
			if _, err := catalog.AddPart(ctx, tx, p); err != nil {
				return err
			}
		}
		for i := range n / 25 {
			if err := largeFork(ctx, tx, i, legs[r.IntN(len(legs))]); err != nil {
				return err
			}
		}
		s, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: "Wharf"})
		for i := 0; err == nil && i < n; i++ {
			err = addItem(ctx, tx, catalog.Item{
				Supplier: s.ID, Number: fmt.Sprintf("W%06d", i), Description: fmt.Sprintf("FORK SEAL %dX%dX11", 60+i%30, 100+i%20), Pack: 1,
			})
		}
		return err
	})
	return db
}

func largeFork(ctx context.Context, tx *store.Tx, i int, leg measure.Length) error {
	f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: fmt.Sprintf("F-%05d", i), Layout: "conventional", Leg: leg})
	if err != nil {
		return err
	}
	for seq, role := range []catalog.Role{
		catalog.OilSeal, catalog.Wiper, catalog.TubeBushing, catalog.LowerBushing, catalog.BackupWasher, catalog.Clip,
		catalog.BottomWasher,
	} {
		_, err := catalog.AddPosition(ctx, tx, f.ID, catalog.Position{
			Seq: seq + 1, Role: role, Leg: "both", PerLeg: 1, Renew: "judge", Fitted: "yes",
			Size: measure.Size{Inner: leg, Outer: leg + 11*mm + measure.Length(i%4)*mm, Height: 11 * mm},
		})
		if err != nil {
			return err
		}
	}
	for m := range 3 {
		from := 1985 + (i+m*7)%30
		_, err := catalog.AddFitment(ctx, tx, catalog.Fitment{
			Make: fmt.Sprint("Make", i%5), Model: fmt.Sprint("Model", i*3+m), YearFrom: from, YearTo: from + 8, Fork: f.ID,
		})
		if err != nil {
			return err
		}
	}
	return nil
}
