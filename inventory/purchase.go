package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// States of a Purchase.
const (
	Draft     = "draft"     // may be changed
	Placed    = "placed"    // the supplier has it
	Closed    = "closed"    // nothing more will come
	Cancelled = "cancelled" // it was never sent, or taken back before anything came
)

// Purchase is an order to a supplier.
type Purchase struct {
	ID       string
	Number   int64  // the shop's running number
	Supplier string // id
	State    string
	Person   string // id of who made it
	Made     string // store.Stamp
	Placed   string // YYYY-MM-DD
	Expected string // YYYY-MM-DD, "" where no day was told
	Ended    string // store.Stamp of closing or cancelling
	Note     string
}

// PurchaseLine is what is ordered of a part.
type PurchaseLine struct {
	ID             string
	Seq            int64
	Part           string // id
	SupplierNumber string
	Pack           int64 // of the part's unit
	Packs          int64
	PackPrice      Value  // net
	Job            string // whom it is for, "" for the shelf
	Why            string // as the list of what to order said, in the shop's language
	Promised       string // YYYY-MM-DD: to follow
	Dropped        int64  // packs that will not come
	Received       int64  // of the part's unit, without what was undone; given by queries
}

// Missing gives what is still to come, of the part's unit: 0 where more came
// than was ordered.
func (l PurchaseLine) Missing() int64 { return max(0, (l.Packs-l.Dropped)*l.Pack-l.Received) }

const purchaseColumns = ` id, number, supplier, state, person, made, placed, expected, ended, note `

func queryPurchases(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Purchase, error) {
	var all []Purchase
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (p Purchase, err error) {
		return p, scan(&p.ID, &p.Number, &p.Supplier, &p.State, &p.Person, &p.Made, &p.Placed, &p.Expected, &p.Ended, &p.Note)
	}), query, args...)
	return all, err
}

// Purchases gives orders, the newest first: those of a state where one is
// given, at most so many.
func Purchases(ctx context.Context, tx *store.Tx, state string, most int) ([]Purchase, error) {
	return queryPurchases(ctx, tx, `SELECT`+purchaseColumns+`FROM purchase WHERE $1 = '' OR state = $1
		ORDER BY number DESC LIMIT $2`, state, most)
}

// PurchaseNumbered finds an order by the shop's number for it. Error: NotFound.
func PurchaseNumbered(ctx context.Context, tx *store.Tx, number int64) (Purchase, error) {
	all, err := queryPurchases(ctx, tx, `SELECT`+purchaseColumns+`FROM purchase WHERE number = $1 ORDER BY id`, number)
	if err != nil {
		return Purchase{}, err
	}
	if len(all) == 0 {
		return Purchase{}, fault.New(fault.NotFound, "inventory.order_absent", number).WithHint("inventory.order_absent.hint")
	}
	return all[0], nil
}

// DraftFor gives the draft to a supplier, a new one where there is none.
func DraftFor(ctx context.Context, tx *store.Tx, supplier, person string) (Purchase, error) {
	all, err := queryPurchases(ctx, tx, `SELECT`+purchaseColumns+`FROM purchase WHERE supplier = $1 AND state = 'draft'
		ORDER BY number LIMIT 1`, supplier)
	if err != nil || len(all) > 0 {
		return append(all, Purchase{})[0], err
	}
	return NewPurchase(ctx, tx, supplier, person)
}

