package inventory

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// The shop's own numbers. Parts and bins without a barcode get one of the range
// for use inside a company (gs1.Own), in the order in which they are asked for.
// A number is given once: it stays with its part or bin, and numbers of the
// range that the shop has linked or scanned before are left out.

// OwnNumberOfPart gives the code (GTIN-14) on a label of a part: that of the
// range for use inside a company, else a GTIN of its maker, whichever stands
// for so many pieces. It is empty where there is none.
func OwnNumberOfPart(ctx context.Context, tx *store.Tx, part string, pieces int64) (code string, err error) {
	links, err := catalog.LinksOf(ctx, tx, part)
	if err != nil {
		return "", err
	}
	for _, l := range links {
		if l.Pieces != pieces || !gs1.Valid(l.Code) {
			continue
		}
		if gs1.IsOwn(l.Code) {
			return l.Code, nil
		}
		if code == "" {
			code = l.Code
		}
	}
	return code, nil
}

// NumberPart gives a part a new number of the shop's own, which stands for so
// many pieces from now on.
func NumberPart(ctx context.Context, tx *store.Tx, part string, pieces int64, person string) (code string, err error) {
	if code, err = giveNumber(ctx, tx, part, nil, person); err != nil {
		return "", err
	}
	return code, catalog.LinkCode(ctx, tx, catalog.Link{Code: code, Part: part, Pieces: pieces}, person, false)
}

// NumberOfBin gives the number (GTIN-14) of a bin, empty where it has none.
func NumberOfBin(ctx context.Context, tx *store.Tx, bin string) (code string, err error) {
	_, err = tx.One(ctx, store.Into(&code), `SELECT code FROM own_number WHERE bin = $1`, bin)
	return code, err
}

// NumberBin gives a bin, which has none yet, a number of the shop's own.
func NumberBin(ctx context.Context, tx *store.Tx, bin, person string) (code string, err error) {
	return giveNumber(ctx, tx, nil, bin, person)
}

// giveNumber records the next number of the shop's own that is free.
func giveNumber(ctx context.Context, tx *store.Tx, part, bin any, person string) (string, error) {
	seq, code, err := nextNumber(ctx, tx)
	if err != nil {
		return "", err
	}
	_, err = tx.Exec(ctx, `INSERT INTO own_number (seq, code, part, bin, person, at) VALUES ($1, $2, $3, $4, $5, $6)`,
		seq, code, part, bin, person, store.Stamp(tx.Now))
	return code, err
}

// NextNumber gives the number of the shop's own that the next part or bin gets.
func NextNumber(ctx context.Context, tx *store.Tx) (code string, err error) {
	_, code, err = nextNumber(ctx, tx)
	return code, err
}

func nextNumber(ctx context.Context, tx *store.Tx) (seq int64, code string, err error) {
	if _, err := tx.One(ctx, store.Into(&seq), `SELECT coalesce(max(seq), 0) FROM own_number`); err != nil {
		return 0, "", err
	}
	for {
		seq++
		code, ok := gs1.Own(seq)
		if !ok {
			return 0, "", fault.New(fault.Conflict, "inventory.no_numbers")
		}
		used, err := tx.One(ctx, store.Into(new(int64)), `SELECT 1 FROM code_link WHERE code = $1
			UNION ALL SELECT 1 FROM scan WHERE code = $1 LIMIT 1`, code)
		if err != nil || !used {
			return seq, code, err
		}
	}
}

// BinOfCode gives the bin on whose label a code (GTIN-14) stands.
func BinOfCode(ctx context.Context, tx *store.Tx, code string) (b Bin, found bool, err error) {
	if !gs1.IsOwn(code) {
		return b, false, nil
	}
	found, err = tx.One(ctx, store.Into(&b.ID, &b.Name, &b.Kind),
		`SELECT b.id, b.name, b.kind FROM own_number n JOIN bin b ON b.id = n.bin WHERE n.code = $1`, code)
	return b, found, err
}
