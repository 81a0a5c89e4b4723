package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Taking by scanning: the job is told once, then every scan is one piece out. A
// scan is kept at once. Where it cannot be taken it waits, and says for what:
// nobody knows its code, the book has too little, it is set aside for others, it
// is oil and nobody said how much. The bench is never held up: one answer settles
// each of these. A part that is not counted is not taken by scanning: the scan of
// its bag or bin says that it is empty, and puts it on the week's list.

// TakeRequest is one scan.
type TakeRequest struct {
	Key     string // of the caller; the same again takes nothing
	Session string // of the scans that are shown together
	Job     string // as the shop names it; empty: none
	Text    string // as scanned; a line =2 before it says how much
	Amount  int64  // of the part's unit; 0: as Text says, else one piece
	Kept    bool   // take also what is set aside for others
	Found   bool   // what the book lacks was found
}

// Take takes what one scan stands for. Errors: Invalid, Conflict (the key was
// used for something else).
func (s *Shop) Take(ctx context.Context, q TakeRequest) (TakeLine, error) {
	if err := checkKey(q.Key); err != nil {
		return TakeLine{}, err
	}
	q.Job, q.Session = strings.TrimSpace(q.Job), strings.TrimSpace(q.Session)
	if len(q.Job) > longestName || len(q.Session) > longestName {
		return TakeLine{}, fault.New(fault.Invalid, "shop.too_long")
	}
	t := inventory.TakeScan{Key: q.Key, Session: q.Session, Job: q.Job, Amount: q.Amount, State: inventory.TakeUnknown}
	if times := strings.TrimSpace(q.Text); strings.HasPrefix(times, "=") && !strings.ContainsAny(times, "\r\n\t") {
		return TakeLine{}, fault.New(fault.Invalid, "shop.take_times", times).WithHint("shop.take_times.hint")
	}
	good, bad, err := s.readLines(ctx, strings.NewReader(q.Text))
	switch {
	case err != nil:
		return TakeLine{}, err
	case len(bad) > 0:
		return TakeLine{}, bad[0].Err
	case len(good) != 1:
		return TakeLine{}, fault.New(fault.Invalid, "shop.take_one").WithHint("shop.take_one.hint")
	}
	t.Text = good[0].Text
	t.Code, _ = filedLine(good[0])
	if good[0].Times > 1 && t.Amount == 0 {
		t.Amount = int64(good[0].Times)
	}
	if t.Amount < 0 || t.Amount > mostAmount {
		return TakeLine{}, fault.New(fault.Invalid, "shop.bad_amount", t.Amount, int64(mostAmount))
	}
	var out TakeLine
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) (err error) {
		if t.Key == "" {
			if t.Key, err = tx.NewID(); err != nil {
				return err
			}
		}
		t.Person = who.ID
		t, repeated, err := inventory.RecordTake(ctx, tx, t)
		if err != nil {
			return err
		}
		g := taking{s, t, who, q.Kept, q.Found}
		if !repeated {
			if err := g.scanned(ctx, tx, good[0].Elements.Batch()); err != nil {
				return err
			}
		}
		out, err = s.takeLine(ctx, tx, g.t)
		out.Repeated = repeated
		return err
	})
	return out, err
}

// taking is one scan under way.
type taking struct {
	s           *Shop
	t           inventory.TakeScan
	who         Actor
	kept, found bool
}

// scanned takes what a new scan stands for, as far as that is known; of the batch
// that its label names where there is such a one.
func (g *taking) scanned(ctx context.Context, tx *store.Tx, batch string) error {
	p, _, known, err := takenPart(ctx, tx, g.t)
	if err != nil || !known {
		return err
	}
	return g.take(ctx, tx, p, batch)
}

// takenPart gives the part that a scan stands for, and how many pieces its code
// does: by its code or number, or the one that lives in the bin whose label it is.
func takenPart(ctx context.Context, tx *store.Tx, t inventory.TakeScan) (p catalog.Part, pack int64, known bool, err error) {
	link, known, err := catalog.LinkOf(ctx, tx, t.Code)
	if err != nil {
		return p, 0, false, err
	}
	if known && link.Part != "" {
		p, known, err = catalog.PartByID(ctx, tx, link.Part)
		return p, link.Pieces, known, err
	}
	if p, _, err = partFor(ctx, tx, t.Text); fault.KindOf(err) == fault.NotFound {
		p, err = bagOf(ctx, tx, t.Text)
	}
	switch fault.KindOf(err) {
	case fault.NotFound, fault.Ambiguous, fault.Invalid:
		return p, 0, false, nil
	}
	return p, 1, err == nil, err
}

// take takes pieces of a part for a scan, or leaves it waiting with the reason.
func (g *taking) take(ctx context.Context, tx *store.Tx, p catalog.Part, batch string) error {
	g.t.Part = p.ID
	counted, err := isCounted(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	if !counted {
		if _, err := inventory.EmptyBag(ctx, tx, p.ID, g.who.ID); err != nil {
			return err
		}
		return g.end(ctx, tx, inventory.TakeNoted)
	}
	if p.Unit != catalog.Piece && g.t.Amount == 0 {
		return g.end(ctx, tx, inventory.TakeHowMuch)
	}
	m := moving{part: p, who: g.who, q: MoveRequest{
		Kind: inventory.Issue, Part: p.Name(), Amount: max(g.t.Amount, 1), Job: g.t.Job, Key: g.t.Key, Kept: g.kept, Found: g.found,
	}}
	if m.q.Lot, err = lotOfBatch(ctx, tx, p.ID, batch, m.q.Amount); err != nil {
		return err
	}
	done, err := m.post(ctx, tx)
	switch e := fault.Of(err); {
	case err == nil:
		g.t.Amount, g.t.Posting = m.q.Amount, done.Posting.ID
		return g.end(ctx, tx, inventory.TakeTaken)
	case e.Kind != fault.Short:
		return err
	case e.Message.ID == "shop.kept":
		return g.end(ctx, tx, inventory.TakeKept)
	}
	return g.end(ctx, tx, inventory.TakeShort)
}

func (g *taking) end(ctx context.Context, tx *store.Tx, state string) error {
	g.t.State = state
	return g.t.Save(ctx, tx)
}

// lotOfBatch gives the shop's number of the lot that has the batch on the label,
// where enough of it may be taken; else "": the one to be used first.
func lotOfBatch(ctx context.Context, tx *store.Tx, part, batch string, amount int64) (string, error) {
	if batch == "" {
		return "", nil
	}
	lines, err := inventory.Stock(ctx, tx, part)
	for _, l := range lines {
		if l.Lot.Batch == batch && l.Bin.Free() && l.Amount >= amount {
			return itoa(l.Lot.Short), nil
		}
	}
	return "", err
}
