package inventory

import (
	"context"
	"encoding/json"
	"slices"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Line is what lies in a bin of one lot.
type Line struct {
	Part   string // id
	Bin    Bin
	Lot    Lot
	Amount int64
}

// Stock gives what is on hand of a part, of every part where part is empty,
// by part id, then in the order in which it should be used: use-by date, then
// cured, or where that is not known made, or on the shelf since, then shelf before
// intake.
func Stock(ctx context.Context, tx *store.Tx, part string) ([]Line, error) {
	last := part
	if part == "" {
		last = "\U0010ffff"
	}
	return lines(ctx, tx, `balance`, `a.part >= $1 AND a.part <= $2`, part, last)
}

// StockAt is Stock as it was at a time, by the clocks of the postings. What lay
// there of a record that was merged into another since shows as that one's.
func StockAt(ctx context.Context, tx *store.Tx, part string, asOf time.Time) ([]Line, error) {
	return lines(ctx, tx, `(SELECT coalesce(r.merged_into, r.id) AS part, m.bin AS bin, m.lot AS lot, sum(m.amount) AS amount
		FROM movement m JOIN posting p ON p.id = m.posting JOIN part r ON r.id = m.part
		WHERE p.at <= $1 AND ($2 = '' OR m.part = $2 OR r.merged_into = $2) GROUP BY 1, 2, 3)`, `true`, store.Stamp(asOf), part)
}

// StockIn gives what lies in a bin, by part, as Stock does.
func StockIn(ctx context.Context, tx *store.Tx, bin string) ([]Line, error) {
	return lines(ctx, tx, `balance`, `a.bin = $1`, bin)
}

// StockOf gives where some parts lie, by part, as Stock does.
func StockOf(ctx context.Context, tx *store.Tx, parts []string) (map[string][]Line, error) {
	list, err := json.Marshal(parts)
	if err != nil {
		return nil, fault.Of(err)
	}
	all, err := lines(ctx, tx, `balance`, `a.part IN (SELECT value FROM json_each($1))`, string(list))
	of := map[string][]Line{}
	for _, l := range all {
		of[l.Part] = append(of[l.Part], l)
	}
	return of, err
}

// lines gives what lies there of the balances a, a table or a query, that a
// condition holds for.
func lines(ctx context.Context, tx *store.Tx, balances, where string, args ...any) (all []Line, err error) {
	err = tx.Each(ctx, collect(&all, func(scan store.Scan) (l Line, err error) {
		err = scan(&l.Part, &l.Bin.ID, &l.Bin.Name, &l.Bin.Kind, &l.Lot.ID, &l.Lot.Short, &l.Lot.Batch, &l.Lot.Cure,
			&l.Lot.UseBy, &l.Lot.Since, &l.Lot.Delivery, &l.Lot.Made, &l.Lot.BestBefore, &l.Lot.SellBy, &l.Amount)
		l.Lot.Part = l.Part
		return l, err
	}), `SELECT a.part, b.id, b.name, b.kind, l.id, l.short, l.batch, l.cure, l.use_by, l.since, coalesce(l.delivery, ''),
		l.made, l.best_before, l.sell_by, a.amount
		FROM `+balances+` a JOIN bin b ON b.id = a.bin JOIN lot l ON l.id = a.lot
		WHERE a.amount > 0 AND `+where+`
		ORDER BY a.part, l.use_by = '', l.use_by, coalesce(nullif(l.cure, ''), substr(coalesce(nullif(l.made, ''), l.since), 1, 7)),
			coalesce(nullif(l.made, ''), l.since), b.kind <> 'shelf', b.name_norm, l.short`, args...)
	return all, err
}

// PartOnHand is the condition in SQL that a part p is on hand.
const PartOnHand = `EXISTS (SELECT 1 FROM balance b WHERE b.part = p.id AND b.amount > 0)`

// PartsOnHand is a query in SQL for the parts that are on hand.
const PartsOnHand = `SELECT b.part FROM balance b WHERE b.amount > 0`

// OnHand gives what is on hand of a part, blocked bins included.
func OnHand(ctx context.Context, tx *store.Tx, part string) (n int64, err error) {
	_, err = tx.One(ctx, store.Into(&n), `SELECT coalesce(sum(amount), 0) FROM balance WHERE part = $1`, part)
	return n, err
}

// Free reports whether what lies in the bin may be taken for a job.
func (b Bin) Free() bool { return b.Kind == "shelf" || b.Kind == "intake" }

// Pick chooses where to take amount pieces of a part from: the given bin and
// lot where these are not empty, else wherever they may be taken, in the turn
// that turn.go tells. Errors: Short, saying what is there; Conflict (the bin is a blocked
// place).
func Pick(ctx context.Context, tx *store.Tx, part string, amount int64, bin, lot string) ([]Flow, error) {
	return picking{part: part, amount: amount, bin: bin, lot: lot, use: true}.from(ctx, tx, Bin.Free)
}

// PickBlocked is Pick for what goes back to the supplier: from blocked places
// first, where no bin is given.
//
// What is claimed from other suppliers than the one named (id) goes last: those
// claims of which it takes pieces are given.
func PickBlocked(ctx context.Context, tx *store.Tx, part string, amount int64, bin, lot, supplier string) ([]Flow, []Claim, error) {
	others, err := claimedFrom(ctx, tx, part, supplier)
	if err != nil {
		return nil, nil, err
	}
	p := picking{part: part, amount: amount, bin: bin, lot: lot, held: true, last: map[string]int64{}, touched: map[string]bool{}}
	for _, c := range others {
		p.last[c.Delivery] += c.Amount
	}
	flows, err := p.from(ctx, tx, Bin.Held, Bin.Free)
	if err != nil {
		return nil, nil, err
	}
	return flows, slices.DeleteFunc(others, func(c Claim) bool { return !p.touched[c.Delivery] }), nil
}

// picking says what is to be taken; what is empty does not narrow it.
type picking struct {
	part     string
	amount   int64
	bin, lot string // ids
	delivery string // id of the one that brought it
	held     bool   // from a named bin though it is a blocked place
	use      bool   // in the turn of what is used
	job      string // for which it is

	last    map[string]int64 // of what lies in blocked places, by delivery: taken only where nothing else is left
	touched map[string]bool  // of last, what was taken after all
}

// from takes from the bins that the first of kinds allows, then the next; from a
// named bin whatever it is, but for a blocked one.
func (p picking) from(ctx context.Context, tx *store.Tx, kinds ...func(Bin) bool) ([]Flow, error) {
	if p.amount <= 0 {
		return nil, fault.New(fault.Invalid, "inventory.bad_amount", p.amount)
	}
	lines, err := Stock(ctx, tx, p.part)
	if err != nil {
		return nil, err
	}
	if p.use && p.lot == "" {
		if lines, err = p.turns(ctx, tx, lines); err != nil {
			return nil, err
		}
	}
	var flows []Flow
	left := p.amount
	take := func(l Line) {
		if n := min(left, l.Amount); n > 0 {
			flows = append(flows, Flow{Part: p.part, Lot: l.Lot.ID, From: l.Bin.ID, Amount: n})
			left -= n
		}
	}
	lines, last := p.apart(lines)
	for i, allowed := range append(kinds, Bin.Held) {
		rest := i == len(kinds)
		if rest {
			lines = last
		}
		for _, l := range lines {
			was := left
			switch {
			case p.lot != "" && l.Lot.ID != p.lot, p.delivery != "" && l.Lot.Delivery != p.delivery:
			case p.bin == "" && allowed(l.Bin):
				take(l)
			case p.bin != l.Bin.ID:
			case l.Bin.Held() && !p.held:
				return nil, held(l.Bin)
			default:
				take(l)
			}
			if rest && left < was {
				p.touched[l.Lot.Delivery] = true
			}
		}
		if p.bin != "" && i == 0 {
			lines = nil
		}
	}
	if left > 0 {
		return nil, fault.New(fault.Short, "inventory.short", p.amount, p.amount-left)
	}
	return flows, nil
}

// apart divides what is there into what may be taken and what goes last.
func (p picking) apart(lines []Line) (first, last []Line) {
	for _, l := range lines {
		if n := min(l.Amount, p.last[l.Lot.Delivery]); n > 0 && l.Bin.Held() {
			p.last[l.Lot.Delivery] -= n
			l.Amount -= n
			late := l
			late.Amount = n
			last = append(last, late)
		}
		first = append(first, l)
	}
	return first, last
}

// LotNamed finds a lot of a part by the shop's number for it. Error: NotFound.
func LotNamed(ctx context.Context, tx *store.Tx, part string, short string) (l Lot, err error) {
	found, err := tx.One(ctx, store.Into(&l.ID, &l.Short, &l.Part), `SELECT id, short, part FROM lot
		WHERE part = $1 AND CAST(short AS TEXT) = $2`, part, short)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "inventory.lot_absent", short)
	}
	return l, err
}

