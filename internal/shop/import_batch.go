package shop

import (
	"cmp"
	"context"

	"forkstock/inventory"
)

// facts gives what is printed on the pieces of a lot.
func facts(l inventory.Lot) string { return l.Batch + "\n" + l.Cure + "\n" + l.UseBy }

// means reports whether a row may mean a lot by its batch: neither says another
// date, or delivery, than the other does.
func (c *counted) means(l inventory.Lot) bool {
	w := c.lot
	agree := func(a, b string) bool { return a == "" || b == "" || a == b }
	return w.ID == "" && w.Short == 0 && w.Batch != "" && w.Batch == l.Batch &&
		agree(w.Cure, l.Cure) && agree(w.UseBy, l.UseBy) && agree(w.Delivery, l.Delivery)
}

// byBatch gives rows that name the batch of one lot, which no other row names
// or may mean, the dates of that lot: of one in the bin, or, for a row without
// a date, of one in another bin.
func (g *together) byBatch(lines []inventory.Line, bin inventory.Bin) {
	for _, c := range g.rows {
		l, ok := g.onlyOf(c, lines, func(l inventory.Line) bool { return lies(l, bin) })
		if !ok && c.lot.Cure+c.lot.UseBy == "" {
			l, ok = g.onlyOf(c, lines, func(inventory.Line) bool { return true })
		}
		if ok {
			c.lot.Cure, c.lot.UseBy = cmp.Or(c.lot.Cure, l.Cure), cmp.Or(c.lot.UseBy, l.UseBy)
			c.poorer = facts(l)
		}
	}
}

// onlyOf gives the lot of some lines that a row alone means; false where there
// is none, where there are several that do not say the same, or where the row
// says the very same of one.
func (g *together) onlyOf(c *counted, lines []inventory.Line, among func(inventory.Line) bool) (only inventory.Lot, ok bool) {
	for _, l := range lines {
		switch {
		case !among(l):
		case c.fits(l.Lot) > 0:
			return only, false
		case !c.means(l.Lot):
		case ok && facts(only) != facts(l.Lot), g.shared(c, l.Lot):
			return only, false
		default:
			only, ok = l.Lot, true
		}
	}
	return only, ok
}

// shared reports whether a row beside c names or may mean a lot.
func (g *together) shared(c *counted, l inventory.Lot) bool {
	for _, o := range g.rows {
		if o != c && (o.fits(l) > 0 || o.means(l)) {
			return true
		}
	}
	return false
}

// date tells the lots of own what the row tells more of them.
func (b *binCount) date(ctx context.Context, own []inventory.Line) (dated bool, err error) {
	for i, l := range own {
		to := b.row.lot
		if b.row.bare() || to.ID != "" || facts(to) == facts(l.Lot) {
			continue
		}
		p, err := b.posting(ctx)
		if err != nil {
			return dated, err
		}
		if own[i].Lot, err = inventory.Relot(ctx, b.tx, p, l, to, l.Amount); err != nil {
			return dated, err
		}
		dated = true
	}
	return dated, nil
}
