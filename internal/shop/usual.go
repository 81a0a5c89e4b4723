package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/search"
)

// Usual is what is usual for a leg diameter or a thread, whoever makes it: a
// hint to measure by, never a fit.
type Usual struct {
	Role  catalog.Role   `json:"role"` // empty: of rubber as such
	LegUM measure.Length `json:"leg_diameter_um,omitzero"`
	Name  string         `json:"name"`
	Sizes
	SectionUM measure.Length `json:"section_um,omitzero"` // of an O-ring
	KeyUM     measure.Length `json:"key_um,omitzero"`     // across the flats
	Note      string         `json:"note"`
	Source    string         `json:"source"`
}

// Practice reports whether no standard says so.
func (u Usual) Practice() bool { return u.Source == catalog.Practice }

// Usuals is an answer to what is usual.
type Usuals struct {
	Usual []Usual `json:"usual"`
	Laid  bool    `json:"starter"` // whether the starter was ever laid in
}

// Starter lays in what comes with the program: what is usual, whoever makes
// it. It gives how many rows were not there yet; a second time adds none.
func (s *Shop) Starter(ctx context.Context) (added int, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		added, err = catalog.AddStarter(ctx, tx)
		return err
	})
	return added, err
}

// Usual gives what is usual for a leg diameter and a role, each any where it
// is empty. Errors: Invalid, Ambiguous (the word for the role).
func (s *Shop) Usual(ctx context.Context, leg, role string) (out Usuals, err error) {
	var d measure.Length
	if trimmed(leg) != "" {
		if d, err = measure.ParseLength(leg); err != nil {
			return out, err
		}
	}
	var r catalog.Role
	if role = tidied(role); role != "" {
		if r, err = s.role(role); err != nil {
			return out, err
		}
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		if out.Usual, err = usual(ctx, tx, d, r); err != nil {
			return err
		}
		_, err = tx.One(ctx, store.Into(&out.Laid), `SELECT EXISTS (SELECT 1 FROM usual)`)
		return err
	})
	return out, err
}

func usual(ctx context.Context, tx *store.Tx, leg measure.Length, role catalog.Role) ([]Usual, error) {
	all := []Usual{}
	rows, err := catalog.Usuals(ctx, tx, leg, role)
	for _, u := range rows {
		all = append(all, Usual{u.Role, u.Leg, u.Name, sizes(u.Size, u.Thread), u.Section, u.Key, u.Note, u.Source})
	}
	return all, err
}

// usualForLeg gives what is usual for that very leg, as one line to show;
// zero where nothing is known.
func usualForLeg(ctx context.Context, tx *store.Tx, leg measure.Length, role catalog.Role) (fault.Message, error) {
	rows, err := catalog.Usuals(ctx, tx, leg, role)
	var said []string
	for _, u := range rows {
		if u.Leg == leg && u.Size != (measure.Size{}) {
			said = append(said, u.Size.String())
		}
	}
	if len(said) == 0 {
		return fault.Message{}, err
	}
	return fault.Say("usual.for_leg", fault.Say("role."+string(role)), leg, strings.Join(said, ", ")), err
}

// usualAt gives what is usual for a place that may be there and of which no
// size is known; zero for any other.
func usualAt(ctx context.Context, tx *store.Tx, leg measure.Length, p catalog.Position) (fault.Message, error) {
	if p.Fitted == "no" || p.Size.Inner != 0 || p.Size.Outer != 0 || p.Thread != "" {
		return fault.Message{}, nil
	}
	return usualForLeg(ctx, tx, leg, p.Role)
}

// usualFor gives what is usual for the roles and lengths of a search that
// found no part.
func usualFor(ctx context.Context, tx *store.Tx, text string) ([]fault.Message, error) {
	var all []fault.Message
	q := search.Understand(text, search.NewVocabulary(nil, nil))
	for _, leg := range q.Lengths {
		for _, role := range q.Roles {
			m, err := usualForLeg(ctx, tx, leg, role)
			if err != nil {
				return nil, err
			}
			if !m.IsZero() {
				all = append(all, m)
			}
		}
	}
	return all, nil
}
