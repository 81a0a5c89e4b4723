package inventory

import (
	"context"
	"math"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// What is claimed from suppliers. Pages and commands call it a complaint, since
// a claim is somebody's word on a part or fork there. A claim moves no stock and
// changes no value: pieces that came damaged or wrong, or that are suspect, go
// to a blocked place by a posting of their own, and leave it by being sent back,
// thrown away or put back on the shelf. What a supplier pays back is kept with
// the claim; it ends when that is what was expected, or when somebody says so.
// What was sent back opens a claim by itself, which counts as long as the
// posting is not undone.

// What a Claim is about.
const (
	Damaged  = "damaged"   // it came so
	Wrong    = "wrong"     // not what was ordered, or not what the label says
	Suspect  = "suspect"   // a batch that is not trusted
	TooShort = "short"     // on the delivery note, not in the parcel
	KitShort = "kit_short" // a kit that lacks something
	SentBack = "sent_back" // sent back for another reason
)

// How a Claim ends.
const (
	Replaced = "replacement"
	Credited = "credit"
	Refusal  = "refusal"
	Mistake  = "mistake" // there was nothing to claim
)

// Claim is what the shop claims from a supplier.
type Claim struct {
	ID       string
	Number   int64  // the shop's running number
	Key      string // of the caller, unique; empty: the id
	Content  string // what the key was used for
	Delivery string // id, where it came with one
	Supplier string // id; empty: that of the delivery. Queries give the one or the other
	Part     string // id
	What     string // Damaged, ...
	Amount   int64  // of the part's unit; of KitShort the kits
	Lacks    string // of KitShort: what was not in them
	Reason   string
	Expected Value  // the credit, net
	Person   string // id
	At       string // store.Stamp
	Ending   string // Replaced, ...; empty: it is open
	Ended    string // store.Stamp
	EndedBy  string // id of a person
	Note     string // how it ended
	Credited int64  // what was paid back, minor units; given by queries
	Undone   bool   // what was sent back never was: the posting is undone; given by queries
}

// Open reports whether the supplier still has to settle it.
func (c Claim) Open() bool { return c.Ending == "" && !c.Undone }

// Owed gives what is still to be paid back, as far as it was agreed.
func (c Claim) Owed() Value {
	if !c.Open() || !c.Expected.Known {
		return Value{Known: !c.Open()}
	}
	return Value{max(0, c.Expected.Minor-c.Credited), true}
}

// Blocks reports whether pieces of a claim about what belong in a blocked place.
func Blocks(what string) bool { return what == Damaged || what == Wrong || what == Suspect }

// OpenClaim opens a claim; postings are what moved for it. Of pieces that came
// damaged, wrong or suspect what they cost is expected back, where nothing else
// is told and that is known. The caller has looked for its key before. Error:
// Invalid.
func OpenClaim(ctx context.Context, tx *store.Tx, c Claim, postings ...string) (Claim, error) {
	if c.Amount <= 0 {
		return c, fault.New(fault.Invalid, "inventory.bad_amount", c.Amount)
	}
	var err error
	if !c.Expected.Known && Blocks(c.What) && c.Delivery != "" {
		if c.Expected, err = costOf(ctx, tx, c.Delivery, c.Part, c.Amount); err != nil {
			return c, err
		}
	}
	if c.ID, err = tx.NewID(); err != nil {
		return c, err
	}
	if c.Key == "" {
		c.Key = c.ID
	}
	c.At = store.Stamp(tx.Now)
	if _, err := tx.One(ctx, store.Into(&c.Number), `SELECT coalesce(max(number), 0) + 1 FROM supplier_claim`); err != nil {
		return c, err
	}
	if _, err := tx.Exec(ctx, `INSERT INTO supplier_claim (id, number, key, content, delivery, supplier, part, what, amount, lacks,
		reason, expected_minor, person, at) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
		c.ID, c.Number, c.Key, c.Content, orNull(c.Delivery), orNull(c.Supplier), c.Part, c.What, c.Amount, c.Lacks, c.Reason,
		c.Expected.column(), c.Person, c.At); err != nil {
		return c, err
	}
	return c, c.Moved(ctx, tx, postings...)
}

// costOf gives what pieces of a part did cost that a delivery brought, rounded half
// to even; it is not known where that of some of them is not.
func costOf(ctx context.Context, tx *store.Tx, delivery, part string, amount int64) (v Value, err error) {
	all, err := PaidFor(ctx, tx, delivery)
	for _, p := range all {
		if p.Part == part && p.Known() && p.Minor <= math.MaxInt64/amount {
			v = Value{half(p.Minor*amount, p.Amount), true}
		}
	}
	return v, err
}

func orNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// Sent records what was sent back for a claim, and the credit that is expected
// where it is told. Error: Conflict (it is settled).
func (c Claim) Sent(ctx context.Context, tx *store.Tx, posting string, credit Value) error {
	if c.Ending != "" {
		return c.ended()
	}
	if err := c.Moved(ctx, tx, posting); err != nil || !credit.Known {
		return err
	}
	c.Undone = false
	return c.Expect(ctx, tx, credit)
}

// Moved records what moved for a claim.
func (c Claim) Moved(ctx context.Context, tx *store.Tx, postings ...string) error {
	for _, p := range postings {
		if _, err := tx.Exec(ctx, `INSERT INTO claim_posting (claim, posting) VALUES ($1, $2) ON CONFLICT (claim, posting) DO NOTHING`,
			c.ID, p); err != nil {
			return err
		}
	}
	return nil
}

// ClaimsOf says which claims are meant; what is empty does not narrow it.
type ClaimsOf struct {
	Number   int64
	Key      string
	Delivery string // id
	Part     string // id
	Posting  string // id of what moved for it
	Open     bool   // only what is not settled
	Most     int    // so many at most; 0: all
}

// Claims gives claims, the newest first.
func Claims(ctx context.Context, tx *store.Tx, of ClaimsOf) ([]Claim, error) {
	if of.Most == 0 {
		of.Most = -1
	}
	var all []Claim
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (c Claim, err error) {
		return c, scan(&c.ID, &c.Number, &c.Key, &c.Content, &c.Delivery, &c.Supplier, &c.Part, &c.What, &c.Amount, &c.Lacks,
			&c.Reason, &c.Expected.Minor, &c.Expected.Known, &c.Person, &c.At, &c.Ending, &c.Ended, &c.EndedBy, &c.Note, &c.Credited, &c.Undone)
	}), voided+`, story AS (
		SELECT c.*, coalesce(c.supplier, d.supplier, o.supplier, '') AS whose,
			(SELECT coalesce(sum(k.amount_minor), 0) FROM credit k WHERE k.claim = c.id AND k.taken_back = '') AS credited,
			c.what = 'sent_back' AND NOT EXISTS (SELECT 1 FROM claim_posting g WHERE g.claim = c.id AND g.posting NOT IN voided) AS undone
		FROM supplier_claim c LEFT JOIN delivery d ON d.id = c.delivery LEFT JOIN purchase o ON o.id = d.purchase)
		SELECT id, number, key, content, coalesce(delivery, ''), whose, part, what, amount, lacks, reason, coalesce(expected_minor, 0),
			expected_minor IS NOT NULL, person, at, ending, ended, coalesce(ended_by, ''), note, credited, undone
		FROM story c WHERE ($2 = 0 OR c.number = $2) AND ($3 = '' OR c.key = $3) AND ($4 = '' OR c.delivery = $4)
			AND ($5 = '' OR c.part = $5) AND ($6 = '' OR EXISTS (SELECT 1 FROM claim_posting g WHERE g.claim = c.id AND g.posting = $6))
			AND (NOT $7 OR c.ending = '' AND NOT c.undone)
		ORDER BY c.number DESC LIMIT $8`, ever, of.Number, of.Key, of.Delivery, of.Part, of.Posting, of.Open, of.Most)
	return all, err
}

// ClaimNumbered finds a claim. Error: NotFound.
func ClaimNumbered(ctx context.Context, tx *store.Tx, number int64) (Claim, error) {
	all, err := Claims(ctx, tx, ClaimsOf{Number: max(number, -1)})
	if err != nil {
		return Claim{}, err
	}
	if number == 0 || len(all) == 0 {
		return Claim{}, fault.New(fault.NotFound, "inventory.claim_absent", number).WithHint("inventory.claim_absent.hint")
	}
	return all[0], nil
}

// End settles a claim. Error: Conflict (it is settled already).
func (c Claim) End(ctx context.Context, tx *store.Tx, how, person, note string) error {
	if !c.Open() {
		return c.ended()
	}
	_, err := tx.Exec(ctx, `UPDATE supplier_claim SET ending = $2, ended = $3, ended_by = $4, note = $5 WHERE id = $1`,
		c.ID, how, store.Stamp(tx.Now), person, note)
	return err
}

// ended says that a claim is settled.
func (c Claim) ended() error {
	ending := c.Ending
	if c.Undone {
		ending = "undone"
	}
	return fault.New(fault.Conflict, "inventory.claim_ended", c.Number, fault.Say("complaint.by."+ending)).
		WithHint("inventory.claim_ended.hint", c.Number)
}

// Reopen takes up a claim again that was settled by mistake. Error: Conflict (it
// is open).
func (c Claim) Reopen(ctx context.Context, tx *store.Tx) error {
	if c.Ending == "" {
		return fault.New(fault.Conflict, "inventory.claim_open", c.Number)
	}
	_, err := tx.Exec(ctx, `UPDATE supplier_claim SET ending = '', ended = '', ended_by = NULL, note = '' WHERE id = $1`, c.ID)
	return err
}

// Expect says which credit is expected. Error: Conflict (it is settled).
func (c Claim) Expect(ctx context.Context, tx *store.Tx, credit Value) error {
	if !c.Open() {
		return c.ended()
	}
	_, err := tx.Exec(ctx, `UPDATE supplier_claim SET expected_minor = $2 WHERE id = $1`, c.ID, credit.column())
	return err
}

// ClaimMove is a posting that moved something for a claim.
type ClaimMove struct {
	Seq    int64 // of its first movement
	Kind   string
	At     string // store.Stamp
	Amount int64  // that left where it lay
}

// Moves gives what moved for a claim, in order, without what was undone.
func (c Claim) Moves(ctx context.Context, tx *store.Tx) ([]ClaimMove, error) {
	var all []ClaimMove
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (m ClaimMove, err error) {
		return m, scan(&m.Seq, &m.Kind, &m.At, &m.Amount)
	}), voided+`SELECT min(m.seq), p.kind, p.at, max(sum(max(m.amount, 0)), sum(max(-m.amount, 0))) FROM claim_posting g
		JOIN posting p ON p.id = g.posting JOIN movement m ON m.posting = p.id
		WHERE g.claim = $2 AND p.id NOT IN voided GROUP BY p.id ORDER BY min(m.seq)`, ever, c.ID)
	return all, err
}

// Left gives how much of what is claimed was not sent back yet.
func (c Claim) Left(ctx context.Context, tx *store.Tx) (int64, error) {
	moves, err := c.Moves(ctx, tx)
	left := c.Amount
	for _, m := range moves {
		if m.Kind == SendBack {
			left -= m.Amount
		}
	}
	return left, err
}
