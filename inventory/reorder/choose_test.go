package reorder_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"forkstock/internal/fault"
	"forkstock/inventory/reorder"
)

func price(minor int64) *int64 { return &minor }

func TestChoose(t *testing.T) {
	for name, tt := range map[string]struct {
		items []reorder.Item
		need  int64
		item  string // supplier and number
		packs int64
		minor int64 // -1 where it is not known
	}{
		"single packs": {[]reorder.Item{{"Nord", "1", 1, price(100), 2}, {"Süd", "2", 10, price(500), 2}}, 4, "Nord 1", 4, 400},
		"larger pack":  {[]reorder.Item{{"Nord", "1", 1, price(100), 2}, {"Süd", "2", 10, price(500), 2}}, 6, "Süd 2", 1, 500},
		"exact pack":   {[]reorder.Item{{"Nord", "1", 10, price(500), 2}}, 10, "Nord 1", 1, 500},
		"one more":     {[]reorder.Item{{"Nord", "1", 10, price(500), 2}}, 11, "Nord 1", 2, 1000},
		"sooner":       {[]reorder.Item{{"Nord", "1", 1, price(100), 9}, {"Süd", "2", 1, price(100), 2}}, 1, "Süd 2", 1, 100},
		"by name":      {[]reorder.Item{{"Süd", "1", 1, price(100), 2}, {"Nord", "2", 1, price(100), 2}}, 1, "Nord 2", 1, 100},
		"by number":    {[]reorder.Item{{"Nord", "2", 1, price(100), 2}, {"Nord", "1", 1, price(100), 2}}, 1, "Nord 1", 1, 100},
		"known first":  {[]reorder.Item{{"Nord", "1", 1, nil, 0}, {"Süd", "2", 1, price(9999), 9}}, 1, "Süd 2", 1, 9999},
		"none known":   {[]reorder.Item{{"Nord", "1", 10, nil, 0}, {"Süd", "2", 4, nil, 9}}, 3, "Süd 2", 1, -1},
		"free":         {[]reorder.Item{{"Nord", "1", 1, price(0), 9}, {"Süd", "2", 1, price(1), 0}}, 3, "Nord 1", 3, 0},
		"dearest":      {[]reorder.Item{{"Nord", "1", 1, price(math.MaxInt64), 9}}, 1, "Nord 1", 1, math.MaxInt64},
	} {
		got, err := reorder.Choose(tt.items, tt.need)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		minor := int64(-1)
		if got.PriceMinor != nil {
			minor = *got.PriceMinor
		}
		if item := got.Item.Supplier + " " + got.Item.Number; item != tt.item || got.Packs != tt.packs || minor != tt.minor {
			t.Errorf("%s: %d packs of %s for %d, want %d of %s for %d", name, got.Packs, item, minor, tt.packs, tt.item, tt.minor)
		}
	}
}

func TestChooseRefuses(t *testing.T) {
	for name, tt := range map[string]struct {
		items []reorder.Item
		need  int64
		kind  fault.Kind
	}{
		"no items":    {nil, 1, fault.NotFound},
		"no need":     {[]reorder.Item{{"Nord", "1", 1, nil, 0}}, 0, fault.Invalid},
		"need below":  {[]reorder.Item{{"Nord", "1", 1, nil, 0}}, -3, fault.Invalid},
		"need huge":   {[]reorder.Item{{"Nord", "1", 1, nil, 0}}, math.MaxInt64, fault.Invalid},
		"no pack":     {[]reorder.Item{{"Nord", "1", 0, nil, 0}}, 1, fault.Invalid},
		"pack huge":   {[]reorder.Item{{"Nord", "1", math.MaxInt64, nil, 0}}, 1, fault.Invalid},
		"price below": {[]reorder.Item{{"Nord", "1", 1, price(-1), 0}}, 1, fault.Invalid},
		"price huge":  {[]reorder.Item{{"Nord", "1", 1, price(math.MaxInt64), 0}}, 2, fault.Invalid},
	} {
		_, err := reorder.Choose(tt.items, tt.need)
		isFault(t, name, err, tt.kind)
	}
}

// Whatever the order of the items, the choice is one, covers the need, and no
// item with a price does it for less.
func TestChooseIsCheapest(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		items := make([]reorder.Item, 1+random.IntN(5))
		for i := range items {
			items[i] = reorder.Item{
				Supplier: string(rune('A' + random.IntN(3))), Number: string(rune('1' + i)),
				Pack: 1 + random.Int64N(6), LeadDays: random.IntN(3),
			}
			if random.IntN(4) > 0 {
				items[i].PackPriceMinor = price(random.Int64N(20))
			}
		}
		need := 1 + random.Int64N(20)
		got, err := reorder.Choose(items, need)
		if err != nil {
			t.Fatal(err)
		}
		if bought := got.Packs * got.Item.Pack; bought < need || bought-got.Item.Pack >= need {
			t.Errorf("%d packs of %d for %d pieces", got.Packs, got.Item.Pack, need)
		}
		for _, item := range items {
			if item.PackPriceMinor == nil {
				continue
			}
			packs := int64(math.Ceil(float64(need) / float64(item.Pack)))
			if got.PriceMinor == nil || *got.PriceMinor > packs**item.PackPriceMinor {
				t.Errorf("%+v costs less than %+v for %d", item, got, need)
			}
		}
		random.Shuffle(len(items), func(i, j int) { items[i], items[j] = items[j], items[i] })
		if again, _ := reorder.Choose(items, need); again.Item != got.Item {
			t.Errorf("%+v after shuffling, %+v before", again.Item, got.Item)
		}
	}
}
