package bench

import (
	"context"
	"errors"
	"fmt"

	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// A ledger of a given size, entered by the statements below and not posting by
// posting, which would take hours: so the triggers that keep balance and value and
// the indexes stand aside meanwhile, and both are summed up at the end. `check`
// finds nothing in it.

// fillCodes is how many of the parts have a code that can be scanned.
const fillCodes = 200

// fillChunk is how many movements are entered in one transaction.
const fillChunk = 1_000_000

// partName gives the number of a part of the ledger, and its code where it is one
// of the first fillCodes.
func partName(i int) (number, code string) {
	return fmt.Sprintf("LG-%06d", i), fmt.Sprintf("LC%06d", i)
}

const counting = `WITH RECURSIVE n (i) AS (SELECT $1 UNION ALL SELECT i + 1 FROM n WHERE i < $2 - 1) `

// Movements come in pairs, 3 in and 2 out, so that nothing is ever below zero:
// each part has one pair first, then every tenth is of part 0, which is in great
// demand, the others of parts by a stride.
const fillMovements = counting + `, m (i, part) AS (SELECT i, iif(i / 2 < $3, i / 2, iif(i / 2 % 10 = 0, 0, i / 2 * 7919 % $3)) FROM n)
	INSERT INTO movement (seq, posting, part, bin, lot, amount, value_minor)
	SELECT i + 1, 'o' || (i / 100), 'p' || part, 'b' || (part % 200), 'l' || part, iif(i % 2, -2, 3), iif(i % 2, -2, 3) * (100 + part % 900) FROM m`

// fillLedger makes a shop with so many parts and movements in a folder.
func fillLedger(ctx context.Context, dir string, parts, movements int, progress func(done, of int)) (err error) {
	if err := shop.Init(ctx, dir, shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Mika", Demo: true}, shop.Options{}); err != nil {
		return err
	}
	s, err := shop.Open(ctx, dir, shop.Options{Fresh: true})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	var aside []string
	err = s.Load(ctx, func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		if aside, err = setAside(ctx, tx); err != nil {
			return err
		}
		return fillHeads(ctx, tx, who, parts, movements)
	})
	for from := 0; from < movements && err == nil; from += fillChunk {
		err = s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
			_, err := tx.Exec(ctx, fillMovements, from, min(from+fillChunk, movements), parts)
			return err
		})
		if progress != nil {
			progress(min(from+fillChunk, movements), movements)
		}
	}
	if err != nil {
		return err
	}
	return s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
		sums := append(aside,
			`INSERT INTO balance (part, bin, lot, amount) SELECT 'p' || i, 'b' || (i % 200), 'l' || i, (n + 1) / 2 * 3 - n / 2 * 2
				FROM (SELECT CAST(substr(part, 2) AS INTEGER) AS i, count(*) AS n FROM movement GROUP BY part)`,
			`INSERT INTO holding (part, known, value_minor, unknown)
				SELECT part, amount, amount * (100 + CAST(substr(part, 2) AS INTEGER) % 900), 0 FROM balance`,
		)
		for _, query := range sums {
			if _, err := tx.Exec(ctx, query); err != nil {
				return err
			}
		}
		return nil
	})
}

// setAside drops the triggers that follow each movement and the indexes of
// movements, and gives what makes them anew.
func setAside(ctx context.Context, tx *store.Tx) (again []string, err error) {
	var drop []string
	err = tx.Each(ctx, func(scan store.Scan) error {
		var what, name, query string
		err := scan(&what, &name, &query)
		drop, again = append(drop, "DROP "+what+" "+name), append(again, query)
		return err
	}, `SELECT type, name, sql FROM sqlite_master WHERE tbl_name = 'movement' AND sql IS NOT NULL
		AND (type = 'index' OR name IN ('movement_next', 'movement_counts')) ORDER BY name`)
	for _, query := range drop {
		if err == nil {
			_, err = tx.Exec(ctx, query)
		}
	}
	return again, err
}

// fillHeads enters what the movements speak of.
func fillHeads(ctx context.Context, tx *store.Tx, who shop.Actor, parts, movements int) error {
	for _, q := range []struct {
		query string
		to    int
		more  []any
	}{
		{`INSERT INTO bin (id, name, name_norm, kind) SELECT 'b' || i, printf('R-%03d', i), printf('R-%03d', i), 'shelf' FROM n`, 200, nil},
		{`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit, home_bin)
			SELECT 'p' || i, printf('LG-%06d', i), printf('LG%06d', i), 'Tolmek', 'TOLMEK', 'bottom_washer', '', 'piece', 'b' || (i % 200) FROM n`, parts, nil},
		{`INSERT INTO lot (id, short, part, since) SELECT 'l' || i, i + 1, 'p' || i, $3 FROM n`, parts, []any{store.Stamp(tx.Now)}},
		{
			`INSERT INTO code_link (code, part, pieces, person, since) SELECT printf('LC%06d', i), 'p' || i, 1, $3, $4 FROM n`,
			min(parts, fillCodes),
			[]any{who.ID, store.Stamp(tx.Now)},
		},
		{
			`INSERT INTO posting (id, key, content, kind, person, at)
			SELECT 'o' || i, 'fill ' || i, '', 'opening', $3, strftime('%Y-%m-%dT%H:%M:%fZ', 1700000000 + i * 60, 'unixepoch') FROM n`,
			(movements + 99) / 100,
			[]any{who.ID},
		},
	} {
		if _, err := tx.Exec(ctx, counting+q.query, append([]any{0, q.to}, q.more...)...); err != nil {
			return err
		}
	}
	return nil
}
