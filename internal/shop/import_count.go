package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// What the rows of a file of stock say of one part in one bin is taken together:
//
//   - a row without lot, batch and date states the sum; beside rows that name
//     lots it states the sum of those that they do not name;
//   - a row that names a lot states that lot, and pieces that lie there without
//     batch and date become of it: more is known now of the same ones;
//   - a row that names a batch means the one lot of that batch, though one of
//     the two has no date: see byBatch;
//   - a lot that lies there and that no row names is neither kept nor emptied
//     unseen: the rows are refused, with the lots that they have to tell.
//
// One of them that cannot be used leaves out the others: half a bin is no sum.

// counts knows the rows of a file of stock, by line.
type counts map[int]*counted

// counted is one row.
type counted struct {
	of       *together
	line     int
	lot      inventory.Lot // without an id where it may be a new one; none: no lot is named
	delivery string        // its name, where the lot is named by what is told of it
	poorer   string        // batch and dates of a lot that the row tells more of
	amount   int64
	unread   error    // what is wrong with its cure date, which is left out
	err      error    // why it cannot be used
	first    *counted // an earlier row that is the very same
	outcome  catalog.Outcome
}

// bare reports whether the row names no lot.
func (c *counted) bare() bool { return c.delivery == "" && c.lot == inventory.Lot{} }

// together are the rows of one part and bin, without those that repeat others.
type together struct {
	part    catalog.Part
	rows    []*counted
	broken  int // line of a row that cannot be used, 0 for none
	done    bool
	changes []StockChange // that settling them made
	err     error         // why none of them went in
}

// countsOf reads a file of stock for what its rows tell together.
func (s *Shop) countsOf(ctx context.Context, tx *store.Tx, l *list) (counts, error) {
	f, err := l.open(s.settings.Currency)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	all := counts{}
	t := &stockTaker{base{s: s, tx: tx, l: l}}
	groups := map[[2]string]*together{}
	err = f.Rest(func(row exchange.Row, _ []exchange.Flaw, ok bool) error {
		get := t.cells(row)
		c := &counted{line: row.Line, amount: number(get("amount"))}
		all[row.Line] = c
		if get("number") == "" {
			return nil
		}
		var p catalog.Part
		if p, c.err = t.part(ctx, get("number"), get("maker"), "number"); c.err == nil {
			key := [2]string{p.ID, catalog.Normal(get("bin"))}
			if groups[key] == nil {
				groups[key] = &together{part: p}
			}
			c.of = groups[key]
			t.told(ctx, c, get)
			_, twice := l.twice.Flaw(&row)
			c.of.add(c, ok && !twice && c.err == nil)
		}
		if c.err != nil && !ofRow(c.err) {
			return c.err
		}
		return nil
	})
	return all, err
}

// add adds a row.
func (g *together) add(c *counted, ok bool) {
	same := func(o *counted) bool {
		a, b := c.lot, o.lot
		if a.Since, b.Since = "", ""; a.ID == "" && b.ID == "" {
			a.Short, b.Short = 0, 0
		}
		return a == b && catalog.Normal(c.delivery) == catalog.Normal(o.delivery)
	}
	i := -1
	if ok {
		i = slices.IndexFunc(g.rows, same)
	}
	switch {
	case !ok:
	case i < 0:
		g.rows = append(g.rows, c)
		return
	case g.rows[i].amount == c.amount && g.rows[i].lot.Short == c.lot.Short:
		c.first = g.rows[i]
		return
	default:
		c.err = in("amount", fault.New(fault.Conflict, "exchange.told_twice", g.part.Name(), g.rows[i].line).WithHint("exchange.told_twice.hint"))
	}
	if g.broken == 0 {
		g.broken = c.line
	}
}

// fits tells how well a row names a lot, 0 for not at all.
func (c *counted) fits(l inventory.Lot) int {
	w := c.lot
	switch {
	case c.bare(), w.ID != "" && w.ID != l.ID:
		return 0
	case w.ID != "":
		return 3
	case facts(w) != facts(l) && (c.poorer == "" || c.poorer != facts(l)):
		return 0
	case w.Delivery == l.Delivery:
		return 2
	case w.Delivery == "":
		return 1
	}
	return 0
}

// owner gives the row that names a lot, nil for none.
func (g *together) owner(l inventory.Lot) (row *counted) {
	best := 0
	for _, c := range g.rows {
		if n := c.fits(l); n > best {
			best, row = n, c
		}
	}
	return row
}

