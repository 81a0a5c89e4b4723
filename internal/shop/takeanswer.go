package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// TakeAnswer is what a person says of a scan.
type TakeAnswer struct {
	Scan   int64  // its number
	Does   string // of TakeAnswers
	Part   string // is: the part that it stands for
	Amount int64  // much: of the part's unit; is: how many of the part, 0 for one
	Learn  bool   // is: the code stands for that part from now on
}

// TakeAnswers are what can be said of a scan: less (all of it is taken back), it was
// found, take it though it is set aside, it is that part, so much of it, the bin
// is empty now, it was nothing.
var TakeAnswers = []string{"less", "found", "kept", "is", "much", "empty", "drop"}

// AnswerTake settles a scan. An answer that was given before changes nothing.
// Errors: Invalid, NotFound, Ambiguous, Short.
func (s *Shop) AnswerTake(ctx context.Context, a TakeAnswer) (TakeLine, error) {
	if a.Amount < 0 || a.Amount > mostAmount {
		return TakeLine{}, fault.New(fault.Invalid, "shop.bad_amount", a.Amount, int64(mostAmount))
	}
	var out TakeLine
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		t, err := inventory.TakeNumbered(ctx, tx, a.Scan)
		if err != nil {
			return err
		}
		g := taking{s, t, who, a.Does == "kept" || a.Does == "found", a.Does == "found"}
		lost, err := g.answer(ctx, tx, a)
		if err != nil {
			return err
		}
		out, err = s.takeLine(ctx, tx, g.t)
		out.Lost = lost
		return err
	})
	return out, err
}

func (g *taking) answer(ctx context.Context, tx *store.Tx, a TakeAnswer) (lost int64, err error) {
	switch a.Does {
	case "less":
		return 0, g.less(ctx, tx)
	case "empty":
		return g.empty(ctx, tx)
	case "drop":
		if g.waits() {
			err = g.end(ctx, tx, inventory.TakeDropped)
		}
		return 0, err
	case "is":
		return 0, g.is(ctx, tx, a)
	case "found", "kept", "much":
		if !g.waits() || g.t.Part == "" {
			return 0, nil
		}
		if a.Does == "much" {
			if a.Amount == 0 {
				return 0, fault.New(fault.Invalid, "shop.bad_amount", a.Amount, int64(mostAmount))
			}
			g.t.Amount = a.Amount
		}
		p, _, err := catalog.PartByID(ctx, tx, g.t.Part)
		if err != nil {
			return 0, err
		}
		return 0, g.take(ctx, tx, p, "")
	}
	return 0, fault.New(fault.Invalid, "shop.take_does", a.Does, strings.Join(TakeAnswers, ", "))
}

func (g *taking) waits() bool {
	switch g.t.State {
	case inventory.TakeUnknown, inventory.TakeHowMuch, inventory.TakeShort, inventory.TakeKept:
		return true
	}
	return false
}

// less takes a scan back.
func (g *taking) less(ctx context.Context, tx *store.Tx) error {
	switch g.t.State {
	case inventory.TakeNoted:
		if err := inventory.FilledBag(ctx, tx, g.t.Part); err != nil {
			return err
		}
		return g.end(ctx, tx, inventory.TakeDropped)
	case inventory.TakeTaken:
		stands, _, err := inventory.Stands(ctx, tx, g.t.Posting)
		if err != nil || !stands {
			return err
		}
		wrong, _, err := inventory.PostingByID(ctx, tx, g.t.Posting)
		if err != nil {
			return err
		}
		_, err = inventory.Reverse(ctx, tx, wrong, inventory.Posting{Content: undoContent(wrong.ID), Person: g.who.ID})
		return err
	}
	return nil
}

// is takes a scan for the part that a person says it is.
func (g *taking) is(ctx context.Context, tx *store.Tx, a TakeAnswer) error {
	if g.t.State != inventory.TakeUnknown {
		return nil
	}
	p, _, err := partFor(ctx, tx, a.Part)
	if err != nil {
		return err
	}
	if a.Learn {
		if _, err := oneCode(g.t.Code); err != nil {
			return err
		}
		if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: g.t.Code, Part: p.ID, Pieces: 1}, g.who.ID, false); err != nil {
			return err
		}
		if _, err := inventory.SettleCode(ctx, tx, g.t.Code); err != nil {
			return err
		}
	}
	if a.Amount > 0 {
		g.t.Amount = a.Amount
	}
	return g.take(ctx, tx, p, "")
}

// empty posts as a difference, for review, what the book still has where the
// scan was taken; of one that waits, wherever it could have been.
func (g *taking) empty(ctx context.Context, tx *store.Tx) (lost int64, err error) {
	if g.t.Part == "" {
		return 0, nil
	}
	in := map[string]bool{}
	if g.t.Posting != "" {
		p, _, err := inventory.PostingByID(ctx, tx, g.t.Posting)
		if err != nil {
			return 0, err
		}
		for _, m := range p.Movements {
			in[m.Bin] = true
		}
	}
	lines, err := inventory.Stock(ctx, tx, g.t.Part)
	if err != nil {
		return 0, err
	}
	var flows []inventory.Flow
	for _, l := range lines {
		if in[l.Bin.ID] || len(in) == 0 && l.Bin.Free() {
			flows = append(flows, inventory.Flow{Part: g.t.Part, Lot: l.Lot.ID, From: l.Bin.ID, Amount: l.Amount})
			lost += l.Amount
		}
	}
	if len(flows) > 0 {
		reason := words.For(g.s.settings.Language).Say("shop.take_empty")
		if _, err := inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Count, Person: g.who.ID, Reason: reason}, flows); err != nil {
			return 0, err
		}
	}
	if g.waits() {
		err = g.end(ctx, tx, inventory.TakeDropped)
	}
	return lost, err
}
