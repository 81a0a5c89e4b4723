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
			return fault.New(fault.Invalid, "shop.with_whom."+q.Kind).WithHint("shop.with_whom.hint")
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

// lentIn gives the flow of pieces that come back from a loan, or are borrowed:
// these have no value, since they are not the shop's.
func (m *moving) lentIn(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
	f := inventory.Flow{Part: m.part.ID, Amount: m.q.Amount}
	var err error
	if m.q.Kind == inventory.LentBack {
		if err := m.mayGiveBack(ctx, tx, inventory.Lend); err != nil {
			return nil, err
		}
		if f.Value, err = inventory.Worth(ctx, tx, m.part.ID, m.q.Amount); err != nil {
			return nil, err
		}
	}
	if f.To, err = m.home(ctx, tx); err != nil {
		return nil, err
	}
	if f.Lot = m.lot; f.Lot == "" {
		l, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: m.part.ID})
		if err != nil {
			return nil, err
		}
		f.Lot = l.ID
	}
	return []inventory.Flow{f}, nil
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
