package inventory

import (
	"context"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Posting is one entry of the ledger: who moved what, when and why.
type Posting struct {
	ID        string
	Key       string // the caller's, unique
	Content   string // what the key was used for; the same key with other content is a conflict
	Kind      string
	Person    string // id
	At        time.Time
	Delivery  string // id, where it came with one
	Purchase  string // id of the order it is about
	Tally     string // id of the count it comes from
	Job       string // as the shop names it
	Partner   string // who bought, lent, borrowed, or takes it back
	Due       string // YYYY-MM-DD: lent or borrowed until
	Price     Value  // what a sale brought, or the credit expected for what was sent back
	Reason    string
	Corrects  string // id of the posting that this one undoes
	Amends    string // id of the posting of which this one puts a part right
	Movements []Movement
	Ended     []SetAside // that ended by it, because their pieces are gone; known only to who posts it
}

// Movement is one line of a posting. Seq has no gaps and orders the ledger.
type Movement struct {
	Seq    int64
	Part   string // id
	Bin    string // id
	Lot    string // id
	Amount int64  // signed, of the part's unit
	Value  Value  // signed
}

// Value is money that may be not known.
type Value struct {
	Minor int64
	Known bool
}

func (v Value) column() any {
	if !v.Known {
		return nil
	}
	return v.Minor
}

// Flow is what a posting does with some pieces: From a bin, To a bin, or both.
// A part that comes in brings Value, for all its pieces together; what goes
// out or moves takes the moving average.
type Flow struct {
	Part, Lot string // ids
	From, To  string // ids of bins; "" is outside the shop
	Amount    int64  // above 0
	Value     Value
}

// PostingByKey gives the posting that was made under a key; ok is false where
// there is none. Error: Conflict where it was made with other content.
func PostingByKey(ctx context.Context, tx *store.Tx, key, content string) (p Posting, ok bool, err error) {
	var id string
	ok, err = tx.One(ctx, store.Into(&id), `SELECT id FROM posting WHERE key = $1`, key)
	if err != nil || !ok {
		return p, false, err
	}
	if p, ok, err = PostingByID(ctx, tx, id); err != nil || !ok {
		return p, ok, err
	}
	if p.Content != content {
		return p, true, fault.New(fault.Conflict, "inventory.key_used", key).WithHint("inventory.key_used.hint")
	}
	return p, true, nil
}

// PostingByID gives the posting of an id with its movements; ok is false where
// there is none.
func PostingByID(ctx context.Context, tx *store.Tx, id string) (p Posting, ok bool, err error) {
	var at string
	ok, err = tx.One(ctx, store.Into(&p.ID, &p.Key, &p.Content, &p.Kind, &p.Person, &at, &p.Delivery, &p.Purchase, &p.Tally,
		&p.Job, &p.Partner, &p.Due, &p.Price.Minor, &p.Price.Known, &p.Reason, &p.Corrects, &p.Amends),
		`SELECT id, key, content, kind, person, at, coalesce(delivery, ''), coalesce(purchase, ''), coalesce(tally, ''),
		job, partner, due, coalesce(price_minor, 0), price_minor IS NOT NULL, reason, coalesce(corrects, ''), coalesce(amends, '')
		FROM posting WHERE id = $1`, id)
	if err != nil || !ok {
		return p, false, err
	}
	if p.At, err = store.Time(at); err != nil {
		return p, false, err
	}
	p.Movements, err = MovementsOf(ctx, tx, id)
	return p, true, err
}

// MovementsOf gives the movements of a posting in their order.
func MovementsOf(ctx context.Context, tx *store.Tx, posting string) (all []Movement, err error) {
	err = tx.Each(ctx, collect(&all, func(scan store.Scan) (m Movement, err error) {
		return m, scan(&m.Seq, &m.Part, &m.Bin, &m.Lot, &m.Amount, &m.Value.Minor, &m.Value.Known)
	}), `SELECT seq, part, bin, lot, amount, coalesce(value_minor, 0), value_minor IS NOT NULL
		FROM movement WHERE posting = $1 ORDER BY seq`, posting)
	return all, err
}

// Post enters p with its flows. The caller has looked for its key before.
// Error: Short where a bin holds less than a flow takes from it.
func Post(ctx context.Context, tx *store.Tx, p Posting, flows []Flow) (Posting, error) {
	p, err := open(ctx, tx, p)
	if err != nil {
		return p, err
	}
	for _, f := range flows {
		if f.Amount <= 0 || f.From == "" && f.To == "" {
			return p, fault.New(fault.Invalid, "inventory.bad_amount", f.Amount)
		}
		parts := []share{{f.Amount, f.Value}}
		if f.From != "" {
			if parts, err = average(ctx, tx, f.Part, f.Amount); err != nil {
				return p, err
			}
		}
		for _, s := range parts {
			if f.From != "" {
				m := Movement{Part: f.Part, Bin: f.From, Lot: f.Lot, Amount: -s.amount, Value: s.value.negative()}
				if err := enter(ctx, tx, &p, m); err != nil {
					return p, err
				}
			}
			if f.To != "" {
				m := Movement{Part: f.Part, Bin: f.To, Lot: f.Lot, Amount: s.amount, Value: s.value}
				if err := enter(ctx, tx, &p, m); err != nil {
					return p, err
				}
			}
		}
	}
	return p, p.hold(ctx, tx)
}

// hold ends what p took of set-asides: what its job had kept and took, or got
// into its tray, then the newest of others as far as fewer pieces are there than
// are kept.
func (p *Posting) hold(ctx context.Context, tx *store.Tx) error {
	took := map[string]int64{}
	var parts []string
	for _, m := range p.Movements {
		if m.Amount < 0 {
			if took[m.Part] == 0 {
				parts = append(parts, m.Part)
			}
			took[m.Part] -= m.Amount
		}
	}
	for _, part := range parts {
		if p.Job != "" && (p.Kind == Issue || p.Kind == Move) {
			outside, err := p.fromOutside(ctx, tx, part)
			if err != nil {
				return err
			}
			if err := used(ctx, tx, part, p.Job, p.Person, outside); err != nil {
				return err
			}
		}
		ended, err := hold(ctx, tx, part, p.Person)
		if err != nil {
			return err
		}
		p.Ended = append(p.Ended, ended...)
	}
	return nil
}

// fromOutside gives how much of a part p took that did not lie in a tray: of
// what does nothing is set aside any more.
func (p *Posting) fromOutside(ctx context.Context, tx *store.Tx, part string) (n int64, err error) {
	for _, m := range p.Movements {
		if m.Part != part || m.Amount > 0 {
			continue
		}
		_, tray, err := TrayIn(ctx, tx, m.Bin)
		if err != nil {
			return 0, err
		}
		if !tray {
			n -= m.Amount
		}
	}
	return n, nil
}

// open enters the head of a posting.
func open(ctx context.Context, tx *store.Tx, p Posting) (Posting, error) {
	var err error
	if p.ID, err = tx.NewID(); err != nil {
		return p, err
	}
	if p.Key == "" {
		p.Key = p.ID
	}
	p.At = tx.Now
	null := func(s string) any {
		if s == "" {
			return nil
		}
		return s
	}
	_, err = tx.Exec(ctx, `INSERT INTO posting (id, key, content, kind, person, at, delivery, purchase, tally, job, partner, due,
		price_minor, reason, corrects, amends) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16)`,
		p.ID, p.Key, p.Content, p.Kind, p.Person, store.Stamp(p.At), null(p.Delivery), null(p.Purchase), null(p.Tally), p.Job,
		p.Partner, p.Due, p.Price.column(), p.Reason, null(p.Corrects), null(p.Amends))
	return p, err
}

// enter appends one movement to the ledger and to p.
func enter(ctx context.Context, tx *store.Tx, p *Posting, m Movement) error {
	if m.Amount < 0 {
		there, err := amountAt(ctx, tx, m.Part, m.Bin, m.Lot)
		if err != nil {
			return err
		}
		if there+m.Amount < 0 {
			var number, bin string
			_, err := tx.One(ctx, store.Into(&number, &bin), `SELECT p.number, b.name FROM part p, bin b
				WHERE p.id = $1 AND b.id = $2`, m.Part, m.Bin)
			if err != nil {
				return err
			}
			return fault.New(fault.Short, "inventory.short_bin", number, -m.Amount, bin, there).
				WithHint("inventory.short_bin.hint", number)
		}
	}
	if _, err := tx.One(ctx, store.Into(&m.Seq), `INSERT INTO movement (seq, posting, part, bin, lot, amount, value_minor)
		VALUES ((SELECT coalesce(max(seq), 0) + 1 FROM movement), $1, $2, $3, $4, $5, $6) RETURNING seq`, p.ID, m.Part, m.Bin, m.Lot, m.Amount, m.Value.column()); err != nil {
		return err
	}
	p.Movements = append(p.Movements, m)
	return nil
}

func amountAt(ctx context.Context, tx *store.Tx, part, bin, lot string) (n int64, err error) {
	_, err = tx.One(ctx, store.Into(&n), `SELECT amount FROM balance WHERE part = $1 AND bin = $2 AND lot = $3`, part, bin, lot)
	return n, err
}
