package shop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// ComplaintRequest asks for a complaint about what a delivery brought, or did
// not bring.
type ComplaintRequest struct {
	Delivery string // name
	Part     string // number, or maker/number
	Amount   int64  // of the part's unit; of kit_short the kits
	What     string // damaged, wrong, suspect, short, kit_short
	Lacks    string // of kit_short: what was not in them
	Reason   string
	Credit   string // expected, net: 400, 400.50 or 400,50; empty: what they cost, where that is known
	Bin      string // where they lie now; empty: wherever the delivery's pieces lie
	Stay     bool   // the pieces are not here any more, or lie where they should
	Key      string
}

// whats are what a complaint can be about, and what somebody can say.
var whats = []string{inventory.Damaged, inventory.Wrong, inventory.Suspect, inventory.TooShort, inventory.KitShort}

// check tidies a request, and reads the credit.
func (q *ComplaintRequest) check() (credit inventory.Value, err error) {
	if !slices.Contains(whats, q.What) {
		return credit, fault.New(fault.Invalid, "shop.bad_what", clipped(q.What)).WithHint("shop.bad_what.hint")
	}
	if q.Amount <= 0 || q.Amount > mostAmount {
		return credit, fault.New(fault.Invalid, "shop.bad_amount", q.Amount, int64(mostAmount))
	}
	q.Lacks, q.Reason = tidied(q.Lacks), trimmed(q.Reason)
	if len(q.Reason) > 500 || len(q.Lacks) > longestName {
		return credit, fault.New(fault.Invalid, "shop.too_long")
	}
	if q.Credit = trimmed(q.Credit); q.Credit != "" {
		credit.Known = true
		if credit.Minor, err = readMoney(q.Credit); err != nil {
			return credit, err
		}
	}
	return credit, checkKey(q.Key)
}

// Complain opens a complaint, also weeks later. Pieces that came damaged or wrong,
// or that are suspect, go to a blocked place: on hand, never picked. Errors:
// Invalid, NotFound (delivery, part, it brought none of it), Ambiguous, Conflict
// (it brought fewer; the key), Short (they are not there any more).
func (s *Shop) Complain(ctx context.Context, q ComplaintRequest) (out Complaint, err error) {
	credit, err := q.check()
	if err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		d, err := inventory.KnownDelivery(ctx, tx, q.Delivery)
		if err != nil {
			return err
		}
		part, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return err
		}
		c := inventory.Claim{
			Key: q.Key, Delivery: d.ID, Part: part.ID, What: q.What, Amount: q.Amount, Lacks: q.Lacks, Reason: q.Reason, Expected: credit,
			Person: who.ID, Content: fmt.Sprintf("%s\n%s\n%s\n%d\n%s\n%s\n%s\n%s\n%v", d.ID, part.ID, q.What, q.Amount, q.Lacks, q.Reason, q.Credit, q.Bin, q.Stay),
		}
		old, repeated, err := claimByKey(ctx, tx, c)
		if err != nil {
			return err
		}
		if repeated {
			out, err = s.complaint(ctx, tx, old)
			out.Repeated = true
			return err
		}
		if c, err = q.open(ctx, tx, d, part, c); err != nil {
			return err
		}
		out, err = s.complaintNumbered(ctx, tx, c.Number)
		return err
	})
	return out, err
}

// claimByKey finds the claim that was opened under the key of c. Error: Conflict
// where it was opened with other content.
func claimByKey(ctx context.Context, tx *store.Tx, c inventory.Claim) (old inventory.Claim, repeated bool, err error) {
	if c.Key == "" {
		return old, false, nil
	}
	all, err := inventory.Claims(ctx, tx, inventory.ClaimsOf{Key: c.Key})
	if err != nil || len(all) == 0 {
		return old, false, err
	}
	if all[0].Content != c.Content {
		return old, false, fault.New(fault.Conflict, "inventory.key_used", c.Key).WithHint("inventory.key_used.hint")
	}
	return all[0], true, nil
}

// open blocks the pieces where they are to be, and opens the claim.
func (q *ComplaintRequest) open(ctx context.Context, tx *store.Tx, d inventory.Delivery, part catalog.Part, c inventory.Claim) (_ inventory.Claim, err error) {
	if q.What == inventory.TooShort {
		if !c.Expected.Known {
			if c.Expected, err = d.PriceOf(ctx, tx, c.Part, c.Amount); err != nil {
				return c, err
			}
		}
	} else {
		if err := q.mayClaim(ctx, tx, d, part); err != nil {
			return c, err
		}
	}
	if !inventory.Blocks(q.What) {
		return inventory.OpenClaim(ctx, tx, c)
	}
	if q.Stay {
		return inventory.OpenClaim(ctx, tx, c)
	}
	p, err := q.block(ctx, tx, d, part, c)
	if err != nil {
		return c, err
	}
	return inventory.OpenClaim(ctx, tx, c, p.ID)
}

