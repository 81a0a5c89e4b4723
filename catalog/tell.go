package catalog

import (
	"context"
	"fmt"
	"slices"

	"forkstock/internal/store"
)

// TellPart claims what now says of a part otherwise than was: all that is
// known of a new one, for which was has no id. The columns have it already.
func TellPart(ctx context.Context, tx *store.Tx, was, now Part, w Word) error {
	return telling{tx, w, was.ID == "", was.Source}.tell(ctx, AboutPart, now.ID, was.facts(), now.facts())
}

// TellPlace claims what now says of a place otherwise than was, and that the
// parts fit which it names anew. A new place had no id.
func TellPlace(ctx context.Context, tx *store.Tx, was, now Position, w Word) error {
	t := telling{tx, w, was.ID == "", ""}
	if err := t.tell(ctx, AboutPlace, now.ID, was.facts(), now.facts()); err != nil {
		return err
	}
	for _, n := range now.Parts {
		if slices.Contains(was.Parts, n) {
			continue
		}
		if err := t.claim(ctx, Claim{About: AboutFit, Subject: FitSubject(now.ID, n.Part), Field: "fits", Value: yes}, ""); err != nil {
			return err
		}
	}
	return nil
}

// TellFork claims what now says of a fork otherwise than was: its leg diameter,
// layout and damping, and what is seen of it from outside. A new fork had no id.
func TellFork(ctx context.Context, tx *store.Tx, was, now Fork, w Word) error {
	t := telling{tx, w, was.ID == "", was.Source}
	return t.tell(ctx, AboutFork, now.ID, was.facts(), now.facts())
}

// telling is how facts are told.
type telling struct {
	tx     *store.Tx
	word   Word
	fresh  bool   // nobody can have claimed anything of the subject yet
	source string // of what was known before claims were kept
}

// tell claims each fact of now that differs from the one of was.
func (t telling) tell(ctx context.Context, about, subject string, was, now []fact) error {
	for i, f := range now {
		if f.value == was[i].value {
			continue
		}
		if err := t.claim(ctx, Claim{About: about, Subject: subject, Field: f.field, Value: f.value}, was[i].value); err != nil {
			return err
		}
	}
	return nil
}

// claim keeps a claim on a field that had the value was.
func (t telling) claim(ctx context.Context, c Claim, was string) error {
	c.Word = t.word
	if err := c.check(); err != nil {
		return err
	}
	if t.fresh {
		return first(ctx, t.tx, c)
	}
	if err := unspoken(ctx, t.tx, c, was, t.source); err != nil {
		return err
	}
	_, err := record(ctx, t.tx, c)
	return err
}

// TellFitment claims that some bikes carry a fork. Told otherwise than it was,
// what was claimed before is withdrawn: the fitment says now what the last
// hand has said. A new one had no id.
func TellFitment(ctx context.Context, tx *store.Tx, was, now Fitment, w Word) error {
	f, _, err := ForkByID(ctx, tx, now.Fork)
	if err != nil {
		return err
	}
	c := Claim{About: AboutFitment, Subject: now.ID, Field: "bike", Value: now.Name() + ": " + f.Name, Word: w}
	if was.ID == "" {
		return firstError(c.check(), first(ctx, tx, c))
	}
	return corrected(ctx, tx, c)
}

// TellReplacement claims that a number was replaced by another.
func TellReplacement(ctx context.Context, tx *store.Tx, r Replacement, w Word) error {
	return corrected(ctx, tx, Claim{About: AboutReplacement, Subject: r.ID, Field: "replaced", Value: r.Old.Name() + " → " + r.New.Name(), Word: w})
}

// corrected claims what a row says by itself, and withdraws what was claimed of
// it otherwise.
func corrected(ctx context.Context, tx *store.Tx, c Claim) error {
	if err := c.check(); err != nil {
		return err
	}
	c, err := record(ctx, tx, c)
	if err != nil {
		return err
	}
	claims, err := claimsOn(ctx, tx, c.About, c.Subject, c.Field)
	if err != nil {
		return err
	}
	for _, o := range claims {
		if o.stands() && o.Value != c.Value {
			if err := withdraw(ctx, tx, o, fmt.Sprintf("→ #%d", c.Number), c.Person); err != nil {
				return err
			}
		}
	}
	return nil
}

// WithdrawAll takes back all that stands of a subject: it was never so.
func WithdrawAll(ctx context.Context, tx *store.Tx, about, subject, reason, person string) error {
	claims, err := Claims(ctx, tx, about, subject)
	if err != nil {
		return err
	}
	for _, c := range claims {
		if c.stands() {
			if err := withdraw(ctx, tx, c, reason, person); err != nil {
				return err
			}
		}
	}
	return nil
}
