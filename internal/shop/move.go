package shop

import (
	"context"
	"fmt"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Posted is an entry of the ledger.
type Posted struct {
	Posting   Posting    `json:"posting"`
	Movements []Movement `json:"movements"`
	Repeated  bool       `json:"repeated"` // the key was used before: nothing new was posted
	Found     int64      `json:"found"`    // pieces that the book did not know of, posted for review
	// FoundSeq is the number of the movement that brought them in. Undoing the
	// posting leaves them there; undoing that number takes them back, too.
	FoundSeq int64           `json:"found_seq,omitempty"`
	How      fault.Message   `json:"how,omitzero"`    // how the part came to be meant, where not by its own number
	Aged     []fault.Message `json:"aged,omitempty"`  // advice on rubber past its time that was issued
	Ended    []SetAside      `json:"ended,omitempty"` // set-asides that ended because their pieces are gone
	// Complaint is the number of the one that waits for the credit of what was sent back.
	Complaint int64  `json:"complaint,omitempty"`
	Currency  string `json:"currency,omitempty"` // of the price
	// Remarks are what is to be looked at in what was posted all the same.
	Remarks []fault.Message `json:"remarks"`
}

// Posting is the head of an entry.
type Posting struct {
	ID       string    `json:"id"`
	Key      string    `json:"key"`
	Kind     string    `json:"kind"`
	Person   string    `json:"person"`
	Time     time.Time `json:"time"`
	Job      string    `json:"job,omitempty"`
	Partner  string    `json:"partner,omitempty"`
	Due      string    `json:"due,omitempty"`         // lent or borrowed until
	Price    *int64    `json:"price_minor,omitempty"` // what a sale brought; the credit expected
	Reason   string    `json:"reason,omitempty"`
	Corrects string    `json:"corrects,omitempty"`
}

// Movement is one line of an entry.
type Movement struct {
	Seq        int64  `json:"seq"`
	Number     string `json:"number"`
	Maker      string `json:"maker"`
	Unit       string `json:"unit"`
	Bin        string `json:"bin"`
	Lot        int64  `json:"lot"`
	Amount     int64  `json:"amount"`      // signed
	ValueMinor *int64 `json:"value_minor"` // signed; null: not known
}

// MoveRequest asks for a movement of one part.
type MoveRequest struct {
	Kind   string // inventory.Issue, Return, Scrap or Move
	Part   string // number, or maker/number
	Amount int64  // of the part's unit
	Bin    string // where from (Issue, Scrap, Move) or to (Return); empty: wherever it lies, its home
	To     string // Move only
	Lot    string // the shop's number; empty: the one to be used first
	Reason string
	Key    string // of the caller; the same again posts nothing
	Found  bool   // what the book lacks was found: post it for review, then the movement

	Job     string // Issue, Scrap: for which it is; a Return: of which it is what was left over
	Partner string // Sale, SendBack, Lend, LentBack, Borrow, BorrowedBack: who it is with
	Due     string // Lend, Borrow: YYYY-MM-DD until when
	Price   string // Sale: what it brings; SendBack: the credit expected; for all pieces, net: 400, 400.50 or 400,50
	Kept    bool   // take also what is set aside for others

	Complaint int64 // SendBack: the complaint it is for; 0: a new one waits for the credit
}

// content is what a key stands for.
func (q MoveRequest) content(part, bin, to, lot string) string {
	c := fmt.Sprintf("%s\n%s\n%d\n%s\n%s\n%s\n%s", q.Kind, part, q.Amount, bin, to, lot, q.Reason)
	if q.Job == "" && q.Partner == "" && q.Due == "" && q.Price == "" {
		return c // as the keys of earlier versions have it
	}
	c = strings.Join([]string{c, q.Job, q.Partner, q.Due, q.Price}, "\n")
	if q.Complaint != 0 {
		c += fmt.Sprintf("\n%d", q.Complaint)
	}
	return c
}

// mostAmount is the largest amount that one posting moves; more is a slip of
// the finger, or a barcode scanned into the wrong field.
const mostAmount = 1_000_000

// Move takes, puts back, throws away or moves pieces of a part. Errors:
// Invalid, NotFound (part, bin, lot), Ambiguous, Short, Conflict (the key was
// used for something else).
func (s *Shop) Move(ctx context.Context, q MoveRequest) (Posted, error) {
	if q.Amount <= 0 || q.Amount > mostAmount {
		return Posted{}, fault.New(fault.Invalid, "shop.bad_amount", q.Amount, int64(mostAmount))
	}
	if len(q.Reason) > 500 {
		return Posted{}, fault.New(fault.Invalid, "shop.too_long")
	}
	if err := checkKey(q.Key); err != nil {
		return Posted{}, err
	}
	if err := q.checkWith(); err != nil {
		return Posted{}, err
	}
	var out Posted
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		part, how, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return err
		}
		m := moving{q: q, part: part, who: who}
		if out, err = m.post(ctx, tx); err != nil {
			return err
		}
		out.How, out.Currency = how, s.settings.Currency
		if q.Kind == inventory.SendBack {
			out.Complaint, err = m.claimSentBack(ctx, tx, out)
			return err
		}
		if q.Kind == inventory.Issue {
			out.Aged, err = s.agedOf(ctx, tx, part, out.Movements)
		}
		return err
	})
	return out, err
}

