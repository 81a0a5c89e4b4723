package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// fact is a field of a part or a place that carries claims, as they print it.
type fact struct {
	field, value string
	set          func(string) error
}

func textFact(name string, to *string) fact {
	return fact{name, *to, func(v string) error { *to = v; return nil }}
}

// sizeFact is a size, beside which stands how it was entered.
func sizeFact(to *measure.Size, entered *string) fact {
	return fact{"size", to.String(), func(v string) (err error) {
		*to, *entered = measure.Size{}, ""
		if v != "" {
			*to, err = measure.ParseSize(v)
		}
		return err
	}}
}

func lengthFact(name string, to *measure.Length) fact {
	value := ""
	if *to != 0 {
		value = to.String()
	}
	return fact{name, value, func(v string) (err error) {
		if *to = 0; v != "" {
			*to, err = measure.ParseLength(v)
		}
		return err
	}}
}

func (t *Traits) facts() []fact {
	return []fact{
		lengthFact("head", &t.Head), textFact("seat", &t.Seat), textFact("strength", &t.Strength), textFact("coated", &t.Coated),
	}
}

// facts gives the fields of p that carry claims.
func (p *Part) facts() []fact {
	return append([]fact{
		sizeFact(&p.Size, &p.Entered), textFact("thread", &p.Thread), textFact("material", &p.Material), textFact("elastomer", &p.Elastomer),
	}, p.Traits.facts()...)
}

// facts gives the fields of p that carry claims.
func (p *Position) facts() []fact {
	return append([]fact{sizeFact(&p.Size, &p.Entered), textFact("thread", &p.Thread)}, p.Traits.facts()...)
}

// known gives the value of a field as its column has it, and the source
// beside it.
func known(ctx context.Context, tx *store.Tx, c Claim) (value, source string, err error) {
	pick := func(facts []fact) string {
		for _, f := range facts {
			if f.field == c.Field {
				return f.value
			}
		}
		return ""
	}
	switch c.About {
	case AboutPart:
		p, _, err := PartByID(ctx, tx, c.Subject)
		return pick(p.facts()), p.Source, err
	case AboutPlace:
		p, _, err := positionByID(ctx, tx, c.Subject)
		return pick(p.facts()), "", err
	case AboutFork:
		f, _, err := ForkByID(ctx, tx, c.Subject)
		return pick(f.facts()), f.Source, err
	case AboutFit:
		place, part, _ := strings.Cut(c.Subject, " ")
		named, err := tx.One(ctx, store.Into(&source), `SELECT source FROM position_part WHERE position = $1 AND part = $2`, place, part)
		if named {
			value = yes
		}
		return value, source, err
	}
	return "", "", nil
}

// adopt claims what stands in a column without anybody's word, so that what is
// said next replaces nothing by silence.
func adopt(ctx context.Context, tx *store.Tx, c Claim) error {
	value, source, err := known(ctx, tx, c)
	if err != nil {
		return err
	}
	return unspoken(ctx, tx, c, value, source)
}

// Adopted gives the claim by which the field of c has its value; a value
// without anybody's word becomes the word of c's person first. Number is 0
// where nothing is known.
func Adopted(ctx context.Context, tx *store.Tx, c Claim) (Claim, error) {
	c.Value = ""
	if err := adopt(ctx, tx, c); err != nil {
		return c, err
	}
	claims, err := claimsOn(ctx, tx, c.About, c.Subject, c.Field)
	force, _ := InForce(claims)
	return force, err
}

// unspoken claims the value that a field had before c, where no claim put it
// there.
func unspoken(ctx context.Context, tx *store.Tx, c Claim, value, source string) error {
	if value == "" {
		return nil
	}
	claims, err := claimsOn(ctx, tx, c.About, c.Subject, c.Field)
	if force, _ := InForce(claims); err != nil || force.Value == value || len(claims) == 0 && value == c.Value {
		return err
	}
	c.Value, c.Word = value, Word{How: "told", Source: source, Person: c.Person, Decides: true}
	_, err = record(ctx, tx, c)
	return err
}

// settle brings the column of the field that c is about to the value that is
// in force.
func settle(ctx context.Context, tx *store.Tx, c Claim) error {
	claims, err := claimsOn(ctx, tx, c.About, c.Subject, c.Field)
	if err != nil {
		return err
	}
	force, _ := InForce(claims)
	value, _, err := known(ctx, tx, c)
	if err != nil || value == force.Value && c.About != AboutFitment && c.About != AboutReplacement {
		return err
	}
	put := func(facts []fact) error {
		for _, f := range facts {
			if f.field == c.Field {
				return f.set(force.Value)
			}
		}
		return nil
	}
	switch c.About {
	case AboutPart:
		p, _, err := PartByID(ctx, tx, c.Subject)
		if err := firstError(err, put(p.facts())); err != nil {
			return err
		}
		return ChangePart(ctx, tx, p)
	case AboutPlace:
		p, _, err := positionByID(ctx, tx, c.Subject)
		if err := firstError(err, put(p.facts())); err != nil {
			return err
		}
		return ChangePosition(ctx, tx, p)
	case AboutFork:
		f, _, err := ForkByID(ctx, tx, c.Subject)
		if err == nil && force.Value == "" && slices.Contains([]string{"leg", "layout", "left_damping", "right_damping"}, c.Field) {
			return fault.New(fault.Invalid, "claim.last", f.Name, fault.Say("claim.field."+c.Field)).WithHint("claim.last.hint")
		}
		if err := firstError(err, put(f.facts())); err != nil {
			return err
		}
		return ChangeFork(ctx, tx, f)
	case AboutFit:
		return settleFit(ctx, tx, c.Subject, force)
	case AboutFitment:
		_, err := tx.Exec(ctx, `UPDATE fitment SET withdrawn = 1 WHERE id = $1 AND $2 = ''`, c.Subject, force.Value)
		return err
	case AboutReplacement:
		_, err := tx.Exec(ctx, `DELETE FROM replacement WHERE id = $1 AND $2 = ''`, c.Subject, force.Value)
		return err
	}
	return nil
}

// settleFit names the part for the place, or does not any more.
func settleFit(ctx context.Context, tx *store.Tx, subject string, force Claim) error {
	place, part, _ := strings.Cut(subject, " ")
	if force.Value == yes {
		return nameParts(ctx, tx, Position{ID: place, Parts: []NamedPart{{part, or(force.Source, force.Name)}}})
	}
	_, err := tx.Exec(ctx, `DELETE FROM position_part WHERE position = $1 AND part = $2`, place, part)
	return err
}

// positionByID gives the place of an id; ok is false where there is none.
func positionByID(ctx context.Context, tx *store.Tx, id string) (p Position, ok bool, err error) {
	var fork string
	if ok, err := tx.One(ctx, store.Into(&fork), `SELECT fork FROM position WHERE id = $1`, id); err != nil || !ok {
		return p, false, err
	}
	all, err := Positions(ctx, tx, fork)
	if i := slices.IndexFunc(all, func(p Position) bool { return p.ID == id }); i >= 0 {
		return all[i], true, err
	}
	return p, false, err
}