// sum gives the row that names no lot, nil for none.
func (g *together) sum() *counted {
	if i := slices.IndexFunc(g.rows, (*counted).bare); i >= 0 {
		return g.rows[i]
	}
	return nil
}

// plain reports whether nothing is known of a lot.
func plain(l inventory.Lot) bool { return l.Batch+l.Cure+l.UseBy == "" }

func amountOf(lines []inventory.Line) (n int64) {
	for _, l := range lines {
		n += l.Amount
	}
	return n
}

// share gives what the book has in the bin of the lot of each row, and of
// those that no row names.
func (g *together) share(lines []inventory.Line, bin inventory.Bin) (own map[*counted][]inventory.Line, rest []inventory.Line) {
	g.byBatch(lines, bin)
	own = map[*counted][]inventory.Line{}
	for _, l := range lines {
		if !lies(l, bin) {
			continue
		}
		if c := g.owner(l.Lot); c != nil {
			own[c] = append(own[c], l)
		} else {
			rest = append(rest, l)
		}
	}
	return own, rest
}

// lies reports whether a line is in a bin; in none: whether it may be taken.
func lies(l inventory.Line, bin inventory.Bin) bool {
	return l.Bin.ID == bin.ID || bin.ID == "" && l.Bin.Free()
}

// spare says how many of the rest may turn out to be of lots that the rows
// name. Error: Conflict, naming the lots of which the rows have to say more.
func (g *together) spare(own map[*counted][]inventory.Line, rest []inventory.Line, bin inventory.Bin) (int64, error) {
	var unknown, lacking int64
	for _, l := range rest {
		if plain(l.Lot) {
			unknown += l.Amount
		}
	}
	for _, c := range g.rows {
		if !c.bare() {
			lacking += max(c.amount-amountOf(own[c]), 0)
		}
	}
	if c := g.sum(); c != nil {
		return max(min(unknown, amountOf(rest)-c.amount), 0), nil
	}
	over := amountOf(rest) - min(unknown, lacking)
	if over <= 0 {
		return unknown, nil
	}
	var lots []any
	for _, l := range rest {
		if !plain(l.Lot) || unknown > lacking {
			lots = append(lots, lotName(l.Lot.Short, l.Lot.Batch))
		}
	}
	first, all := lots[0], lots[0]
	for _, l := range lots[1:] {
		all = fault.Say("shop.import.lots", all, l)
	}
	return 0, in("lot", fault.New(fault.Conflict, "shop.import.unnamed", g.part.Name(), where(bin), over, all).
		WithHint("shop.import.unnamed.hint", first))
}

// lotName names a lot by the shop's number for it and its batch, if it has one.
func lotName(short int64, batch string) any {
	if batch == "" {
		return short
	}
	return fault.Say("shop.import.lot", short, batch)
}

// where names a bin.
func where(bin inventory.Bin) any {
	if bin.Name != "" {
		return bin.Name
	}
	return fault.Say("shop.import.anywhere")
}

// StockChange is what a row of a list of stock changed.
type StockChange struct {
	File     string `json:"file"`
	Line     int    `json:"line"`
	Number   string `json:"number"`
	Maker    string `json:"maker"`
	Unit     string `json:"unit"`
	Bin      string `json:"bin"` // empty: wherever it may be taken from
	Lot      int64  `json:"lot"` // 0: the row names none, the amounts are sums
	Batch    string `json:"batch,omitempty"`
	Was      int64  `json:"was"`
	Now      int64  `json:"now"`
	Relotted int64  `json:"relotted"` // of Now: lay there before, without batch and date
	Dated    bool   `json:"dated"`    // the lot had no date that the row tells
}

// What says it in words.
func (c StockChange) What() fault.Message {
	name, bin, lot := c.Maker+"/"+c.Number, where(inventory.Bin{Name: c.Bin}), lotName(c.Lot, c.Batch)
	switch {
	case c.Lot == 0:
		return fault.Say("shop.import.count", name, bin, c.Was, c.Now)
	case c.Relotted > 0:
		return fault.Say("shop.import.relot", name, bin, c.Was, c.Now, lot, c.Relotted)
	case c.Dated:
		return fault.Say("shop.import.dated", name, bin, c.Was, c.Now, lot)
	}
	return fault.Say("shop.import.count_lot", name, bin, c.Was, c.Now, lot)
}
