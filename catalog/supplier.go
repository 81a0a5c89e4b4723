package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Supplier is where parts are bought.
type Supplier struct {
	ID       string
	Name     string
	LeadDays int // from order to receipt
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
	LeadDays       int    // of the supplier, given by queries
}

// AddSupplier adds a supplier. Error: Invalid.
func AddSupplier(ctx context.Context, tx *store.Tx, s Supplier) (Supplier, error) {
	if Normal(s.Name) == "" || s.LeadDays < 0 {
		return s, fault.New(fault.Invalid, "catalog.bad_supplier", s.Name)
	}
	var err error
	if s.ID, err = tx.NewID(); err != nil {
		return s, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO supplier (id, name, name_norm, lead_days) VALUES ($1, $2, $3, $4)`,
		s.ID, s.Name, Normal(s.Name), s.LeadDays)
	return s, err
}

// SupplierNamed finds a supplier. Error: NotFound.
func SupplierNamed(ctx context.Context, tx *store.Tx, name string) (s Supplier, err error) {
	ok, err := tx.One(ctx, store.Into(&s.ID, &s.Name, &s.LeadDays),
		`SELECT id, name, lead_days FROM supplier WHERE name_norm = $1`, Normal(name))
	if err == nil && !ok {
		err = fault.New(fault.NotFound, "catalog.supplier_absent", name)
	}
	return s, err
}

// AddItem adds what a supplier offers.
func AddItem(ctx context.Context, tx *store.Tx, i Item) (Item, error) {
	if Normal(i.Number) == "" || i.Pack <= 0 || i.PackPriceMinor < 0 {
		return i, fault.New(fault.Invalid, "catalog.bad_item", i.Number)
	}
	var err error
	if i.ID, err = tx.NewID(); err != nil {
		return i, err
	}
	var price any
	if i.Priced {
		price = i.PackPriceMinor
	}
	_, err = tx.Exec(ctx, `INSERT INTO supplier_item (id, supplier, number, number_norm, description, part, pack,
		pack_price_minor) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		i.ID, i.Supplier, i.Number, Normal(i.Number), i.Description, textOrNull(i.Part), i.Pack, price)
	return i, err
}

const itemColumns = ` i.id, i.supplier, s.name, i.number, i.description, coalesce(i.part, ''), i.pack,
	coalesce(i.pack_price_minor, 0), i.pack_price_minor IS NOT NULL, s.lead_days `

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
		var i Item
		err := scan(&i.ID, &i.Supplier, &i.SupplierName, &i.Number, &i.Description, &i.Part, &i.Pack,
			&i.PackPriceMinor, &i.Priced, &i.LeadDays)
		all = append(all, i)
		return err
	}, query, args...)
	return all, err
}