// mayClaim refuses a claim about more than the delivery brought.
func (q *ComplaintRequest) mayClaim(ctx context.Context, tx *store.Tx, d inventory.Delivery, part catalog.Part) error {
	came, err := inventory.Brought(ctx, tx, d.ID, part.ID)
	if err != nil {
		return err
	}
	var amount int64
	for _, c := range came {
		amount += c.Amount
	}
	switch {
	case amount == 0:
		return fault.New(fault.NotFound, "shop.not_brought", d.Name, part.Name()).WithHint("shop.not_brought.hint")
	case amount < q.Amount:
		return fault.New(fault.Conflict, "shop.brought_fewer", d.Name, amount, part.Name(), q.Amount)
	}
	return nil
}

// block moves the pieces to the blocked place.
func (q *ComplaintRequest) block(ctx context.Context, tx *store.Tx, d inventory.Delivery, part catalog.Part, c inventory.Claim) (p inventory.Posting, err error) {
	bin := ""
	if q.Bin != "" {
		b, err := inventory.BinNamed(ctx, tx, q.Bin)
		if err != nil {
			return p, err
		}
		bin = b.ID
	}
	flows, err := inventory.PickOf(ctx, tx, d.ID, part.ID, q.Amount, bin)
	if err != nil {
		if e := fault.Of(err); e.Message.ID == "inventory.short" {
			return p, &fault.Error{Kind: fault.Short, Message: fault.Say("shop.short_of", part.Name(), d.Name, e.Message), Hint: fault.Say("shop.short_of.hint"), Err: e}
		}
		return p, err
	}
	to, err := inventory.BlockedBin(ctx, tx)
	if err != nil {
		return p, err
	}
	for i := range flows {
		flows[i].To = to.ID
	}
	return inventory.Post(ctx, tx, inventory.Posting{
		Kind: inventory.Move, Person: c.Person, Delivery: d.ID, Reason: q.Reason, Content: "block\n" + c.Content,
	}, flows)
}

// SettleComplaint ends a complaint: by replacement, credit, refusal, or because
// it was a mistake. Errors: Invalid, NotFound, Conflict (it is settled).
func (s *Shop) SettleComplaint(ctx context.Context, number int64, how, note string) (Complaint, error) {
	if !slices.Contains([]string{inventory.Replaced, inventory.Credited, inventory.Refusal, inventory.Mistake}, how) {
		return Complaint{}, fault.New(fault.Invalid, "shop.bad_ending", clipped(how)).WithHint("shop.bad_ending.hint")
	}
	return s.changeComplaint(ctx, number, note, func(ctx context.Context, tx *store.Tx, c inventory.Claim, who Actor) error {
		return c.End(ctx, tx, how, who.ID, note)
	})
}

// ReopenComplaint takes up a complaint again that was settled by mistake. Errors:
// NotFound, Conflict (it is open).
func (s *Shop) ReopenComplaint(ctx context.Context, number int64) (Complaint, error) {
	return s.changeComplaint(ctx, number, "", func(ctx context.Context, tx *store.Tx, c inventory.Claim, _ Actor) error {
		return c.Reopen(ctx, tx)
	})
}

// ExpectCredit says which credit was agreed, net: 400, 400.50 or 400,50; empty:
// none. Errors: Invalid, NotFound, Conflict (it is settled).
func (s *Shop) ExpectCredit(ctx context.Context, number int64, credit string) (Complaint, error) {
	var v inventory.Value
	if credit = trimmed(credit); credit != "" {
		n, err := readMoney(credit)
		if err != nil {
			return Complaint{}, err
		}
		v = inventory.Value{Minor: n, Known: true}
	}
	return s.changeComplaint(ctx, number, "", func(ctx context.Context, tx *store.Tx, c inventory.Claim, _ Actor) error {
		return c.Expect(ctx, tx, v)
	})
}

// CreditRequest tells what a supplier paid back for a complaint.
type CreditRequest struct {
	Complaint int64
	Amount    string // net: 400, 400.50 or 400,50
	Day       string // YYYY-MM-DD; empty: today
	Note      string // such as the number of the credit note
	Last      bool   // nothing more will come, even if more was expected
	Key       string
}

// TakeCredit enters what was paid back. The complaint is settled where that is
// all that was expected, or the last that comes. Errors: Invalid, NotFound,
// Conflict (it is settled; the key).
func (s *Shop) TakeCredit(ctx context.Context, q CreditRequest) (Complaint, error) {
	minor, err := readMoney(trimmed(q.Amount))
	if err != nil {
		return Complaint{}, err
	}
	if q.Day != "" {
		if _, err := time.Parse(time.DateOnly, q.Day); err != nil {
			return Complaint{}, fault.New(fault.Invalid, "shop.bad_day", clipped(q.Day)).WithHint("shop.bad_day.hint")
		}
	}
	if err := checkKey(q.Key); err != nil {
		return Complaint{}, err
	}
	repeated := false
	out, err := s.changeComplaint(ctx, q.Complaint, q.Note, func(ctx context.Context, tx *store.Tx, c inventory.Claim, who Actor) error {
		k := inventory.Credit{
			Key: q.Key, Minor: minor, Day: q.Day, Note: q.Note, Person: who.ID,
			Content: fmt.Sprintf("%s\n%d\n%s\n%s\n%v", c.ID, minor, q.Day, q.Note, q.Last),
		}
		if k.Day == "" {
			k.Day = tx.Today()
		}
		if k.Day > tx.Today() {
			return fault.New(fault.Invalid, "shop.day_to_come", k.Day).WithHint("shop.day_to_come.hint", tx.Today())
		}
		if q.Key != "" {
			var err error
			if _, repeated, err = inventory.CreditByKey(ctx, tx, q.Key, k.Content); err != nil || repeated {
				return err
			}
		}
		return c.Pay(ctx, tx, k, q.Last)
	})
	out.Repeated = repeated
	return out, err
}