// Free gives what may be taken for jobs of every part, by part id. Parts
// without any are absent.
func Free(ctx context.Context, tx *store.Tx) (map[string]int64, error) {
	return sums(ctx, tx, `SELECT a.part, sum(a.amount) FROM balance a JOIN bin b ON b.id = a.bin
		WHERE a.amount > 0 AND b.kind IN ('shelf', 'intake') GROUP BY a.part ORDER BY a.part`)
}

// FreeAt is Free as it was at a time, by the clocks of the postings.
func FreeAt(ctx context.Context, tx *store.Tx, asOf time.Time) (map[string]int64, error) {
	return sums(ctx, tx, `SELECT coalesce(r.merged_into, r.id), sum(m.amount) FROM movement m JOIN posting p ON p.id = m.posting
		JOIN bin b ON b.id = m.bin JOIN part r ON r.id = m.part
		WHERE p.at <= $1 AND b.kind IN ('shelf', 'intake') GROUP BY 1 HAVING sum(m.amount) <> 0 ORDER BY 1`,
		store.Stamp(asOf))
}

func sums(ctx context.Context, tx *store.Tx, query string, args ...any) (map[string]int64, error) {
	byPart := map[string]int64{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var part string
		var n int64
		err := scan(&part, &n)
		byPart[part] = n
		return err
	}, query, args...)
	return byPart, err
}
