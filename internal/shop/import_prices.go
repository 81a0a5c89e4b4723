package shop

import (
	"context"
	"math/bits"
	"strconv"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Price lists. What a list prints is net, or retail less a discount; a
// supplier's lists are told once how to read, and the price kept is net. A
// description is read when its item is new or told anew; nothing of that is
// more than a proposal.

// Columns of a price list by place: 100,000 rows ask for them.
var price = struct {
	number, supplier, description, pack, net, list, plain, per, ean, maker, makerNumber, part, listed, note, lead, discount int
}{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15}

// priceTaker takes items in.
type priceTaker struct {
	s         *Shop
	tx        *store.Tx
	l         *list
	suppliers map[string]*listOf // by name as the rows write it
}

// listOf is the list of one supplier.
type listOf struct {
	supplier catalog.Supplier
	items    *catalog.Items
	had      bool // items, before
}

// priceTaker readies a transaction for the rows of a price list. Errors:
// NotFound (the supplier), Invalid (nobody told how its prices are printed).
func (s *Shop) priceTaker(ctx context.Context, tx *store.Tx, l *list) (*priceTaker, error) {
	t := &priceTaker{s: s, tx: tx, l: l, suppliers: map[string]*listOf{}}
	if l.q.Supplier == "" {
		if l.has["supplier"] {
			return t, nil
		}
		e := fault.New(fault.Invalid, "shop.import.no_supplier", l.file.File).WithHint("shop.import.no_supplier.hint")
		all, err := catalog.Suppliers(ctx, tx)
		for _, v := range all {
			e.Candidates = append(e.Candidates, fault.Candidate{Name: "--supplier " + words.ShellWord(v.Name)})
		}
		if err != nil {
			return nil, err
		}
		return nil, e
	}
	v, err := catalog.SupplierNamed(ctx, tx, l.q.Supplier)
	if err != nil {
		return nil, err
	}
	if v, err = l.told(ctx, tx, v); err != nil {
		return nil, err
	}
	if !v.Told && (l.has["price"] || l.has["list_price"]) {
		return nil, howPrinted(v)
	}
	_, err = t.of(ctx, l.q.Supplier, v)
	return t, err
}

func howPrinted(v catalog.Supplier) error {
	return fault.New(fault.Invalid, "shop.import.how_printed", v.Name).WithHint("shop.import.how_printed.hint")
}

// told keeps what the command says of how the supplier's lists are printed.
func (l *list) told(ctx context.Context, tx *store.Tx, v catalog.Supplier) (catalog.Supplier, error) {
	was := v
	switch {
	case l.q.Net && l.q.Discount != "":
		return v, fault.New(fault.Invalid, "shop.import.net_or_less")
	case l.q.Net:
		v.Discount, v.Told = 0, true
	case l.q.Discount != "":
		n, err := readMoney(trimmed(l.q.Discount))
		if err != nil || n > 100_00 {
			return v, fault.New(fault.Invalid, "exchange.bad_percent", clipped(l.q.Discount)).WithHint("exchange.bad_percent.hint")
		}
		v.Discount, v.Told = n, true
	}
	if v == was {
		return v, nil
	}
	return v, catalog.ChangeSupplier(ctx, tx, v)
}

func (t *priceTaker) of(ctx context.Context, name string, v catalog.Supplier) (*listOf, error) {
	items, err := catalog.NewItems(ctx, t.tx, v.ID, wording.Words)
	if err != nil {
		return nil, err
	}
	x := &listOf{supplier: v, items: items, had: !t.l.news}
	t.suppliers[name] = x
	return x, nil
}

// supplier finds the list that a row belongs to; a supplier that is not there
// is added where the row says how long it takes.
func (t *priceTaker) supplier(ctx context.Context, row exchange.Row) (*listOf, error) {
	name := row.Get(price.supplier)
	if name == "" || t.l.q.Supplier != "" && catalog.Normal(name) == catalog.Normal(t.l.q.Supplier) {
		name = t.l.q.Supplier
	}
	if x := t.suppliers[name]; x != nil {
		return x, nil
	}
	v, err := catalog.SupplierNamed(ctx, t.tx, name)
	if fault.KindOf(err) == fault.NotFound && row.Get(price.lead) != "" {
		v, err = catalog.AddSupplier(ctx, t.tx, t.supplierOf(row, name))
	}
	if err != nil {
		return nil, in("supplier", err)
	}
	return t.of(ctx, name, v)
}

func (t *priceTaker) supplierOf(row exchange.Row, name string) catalog.Supplier {
	v := catalog.Supplier{Name: name, LeadDays: int(number(row.Get(price.lead)))}
	if text := row.Get(price.discount); text != "" {
		v.Discount, v.Told = number(text), true
	}
	return v
}

func (t *priceTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	x, err := t.supplier(ctx, r.row)
	if err != nil {
		return catalog.Unchanged, err
	}
	i := catalog.Item{
		Number: r.row.Get(price.number), Description: r.row.Get(price.description), Pack: number(r.row.Get(price.pack)),
		Code: r.row.Get(price.ean), Maker: r.row.Get(price.maker), MakerNumber: r.row.Get(price.makerNumber),
		Listed: t.l.listed, Note: r.row.Get(price.note),
	}
	if day := r.row.Get(price.listed); day != "" {
		i.Listed = day
	}
	if r.row.Note != "" {
		if i.Note != "" {
			i.Note += "; "
		}
		i.Note = clip(i.Note+r.row.Note, 500)
	}
	if i.PackPriceMinor, i.Priced, err = x.price(r.row, i.Pack); err != nil {
		if err = t.l.cell(r.row.Line, "price", err); err != nil {
			return catalog.Unchanged, err
		}
	}
	if name := r.row.Get(price.part); name != "" {
		p, err := catalog.PartNamed(ctx, t.tx, name)
		if err = t.l.cell(r.row.Line, "our_part", err); err != nil {
			return catalog.Unchanged, err
		}
		i.Part = p.ID
	}
	o, err := x.items.Put(ctx, i, r.reading)
	switch {
	case err != nil:
	case o == catalog.Added && x.had:
		err = t.zeros(ctx, x, r.row, i)
	case o == catalog.Changed && i.Priced && x.items.Old.Part != "": // what the shop buys
		t.jumped(r.row, x.items.Old, i)
	}
	return o, err
}

// jumped notes a price that is far from the one before.
func (t *priceTaker) jumped(row exchange.Row, old, now catalog.Item) {
	was, known := old.Price()
	if now.Pack == 0 {
		now.Pack = old.Pack
	}
	if is, _ := now.Price(); known {
		if j := jump(was, is, t.s.settings.Currency, old.Listed); j != nil {
			t.l.note(exchange.Flaw{
				Line: row.Line, Column: t.l.header("price"), Why: fault.Say("shop.import.jumped", now.Number, j.Why),
			})
		}
	}
}

// zeros offers the numbers that a new one may be without its zeros.
func (t *priceTaker) zeros(ctx context.Context, x *listOf, row exchange.Row, i catalog.Item) error {
	like, err := catalog.NumbersZeroed(ctx, t.tx, x.supplier.ID, i.Number)
	for _, n := range like {
		t.l.note(exchange.Flaw{
			Line: row.Line, Column: t.l.header("supplier_number"), Why: fault.Say("shop.import.zeros", i.Number, n),
		})
	}
	return err
}

// price gives the net price of a pack.
func (x *listOf) price(row exchange.Row, pack int64) (minor int64, known bool, err error) {
	text, less := row.Get(price.net), false
	if text == "" {
		if text = row.Get(price.list); text == "" {
			text = row.Get(price.plain)
		}
		less = true
	}
	if text == "" {
		return 0, false, nil
	}
	if less && !x.supplier.Told {
		return 0, false, howPrinted(x.supplier)
	}
	minor = number(text)
	if less && x.supplier.Discount > 0 {
		minor = share(minor, 100_00-x.supplier.Discount, 100_00)
	}
	if per := number(row.Get(price.per)); per > 0 {
		minor = share(minor, max(pack, 1), per)
	}
	return minor, true, nil
}

// share gives n*a/b, rounded half to even, the most there is where that is
// too much.
func share(n, a, b int64) int64 {
	hi, lo := bits.Mul64(uint64(n), uint64(a))
	if hi >= uint64(b) {
		return 1 << 62
	}
	q, r := bits.Div64(hi, lo, uint64(b))
	if 2*r > uint64(b) || 2*r == uint64(b) && q%2 == 1 {
		q++
	}
	return int64(min(q, 1<<62))
}

// number reads a canonical whole number; 0 for none.
func number(text string) int64 {
	n, _ := strconv.ParseInt(text, 10, 64)
	return n
}

func clip(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most])
	}
	return text
}
