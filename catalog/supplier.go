package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Supplier is where parts are bought.
type Supplier struct {
	ID       string
	Name     string
	LeadDays int // from order to receipt
	// Discount is how the supplier's price lists are to be read: hundredths of
	// a percent off the printed price, 0 where they are net.
	Discount int64
	Told     bool // whether Discount was told
}

// Item is what a supplier offers. It becomes a part when the shop uses it.
type Item struct {
	ID             string
	Supplier       string // id
	SupplierName   string // given by queries
	Number         string
	Description    string
	Part           string // id, empty while the shop does not use it
	Pack           int64  // of the part's unit
	PackPriceMinor int64  // net
	Priced         bool   // false: the price is not known, and is not 0
	Code           string // that the list gives, as Link has it; nobody has linked it yet
	Maker          string // that the list names
	MakerNumber    string // under which the maker sells it
	Listed         string // day of the list that named it last
	Note           string // what else the list says
	LeadDays       int    // of the supplier, given by queries
}

// AddSupplier adds a supplier. Errors: Invalid, Conflict (the name is taken).
func AddSupplier(ctx context.Context, tx *store.Tx, s Supplier) (Supplier, error) {
	err := s.check()
	if err != nil {
		return s, err
	}
	switch old, err := SupplierNamed(ctx, tx, s.Name); {
	case err == nil:
		return s, fault.New(fault.Conflict, "catalog.supplier_twice", old.Name, old.LeadDays).
			WithHint("catalog.supplier_twice.hint", words.ShellWord(old.Name))
	case fault.KindOf(err) != fault.NotFound:
		return s, err
	}
	if s.ID, err = tx.NewID(); err != nil {
		return s, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO supplier (id, name, name_norm, lead_days, discount) VALUES ($1, $2, $3, $4, $5)`,
		s.ID, s.Name, Normal(s.Name), s.LeadDays, s.discount())
	return s, err
}

// discount gives NULL while nobody has told how the lists are to be read.
func (s Supplier) discount() any {
	if !s.Told {
		return nil
	}
	return s.Discount
}

// Suppliers gives every supplier, by name.
func Suppliers(ctx context.Context, tx *store.Tx) ([]Supplier, error) {
	var all []Supplier
	err := tx.Each(ctx, func(scan store.Scan) error {
		var s Supplier
		err := scan(&s.ID, &s.Name, &s.LeadDays, &s.Discount, &s.Told)
		all = append(all, s)
		return err
	}, `SELECT id, name, lead_days, coalesce(discount, 0), discount IS NOT NULL FROM supplier ORDER BY name_norm`)
	return all, err
}

// SupplierNamed finds a supplier. Error: NotFound.
func SupplierNamed(ctx context.Context, tx *store.Tx, name string) (s Supplier, err error) {
	ok, err := tx.One(ctx, store.Into(&s.ID, &s.Name, &s.LeadDays, &s.Discount, &s.Told), `SELECT id, name, lead_days,
		coalesce(discount, 0), discount IS NOT NULL FROM supplier WHERE name_norm = $1`, Normal(name))
	if err == nil && !ok {
		err = fault.New(fault.NotFound, "catalog.supplier_absent", short(name)).WithHint("catalog.supplier_absent.hint", words.ShellWord(short(name)))
	}
	return s, err
}

// AddItem adds what a supplier offers. Errors: Invalid, Conflict (the supplier
// has that number already).
func AddItem(ctx context.Context, tx *store.Tx, i Item) (Item, error) {
	err := i.check()
	if err != nil {
		return i, err
	}
	twins, err := itemsNumbered(ctx, tx, i.Supplier, i.Number)
	if err != nil {
		return i, err
	}
	if len(twins) > 0 {
		t := twins[0]
		return i, fault.New(fault.Conflict, "catalog.item_twice", t.SupplierName, t.Number).
			WithHint("catalog.item_twice.hint", words.ShellWord(t.SupplierName), words.ShellWord(t.Number))
	}
	if i.ID, err = tx.NewID(); err != nil {
		return i, err
	}
	_, err = tx.Exec(ctx, insertItem, i.inserted()...)
	return i, err
}

// price gives NULL for a price that is not known.
func (i Item) price() any {
	if !i.Priced {
		return nil
	}
	return i.PackPriceMinor
}

const itemColumns = ` i.id, i.supplier, s.name, i.number, i.description, coalesce(i.part, ''), i.pack,
	coalesce(i.pack_price_minor, 0), i.pack_price_minor IS NOT NULL, s.lead_days, i.code, i.maker, i.maker_number, i.listed, i.note `

// ItemsOf gives the items by which a part can be bought, by supplier.
func ItemsOf(ctx context.Context, tx *store.Tx, part string) ([]Item, error) {
	return queryItems(ctx, tx, `SELECT`+itemColumns+`FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE i.part = $1 ORDER BY s.name_norm, i.number_norm`, part)
}

// ItemByID gives the item of an id; ok is false where there is none.
func ItemByID(ctx context.Context, tx *store.Tx, id string) (Item, bool, error) {
	items, err := queryItems(ctx, tx, `SELECT`+itemColumns+`FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE i.id = $1 ORDER BY i.id`, id)
	if err != nil || len(items) == 0 {
		return Item{}, false, err
	}
	return items[0], true, nil
}

func queryItems(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Item, error) {
	var all []Item
	err := tx.Each(ctx, func(scan store.Scan) error {
		i, err := scanItem(scan)
		all = append(all, i)
		return err
	}, query, args...)
	return all, err
}

func scanItem(scan store.Scan) (i Item, err error) {
	return i, scan(&i.ID, &i.Supplier, &i.SupplierName, &i.Number, &i.Description, &i.Part, &i.Pack,
		&i.PackPriceMinor, &i.Priced, &i.LeadDays, &i.Code, &i.Maker, &i.MakerNumber, &i.Listed, &i.Note)
}
