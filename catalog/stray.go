package catalog

import (
	"context"

	"forkstock/catalog/pattern"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A Stray is a kind of code that is no part, known by its shape: the parcel
// labels of a carrier, links to a web site.
type Stray struct {
	Number int64 // what the shop calls it
	pattern.Shape
	Example string
	Person  string // name, given by queries
	At      string // store.Stamp
}

// AddStray keeps a kind of code that is no part. Errors: Invalid (nothing that
// it begins with), Conflict (it is kept already).
func AddStray(ctx context.Context, tx *store.Tx, s Stray, person string) (Stray, error) {
	if s.Begins == "" || s.Length < 0 {
		return s, fault.New(fault.Invalid, "catalog.stray_bare").WithHint("catalog.stray_bare.hint")
	}
	var twin int64
	found, err := tx.One(ctx, store.Into(&twin), `SELECT number FROM stray_shape WHERE symbology = $1 AND begins = $2 AND length = $3
		AND ended = ''`, s.Symbology, s.Begins, s.Length)
	if err == nil && found {
		err = fault.New(fault.Conflict, "catalog.stray_twice", twin)
	}
	if err != nil {
		return s, err
	}
	if _, err := tx.One(ctx, store.Into(&s.Number), `SELECT coalesce(max(number), 0) + 1 FROM stray_shape`); err != nil {
		return s, err
	}
	s.At = store.Stamp(tx.Now)
	_, err = tx.Exec(ctx, `INSERT INTO stray_shape (number, symbology, begins, length, example, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7)`, s.Number, s.Symbology, s.Begins, s.Length, s.Example, person, s.At)
	return s, err
}

// Strays gives the kinds of code that are no part, in the order in which they
// were told.
func Strays(ctx context.Context, tx *store.Tx) ([]Stray, error) {
	var all []Stray
	err := tx.Each(ctx, func(scan store.Scan) error {
		var s Stray
		err := scan(&s.Number, &s.Symbology, &s.Begins, &s.Length, &s.Example, &s.Person, &s.At)
		all = append(all, s)
		return err
	}, `SELECT y.number, y.symbology, y.begins, y.length, y.example, p.name, y.at FROM stray_shape y JOIN person p ON p.id = y.person
		WHERE y.ended = '' ORDER BY y.number`)
	return all, err
}

// StrayOf gives the kind of no part that a text is of; ok is false where it is
// of none.
func StrayOf(ctx context.Context, tx *store.Tx, symbology, text string) (s Stray, ok bool, err error) {
	all, err := Strays(ctx, tx)
	for _, s := range all {
		if s.Fits(symbology, text) {
			return s, true, err
		}
	}
	return s, false, err
}

// EndStray takes a kind of code that is no part back. Error: NotFound.
func EndStray(ctx context.Context, tx *store.Tx, number int64) (s Stray, err error) {
	all, err := Strays(ctx, tx)
	if err != nil {
		return s, err
	}
	for _, s := range all {
		if s.Number == number {
			_, err := tx.Exec(ctx, `UPDATE stray_shape SET ended = $2 WHERE number = $1`, number, store.Stamp(tx.Now))
			return s, err
		}
	}
	return s, fault.New(fault.NotFound, "catalog.stray_absent", number).WithHint("catalog.stray_absent.hint")
}

// Ignored is a code that was told to be no part, by itself.
type Ignored struct {
	Code   string
	Person string // name
	Since  string // store.Stamp
}

// IgnoredCodes gives the codes that were told to be no part, by code.
func IgnoredCodes(ctx context.Context, tx *store.Tx) ([]Ignored, error) {
	var all []Ignored
	err := tx.Each(ctx, func(scan store.Scan) error {
		var i Ignored
		err := scan(&i.Code, &i.Person, &i.Since)
		all = append(all, i)
		return err
	}, `SELECT c.code, p.name, c.since FROM code_now c JOIN person p ON p.id = c.person
		WHERE c.part IS NULL AND c.supplier IS NULL ORDER BY c.code`)
	return all, err
}
