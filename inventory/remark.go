package inventory

import (
	"context"
	"fmt"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Kinds of a Remark.
const (
	RemarkDamaged = "damaged" // so many pieces came damaged: they go to the blocked place
	RemarkWrong   = "wrong"   // so many pieces are not what was ordered: likewise
	RemarkNoted   = "noted"   // the delivery note says that so many pieces came
	RemarkInstead = "instead" // the part came for another that was ordered, and counts as that one
)

// Remark is what was said of a part of an open delivery. Of each kind the last
// one counts; an amount of 0 takes it back.
type Remark struct {
	Seq      int64
	Key      string // of the caller; the same again says nothing new
	Delivery string // id
	Part     string // id
	Kind     string
	Amount   int64  // pieces; of RemarkInstead 1
	Ordered  string // id of the part that it was sent instead of
	Reason   string
	Person   string // id
}

// mostRemark bounds an amount: more is a slip of the finger.
const mostRemark = 1_000_000

// Say keeps a remark. The same key again changes nothing. Errors: Invalid,
// Conflict (the delivery is not open, or the key was used for something else).
func (d Delivery) Say(ctx context.Context, tx *store.Tx, r Remark) (repeated bool, err error) {
	content := fmt.Sprintf("%s\n%s\n%s\n%d\n%s\n%s", d.ID, r.Part, r.Kind, r.Amount, r.Ordered, r.Reason)
	var old string
	repeated, err = tx.One(ctx, store.Into(&old), `SELECT content FROM remark WHERE key = $1`, r.Key)
	if err != nil {
		return false, err
	}
	if repeated && old != content {
		return true, fault.New(fault.Conflict, "inventory.key_used", r.Key).WithHint("inventory.key_used.hint")
	}
	if repeated {
		return true, nil
	}
	if err := d.mustBeOpen(); err != nil {
		return false, err
	}
	if r.Amount < 0 || r.Amount > mostRemark {
		return false, fault.New(fault.Invalid, "inventory.bad_amount", r.Amount)
	}
	if r.Kind == RemarkInstead && r.Ordered == r.Part {
		return false, fault.New(fault.Invalid, "inventory.instead_same").WithHint("inventory.instead_same.hint")
	}
	_, err = tx.Exec(ctx, `INSERT INTO remark (key, content, delivery, part, kind, amount, ordered, reason, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, nullif($7, ''), $8, $9, $10)`,
		r.Key, content, d.ID, r.Part, r.Kind, r.Amount, r.Ordered, r.Reason, r.Person, store.Stamp(tx.Now))
	return false, err
}

// Remarks gives what counts of what was said of the parts of a delivery, in the
// order in which it was said; without what was taken back.
func (d Delivery) Remarks(ctx context.Context, tx *store.Tx) ([]Remark, error) {
	var all []Remark
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (r Remark, err error) {
		return r, scan(&r.Seq, &r.Key, &r.Delivery, &r.Part, &r.Kind, &r.Amount, &r.Ordered, &r.Reason, &r.Person)
	}), `SELECT seq, key, delivery, part, kind, amount, coalesce(ordered, ''), reason, person FROM remark
		WHERE seq IN (SELECT max(seq) FROM remark WHERE delivery = $1 GROUP BY part, kind) AND (amount > 0 OR kind = 'noted')
		ORDER BY seq`, d.ID)
	return all, err
}

// Instead gives of which ordered parts a part was sent instead, by the id of
// the one that came.
func (d Delivery) Instead(ctx context.Context, tx *store.Tx) (map[string][]string, error) {
	all, err := d.Remarks(ctx, tx)
	instead := map[string][]string{}
	for _, r := range all {
		if r.Kind == RemarkInstead {
			instead[r.Part] = append(instead[r.Part], r.Ordered)
		}
	}
	return instead, err
}
