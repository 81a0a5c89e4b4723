package catalog

import (
	"context"
	"encoding/json"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// AddUsable says that a part that was replaced may still be fitted to a fork;
// the last one to say so counts. Error: Invalid.
func AddUsable(ctx context.Context, tx *store.Tx, part, fork string, t Told) error {
	if err := checkTexts(field{"source", t.Source, mostText}); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `INSERT INTO still_usable (part, fork, source, person, at) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (part, fork) DO UPDATE SET source = excluded.source, person = excluded.person, at = excluded.at`,
		part, fork, t.Source, t.person(), store.Stamp(tx.Now))
	return err
}

// DropUsable takes that back, and reports whether it had been said.
func DropUsable(ctx context.Context, tx *store.Tx, part, fork string) (bool, error) {
	n, err := tx.Exec(ctx, `DELETE FROM still_usable WHERE part = $1 AND fork = $2`, part, fork)
	return n > 0, err
}

// UsableIn gives the names of the forks that a part may still be fitted to, by
// name.
func UsableIn(ctx context.Context, tx *store.Tx, part string) (forks []string, err error) {
	err = tx.Each(ctx, func(scan store.Scan) error {
		var name string
		err := scan(&name)
		forks = append(forks, name)
		return err
	}, `SELECT f.name FROM still_usable u JOIN fork f ON f.id = u.fork WHERE u.part = $1 ORDER BY f.name_norm`, part)
	return forks, err
}

// usableAt gives who says that a part may still be fitted to the fork of a
// place.
func usableAt(ctx context.Context, tx *store.Tx, part, position string) (source string, ok bool, err error) {
	ok, err = tx.One(ctx, store.Into(&source), `SELECT u.source FROM still_usable u JOIN position o ON o.fork = u.fork
		WHERE u.part = $1 AND o.id = $2`, part, position)
	return source, ok, err
}

// renewed judges what matches a place by what became of it. A part that was
// replaced one way is an old version and no fit, unless it is marked usable
// for the fork; what replaced one that fits is offered, too. became tells what
// became of their parts.
func renewed(ctx context.Context, tx *store.Tx, pos Position, fits, near []Match, became *becoming) ([]Match, error) {
	all := slices.Concat(fits, near)
	if !slices.ContainsFunc(all, func(m Match) bool { return became.replaced[m.Part.ID] }) {
		return all, nil
	}
	var good, newer, doubtful, old []Match
	for _, m := range all {
		s, found := Succession{}, false
		var err error
		if s, found, err = became.of(ctx, tx, m.Part.ID); err != nil {
			return nil, err
		}
		if found && s.Kept && m.Verdict == Fits {
			p, _, err := PartByID(ctx, tx, s.Part)
			if err != nil {
				return nil, err
			}
			newer = append(newer, successorFor(pos, p, m.Part, s.By))
		}
		if found {
			if m, err = oldFor(ctx, tx, pos, m, s); err != nil {
				return nil, err
			}
		}
		switch m.Verdict {
		case Fits:
			good = append(good, m)
		case Near:
			doubtful = append(doubtful, m)
		default:
			old = append(old, m)
		}
	}
	for _, m := range newer {
		same := func(o Match) bool { return o.Part.ID == m.Part.ID }
		switch {
		case slices.ContainsFunc(good, same):
		case m.Verdict == Fits:
			doubtful = slices.DeleteFunc(doubtful, same)
			good = append(good, m)
		case !slices.ContainsFunc(doubtful, same):
			doubtful = append(doubtful, m)
		}
	}
	return slices.Concat(good, doubtful, old), nil
}

// becoming is what became of the parts of one question.
type becoming struct {
	replaced map[string]bool       // by id
	known    map[string]Succession // asked for already
}

func (b *becoming) of(ctx context.Context, tx *store.Tx, part string) (s Succession, found bool, err error) {
	if !b.replaced[part] {
		return s, false, nil
	}
	s, ok := b.known[part]
	if !ok {
		if s, found, err = SuccessionOf(ctx, tx, part); err != nil {
			return s, false, err
		}
		if !found {
			b.replaced[part] = false
			return s, false, nil
		}
		b.known[part] = s
	}
	return s, true, nil
}

// oldFor judges a match that was replaced.
func oldFor(ctx context.Context, tx *store.Tx, pos Position, m Match, s Succession) (Match, error) {
	m.Old = true
	source, usable, err := usableAt(ctx, tx, m.Part.ID, pos.ID)
	switch {
	case err != nil:
	case usable:
		m.Why = append(m.Why, fault.Say("catalog.still_usable", s.Current.Name(), source))
	case s.BothWays:
		m.Why = append(m.Why, s.Old())
	default:
		m.Verdict, m.Why = No, []fault.Message{s.Old()}
	}
	return m, err
}

// successorFor judges what replaced a part that fits a place: sizes that it
// does not state are taken from the old one, those that it states must agree.
func successorFor(pos Position, p, old Part, by Replacement) Match {
	why := []fault.Message{fault.Say("catalog.replaces", old.Name(), by.Tail())}
	_, reasons := Fit(pos.Wanted(), p)
	reasons = slices.DeleteFunc(reasons, func(m fault.Message) bool { return m.ID == "catalog.not_stated" })
	if len(reasons) > 0 {
		return Match{Part: p, Verdict: Near, Why: append(why, reasons...)}
	}
	return Match{Part: p, Verdict: Fits, Why: why}
}

// replacedOf gives the ids of those parts of matches that were replaced.
func replacedOf(ctx context.Context, tx *store.Tx, matches []Match) (map[string]bool, error) {
	return ReplacedAmong(ctx, tx, idsOf(matches))
}

func idsOf(matches []Match) []string {
	ids := []string{}
	for _, m := range matches {
		ids = append(ids, m.Part.ID)
	}
	return ids
}

// ReplacedAmong gives those of some parts' ids of which a number was replaced;
// SuccessionOf tells by what.
func ReplacedAmong(ctx context.Context, tx *store.Tx, ids []string) (map[string]bool, error) {
	list, err := json.Marshal(ids)
	if err != nil {
		return nil, fault.Of(err)
	}
	replaced := map[string]bool{}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		replaced[id] = true
		return err
	}, `SELECT p.id FROM json_each($1) k CROSS JOIN part p ON p.id = k.value
		WHERE EXISTS (SELECT 1 FROM replacement r WHERE r.number_norm = p.number_norm AND r.maker_norm = p.maker_norm)
		OR EXISTS (SELECT 1 FROM other_number o CROSS JOIN replacement r ON r.number_norm = o.number_norm AND r.maker_norm = o.maker_norm
			WHERE o.part = p.id)
		OR EXISTS (SELECT 1 FROM part o CROSS JOIN replacement r ON r.number_norm = o.number_norm AND r.maker_norm = o.maker_norm
			WHERE o.merged_into = p.id)
		ORDER BY k.key`, string(list))
	return replaced, err
}
