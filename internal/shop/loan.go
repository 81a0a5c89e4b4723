package shop

import (
	"context"
	"math"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Loan is what is lent to another shop or a person, or borrowed from them.
type Loan struct {
	Kind    string       `json:"kind"` // "lend" or "borrow"
	Number  string       `json:"number"`
	Maker   string       `json:"maker"`
	Role    catalog.Role `json:"role"`
	Unit    string       `json:"unit"`
	Amount  int64        `json:"amount"`
	Partner string       `json:"partner"`
	Since   string       `json:"since"`
	Due     string       `json:"due"`     // empty: no day was told
	Overdue bool         `json:"overdue"` // the day is over
}

// Loans is what is out.
type Loans struct {
	Lines []Loan `json:"lines"`
}

// Loans gives what is lent and borrowed, what is due first before the rest.
func (s *Shop) Loans(ctx context.Context) (Loans, error) {
	out := Loans{Lines: []Loan{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		all, err := inventory.Loans(ctx, tx, "", "")
		for _, l := range all {
			p, _, err := catalog.PartByID(ctx, tx, l.Part)
			if err != nil {
				return err
			}
			told, err := s.loan(tx, p, l)
			if err != nil {
				return err
			}
			out.Lines = append(out.Lines, told)
		}
		return err
	})
	return out, err
}

// checkWith refuses a request whose partner, job, day or price does not go with
// its kind, or is missing.
func (q *MoveRequest) checkWith() error {
	q.Job, q.Partner = strings.TrimSpace(q.Job), strings.TrimSpace(q.Partner)
	if len(q.Job) > longestName || len(q.Partner) > longestName {
		return fault.New(fault.Invalid, "shop.too_long")
	}
	switch q.Kind {
	case inventory.Lend, inventory.LentBack, inventory.Borrow, inventory.BorrowedBack, inventory.SendBack:
		if q.Partner == "" {
			hint := "shop.with_whom.hint"
			if q.Kind == inventory.SendBack {
				hint = "shop.with_supplier.hint"
			}
			return fault.New(fault.Invalid, "shop.with_whom."+q.Kind).WithHint(hint)
		}
	}
	if q.Due != "" {
		if _, err := time.Parse(time.DateOnly, q.Due); err != nil {
			return fault.New(fault.Invalid, "shop.bad_day", q.Due).WithHint("shop.bad_day.hint")
		}
	}
	if q.Price = trimmed(q.Price); q.Price != "" {
		_, err := readMoney(q.Price)
		return err
	}
	return nil
}

// lentIn gives the flows of pieces that come back from a loan, each to the lot
// that it was lent from, or are borrowed: these have no value, since they are
// not the shop's.
func (m *moving) lentIn(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
	if m.q.Kind == inventory.LentBack {
		if err := m.mayGiveBack(ctx, tx, inventory.Lend); err != nil {
			return nil, err
		}
	}
	to, err := m.home(ctx, tx)
	if err != nil {
		return nil, err
	}
	lots, err := m.lotsIn(ctx, tx)
	if err != nil {
		return nil, err
	}
	var flows []inventory.Flow
	var done inventory.Value // of the flows together
	var amount int64
	for _, l := range lots {
		f := inventory.Flow{Part: m.part.ID, Lot: l.Lot, To: to, Amount: l.Amount}
		if amount += l.Amount; m.q.Kind == inventory.LentBack {
			worth, err := inventory.Worth(ctx, tx, m.part.ID, amount)
			if err != nil {
				return nil, err
			}
			f.Value = inventory.Value{Minor: worth.Minor - done.Minor, Known: worth.Known}
			done = worth
		}
		flows = append(flows, f)
	}
	return flows, nil
}

// lotsIn gives the lots of pieces that come in: the one asked for, else those
// they were lent from, the latest first, else one of which nothing is known.
func (m *moving) lotsIn(ctx context.Context, tx *store.Tx) (lots []inventory.Lent, err error) {
	left := m.q.Amount
	switch {
	case m.lot != "":
		return []inventory.Lent{{Lot: m.lot, Amount: left}}, nil
	case m.q.Kind == inventory.LentBack:
		if lots, err = m.lentLots(ctx, tx, inventory.Lend); err != nil {
			return nil, err
		}
		for _, l := range lots {
			left -= l.Amount
		}
	}
	if left > 0 {
		l, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: m.part.ID})
		if err != nil {
			return nil, err
		}
		lots = append(lots, inventory.Lent{Lot: l.ID, Amount: left})
	}
	return lots, nil
}

// lentLots gives the lots of which the pieces asked for are out with the
// partner, each once, the latest first.
func (m *moving) lentLots(ctx context.Context, tx *store.Tx, kind string) (lots []inventory.Lent, err error) {
	out, err := inventory.LentOf(ctx, tx, kind, m.part.ID, m.q.Partner)
	at, left := map[string]int{}, m.q.Amount
	for _, l := range out {
		if l.Amount = min(l.Amount, left); l.Amount == 0 {
			break
		}
		left -= l.Amount
		i, seen := at[l.Lot]
		if !seen {
			i, at[l.Lot] = len(lots), len(lots)
			lots = append(lots, inventory.Lent{Lot: l.Lot})
		}
		lots[i].Amount += l.Amount
	}
	return lots, err
}

// pickBorrowed chooses what goes back to the lender: of the lots that it was
// borrowed into where it is all there, else as for any use.
func (m *moving) pickBorrowed(ctx context.Context, tx *store.Tx) (flows []inventory.Flow, err error) {
	lots, err := m.lentLots(ctx, tx, inventory.Borrow)
	if err != nil {
		return nil, err
	}
	for _, l := range lots {
		of, err := inventory.Pick(ctx, tx, m.part.ID, l.Amount, m.bin, l.Lot)
		if fault.KindOf(err) == fault.Short {
			return inventory.Pick(ctx, tx, m.part.ID, m.q.Amount, m.bin, "")
		}
		if err != nil {
			return nil, err
		}
		flows = append(flows, of...)
	}
	return flows, nil
}

// mayGiveBack refuses to bring back more than is out.
func (m *moving) mayGiveBack(ctx context.Context, tx *store.Tx, kind string) error {
	all, err := inventory.Loans(ctx, tx, m.part.ID, m.q.Partner)
	if err != nil {
		return err
	}
	var out int64
	for _, l := range all {
		if l.Kind == kind {
			out += l.Amount
		}
	}
	if out < m.q.Amount {
		return fault.New(fault.Conflict, "shop.not_out."+kind, m.part.Number, m.q.Amount, m.q.Partner, out).WithHint("shop.not_out.hint")
	}
	return nil
}

// price gives what a sale brings: as asked, else at the part's selling price; or
// the credit that is expected.
func (m *moving) price(ctx context.Context, tx *store.Tx) (v inventory.Value, err error) {
	switch {
	case m.q.Price != "":
		minor, err := readMoney(m.q.Price)
		return inventory.Value{Minor: minor, Known: true}, err
	case m.q.Kind == inventory.Sale:
		v.Known, err = tx.One(ctx, store.Into(&v.Minor), `SELECT sell_minor * $2 FROM part
			WHERE id = $1 AND sell_minor IS NOT NULL AND sell_minor <= $3`, m.part.ID, m.q.Amount, math.MaxInt64/mostAmount)
	}
	return v, err
}
