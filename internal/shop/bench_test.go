package shop_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// BenchmarkReceive receives hand-scanner lines, each a pack of a known code:
// one line in a transaction, and a thousand. The baseline inserts as many rows
// into one table, in the same kinds of transaction.
func BenchmarkReceive(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "shop")
	set := shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Mika"}
	if err := shop.Init(b.Context(), dir, set, shop.Options{}); err != nil {
		b.Fatal(err)
	}
	s, err := shop.Open(b.Context(), dir, shop.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	err = s.Load(b.Context(), func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		p, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "W-10", Maker: "Tolmek", Role: catalog.BottomWasher, Unit: catalog.Piece})
		if err != nil {
			return err
		}
		return catalog.LinkCode(ctx, tx, catalog.Link{Code: "W", Part: p.ID, Pieces: 1}, who.ID, false)
	})
	if err != nil {
		b.Fatal(err)
	}
	rows := 0
	for _, lines := range []int{1, 1000} {
		b.Run(fmt.Sprintf("receive/%d", lines), func(b *testing.B) {
			text := strings.Repeat("W\n", lines)
			for b.Loop() {
				if _, err := s.Receive(b.Context(), shop.Intake{Lines: strings.NewReader(text)}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N*lines)/b.Elapsed().Seconds(), "lines/s")
		})
		b.Run(fmt.Sprintf("bare-insert/%d", lines), func(b *testing.B) {
			for b.Loop() {
				err := s.Load(b.Context(), func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
					for range lines {
						rows++
						if _, err := tx.Exec(ctx, `INSERT INTO setting (name, value) VALUES ($1, 'W')`, fmt.Sprint(rows)); err != nil {
							return err
						}
					}
					return nil
				})
				if err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.N*lines)/b.Elapsed().Seconds(), "lines/s")
		})
	}
}