// TakeBackCredit takes the last credit of a complaint back, which was entered by
// mistake. Errors: NotFound, Conflict (there is none).
func (s *Shop) TakeBackCredit(ctx context.Context, number int64) (Complaint, error) {
	return s.changeComplaint(ctx, number, "", func(ctx context.Context, tx *store.Tx, c inventory.Claim, _ Actor) error {
		return c.TakeBack(ctx, tx)
	})
}

func (s *Shop) changeComplaint(ctx context.Context, number int64, note string,
	change func(context.Context, *store.Tx, inventory.Claim, Actor) error,
) (out Complaint, err error) {
	if len(note) > 500 {
		return out, fault.New(fault.Invalid, "shop.too_long")
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		c, err := inventory.ClaimNumbered(ctx, tx, number)
		if err != nil {
			return err
		}
		if err := change(ctx, tx, c, who); err != nil {
			return err
		}
		out, err = s.complaintNumbered(ctx, tx, number)
		return err
	})
	return out, err
}

// claimSentBack opens the complaint that waits for the credit of what was sent
// back, or finds the one that it was sent back for: as told, else the oldest open
// one about pieces of the part in a blocked place, where they came from there.
// It gives its number.
func (m *moving) claimSentBack(ctx context.Context, tx *store.Tx, sent Posted) (int64, error) {
	all, err := inventory.Claims(ctx, tx, inventory.ClaimsOf{Posting: sent.Posting.ID})
	if err != nil {
		return 0, err
	}
	if len(all) > 0 { // the key was used before
		return all[0].Number, nil
	}
	v, err := catalog.SupplierNamed(ctx, tx, m.q.Partner)
	if err != nil {
		return 0, err
	}
	c, found, err := m.sentFor(ctx, tx, v, sent)
	if err != nil {
		return 0, err
	}
	var credit inventory.Value
	if sent.Posting.Price != nil {
		credit = inventory.Value{Minor: *sent.Posting.Price, Known: true}
	}
	if !found {
		c, err = inventory.OpenClaim(ctx, tx, inventory.Claim{
			Supplier: v.ID, Part: m.part.ID, What: inventory.SentBack, Amount: m.q.Amount, Reason: m.q.Reason, Expected: credit, Person: m.who.ID,
		}, sent.Posting.ID)
		return c.Number, err
	}
	return c.Number, c.Sent(ctx, tx, sent.Posting.ID, credit)
}

// sentFor finds the complaint that pieces were sent back for.
func (m *moving) sentFor(ctx context.Context, tx *store.Tx, v catalog.Supplier, sent Posted) (c inventory.Claim, found bool, err error) {
	if m.q.Complaint != 0 {
		c, err := inventory.ClaimNumbered(ctx, tx, m.q.Complaint)
		if err == nil && (c.Part != m.part.ID || c.Supplier != "" && c.Supplier != v.ID) {
			err = fault.New(fault.Conflict, "shop.other_complaint", c.Number, m.part.Name(), v.Name).WithHint("inventory.claim_absent.hint")
		}
		return c, err == nil, err
	}
	held, err := tx.One(ctx, store.Into(new(int64)), `SELECT 1 FROM movement m JOIN bin b ON b.id = m.bin
		WHERE m.posting = $1 AND b.kind = 'blocked' LIMIT 1`, sent.Posting.ID)
	if err != nil || !held {
		return c, false, err
	}
	open, err := inventory.Claims(ctx, tx, inventory.ClaimsOf{Part: m.part.ID, Open: true})
	for _, o := range slices.Backward(open) {
		if !inventory.Blocks(o.What) || o.Supplier != "" && o.Supplier != v.ID {
			continue
		}
		left, err := o.Left(ctx, tx)
		if err != nil {
			return c, false, err
		}
		if left >= m.q.Amount {
			return o, true, nil
		}
	}
	return c, false, err
}

// pickBack chooses what is sent back, and remarks where it takes what is claimed
// from another supplier.
func (m *moving) pickBack(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
	supplier, err := catalog.SupplierNamed(ctx, tx, m.q.Partner)
	if err != nil {
		return nil, err
	}
	flows, others, err := inventory.PickBlocked(ctx, tx, m.part.ID, m.q.Amount, m.bin, m.lot, supplier.ID)
	if err != nil {
		return nil, err
	}
	for _, c := range others {
		name, err := supplierName(ctx, tx, c.Supplier)
		if err != nil {
			return nil, err
		}
		m.remarks = append(m.remarks, fault.Say("shop.back_of_other", c.Number, name))
	}
	return flows, nil
}