// foundKey follows the caller's key in that of the posting that records what
// was found.
const foundKey = "/found"

// moving is one movement under way.
type moving struct {
	q            MoveRequest
	part         catalog.Part
	who          Actor
	bin, to, lot string // ids
	found        inventory.Posting
	remarks      []fault.Message
}

func (m *moving) post(ctx context.Context, tx *store.Tx) (Posted, error) {
	if err := m.places(ctx, tx); err != nil {
		return Posted{}, err
	}
	content := m.q.content(m.part.ID, m.bin, m.to, m.lot)
	if m.q.Key != "" {
		old, repeated, err := inventory.PostingByKey(ctx, tx, m.q.Key, content)
		if err != nil {
			return Posted{}, err
		}
		if repeated {
			out, err := posted(ctx, tx, old, true)
			if err != nil {
				return out, err
			}
			found, _, err := inventory.PostingByKey(ctx, tx, m.q.Key+foundKey, "")
			m.found = found
			return m.tell(out), err
		}
	}
	flows, err := m.flows(ctx, tx)
	if err != nil {
		return Posted{}, m.explain(ctx, tx, err)
	}
	head := inventory.Posting{
		Key: m.q.Key, Content: content, Kind: m.q.Kind, Person: m.who.ID, Reason: m.q.Reason,
		Job: m.q.Job, Partner: m.q.Partner, Due: m.q.Due,
	}
	if m.q.Kind == inventory.Move { // into a tray is for its job
		tray, _, err := inventory.TrayIn(ctx, tx, m.to)
		if err != nil {
			return Posted{}, err
		}
		head.Job = tray.Job
	}
	if head.Price, err = m.price(ctx, tx); err != nil {
		return Posted{}, err
	}
	p, err := inventory.Post(ctx, tx, head, flows)
	if err != nil {
		return Posted{}, err
	}
	out, err := posted(ctx, tx, p, false)
	return m.tell(out), err
}

// tell adds what was found to an answer.
func (m *moving) tell(out Posted) Posted {
	for _, f := range m.found.Movements {
		out.Found += f.Amount
		out.FoundSeq = f.Seq
	}
	out.Remarks = append(out.Remarks, m.remarks...)
	return out
}

// checkKey keeps callers' keys apart from those that forkstock makes, and from
// the numbers of movements.
func checkKey(key string) error {
	number := key != "" && strings.Trim(key, "0123456789") == ""
	if number || len(key) > 200 || strings.HasPrefix(key, "scan:") || strings.HasPrefix(key, mergeKey) || strings.HasSuffix(key, foundKey) {
		return fault.New(fault.Invalid, "shop.bad_key", key).WithHint("shop.bad_key.hint")
	}
	return nil
}

