package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// What a code that nobody has linked is likely to stand for. It is a number of
// a part, or of what a supplier offers; or a GTIN of a price list; or that of a
// carton with packs whose GTIN is known. All of this proposes: a person says
// yes, once, and from then on the code is known.

// A Meaning is something that a code is likely to stand for.
type Meaning struct {
	Code   string // of which it is meant: the one of two readings
	Part   string // id; empty while the shop does not use the item
	Item   Item   // what a supplier offers; the zero Item where a part alone is meant
	Pieces int64  // of the part's unit; 0: nobody knows how many packs are in the carton
	Of     string // id of the supplier on whose goods alone it is so, empty: on everybody's
	Why    fault.Message
}

// Meanings gives what a code is likely to stand for on the goods of a supplier
// (id, empty where not known): each part, with each number of pieces, once.
func Meanings(ctx context.Context, tx *store.Tx, code, supplier string) ([]Meaning, error) {
	m := meaning{ctx: ctx, tx: tx, code: code, supplier: supplier}
	for _, step := range []func() error{m.listed, m.numbered, m.carton} {
		if err := step(); err != nil || len(m.all) > 0 {
			return m.all, err
		}
	}
	return nil, nil
}

// meaning gathers what a code is likely to stand for.
type meaning struct {
	ctx            context.Context
	tx             *store.Tx
	code, supplier string
	all            []Meaning
}

// add adds a meaning that says something new.
func (m *meaning) add(x Meaning) {
	x.Code = m.code
	same := func(o Meaning) bool {
		return o.Part == x.Part && o.Pieces == x.Pieces && o.Of == x.Of && (x.Part != "" || o.Item.ID == x.Item.ID)
	}
	if !slices.ContainsFunc(m.all, same) {
		m.all = append(m.all, x)
	}
}

// listed looks the code up in price lists, that of the supplier before others.
func (m *meaning) listed() error {
	if !gs1.Valid(m.code) {
		return nil
	}
	items, err := m.items(`i.code <> '' AND i.code = $1`, m.code)
	for _, i := range items {
		m.add(Meaning{Part: i.Part, Item: i, Pieces: i.Pack, Why: fault.Say("meaning.listed", i.SupplierName, i.Number)})
	}
	return err
}

// numbered looks the code up among the numbers of parts and of what suppliers
// offer. What a supplier calls a part holds for that one's goods.
func (m *meaning) numbered() error {
	if Normal(m.code) == "" || gs1.Valid(m.code) && len(m.code) == 14 {
		return nil
	}
	items, err := m.items(`i.number_norm = $1`, Normal(m.code))
	if err != nil {
		return err
	}
	for _, i := range items {
		if m.supplier != "" && i.Supplier != m.supplier { // what others call so is something else
			continue
		}
		m.add(Meaning{Part: i.Part, Item: i, Pieces: i.Pack, Of: i.Supplier, Why: fault.Say("meaning.number_of_supplier", i.SupplierName, i.Number)})
	}
	named, err := NumbersNamed(m.ctx, m.tx, m.code)
	if err != nil {
		return err
	}
	for _, n := range named {
		if n.Part == "" || slices.ContainsFunc(m.all, func(o Meaning) bool { return o.Part == n.Part }) {
			continue
		}
		if err := m.part(n); err != nil {
			return err
		}
	}
	return nil
}

// part adds a part whose number the code is, in the packs that suppliers sell
// it in, singly where nobody does.
func (m *meaning) part(n Named) error {
	offers, err := ItemsOf(m.ctx, m.tx, n.Part)
	if err != nil {
		return err
	}
	own := slices.DeleteFunc(slices.Clone(offers), func(i Item) bool { return i.Supplier != m.supplier })
	if len(own) > 0 {
		offers = own
	}
	why := fault.Say("meaning.number", n.Name())
	for _, i := range offers {
		m.add(Meaning{Part: n.Part, Pieces: i.Pack, Why: why})
	}
	if len(offers) == 0 {
		m.add(Meaning{Part: n.Part, Pieces: 1, Why: why})
	}
	return nil
}

// carton takes a GTIN-14 with an indicator digit for a carton of packs with the
// GTIN behind it. How many packs, nothing says; a label with AI 02 says it, in
// AI 37.
// Source: GS1 General Specifications 21.0.1, 2.1.6: indicators 1 to 8 are
// groupings, 9 is a measure that varies.
func (m *meaning) carton() error {
	inner, ok := gs1.Inner(m.code)
	inside, many := strings.CutPrefix(m.code, "(02)")
	if many {
		inner, ok = inside, true
	}
	if !ok {
		return nil
	}
	link, known, err := LinkFrom(m.ctx, m.tx, inner, m.supplier)
	if err != nil {
		return err
	}
	packs := func(part string, i Item, pieces int64) {
		x := Meaning{Part: part, Item: i, Why: fault.Say("meaning.carton", gs1.Printed(inner), pieces)}
		if many { // the label says how many packs there are
			x.Pieces, x.Why = pieces, fault.Say("meaning.packs_in_carton", gs1.Printed(inner), pieces)
		}
		m.add(x)
	}
	if known && link.Part != "" {
		packs(link.Part, Item{}, link.Pieces)
		return nil
	}
	items, err := m.items(`i.code <> '' AND i.code = $1`, inner)
	for _, i := range items {
		packs(i.Part, i, i.Pack)
	}
	return err
}

// items gives what suppliers offer, of the supplier alone where that one does.
func (m *meaning) items(where, value string) ([]Item, error) {
	all, err := queryItems(m.ctx, m.tx, `SELECT`+itemColumns+`FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE `+where+` ORDER BY s.name_norm, i.number_norm LIMIT 20`, value)
	own := slices.DeleteFunc(slices.Clone(all), func(i Item) bool { return i.Supplier != m.supplier })
	if len(own) > 0 {
		return own, err
	}
	return all, err
}

// IsNumber reports whether a text is the number of a part, or of what a
// supplier offers.
func IsNumber(ctx context.Context, tx *store.Tx, text string) (bool, error) {
	all, err := Meanings(ctx, tx, text, "")
	return len(all) > 0, err
}
