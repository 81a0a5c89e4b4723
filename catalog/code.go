package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Link says what a barcode stands for.
type Link struct {
	Code   string // GTIN-14, or the code's trimmed text
	Part   string // id; empty: the code is no part, such as a parcel label
	Pieces int64  // of the part's unit: 2 for a pair, 10 for a bag of ten
	Since  string // store.Stamp
}

// LinkOf gives what a code stands for today; ok is false where nobody has
// said yet.
func LinkOf(ctx context.Context, tx *store.Tx, code string) (l Link, ok bool, err error) {
	l.Code = code
	ok, err = tx.One(ctx, store.Into(&l.Part, &l.Pieces, &l.Since),
		`SELECT coalesce(part, ''), pieces, since FROM code_link WHERE code = $1 ORDER BY seq DESC LIMIT 1`, code)
	return l, ok, err
}

// LinkCode records what a code stands for from now on; earlier links stay in
// the history, and what was posted under them stands. A code that stands for
// another part is refused (Conflict) unless instead is set. Linking the same
// again changes nothing.
func LinkCode(ctx context.Context, tx *store.Tx, l Link, person string, instead bool) error {
	if l.Code == "" || l.Pieces <= 0 {
		return fault.New(fault.Invalid, "catalog.bad_link", l.Code, l.Pieces).WithHint("catalog.bad_link.hint")
	}
	old, found, err := LinkOf(ctx, tx, l.Code)
	if err != nil {
		return err
	}
	if found && old.Part == l.Part && old.Pieces == l.Pieces {
		return nil
	}
	if found && old.Part != l.Part && !instead {
		is := fault.Say("catalog.no_part")
		if p, ok, err := PartByID(ctx, tx, old.Part); err != nil {
			return err
		} else if ok {
			is = fault.Plain(p.Name())
		}
		return fault.New(fault.Conflict, "catalog.code_taken", l.Code, is).WithHint("catalog.code_taken.hint")
	}
	_, err = tx.Exec(ctx, `INSERT INTO code_link (code, part, pieces, person, since) VALUES ($1, $2, $3, $4, $5)`,
		l.Code, textOrNull(l.Part), l.Pieces, person, store.Stamp(tx.Now))
	return err
}

// Links gives what every code stands for today, by code.
func Links(ctx context.Context, tx *store.Tx) ([]Link, error) {
	return queryLinks(ctx, tx, `SELECT c.code, coalesce(c.part, ''), c.pieces, c.since FROM code_link c
		WHERE c.seq = (SELECT max(n.seq) FROM code_link n WHERE n.code = c.code) ORDER BY c.code`)
}

// LinksOf gives the codes that stand for a part today, by code.
func LinksOf(ctx context.Context, tx *store.Tx, part string) ([]Link, error) {
	return queryLinks(ctx, tx, `SELECT c.code, coalesce(c.part, ''), c.pieces, c.since FROM code_link c
		WHERE c.part = $1 AND c.seq = (SELECT max(n.seq) FROM code_link n WHERE n.code = c.code) ORDER BY c.code`, part)
}

func queryLinks(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Link, error) {
	var all []Link
	err := tx.Each(ctx, func(scan store.Scan) error {
		var l Link
		err := scan(&l.Code, &l.Part, &l.Pieces, &l.Since)
		all = append(all, l)
		return err
	}, query, args...)
	return all, err
}

// Packs tells whether two codes of one part on one bag are one pack or two;
// ok is false where nobody has said yet.
func Packs(ctx context.Context, tx *store.Tx, a, b string) (packs int, ok bool, err error) {
	if b < a {
		a, b = b, a
	}
	ok, err = tx.One(ctx, store.Into(&packs), `SELECT packs FROM code_pair WHERE code_a = $1 AND code_b = $2`, a, b)
	return packs, ok, err
}

// SetPacks keeps the answer to "one pack or two?" for a pair of codes. The same
// code twice is the pair of its plain number and an element string with it.
func SetPacks(ctx context.Context, tx *store.Tx, a, b string, packs int) error {
	if packs != 1 && packs != 2 {
		return fault.New(fault.Invalid, "catalog.bad_pair", a, b)
	}
	if b < a {
		a, b = b, a
	}
	_, err := tx.Exec(ctx, `INSERT INTO code_pair (code_a, code_b, packs) VALUES ($1, $2, $3)
		ON CONFLICT (code_a, code_b) DO UPDATE SET packs = excluded.packs`, a, b, packs)
	return err
}