// places finds the bins and the lot.
func (m *moving) places(ctx context.Context, tx *store.Tx) error {
	for _, f := range []struct {
		name string
		id   *string
	}{{m.q.Bin, &m.bin}, {m.q.To, &m.to}} {
		if f.name == "" {
			continue
		}
		b, err := inventory.BinNamed(ctx, tx, f.name)
		if err != nil {
			return err
		}
		*f.id = b.ID
	}
	if m.q.Kind == inventory.Move && (m.bin == "" || m.to == "" || m.bin == m.to) {
		return fault.New(fault.Invalid, "shop.move_where").WithHint("shop.move_where.hint")
	}
	if m.q.Kind == inventory.SendBack {
		supplier, err := catalog.SupplierLike(ctx, tx, m.q.Partner)
		if err != nil {
			return err
		}
		m.q.Partner = supplier.Name
	}
	if m.q.Lot != "" {
		l, err := inventory.LotNamed(ctx, tx, m.part.ID, m.q.Lot)
		m.lot = l.ID
		return err
	}
	return nil
}

func (m *moving) flows(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
	switch m.q.Kind {
	case inventory.Return:
		return m.back(ctx, tx)
	case inventory.LentBack, inventory.Borrow:
		return m.lentIn(ctx, tx)
	}
	if err := m.mayTake(ctx, tx); err != nil {
		return nil, err
	}
	count, err := isCounted(ctx, tx, m.part.ID)
	if err != nil {
		return nil, err
	}
	if m.q.Found || !count { // of what is not counted there is always some
		if err := m.find(ctx, tx); err != nil {
			return nil, err
		}
	}
	flows, err := m.pick(ctx, tx)
	for i := range flows {
		flows[i].To = m.to
	}
	return flows, err
}

// pick chooses where the pieces come from: for a job from its tray first.
func (m *moving) pick(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
	switch {
	case m.q.Kind == inventory.SendBack:
		return m.pickBack(ctx, tx)
	case m.q.Kind == inventory.Scrap || m.q.Kind == inventory.Move:
		return inventory.PickHeld(ctx, tx, m.part.ID, m.q.Amount, m.bin, m.lot)
	case m.q.Kind == inventory.BorrowedBack && m.lot == "":
		return m.pickBorrowed(ctx, tx)
	case m.forJob() && m.bin == "":
		return inventory.PickFor(ctx, tx, m.part.ID, m.q.Amount, m.lot, m.q.Job)
	}
	return inventory.Pick(ctx, tx, m.part.ID, m.q.Amount, m.bin, m.lot)
}

// forJob reports whether a job takes the pieces.
func (m *moving) forJob() bool { return m.q.Kind == inventory.Issue && m.q.Job != "" }

// back gives the flow of pieces that are put back: into the bin asked for,
// else home, else INTAKE; of the lot asked for, else the last one issued.
func (m *moving) back(ctx context.Context, tx *store.Tx) ([]inventory.Flow, error) {
	taken, err := inventory.Taken(ctx, tx, m.part.ID)
	if err != nil {
		return nil, err
	}
	if m.q.Amount > taken {
		return nil, fault.New(fault.Conflict, "shop.never_taken", m.part.Number, m.q.Amount, max(taken, 0)).WithHint("shop.never_taken.hint")
	}
	to, err := m.home(ctx, tx)
	if err != nil {
		return nil, err
	}
	if m.lot == "" {
		if m.lot, err = inventory.LastIssued(ctx, tx, m.part.ID); err != nil {
			return nil, err
		}
	}
	if m.lot == "" {
		l, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: m.part.ID})
		if err != nil {
			return nil, err
		}
		m.lot = l.ID
	}
	worth, err := inventory.Worth(ctx, tx, m.part.ID, m.q.Amount)
	return []inventory.Flow{{Part: m.part.ID, Lot: m.lot, To: to, Amount: m.q.Amount, Value: worth}}, err
}

// home gives the bin asked for, else the part's home, else INTAKE.
func (m *moving) home(ctx context.Context, tx *store.Tx) (string, error) {
	if m.bin != "" {
		return m.bin, nil
	}
	if m.part.HomeBin != "" {
		return m.part.HomeBin, nil
	}
	b, err := inventory.BinNamed(ctx, tx, inventory.Intake)
	return b.ID, err
}