// NewPurchase makes a draft.
func NewPurchase(ctx context.Context, tx *store.Tx, supplier, person string) (p Purchase, err error) {
	p = Purchase{Supplier: supplier, State: Draft, Person: person, Made: store.Stamp(tx.Now)}
	if p.ID, err = tx.NewID(); err != nil {
		return p, err
	}
	if _, err = tx.One(ctx, store.Into(&p.Number), `SELECT coalesce(max(number), 0) + 1 FROM purchase`); err != nil {
		return p, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO purchase (id, number, supplier, state, person, made) VALUES ($1, $2, $3, $4, $5, $6)`,
		p.ID, p.Number, p.Supplier, p.State, p.Person, p.Made)
	return p, err
}

// PurchaseLines gives the lines of an order in their order.
func PurchaseLines(ctx context.Context, tx *store.Tx, purchase string) ([]PurchaseLine, error) {
	var all []PurchaseLine
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (l PurchaseLine, err error) {
		return l, scan(&l.ID, &l.Seq, &l.Part, &l.SupplierNumber, &l.Pack, &l.Packs, &l.PackPrice.Minor, &l.PackPrice.Known,
			&l.Job, &l.Why, &l.Promised, &l.Dropped, &l.Received)
	}), voided+`SELECT l.id, l.seq, l.part, l.supplier_number, l.pack, l.packs, coalesce(l.pack_price_minor, 0),
			l.pack_price_minor IS NOT NULL, l.job, l.why, l.promised, l.dropped,
			(SELECT coalesce(sum(a.amount), 0) FROM arrival a WHERE a.line = l.id AND a.posting NOT IN voided)
		FROM purchase_line l WHERE l.purchase = $2 ORDER BY l.seq`, ever, purchase)
	return all, err
}

// ever is a stamp after all others.
const ever = "\U0010ffff"

// OnOrder gives how much of each part is ordered for the shelf and still to
// come, by part id: what is ordered for a job is as good as taken.
func OnOrder(ctx context.Context, tx *store.Tx) (map[string]int64, error) {
	return sums(ctx, tx, voided+`SELECT l.part, sum(max(0, (l.packs - l.dropped) * l.pack
			- (SELECT coalesce(sum(a.amount), 0) FROM arrival a WHERE a.line = l.id AND a.posting NOT IN voided))) AS missing
		FROM purchase_line l JOIN purchase p ON p.id = l.purchase
		WHERE p.state = 'placed' AND l.job = '' GROUP BY l.part HAVING missing > 0 ORDER BY l.part`, ever)
}

// draft refuses to change an order that the supplier has. Error: Conflict.
func (p Purchase) draft() error {
	if p.State != Draft {
		return fault.New(fault.Conflict, "inventory.order_sent", p.Number, fault.Say("order.state."+p.State)).
			WithHint("inventory.order_sent.hint", p.Number)
	}
	return nil
}

// SetLine puts a line on a draft. A line of the same part, number and job takes
// its place; 0 packs take it off. Errors: Conflict (no draft), Invalid.
func (p Purchase) SetLine(ctx context.Context, tx *store.Tx, l PurchaseLine) error {
	if err := p.draft(); err != nil {
		return err
	}
	if l.Packs < 0 || l.Pack <= 0 || l.Packs > mostPacks || l.Pack > mostPacks {
		return fault.New(fault.Invalid, "inventory.bad_amount", l.Packs)
	}
	if l.Packs == 0 {
		_, err := tx.Exec(ctx, `DELETE FROM purchase_line WHERE purchase = $1 AND part = $2 AND supplier_number = $3 AND job = $4`,
			p.ID, l.Part, l.SupplierNumber, l.Job)
		return err
	}
	n, err := tx.Exec(ctx, `UPDATE purchase_line SET pack = $5, packs = $6, pack_price_minor = $7, why = iif($8 = '', why, $8)
		WHERE purchase = $1 AND part = $2 AND supplier_number = $3 AND job = $4`,
		p.ID, l.Part, l.SupplierNumber, l.Job, l.Pack, l.Packs, l.PackPrice.column(), l.Why)
	if err != nil || n > 0 {
		return err
	}
	id, err := tx.NewID()
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO purchase_line (id, purchase, seq, part, supplier_number, pack, packs, pack_price_minor, job, why)
		VALUES ($1, $2, (SELECT coalesce(max(seq), 0) + 1 FROM purchase_line WHERE purchase = $2), $3, $4, $5, $6, $7, $8, $9)`,
		id, p.ID, l.Part, l.SupplierNumber, l.Pack, l.Packs, l.PackPrice.column(), l.Job, l.Why)
	return err
}

// mostPacks bounds packs and what is in one: more is a slip of the finger.
const mostPacks = 1_000_000

