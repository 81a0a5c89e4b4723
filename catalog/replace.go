package catalog

import (
	"context"
	"regexp"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Numbers get replaced: by exactly one newer number each, so that a chain,
// from whichever of its numbers, ends at the same current one. A number may
// replace several. All numbers of one part are one link of a chain. A
// replacement both ways says that the old one still does for the new one;
// which is the newer does not change by it.

// Replacement says that a number was replaced by another.
type Replacement struct {
	ID       string
	Old, New Ref
	BothWays bool
	Since    string // 2019, 2019-05 or 2019-05-14; empty: not known
	Reason   string
	Told
}

// Tail gives since when and why, as it follows a sentence; nothing where
// neither is known.
func (r Replacement) Tail() fault.Message {
	switch {
	case r.Since != "" && r.Reason != "":
		return fault.Say("catalog.since_reason", r.Since, r.Reason)
	case r.Since != "":
		return fault.Say("catalog.since", r.Since)
	case r.Reason != "":
		return fault.Say("catalog.reason", r.Reason)
	}
	return fault.Message{}
}

// sinceForm is a year, month or day of ISO 8601.
var sinceForm = regexp.MustCompile(`^(?:19|2[01])\d\d(?:-(?:0[1-9]|1[0-2])(?:-(?:0[1-9]|[12]\d|3[01]))?)?$`)

func (r Replacement) check() error {
	if r.Since != "" && !sinceForm.MatchString(r.Since) || !onCalendar(r.Since) {
		return fault.New(fault.Invalid, "catalog.bad_since", short(r.Since)).WithHint("catalog.bad_since.hint")
	}
	return firstError(r.Old.check(), r.New.check(),
		checkTexts(field{"reason", r.Reason, mostText}, field{"source", r.Source, mostText}))
}

// onCalendar refuses a day that its month does not have.
func onCalendar(since string) bool {
	_, err := time.Parse(time.DateOnly, since)
	return err == nil || len(since) != len(time.DateOnly)
}

// AddReplacement says that a number was replaced by another. Errors: Invalid,
// Conflict (known already, replaced by something else already, or the new one
// leads back to the old one; the message shows the way).
func AddReplacement(ctx context.Context, tx *store.Tx, r Replacement) (Replacement, error) {
	if err := r.check(); err != nil {
		return r, err
	}
	old, err := linkOf(ctx, tx, r.Old)
	if err != nil {
		return r, err
	}
	next, err := linkOf(ctx, tx, r.New)
	if err != nil {
		return r, err
	}
	if old.same(next) {
		return r, fault.New(fault.Conflict, "catalog.replaces_itself", r.Old.Name(), r.New.Name()).WithHint("catalog.replaces_itself.hint")
	}
	before, found, err := successor(ctx, tx, old)
	switch {
	case err != nil:
		return r, err
	case found:
		return r, fault.New(fault.Conflict, "catalog.replaced_already", r.Old.Name(), before.New.Name(), before.Tail()).
			WithHint("catalog.replaced_already.hint", words.ShellWord(before.Old.Name()), words.ShellWord(before.New.Name()))
	}
	path, err := pathBetween(ctx, tx, r.New, r.Old)
	if err != nil {
		return r, err
	}
	if path != nil {
		return r, fault.New(fault.Conflict, "catalog.cycle", arrows(append([]Ref{r.Old}, path...))).
			WithHint("catalog.see_chain.hint", words.ShellWord(r.Old.Name()))
	}
	if r.ID, err = tx.NewID(); err != nil {
		return r, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO replacement (id, maker, maker_norm, number, number_norm, by_maker, by_maker_norm,
		by_number, by_number_norm, both_ways, since, reason, source, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		r.ID, r.Old.Maker, Normal(r.Old.Maker), r.Old.Number, Normal(r.Old.Number), r.New.Maker, Normal(r.New.Maker),
		r.New.Number, Normal(r.New.Number), r.BothWays, r.Since, r.Reason, r.Source, r.person(), store.Stamp(tx.Now))
	return r, err
}

// ReplacementOf finds what was told of two numbers. Error: NotFound.
func ReplacementOf(ctx context.Context, tx *store.Tx, old, by Ref) (Replacement, error) {
	all, err := replacements(ctx, tx, `r.maker_norm = $1 AND r.number_norm = $2 AND r.by_maker_norm = $3 AND r.by_number_norm = $4`,
		Normal(old.Maker), Normal(old.Number), Normal(by.Maker), Normal(by.Number))
	if err == nil && len(all) == 0 {
		err = fault.New(fault.NotFound, "catalog.replacement_absent", short(old.Name()), short(by.Name())).
			WithHint("catalog.see_chain.hint", words.ShellWord(short(old.Name())))
	}
	if err != nil {
		return Replacement{}, err
	}
	return all[0], nil
}

// ChangeReplacement keeps what r says of the replacement with its id, but for
// its numbers. Error: Invalid.
func ChangeReplacement(ctx context.Context, tx *store.Tx, r Replacement) error {
	if err := r.check(); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE replacement SET both_ways = $2, since = $3, reason = $4, source = $5, person = $6, at = $7
		WHERE id = $1`, r.ID, r.BothWays, r.Since, r.Reason, r.Source, r.person(), store.Stamp(tx.Now))
	return err
}

// DropReplacement takes back that a number was replaced by another.
func DropReplacement(ctx context.Context, tx *store.Tx, r Replacement) error {
	_, err := tx.Exec(ctx, `DELETE FROM replacement WHERE id = $1`, r.ID)
	return err
}

// Replacements gives everything that is told of replaced numbers, by the old
// number.
func Replacements(ctx context.Context, tx *store.Tx) ([]Replacement, error) {
	return replacements(ctx, tx, `$1 = 0`, 0)
}

func replacements(ctx context.Context, tx *store.Tx, where string, args ...any) ([]Replacement, error) {
	var all []Replacement
	err := tx.Each(ctx, func(scan store.Scan) error {
		var r Replacement
		err := scan(&r.ID, &r.Old.Maker, &r.Old.Number, &r.New.Maker, &r.New.Number, &r.BothWays, &r.Since, &r.Reason, &r.Source, &r.Person)
		all = append(all, r)
		return err
	}, `SELECT r.id, r.maker, r.number, r.by_maker, r.by_number, r.both_ways, r.since, r.reason, r.source, coalesce(r.person, '')
		FROM replacement r WHERE `+where+` ORDER BY r.number_norm, r.maker_norm, r.since DESC, r.id`, args...)
	return all, err
}
