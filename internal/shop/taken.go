package shop

import (
	"context"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// TakeLine is what became of a scan of the take mode.
type TakeLine struct {
	Scan   int64        `json:"scan"` // its number
	Text   string       `json:"text"`
	State  string       `json:"state"` // of inventory.TakeTaken and so on
	Undone bool         `json:"undone"`
	Job    string       `json:"job"`
	Number string       `json:"number"` // empty while the code is not known
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit       string          `json:"unit"`
	Amount     int64           `json:"amount"` // taken, or wanted
	Bins       []string        `json:"bins"`   // out of which
	Lots       []int64         `json:"lots"`
	Batch      string          `json:"batch"`     // of the maker, where it is told
	OnHand     int64           `json:"on_hand"`   // by the book, now
	Available  int64           `json:"available"` // of it, for any job
	Pack       int64           `json:"pack"`      // so many pieces does the code stand for; 0: it is not known
	Keepers    []string        `json:"set_aside_for"`
	Aged       []fault.Message `json:"aged,omitempty"`
	Lost       int64           `json:"lost,omitempty"`       // that the book had still where the bin is empty
	Candidates []string        `json:"candidates,omitempty"` // what a number of several makers can mean
	Person     string          `json:"person"`
	Time       time.Time       `json:"time"`
	Session    string          `json:"session"`
	Repeated   bool            `json:"repeated"`
}

// Name gives the number with its maker, as a command takes it.
func (l TakeLine) Name() string { return l.Maker + "/" + l.Number }

// Waits reports whether somebody has to say something of it.
func (l TakeLine) Waits() bool {
	return (&taking{t: inventory.TakeScan{State: l.State}}).waits()
}

// takeLine tells what became of a scan.
func (s *Shop) takeLine(ctx context.Context, tx *store.Tx, t inventory.TakeScan) (TakeLine, error) {
	l := TakeLine{
		Scan: t.Seq, Text: t.Text, State: t.State, Job: t.Job, Amount: t.Amount, Session: t.Session, Time: t.At,
		Bins: []string{}, Lots: []int64{}, Keepers: []string{},
	}
	if _, err := tx.One(ctx, store.Into(&l.Person), `SELECT name FROM person WHERE id = $1`, t.Person); err != nil {
		return l, err
	}
	if t.Part == "" {
		_, _, err := partFor(ctx, tx, t.Text)
		if fault.KindOf(err) == fault.Ambiguous {
			for _, c := range fault.Of(err).Candidates {
				l.Candidates = append(l.Candidates, c.Name)
			}
		}
		return l, nil
	}
	p, _, err := catalog.PartByID(ctx, tx, t.Part)
	if err != nil {
		return l, err
	}
	v, err := view(ctx, tx, p, fault.Message{})
	if err != nil {
		return l, err
	}
	l.Number, l.Maker, l.Role, l.Sizes, l.Unit, l.OnHand, l.Available = v.Number, v.Maker, v.Role, v.Sizes, v.Unit, v.OnHand, v.Available
	if l.Amount == 0 && l.Unit == catalog.Piece {
		l.Amount = 1
	}
	if of, pack, known, err := takenPart(ctx, tx, t); err != nil {
		return l, err
	} else if known && of.ID == p.ID {
		l.Pack = pack
	}
	if t.State == inventory.TakeKept {
		all, err := inventory.SetAsides(ctx, tx, t.Part, "")
		if err != nil {
			return l, err
		}
		for _, a := range all {
			l.Keepers = append(l.Keepers, a.Job)
		}
	}
	return l, s.takenFrom(ctx, tx, t, p, &l)
}

// takenFrom tells where a scan was taken.
func (s *Shop) takenFrom(ctx context.Context, tx *store.Tx, t inventory.TakeScan, p catalog.Part, l *TakeLine) error {
	if t.Posting == "" {
		return nil
	}
	stands, _, err := inventory.Stands(ctx, tx, t.Posting)
	if err != nil {
		return err
	}
	l.Undone = !stands
	posting, _, err := inventory.PostingByID(ctx, tx, t.Posting)
	if err != nil {
		return err
	}
	done, err := posted(ctx, tx, posting, false)
	if err != nil {
		return err
	}
	for _, m := range done.Movements {
		l.Bins, l.Lots = append(l.Bins, m.Bin), append(l.Lots, m.Lot)
		lot, err := inventory.LotNumbered(ctx, tx, m.Lot)
		if err != nil {
			return err
		}
		l.Batch = lot.Batch
	}
	l.Aged, err = s.agedOf(ctx, tx, p, done.Movements)
	return err
}

// Takes is what was scanned in a session, and what waits.
type Takes struct {
	Lines []TakeLine `json:"lines"` // of the session, the newest first
	Waits []TakeLine `json:"waits"` // of all sessions, the oldest first
	Jobs  []string   `json:"jobs"`  // for which something was taken last
}

// mostTakes bounds what is shown of a session.
const mostTakes = 30

// Takes gives the last scans of a session, and all that wait.
func (s *Shop) Takes(ctx context.Context, session string) (Takes, error) {
	out := Takes{Lines: []TakeLine{}, Waits: []TakeLine{}, Jobs: []string{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		waits, err := inventory.TakesWaiting(ctx, tx)
		if err != nil {
			return err
		}
		lines, err := inventory.TakesOf(ctx, tx, session, mostTakes)
		if err != nil {
			return err
		}
		for _, of := range []struct {
			to  *[]TakeLine
			all []inventory.TakeScan
		}{{&out.Waits, waits}, {&out.Lines, lines}} {
			for _, t := range of.all {
				l, err := s.takeLine(ctx, tx, t)
				if err != nil {
					return err
				}
				*of.to = append(*of.to, l)
			}
		}
		jobs, err := inventory.TakeJobs(ctx, tx, mostTakes)
		out.Jobs = append(out.Jobs, jobs...)
		return err
	})
	return out, err
}
