package inventory

import (
	"context"
	"regexp"
	"strings"
	"unicode"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// States of a Delivery.
const (
	DeliveryOpen     = "open"     // it is being scanned, and nothing of it is posted
	DeliveryFinished = "finished" // what is known of it is posted
	DeliveryDropped  = "dropped"  // it ended without posting; its scans are kept
)

// Delivery is what came in together: a parcel, or what a day brought.
type Delivery struct {
	ID       string
	Name     string
	Supplier string // id; empty: not known
	State    string
	At       string // store.Stamp of when it was begun
}

var deliveryName = regexp.MustCompile(`^[\p{L}\d][\p{L}\d ./_-]{0,59}$`)

// DeliveryNamed gives the delivery of a name, a new one where there is none.
// Error: Invalid.
func DeliveryNamed(ctx context.Context, tx *store.Tx, name string) (Delivery, error) {
	d, found, err := findDelivery(ctx, tx, name)
	if err != nil || found {
		return d, err
	}
	if err := CheckDeliveryName(name); err != nil {
		return d, err
	}
	return addDelivery(ctx, tx, name, DeliveryFinished)
}

func addDelivery(ctx context.Context, tx *store.Tx, name, state string) (d Delivery, err error) {
	d = Delivery{Name: name, State: state, At: store.Stamp(tx.Now)}
	if d.ID, err = tx.NewID(); err != nil {
		return d, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO delivery (id, name, name_norm, at, state) VALUES ($1, $2, $3, $4, $5)`,
		d.ID, name, strings.ToUpper(name), d.At, state)
	return d, err
}

// CheckDeliveryName refuses what cannot name a delivery. Error: Invalid.
func CheckDeliveryName(name string) error {
	if !deliveryName.MatchString(name) {
		return fault.New(fault.Invalid, "inventory.bad_delivery", name).WithHint("inventory.bad_delivery.hint")
	}
	return nil
}

func findDelivery(ctx context.Context, tx *store.Tx, name string) (d Delivery, found bool, err error) {
	found, err = tx.One(ctx, store.Into(&d.ID, &d.Name, &d.Supplier, &d.State, &d.At), `SELECT id, name, coalesce(supplier, ''), state, at
		FROM delivery WHERE name_norm = $1`, strings.ToUpper(name))
	return d, found, err
}

// DeliveryWords gives text without what the name of a delivery cannot hold.
func DeliveryWords(text string) string {
	kept := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(" ./_-", r) {
			return r
		}
		return ' '
	}, text)
	words := []rune(strings.Join(strings.Fields(kept), " "))
	return strings.TrimSpace(string(words[:min(len(words), 40)]))
}

// SetSupplier says from which supplier (id) a delivery came; "" is not known, or
// several. Error: Conflict
// where another was told before, unless instead is set.
func SetSupplier(ctx context.Context, tx *store.Tx, d Delivery, supplier string, instead bool) (Delivery, error) {
	if d.Supplier == supplier {
		return d, nil
	}
	if d.Supplier != "" && !instead {
		var name string
		if _, err := tx.One(ctx, store.Into(&name), `SELECT name FROM supplier WHERE id = $1`, d.Supplier); err != nil {
			return d, err
		}
		return d, fault.New(fault.Conflict, "inventory.other_supplier", d.Name, name).WithHint("inventory.other_supplier.hint", d.Name)
	}
	d.Supplier = supplier
	_, err := tx.Exec(ctx, `UPDATE delivery SET supplier = nullif($2, '') WHERE id = $1`, d.ID, supplier)
	return d, err
}

// DeliveryNames gives the names of all deliveries, by id.
func DeliveryNames(ctx context.Context, tx *store.Tx) (map[string]string, error) {
	names := map[string]string{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id, name string
		err := scan(&id, &name)
		names[id] = name
		return err
	}, `SELECT id, name FROM delivery ORDER BY id`)
	return names, err
}

// KnownDelivery gives the delivery of a name. Error: NotFound.
func KnownDelivery(ctx context.Context, tx *store.Tx, name string) (Delivery, error) {
	d, found, err := findDelivery(ctx, tx, name)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "inventory.delivery_absent", name)
	}
	return d, err
}

// JoinSession ties a session of hand-scanner lines to a delivery. Error:
// Conflict where it belongs to another one.
func JoinSession(ctx context.Context, tx *store.Tx, session string, d Delivery) error {
	var name string
	found, err := tx.One(ctx, store.Into(&name), `SELECT d.name FROM session s JOIN delivery d ON d.id = s.delivery
		WHERE s.id = $1 AND s.delivery <> $2`, session, d.ID)
	if err != nil {
		return err
	}
	if found {
		return fault.New(fault.Conflict, "inventory.session_taken", session, name).
			WithHint("inventory.session_taken.hint", name)
	}
	_, err = tx.Exec(ctx, `INSERT INTO session (id, delivery) VALUES ($1, $2) ON CONFLICT (id) DO NOTHING`, session, d.ID)
	return err
}

// Came is what a posting brought of a lot.
type Came struct {
	Posting Posting
	Lot     string // id
	Amount  int64
}

// Brought gives what a delivery brought of a part, without what was undone, in
// order.
func Brought(ctx context.Context, tx *store.Tx, delivery, part string) ([]Came, error) {
	type row struct {
		posting, lot string
		amount       int64
	}
	var rows []row
	err := tx.Each(ctx, collect(&rows, func(scan store.Scan) (r row, err error) {
		return r, scan(&r.posting, &r.lot, &r.amount)
	}), `SELECT p.id, m.lot, sum(m.amount) FROM posting p JOIN movement m ON m.posting = p.id
		WHERE p.delivery = $1 AND p.kind = 'receive' AND m.part = $2 AND m.amount > 0
		GROUP BY p.id, m.lot ORDER BY min(m.seq)`, delivery, part)
	if err != nil {
		return nil, err
	}
	var all []Came
	for _, r := range rows {
		stands, _, err := Stands(ctx, tx, r.posting)
		if err != nil {
			return nil, err
		}
		if !stands {
			continue
		}
		p, _, err := PostingByID(ctx, tx, r.posting)
		if err != nil {
			return nil, err
		}
		all = append(all, Came{p, r.lot, r.amount})
	}
	return all, nil
}