// Place records that the supplier has the order. Errors: Conflict (no draft),
// Invalid (nothing is on it).
func (p Purchase) Place(ctx context.Context, tx *store.Tx, day, expected string) error {
	if err := p.draft(); err != nil {
		return err
	}
	lines, err := PurchaseLines(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	if len(lines) == 0 {
		return fault.New(fault.Invalid, "inventory.order_empty", p.Number).WithHint("inventory.order_empty.hint", p.Number)
	}
	_, err = tx.Exec(ctx, `UPDATE purchase SET state = 'placed', placed = $2, expected = $3 WHERE id = $1`, p.ID, day, expected)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE empty_bag SET purchase = $1, ended = $2
		WHERE ended = '' AND part IN (SELECT part FROM purchase_line WHERE purchase = $1)`, p.ID, store.Stamp(tx.Now))
	return err
}

// Expect changes the day on which an order is expected that the supplier has.
func (p Purchase) Expect(ctx context.Context, tx *store.Tx, day string) error {
	_, err := tx.Exec(ctx, `UPDATE purchase SET expected = $2 WHERE id = $1 AND state = 'placed'`, p.ID, day)
	return err
}

// End closes an order, of which nothing more will come, or cancels one of which
// nothing has. Error: Conflict.
func (p Purchase) End(ctx context.Context, tx *store.Tx, state, note string) error {
	lines, err := PurchaseLines(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	var received int64
	for _, l := range lines {
		received += l.Received
	}
	switch {
	case p.State == Closed || p.State == Cancelled:
		return fault.New(fault.Conflict, "inventory.order_ended", p.Number, fault.Say("order.state."+p.State))
	case state == Closed && p.State != Placed:
		return fault.New(fault.Conflict, "inventory.order_unsent", p.Number).WithHint("inventory.order_unsent.hint", p.Number)
	case state == Cancelled && received > 0:
		return fault.New(fault.Conflict, "inventory.order_came", p.Number).WithHint("inventory.order_came.hint", p.Number)
	}
	_, err = tx.Exec(ctx, `UPDATE purchase SET state = $2, ended = $3, note = $4 WHERE id = $1`, p.ID, state, store.Stamp(tx.Now), note)
	return err
}

// Promise records that a line is to follow on a day, or that some of its packs
// will not come. Error: Conflict (the order is not placed).
func (p Purchase) Promise(ctx context.Context, tx *store.Tx, line, day string, dropped int64) error {
	if p.State != Placed {
		return fault.New(fault.Conflict, "inventory.order_unsent", p.Number).WithHint("inventory.order_unsent.hint", p.Number)
	}
	_, err := tx.Exec(ctx, `UPDATE purchase_line SET promised = $2, dropped = $3 WHERE id = $1`, line, day, dropped)
	return err
}

// Fulfil records that a posting brought some of a line; what was ordered for a
// job is set aside for it. An order of which all has come is closed.
func (p Purchase) Fulfil(ctx context.Context, tx *store.Tx, line, posting string, amount int64) error {
	_, err := tx.Exec(ctx, `INSERT INTO arrival (posting, line, amount) VALUES ($1, $2, $3)
		ON CONFLICT (line, posting) DO UPDATE SET amount = amount + excluded.amount`, posting, line, amount)
	if err != nil {
		return err
	}
	lines, err := PurchaseLines(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	missing := false
	for _, l := range lines {
		if l.ID == line && l.Job != "" {
			if err := l.keep(ctx, tx, posting, amount); err != nil {
				return err
			}
		}
		missing = missing || l.Missing() > 0
	}
	if missing || p.State != Placed {
		return nil
	}
	return p.End(ctx, tx, Closed, p.Note)
}

// keep sets what came of a line aside for its job, as far as it may be taken:
// what is damaged is not.
func (l PurchaseLine) keep(ctx context.Context, tx *store.Tx, posting string, amount int64) error {
	there, kept, err := Available(ctx, tx, l.Part)
	if err != nil || there-kept <= 0 {
		return err
	}
	var person string
	if _, err := tx.One(ctx, store.Into(&person), `SELECT person FROM posting WHERE id = $1`, posting); err != nil {
		return err
	}
	_, err = Keep(ctx, tx, SetAside{Part: l.Part, Job: l.Job, Amount: min(amount, there-kept)}, person)
	return err
}