// find posts what the book lacks for the movement, so that the bench is not
// held up by the book.
func (m *moving) find(ctx context.Context, tx *store.Tx) error {
	lines, err := inventory.Stock(ctx, tx, m.part.ID)
	if err != nil {
		return err
	}
	lacks := m.q.Amount
	var tray inventory.Tray
	if m.forJob() {
		if tray, _, err = inventory.TrayOf(ctx, tx, m.q.Job); err != nil {
			return err
		}
	}
	for _, l := range lines {
		if (m.bin == "" && (l.Bin.Free() || l.Bin.ID == tray.Bin.ID) || l.Bin.ID == m.bin) && (m.lot == "" || l.Lot.ID == m.lot) {
			lacks -= l.Amount
		}
	}
	if lacks <= 0 {
		return nil
	}
	lot := m.lot
	if lot == "" {
		l, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: m.part.ID})
		if err != nil {
			return err
		}
		lot = l.ID
	}
	to, err := m.home(ctx, tx)
	if err != nil {
		return err
	}
	if m.bin == "" { // where it can be taken from in the same step
		if to, err = inventory.FreeBin(ctx, tx, to); err != nil {
			return err
		}
	}
	head := inventory.Posting{Kind: inventory.Found, Person: m.who.ID, Reason: m.q.Reason}
	if m.q.Key != "" {
		head.Key = m.q.Key + foundKey
	}
	m.found, err = inventory.Post(ctx, tx, head, []inventory.Flow{{Part: m.part.ID, Lot: lot, To: to, Amount: lacks}})
	return err
}

// Undo enters the reverse of a posting, which is named by its id, by its key
// or by the number of one of its movements. Undoing the posting of a merge
// undoes the merge. Errors: NotFound, Conflict (undone already), Short (what came in is not all there any more).
func (s *Shop) Undo(ctx context.Context, name, key, reason string) (Posted, error) {
	if err := checkKey(key); err != nil {
		return Posted{}, err
	}
	var out Posted
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		wrong, err := inventory.PostingNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		content := undoContent(wrong.ID)
		if key != "" {
			old, repeated, err := inventory.PostingByKey(ctx, tx, key, content)
			if err != nil {
				return err
			}
			if repeated {
				out, err = posted(ctx, tx, old, true)
				return err
			}
		}
		head := inventory.Posting{Key: key, Content: content, Person: who.ID, Reason: reason}
		p, merge, err := unmergeBy(ctx, tx, wrong, head)
		if err == nil && !merge {
			p, err = inventory.Reverse(ctx, tx, wrong, head)
		}
		if err != nil {
			return err
		}
		out, err = posted(ctx, tx, p, false)
		return err
	})
	return out, err
}

func posted(ctx context.Context, tx *store.Tx, p inventory.Posting, repeated bool) (Posted, error) {
	out := Posted{
		Posting: Posting{
			ID: p.ID, Key: p.Key, Kind: p.Kind, Time: p.At, Job: p.Job, Partner: p.Partner, Due: p.Due, Price: minor(p.Price),
			Reason: p.Reason, Corrects: p.Corrects,
		},
		Movements: []Movement{}, Repeated: repeated, Remarks: []fault.Message{},
	}
	if _, err := tx.One(ctx, store.Into(&out.Posting.Person), `SELECT name FROM person WHERE id = $1`, p.Person); err != nil {
		return out, err
	}
	for _, m := range p.Movements {
		l, err := movedLine(ctx, tx, m)
		if err != nil {
			return out, err
		}
		out.Movements = append(out.Movements, Movement{
			Seq: m.Seq, Number: l.Number, Maker: l.Maker, Unit: l.Unit, Bin: l.Bin, Lot: l.Lot, Amount: m.Amount,
			ValueMinor: minor(m.Value),
		})
	}
	remarks, err := remarksOf(ctx, tx, p)
	if err != nil {
		return out, err
	}
	out.Remarks = append(out.Remarks, remarks...)
	for _, a := range p.Ended {
		part, _, err := catalog.PartByID(ctx, tx, a.Part)
		if err != nil {
			return out, err
		}
		out.Ended = append(out.Ended, SetAside{
			part.Number, part.Maker, part.Role, part.Unit, a.Amount, a.Job, a.Until, a.Person, tx.Today(),
		})
	}
	return out, nil
}

func minor(v inventory.Value) *int64 {
	if !v.Known {
		return nil
	}
	return &v.Minor
}
