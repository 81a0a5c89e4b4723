package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// What a delivery brings for an order: each posting fulfils the lines of its part
// that are still missing some, in their order, and takes its cost from them. The
// cost of a pack goes over to its pieces so that the pieces of whole packs cost
// together what the packs do, to the cent: the first n pieces of a line are worth
// n times the price of one, rounded half to even, whatever portions they come in.

// For says which order a delivery is for. Error: Conflict where it is for
// another one.
func (d Delivery) For(ctx context.Context, tx *store.Tx, p Purchase) error {
	other, found, err := d.purchase(ctx, tx)
	if err != nil {
		return err
	}
	if found && other.ID != p.ID {
		return fault.New(fault.Conflict, "inventory.other_order", d.Name, other.Number, p.Number).WithHint("inventory.other_order.hint")
	}
	_, err = tx.Exec(ctx, `UPDATE delivery SET purchase = $2 WHERE id = $1`, d.ID, p.ID)
	return err
}

// purchase gives the order that a delivery is for; found is false where there is
// none.
func (d Delivery) purchase(ctx context.Context, tx *store.Tx) (p Purchase, found bool, err error) {
	all, err := queryPurchases(ctx, tx, `SELECT`+purchaseColumns+`FROM purchase
		WHERE id = (SELECT purchase FROM delivery WHERE id = $1)`, d.ID)
	if err != nil || len(all) == 0 {
		return p, false, err
	}
	return all[0], true, nil
}

// portion is what of a posting belongs to a line of an order.
type portion struct {
	line   PurchaseLine
	amount int64
}

// portions shares what came of a part out over the lines of an order; what is
// more than was ordered belongs to none.
func portions(lines []PurchaseLine, part string, amount int64) (all []portion) {
	for _, l := range lines {
		if n := min(amount, l.Missing()); l.Part == part && n > 0 {
			all = append(all, portion{l, n})
			amount -= n
		}
	}
	return all
}

// cost gives what the portion costs: the difference of what all pieces of the
// line cost that have come, after and before it.
func (p portion) cost() Value {
	if !p.line.PackPrice.Known {
		return Value{}
	}
	upTo := func(n int64) int64 { return half(n*p.line.PackPrice.Minor, p.line.Pack) }
	return Value{upTo(p.line.Received+p.amount) - upTo(p.line.Received), true}
}

// forOrder gives how a posting that brings pieces of a part is split for the order of
// its delivery: flows of known cost, then what is not of the order.
func forOrder(ctx context.Context, tx *store.Tx, d Delivery, f Flow) (order Purchase, all []portion, flows []Flow, err error) {
	order, found, err := d.purchase(ctx, tx)
	if err != nil || !found {
		return order, nil, []Flow{f}, err
	}
	lines, err := PurchaseLines(ctx, tx, order.ID)
	if err != nil {
		return order, nil, nil, err
	}
	rest := f
	for _, p := range portions(lines, f.Part, f.Amount) {
		g := f
		g.Amount, g.Value = p.amount, p.cost()
		all, flows = append(all, p), append(flows, g)
		rest.Amount -= p.amount
	}
	if rest.Amount > 0 {
		flows = append(flows, rest)
	}
	return order, all, flows, nil
}

// Reopen takes up an order again of which something came that was undone.
func Reopen(ctx context.Context, tx *store.Tx, undone string) error {
	_, err := tx.Exec(ctx, `UPDATE purchase SET state = 'placed', ended = '' WHERE state = 'closed'
		AND id IN (SELECT l.purchase FROM arrival a JOIN purchase_line l ON l.id = a.line WHERE a.posting = $1)`, undone)
	return err
}

// Over gives what a delivery brought that its order did not ask for, by part id:
// too much of a part, or parts that are not on it. ok is false for a delivery
// without an order.
func (d Delivery) Over(ctx context.Context, tx *store.Tx) (over map[string]int64, order Purchase, ok bool, err error) {
	if order, ok, err = d.purchase(ctx, tx); err != nil || !ok {
		return nil, order, ok, err
	}
	over, err = sums(ctx, tx, voided+`SELECT m.part, sum(m.amount) - (SELECT coalesce(sum(a.amount), 0) FROM arrival a
				JOIN purchase_line l ON l.id = a.line JOIN posting q ON q.id = a.posting
				WHERE l.part = m.part AND q.delivery = $2 AND q.id NOT IN voided) AS more
		FROM posting p JOIN movement m ON m.posting = p.id
		WHERE p.delivery = $2 AND p.kind = 'receive' AND p.id NOT IN voided
		GROUP BY m.part HAVING more > 0 ORDER BY m.part`, ever, d.ID)
	return over, order, true, err
}

// Putting is what of a delivery goes into a bin, or to a job that it was ordered
// for.
type Putting struct {
	Part   string // id
	Bin    string // name
	Job    string
	Amount int64
}

// PutAway gives where what a delivery brought goes, without what was undone: what
// was ordered for jobs first, then by bin.
func PutAway(ctx context.Context, tx *store.Tx, delivery string) ([]Putting, error) {
	var all []Putting
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (p Putting, err error) {
		return p, scan(&p.Part, &p.Bin, &p.Job, &p.Amount)
	}), voided+`, came (part, bin, posting, amount) AS (
			SELECT m.part, b.name, p.id, sum(m.amount) FROM posting p JOIN movement m ON m.posting = p.id JOIN bin b ON b.id = m.bin
			WHERE p.delivery = $2 AND p.kind = 'receive' AND p.id NOT IN voided GROUP BY m.part, b.name, p.id),
		job (posting, name, amount) AS (
			SELECT a.posting, l.job, sum(a.amount) FROM arrival a JOIN purchase_line l ON l.id = a.line WHERE l.job <> '' GROUP BY a.posting, l.job)
		SELECT part, bin, name, sum(amount) FROM (
			SELECT c.part, c.bin, j.name, j.amount FROM came c JOIN job j ON j.posting = c.posting
			UNION ALL SELECT c.part, c.bin, '', c.amount - coalesce((SELECT sum(j.amount) FROM job j WHERE j.posting = c.posting), 0) FROM came c)
		WHERE amount > 0 GROUP BY part, bin, name ORDER BY name = '', name, bin, part`, ever, delivery)
	return all, err
}
