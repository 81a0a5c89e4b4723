package inventory

import (
	"cmp"
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// What a delivery brings for an order: each posting fulfils the lines of its part
// that are still missing some, in their order, and takes its cost from them. The
// cost of a pack goes over to its pieces so that the pieces of whole packs cost
// together what the packs do, to the cent: the first n pieces of a line are worth
// n times the price of one, rounded half to even, whatever portions they come in.

// For says that a delivery is for an order. Error: Conflict where it is for
// another one, and not open.
func (d Delivery) For(ctx context.Context, tx *store.Tx, p Purchase) error {
	others, err := d.Orders(ctx, tx)
	if err != nil {
		return err
	}
	for _, o := range others {
		if o.ID == p.ID {
			return nil
		}
		if d.State != DeliveryOpen {
			return fault.New(fault.Conflict, "inventory.other_order", d.Name, o.Number, p.Number).WithHint("inventory.other_order.hint")
		}
	}
	_, err = tx.Exec(ctx, `INSERT INTO delivery_order (delivery, purchase) VALUES ($1, $2)`, d.ID, p.ID)
	return err
}

// Orders gives the orders that a delivery is for, by number.
func (d Delivery) Orders(ctx context.Context, tx *store.Tx) ([]Purchase, error) {
	return queryPurchases(ctx, tx, `SELECT`+purchaseColumns+`FROM purchase
		WHERE id IN (SELECT purchase FROM delivery_order WHERE delivery = $1) ORDER BY number`, d.ID)
}

// Expected is a line of an order that a delivery is for.
type Expected struct {
	Order Purchase
	PurchaseLine
}

// Expects gives the lines of the orders that a delivery is for.
func (d Delivery) Expects(ctx context.Context, tx *store.Tx) ([]Expected, error) {
	orders, err := d.Orders(ctx, tx)
	if err != nil {
		return nil, err
	}
	var all []Expected
	for _, o := range orders {
		lines, err := PurchaseLines(ctx, tx, o.ID)
		if err != nil {
			return nil, err
		}
		for _, l := range lines {
			all = append(all, Expected{o, l})
		}
	}
	return all, nil
}

// portion is what of a posting belongs to a line of an order.
type portion struct {
	order   Purchase
	line    PurchaseLine
	amount  int64
	instead bool // another part was sent for that of the line
}

// portions shares what came of a part out over lines of orders: those of the
// part itself, then those of the parts that it was sent instead of. What is more
// than was ordered belongs to none.
func portions(lines []Expected, part string, amount int64, instead []string) (all []portion) {
	for _, of := range append([]string{part}, instead...) {
		for _, l := range lines {
			if n := min(amount, l.Missing()); l.Part == of && n > 0 {
				all = append(all, portion{l.Order, l.PurchaseLine, n, of != part})
				amount -= n
			}
		}
	}
	return all
}

// cost gives what the portion costs: the difference of what all pieces of the
// line cost that have come, after and before it.
func (p portion) cost() Value {
	if !p.line.PackPrice.Known || p.instead {
		return Value{}
	}
	upTo := func(n int64) int64 { return half(n*p.line.PackPrice.Minor, p.line.Pack) }
	return Value{upTo(p.line.Received+p.amount) - upTo(p.line.Received), true}
}

// forOrders gives how a posting that brings pieces of a part is split for the
// orders of its delivery: flows of known cost, then what is not of an order.
func forOrders(ctx context.Context, tx *store.Tx, d Delivery, f Flow) (all []portion, flows []Flow, err error) {
	lines, err := d.Expects(ctx, tx)
	if err != nil || len(lines) == 0 {
		return nil, []Flow{f}, err
	}
	instead, err := d.Instead(ctx, tx)
	if err != nil {
		return nil, nil, err
	}
	rest := f
	all = portions(lines, f.Part, f.Amount, instead[f.Part])
	for _, p := range all {
		g := f
		g.Amount, g.Value = p.amount, p.cost()
		flows = append(flows, g)
		rest.Amount -= p.amount
	}
	if rest.Amount > 0 {
		flows = append(flows, rest)
	}
	return all, flows, nil
}

// Reopen takes up an order again of which something came that was undone.
func Reopen(ctx context.Context, tx *store.Tx, undone string) error {
	_, err := tx.Exec(ctx, `UPDATE purchase SET state = 'placed', ended = '' WHERE state = 'closed'
		AND id IN (SELECT l.purchase FROM arrival a JOIN purchase_line l ON l.id = a.line WHERE a.posting = $1)`, undone)
	return err
}

// Over gives what a delivery brought that its orders did not ask for, by part id:
// too much of a part, or parts that are not on them.
func (d Delivery) Over(ctx context.Context, tx *store.Tx) (map[string]int64, error) {
	return sums(ctx, tx, voided+`, came (part, posting, amount) AS (
			SELECT m.part, p.id, sum(m.amount) FROM posting p JOIN movement m ON m.posting = p.id
			WHERE p.delivery = $2 AND p.kind = 'receive' AND p.id NOT IN voided GROUP BY m.part, p.id)
		SELECT part, sum(amount - (SELECT coalesce(sum(a.amount), 0) FROM arrival a WHERE a.posting = came.posting)) AS more
		FROM came GROUP BY part HAVING more > 0 ORDER BY part`, ever, d.ID)
}

// Putting is what of a delivery goes into a bin, or to a job that it was ordered
// for.
type Putting struct {
	Part   string // id
	Bin    string // name
	Kind   string // of the bin
	Job    string
	Amount int64

	InIntake int64 // of it, what still lies in INTAKE and is to be put away
}

// PutAway gives where what a delivery brought goes, without what was undone: what
// was ordered for jobs first, then by bin. What was put away with it since, or
// blocked, shows where it lies now.
func PutAway(ctx context.Context, tx *store.Tx, delivery string) ([]Putting, error) {
	var came []Putting
	err := tx.Each(ctx, collect(&came, func(scan store.Scan) (p Putting, err error) {
		return p, scan(&p.Part, &p.Bin, &p.Kind, &p.Amount)
	}), voided+`SELECT m.part, b.name, b.kind, sum(m.amount) FROM posting p JOIN movement m ON m.posting = p.id JOIN bin b ON b.id = m.bin
		WHERE p.delivery = $2 AND p.kind IN ('receive', 'move') AND p.id NOT IN voided GROUP BY m.part, b.id HAVING sum(m.amount) > 0
		ORDER BY b.kind <> 'intake', b.name, m.part`, ever, delivery)
	if err != nil {
		return nil, err
	}
	var jobs []Putting
	err = tx.Each(ctx, collect(&jobs, func(scan store.Scan) (p Putting, err error) {
		return p, scan(&p.Part, &p.Job, &p.Amount)
	}), voided+`SELECT (SELECT min(m.part) FROM movement m WHERE m.posting = p.id) AS came, l.job, sum(a.amount) FROM posting p JOIN arrival a ON a.posting = p.id JOIN purchase_line l ON l.id = a.line
		WHERE p.delivery = $2 AND p.id NOT IN voided AND l.job <> '' GROUP BY came, l.job ORDER BY l.job, came`, ever, delivery)
	if err != nil {
		return nil, err
	}
	var all []Putting
	for _, j := range jobs {
		for i := range came {
			c := &came[i]
			if n := min(j.Amount, c.Amount); c.Part == j.Part && c.Kind != "blocked" && n > 0 {
				all = append(all, Putting{Part: c.Part, Bin: c.Bin, Kind: c.Kind, Job: j.Job, Amount: n})
				c.Amount -= n
				j.Amount -= n
			}
		}
	}
	rest := slices.DeleteFunc(came, func(p Putting) bool { return p.Amount == 0 })
	slices.SortStableFunc(rest, func(a, b Putting) int { return cmp.Or(cmp.Compare(a.Bin, b.Bin), cmp.Compare(a.Part, b.Part)) })
	all = append(all, rest...)
	still, err := StillIn(ctx, tx, delivery, "intake")
	for i, p := range all {
		if p.Kind == "intake" {
			all[i].InIntake = min(p.Amount, still[p.Part])
			still[p.Part] -= all[i].InIntake
		}
	}
	return all, err
}

// StillIn gives what a delivery brought of each part, by id, and still lies in bins
// of a kind.
func StillIn(ctx context.Context, tx *store.Tx, delivery, kind string) (map[string]int64, error) {
	return sums(ctx, tx, `SELECT a.part, sum(a.amount) FROM bin b JOIN balance a ON a.bin = b.id JOIN lot l ON l.id = a.lot
		WHERE l.delivery = $1 AND b.kind = $2 AND a.amount > 0 GROUP BY a.part ORDER BY a.part`, delivery, kind)
}

// PickIntake is Pick for pieces that a delivery brought and that still lie in INTAKE.
func PickIntake(ctx context.Context, tx *store.Tx, delivery, part string, amount int64) ([]Flow, error) {
	return picking{part: part, amount: amount, delivery: delivery}.from(ctx, tx, func(b Bin) bool { return b.Kind == "intake" })
}
