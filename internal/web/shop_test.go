package web

import (
	"context"
	"testing"
	"time"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// noon is the time in every test shop.
var noon = time.Date(2026, time.November, 25, 11, 0, 0, 0, time.UTC)

// testShop gives an invented shop: sizes follow common practice for the leg
// diameter (no source), names and numbers mean nobody's.
func testShop(t testing.TB, language string) *shop.Shop {
	t.Helper()
	ctx, dir := t.Context(), t.TempDir()
	opt := shop.Options{Clock: func() time.Time { return noon }, Process: "server"}
	set := shop.Settings{Zone: "Europe/Vienna", Currency: "EUR", Language: language, Person: "Anna Probe"}
	if err := shop.Init(ctx, dir, set, opt); err != nil {
		t.Fatal(err)
	}
	open, err := shop.Open(ctx, dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = open.Close() })
	if err := open.Load(ctx, func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		f := filling{ctx, tx, who.ID, map[string]catalog.Part{}, nil}
		f.stock()
		f.forks()
		f.known()
		f.trade()
		return f.err
	}); err != nil {
		t.Fatal(err)
	}
	return open
}

// filling fills a shop until something fails.
type filling struct {
	ctx    context.Context
	tx     *store.Tx
	person string
	parts  map[string]catalog.Part
	err    error
}

// fill runs one step and keeps the first error.
func fill[T any](f *filling, step func() (T, error)) (out T) {
	if f.err == nil {
		out, f.err = step()
	}
	return out
}

func size(text string) measure.Size {
	s, err := measure.ParseSize(text)
	if err != nil {
		panic(err)
	}
	return s
}

func (f *filling) stock() {
	bin := fill(f, func() (inventory.Bin, error) {
		return inventory.AddBin(f.ctx, f.tx, inventory.Bin{Name: "A-01-1", Kind: "shelf"})
	})
	fill(f, func() (inventory.Bin, error) {
		return inventory.AddBin(f.ctx, f.tx, inventory.Bin{Name: "B-02-2", Kind: "shelf"})
	})
	for _, p := range []catalog.Part{
		{
			Number: "NS 41", Maker: "Nelvo", Role: catalog.OilSeal, Description: "Seal, single", Size: size("41x54x11"),
			Elastomer: "NBR", HomeBin: bin.ID, Source: "Nelvo list 3",
		},
		{Number: "NS-41", Maker: "Quarn", Role: catalog.Wiper, Description: `<script>alert("x")</script>`, Size: size("41x54.5x6")},
		{Number: "NS 419", Maker: "Nelvo", Role: catalog.OilSeal, Description: "Seal, short", Size: size("41x54x9.5")},
		{Number: "BW-10", Maker: "Quarn", Role: catalog.BottomWasher, Description: "Copper", Size: size("10x16x1.5"), Minimum: 4},
		{Number: "BB-10", Maker: "Quarn", Role: catalog.BottomBolt, Description: "Socket head", Size: measure.Size{Height: 30_000}, Thread: "M10x1.25"},
		{Number: "OL-10", Maker: "Nelvo", Role: catalog.Oil, Description: "Fork oil 10W", Unit: catalog.Millilitre},
		{Number: "KIT-1", Maker: "Quarn", Role: catalog.Kit, Description: "Both legs"},
	} {
		if p.Unit == "" {
			p.Unit = catalog.Piece
		}
		f.parts[p.Name()] = fill(f, func() (catalog.Part, error) { return catalog.AddPart(f.ctx, f.tx, p) })
	}
	fill(f, func() (struct{}, error) {
		return struct{}{}, catalog.SetContents(f.ctx, f.tx, f.parts["Quarn/KIT-1"], []catalog.Content{
			{Part: f.parts["Nelvo/NS 41"], Pieces: 2}, {Part: catalog.Part{Role: catalog.BottomWasher, Size: measure.Size{Inner: 10_000, Outer: 16_000}}, Pieces: 2},
		})
	})
	for name, amount := range map[string]int64{"Nelvo/NS 41": 4, "Quarn/NS-41": 2, "Nelvo/OL-10": 5000} {
		part := f.parts[name].ID
		lot := fill(f, func() (inventory.Lot, error) { return inventory.LotOf(f.ctx, f.tx, inventory.Lot{Part: part}) })
		fill(f, func() (inventory.Posting, error) {
			return inventory.Post(f.ctx, f.tx, inventory.Posting{Kind: inventory.Opening, Person: f.person},
				[]inventory.Flow{{Part: part, Lot: lot.ID, To: bin.ID, Amount: amount}})
		})
	}
}

