package reorder

import (
	"cmp"
	"math"

	"forkstock/internal/fault"
)

// Item is a pack that a supplier sells of the part.
type Item struct {
	Supplier       string
	Number         string // the supplier's own
	Pack           int64  // pieces in a pack
	PackPriceMinor *int64 // price of a pack; nil where it is not known
	LeadDays       int
}

// Choice is an Item and how many packs of it to buy.
type Choice struct {
	Item       Item
	Packs      int64
	PriceMinor *int64 // of all packs; nil where it is not known
}

// Choose gives the cheapest way to cover a need of pieces with packs of one
// item: by the price of all packs; among equals the shorter delivery, then
// supplier and number in order. Items without a price come into question only
// where no item has one: then the fewest pieces stand in for the price. It
// returns a NotFound fault without items, and an Invalid one for a need or a
// pack below 1 or beyond all use, a price below 0, a total beyond an int64.
func Choose(items []Item, need int64) (Choice, error) {
	if len(items) == 0 {
		return Choice{}, fault.New(fault.NotFound, "reorder.no_item").WithHint("reorder.hint_no_item")
	}
	if need < 1 || need > mostStock {
		return Choice{}, invalid("bad_number", fault.Say("reorder.need"), need, int64(1), int64(mostStock))
	}
	var best Choice
	for i, item := range items {
		c, err := item.cover(need)
		if err != nil {
			return Choice{}, err
		}
		if i == 0 || c.compare(best) < 0 {
			best = c
		}
	}
	return best, nil
}

// cover gives the packs of i that cover need.
func (i Item) cover(need int64) (Choice, error) {
	if i.Pack < 1 || i.Pack > mostStock {
		return Choice{}, invalid("bad_pack", i.Supplier, i.Number, i.Pack)
	}
	c := Choice{Item: i, Packs: packs(need, i.Pack)}
	if i.PackPriceMinor == nil {
		return c, nil
	}
	price := *i.PackPriceMinor
	if price < 0 || price > math.MaxInt64/c.Packs {
		return Choice{}, invalid("bad_price", i.Supplier, i.Number)
	}
	price *= c.Packs
	c.PriceMinor = &price
	return c, nil
}

// packs gives the fewest packs that hold need pieces.
func packs(need, pack int64) int64 { return (need-1)/pack + 1 }

// compare orders choices from best to worst.
func (c Choice) compare(d Choice) int {
	var first int
	switch {
	case c.PriceMinor != nil && d.PriceMinor != nil:
		first = cmp.Compare(*c.PriceMinor, *d.PriceMinor)
	case c.PriceMinor != nil:
		return -1
	case d.PriceMinor != nil:
		return 1
	default:
		first = cmp.Compare(c.pieces(), d.pieces())
	}
	return cmp.Or(first,
		cmp.Compare(c.Item.LeadDays, d.Item.LeadDays),
		cmp.Compare(c.Item.Supplier, d.Item.Supplier),
		cmp.Compare(c.Item.Number, d.Item.Number))
}

// pieces gives how many pieces c buys.
func (c Choice) pieces() int64 { return c.Packs * c.Item.Pack }
