package shop_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// priceRows is the length of the list that BenchmarkImport takes in.
const priceRows = 100_000

// priceList writes an invented price list of n rows.
func priceList(t testing.TB, n int) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "prices.csv")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "Artikelnummer;Bezeichnung;VPE;Nettopreis;Hersteller;Herstellernummer;Gewicht")
	kinds := []string{"Gabelsimmerring", "FORK SEAL", "Staubkappe", "Kupferring", "Radlager", "Gleitbuchse", "O-Ring", "Gabelöl 10W 1L"}
	for i := range n {
		inner := 25 + i%30
		fmt.Fprintf(w, "%06d-%d;%s %dx%dx%d %s;%d;%d,%02d;Tolmek;T%d;%d g\n", (i*7919)%1_000_003, i%7, kinds[i%len(kinds)], inner, inner+13,
			8+i%4, []string{"PAAR", "", "SATZ 2 STK"}[i%3], 1+i%2, 1+i%90, i%100, i, 5+i%40)
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	return path
}

func benchShop(b testing.TB) *shop.Shop {
	b.Helper()
	dir := filepath.Join(b.TempDir(), "shop")
	set := shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Mika"}
	if err := shop.Init(b.Context(), dir, set, shop.Options{}); err != nil {
		b.Fatal(err)
	}
	s, err := shop.Open(b.Context(), dir, shop.Options{})
	if err != nil {
		b.Fatal(err)
	}
	if _, err := s.AddSupplier(b.Context(), shop.Supplier{Supplier: "Wesselmoor", LeadDays: 3}); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	return s
}

// BenchmarkImport takes a price list of 100,000 rows into an empty shop. The
// baselines write as many rows with prepared statements in one transaction and
// read no file: the same look-ups and inserts into the same tables with the
// same indexes and triggers, and plain inserts into a table of two columns.
func BenchmarkImport(b *testing.B) {
	path := priceList(b, priceRows)
	rate := func(b *testing.B) { b.ReportMetric(float64(b.N*priceRows)/b.Elapsed().Seconds(), "rows/s") }
	b.Run("import", func(b *testing.B) {
		for b.Loop() {
			b.StopTimer()
			s := benchShop(b)
			b.StartTimer()
			out, err := s.Import(b.Context(), shop.ImportRequest{Files: []string{path}, Supplier: "Wesselmoor"})
			if err != nil || out.Added != priceRows {
				b.Fatalf("%d added, %d rejected, %v", out.Added, out.RejectedCount, err)
			}
		}
		rate(b)
	})
	for _, base := range []struct {
		name string
		row  func(context.Context, *store.Tx) (func(int) error, error)
	}{{"bare-loop", bareRow}, {"one-table", plainRow}} {
		b.Run(base.name, func(b *testing.B) {
			for b.Loop() {
				b.StopTimer()
				s := benchShop(b)
				b.StartTimer()
				err := s.Load(b.Context(), func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
					row, err := base.row(context.WithoutCancel(ctx), tx)
					for i := 0; err == nil && i < priceRows; i++ {
						err = row(i)
					}
					return err
				})
				if err != nil {
					b.Fatal(err)
				}
			}
			rate(b)
		})
	}
}

// bareRow looks an item up and inserts it with its reading, as an import does.
func bareRow(ctx context.Context, tx *store.Tx) (func(int) error, error) {
	var supplier string
	if _, err := tx.One(ctx, store.Into(&supplier), `SELECT id FROM supplier`); err != nil {
		return nil, err
	}
	find, err := tx.Prepare(ctx, `SELECT id, number, description, coalesce(part, ''), pack, coalesce(pack_price_minor, 0), pack_price_minor IS NOT NULL,
		code, maker, maker_number, listed, note FROM supplier_item WHERE supplier = $1 AND number_norm = $2`)
	if err != nil {
		return nil, err
	}
	item, err := tx.Prepare(ctx, `INSERT INTO supplier_item (id, supplier, number, number_norm, description, part, pack, pack_price_minor,
		code, maker, maker_number, maker_number_norm, listed, note) VALUES ($1, $2, $3, $4, $5, NULL, $6, $7, '', $8, $9, $10, $11, $12)`)
	if err != nil {
		return nil, err
	}
	reading, err := tx.Prepare(ctx, `INSERT INTO item_reading (item, role, inner_um, outer_um, height_um, overall_um, thread, leg_um, pieces, sure)
		VALUES ($1, $2, $3, $4, $5, NULL, '', NULL, $6, 0)`)
	if err != nil {
		return nil, err
	}
	word, err := tx.Prepare(ctx, `INSERT INTO item_word (word, item) VALUES ($1, $2) ON CONFLICT (word, item) DO NOTHING`)
	if err != nil {
		return nil, err
	}
	return func(i int) error {
		number := fmt.Sprintf("%06d-%d", (i*7919)%1_000_003, i%7)
		norm := strings.Replace(number, "-", "", 1)
		var x [12]any
		if found, err := find.One(ctx, store.Into(&x[0], &x[1], &x[2], &x[3], &x[4], &x[5], &x[6], &x[7], &x[8], &x[9], &x[10], &x[11]),
			supplier, norm); err != nil || found {
			return err
		}
		id, err := tx.NewID()
		if err != nil {
			return err
		}
		if err := item.Exec(ctx, id, supplier, number, norm, "Gabelsimmerring 39x52x11 PAAR", 1+i%2, 100+i%900, "Tolmek",
			fmt.Sprint("T", i), fmt.Sprint("T", i), "2026-01-05", "Gewicht: 12 g"); err != nil {
			return err
		}
		for _, w := range [][]string{{"gabelsimmerring", "paar"}, {"fork", "seal"}, {"staubkappe", "satz", "stk"}}[i%3] {
			if err := word.Exec(ctx, w, id); err != nil {
				return err
			}
		}
		inner := 25000 + i%30*1000
		return reading.Exec(ctx, id, "oil_seal", inner, inner+13000, 8000+i%4*1000, 2)
	}, nil
}

// plainRow inserts a row into a table of two columns.
func plainRow(ctx context.Context, tx *store.Tx) (func(int) error, error) {
	insert, err := tx.Prepare(ctx, `INSERT INTO setting (name, value) VALUES ($1, 'W')`)
	return func(i int) error { return insert.Exec(ctx, fmt.Sprint(i)) }, err
}

// BenchmarkFindItems looks 100,000 items of a price list up, in process and
// warm. The baseline is one LIKE over their descriptions.
func BenchmarkFindItems(b *testing.B) {
	s := benchShop(b)
	if _, err := s.Import(b.Context(), shop.ImportRequest{Files: []string{priceList(b, priceRows)}, Supplier: "Wesselmoor"}); err != nil {
		b.Fatal(err)
	}
	for _, text := range []string{"0000", "T9999", "39x52x10", "39 mm seal", "gabelsimmerring paar", "staubkappe stk"} {
		b.Run(strings.ReplaceAll(text, " ", "_"), func(b *testing.B) {
			for b.Loop() {
				if out, err := s.Find(b.Context(), text, 0); err != nil || len(out.Items) == 0 {
					b.Fatal("nothing found", err)
				}
			}
		})
	}
	b.Run("baseline-like", func(b *testing.B) {
		for b.Loop() {
			err := s.Load(b.Context(), func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
				var n int
				_, err := tx.One(ctx, store.Into(&n), `SELECT count(*) FROM supplier_item WHERE description LIKE '%39%52%' AND part IS NULL`)
				return err
			})
			if err != nil {
				b.Fatal(err)
			}
		}
	})
}