func (f *filling) forks() {
	legs := []catalog.Leg{{Leg: "left", Damping: "damper_rod", Springing: "coil"}, {Leg: "right", Damping: "damper_rod", Springing: "coil"}}
	for _, fork := range []catalog.Fork{
		{Name: "Tarn 41", Layout: "conventional", Leg: 41_000, Note: "no adjuster", Source: "bench", Legs: legs},
		{Name: "Tarn 41 B", Layout: "conventional", Leg: 41_000, Note: "slotted adjuster", Legs: legs},
	} {
		added := fill(f, func() (catalog.Fork, error) { return catalog.AddFork(f.ctx, f.tx, fork) })
		for _, p := range []catalog.Position{
			{Seq: 1, Role: catalog.OilSeal, Leg: "both", PerLeg: 1, Renew: "always", Fitted: "yes", Size: size("41x54x11"), Note: "lettering up"},
			{Seq: 2, Role: catalog.Wiper, Leg: "both", PerLeg: 2, Renew: "judge", Fitted: "yes", Size: size("41x54.5x6")},
			{Seq: 3, Role: catalog.BottomWasher, Leg: "both", PerLeg: 1, Renew: "opened", Fitted: "yes", Size: size("10x16x1.5")},
			{Seq: 4, Role: catalog.DrainScrew, Leg: "left", PerLeg: 1, Renew: "damage", Fitted: "no"},
			{Seq: 6, Role: catalog.Oil, Leg: "both", PerLeg: 485, Renew: "always", Fitted: "yes", Parts: []catalog.NamedPart{{Part: f.parts["Nelvo/OL-10"].ID, Source: "bench"}}},
			{Seq: 5, Role: "protector", Leg: "both", PerLeg: 1, Renew: "damage", Fitted: "unknown"},
		} {
			fill(f, func() (catalog.Position, error) { return catalog.AddPosition(f.ctx, f.tx, added.ID, p) })
		}
		fill(f, func() (struct{}, error) {
			return struct{}{}, catalog.AddOilFill(f.ctx, f.tx, added.ID, catalog.OilFill{
				Leg: "both", Chamber: "leg", DryML: 485, Gap: 140_500, GapHow: "spring out",
			})
		})
		fill(f, func() (catalog.Fitment, error) {
			return catalog.AddFitment(f.ctx, f.tx, catalog.Fitment{Make: "Ovarra", Model: "Pellin 500", YearFrom: 1999, YearTo: 2003, Fork: added.ID})
		})
	}
}

func (f *filling) trade() {
	sup := fill(f, func() (catalog.Supplier, error) {
		return catalog.AddSupplier(f.ctx, f.tx, catalog.Supplier{Name: "Halm & Co", LeadDays: 3})
	})
	fill(f, func() (catalog.Item, error) {
		return catalog.AddItem(f.ctx, f.tx, catalog.Item{
			Supplier: sup.ID, Number: "H-100", Description: "COPPER WASHER 10X16", Part: f.parts["Quarn/BW-10"].ID, Pack: 10, PackPriceMinor: 250, Priced: true,
		})
	})
	for code, pieces := range map[string]int64{"NELVO41": 2, "NELVO41B": 2} {
		fill(f, func() (struct{}, error) {
			link := catalog.Link{Code: code, Part: f.parts["Nelvo/NS 41"].ID, Pieces: pieces}
			return struct{}{}, catalog.LinkCode(f.ctx, f.tx, link, f.person, false)
		})
	}
}
