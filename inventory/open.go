package inventory

import (
	"context"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// An open delivery is one that is being scanned: each scan is a row at once, in a
// transaction of its own, and nothing is posted. Finishing it posts what is
// known, in one transaction; what is not known waits from then on as it does of
// any delivery. Until then all its scans are in state open, so that nothing that
// is said of a code posts them. A dropped one keeps its scans, and posts nothing.

// BeginDelivery opens a delivery. Errors: Invalid, Conflict (there is one of that
// name).
func BeginDelivery(ctx context.Context, tx *store.Tx, name string) (Delivery, error) {
	d, found, err := findDelivery(ctx, tx, name)
	if err != nil {
		return d, err
	}
	if found && d.State == DeliveryOpen {
		return d, fault.New(fault.Conflict, "inventory.delivery_twice", d.Name).WithHint("inventory.delivery_twice.hint", d.Name)
	}
	if found {
		return d, fault.New(fault.Conflict, "inventory.delivery_was", d.Name).WithHint("inventory.delivery_was.hint")
	}
	if err := CheckDeliveryName(name); err != nil {
		return d, err
	}
	return addDelivery(ctx, tx, name, DeliveryOpen)
}

// FreeDeliveryName gives a name, with a number behind it where a delivery has it
// already.
func FreeDeliveryName(ctx context.Context, tx *store.Tx, name string) (string, error) {
	free := name
	for n := 2; ; n++ {
		_, found, err := findDelivery(ctx, tx, free)
		if err != nil || !found {
			return free, err
		}
		free = name + " " + strconv.Itoa(n)
	}
}

// OpenDelivery gives the open delivery of a name. Errors: NotFound, Conflict (it
// is finished or dropped).
func OpenDelivery(ctx context.Context, tx *store.Tx, name string) (Delivery, error) {
	d, err := KnownDelivery(ctx, tx, strings.TrimSpace(name))
	if err != nil {
		return d, err
	}
	return d, d.mustBeOpen()
}

// Takes refuses to add to a delivery that was dropped. Error: Conflict.
func (d Delivery) Takes() error {
	if d.State == DeliveryDropped {
		return d.mustBeOpen()
	}
	return nil
}

func (d Delivery) mustBeOpen() error {
	switch d.State {
	case DeliveryFinished:
		return fault.New(fault.Conflict, "inventory.delivery_finished", d.Name).WithHint("inventory.delivery_finished.hint")
	case DeliveryDropped:
		return fault.New(fault.Conflict, "inventory.delivery_dropped", d.Name).WithHint("inventory.delivery_was.hint")
	}
	return nil
}

// OpenDeliveries gives the open deliveries, the newest first.
func OpenDeliveries(ctx context.Context, tx *store.Tx) ([]Delivery, error) {
	var all []Delivery
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (d Delivery, err error) {
		return d, scan(&d.ID, &d.Name, &d.Supplier, &d.State, &d.At)
	}), `SELECT id, name, coalesce(supplier, ''), state, at FROM delivery WHERE state = 'open' ORDER BY at DESC, id DESC`)
	return all, err
}

// end closes an open delivery.
func (d Delivery) end(ctx context.Context, tx *store.Tx, state string) (Delivery, error) {
	d.State = state
	_, err := tx.Exec(ctx, `UPDATE delivery SET state = $2, ended = $3 WHERE id = $1`, d.ID, state, store.Stamp(tx.Now))
	return d, err
}

// Drop ends an open delivery without posting; its scans are kept. Error: Conflict
// (it is not open).
func (d Delivery) Drop(ctx context.Context, tx *store.Tx) (Delivery, error) {
	if err := d.mustBeOpen(); err != nil {
		return d, err
	}
	return d.end(ctx, tx, DeliveryDropped)
}

// Counting gives the scans of a delivery that were not taken back, in their
// order.
func Counting(ctx context.Context, tx *store.Tx, delivery string) ([]Scan, error) {
	return queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.delivery = $1 AND s.back = '' ORDER BY s.seq`, delivery)
}

// TakeBack takes a scan of an open delivery back: it counts no more, and is kept.
// One that was taken back before stays so. Errors: NotFound, Conflict (the
// delivery is not open).
func (d Delivery) TakeBack(ctx context.Context, tx *store.Tx, seq int64) (Scan, error) {
	if err := d.mustBeOpen(); err != nil {
		return Scan{}, err
	}
	s, found, err := ScanBySeq(ctx, tx, seq)
	if err != nil {
		return s, err
	}
	if !found || s.Delivery != d.ID {
		return s, fault.New(fault.NotFound, "inventory.scan_absent", d.Name)
	}
	if s.Back != "" {
		return s, nil
	}
	s.Back = store.Stamp(tx.Now)
	_, err = tx.Exec(ctx, `UPDATE scan SET back = $2 WHERE seq = $1`, seq, s.Back)
	return s, err
}

// LastLine gives the number of the last line that was recorded of a session, 0
// for none.
func LastLine(ctx context.Context, tx *store.Tx, sheet string) (n int, err error) {
	_, err = tx.One(ctx, store.Into(&n), `SELECT coalesce(max(y0), 0) FROM scan WHERE sheet = $1`, sheet)
	return n, err
}
