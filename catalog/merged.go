package catalog

import (
	"context"
	"encoding/json"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A move is what a merge does to the rows of a kind that point at a part. In each
// statement $1 is the record that is kept, $2 the one that is gone. list gives a
// JSON array for each row that do will change; undo puts one such row, $3, back,
// if it is still as do left it.
type move struct{ kind, list, do, undo string }

// pointing gives the move of a table whose rows point at a part by a column and
// are told by a key. Rows whose once a row of the kept record has too stay as they
// are; "" where it may have any number of them.
func pointing(kind, table, column, key, once string) move {
	where := ` WHERE ` + column + ` = $2`
	if once != "" {
		where += ` AND ` + once + ` NOT IN (SELECT ` + once + ` FROM ` + table + ` WHERE ` + column + ` = $1)`
	}
	return move{
		kind,
		`SELECT json_array(` + key + `) FROM ` + table + where + ` ORDER BY ` + key,
		`UPDATE ` + table + ` SET ` + column + ` = $1` + where,
		`UPDATE ` + table + ` SET ` + column + ` = $2 WHERE ` + column + ` = $1 AND ` + key + ` = $3 ->> 0`,
	}
}

// moves are the rows that point at a part, in every table but the ledger's. Left
// alone is own_number, which says to whom a number was given first: what it stands
// for is in code_link.
var moves = []move{
	pointing("offer", "supplier_item", "part", "id", ""),
	pointing("number", "other_number", "part", "id", ""),
	pointing("place", "position_part", "part", "position", "position"),
	{ // both were named for the place: one is enough
		"place_twice",
		`SELECT json_array(position, source) FROM position_part WHERE part = $2 ORDER BY position`,
		`DELETE FROM position_part WHERE part = $2`,
		`INSERT INTO position_part (position, part, source) SELECT $3 ->> 0, $2, $3 ->> 1`,
	},
	{
		"content",
		`SELECT json_array(kit, seq) FROM kit_content WHERE part = $2 ORDER BY kit, seq`,
		`UPDATE kit_content SET part = $1 WHERE part = $2`,
		`UPDATE kit_content SET part = $2 WHERE part = $1 AND kit = $3 ->> 0 AND seq = $3 ->> 1`,
	},
	{ // a kit whose contents only the other record tells
		"kit",
		`SELECT json_array(seq) FROM kit_content WHERE kit = $2 AND NOT EXISTS (SELECT 1 FROM kit_content WHERE kit = $1) ORDER BY seq`,
		`UPDATE kit_content SET kit = $1 WHERE kit = $2 AND NOT EXISTS (SELECT 1 FROM kit_content WHERE kit = $1)`,
		`UPDATE kit_content SET kit = $2 WHERE kit = $1 AND seq = $3 ->> 0`,
	},
	pointing("usable", "still_usable", "part", "fork", "fork"),
	pointing("past_use", "past_use", "part", "id", "job"),
	pointing("set_aside", "set_aside", "part", "id", ""),
	pointing("order_line", "purchase_line", "part", "id", ""),
	pointing("complaint", "supplier_claim", "part", "id", ""),
	pointing("take", "take_scan", "part", "seq", ""),
	pointing("empty_bag", "empty_bag", "part", "id", ""),
	pointing("bag", "bag", "part", "seq", ""),
	pointing("brought", "brought", "part", "number", ""),
	{ // in an open count: what was counted of two records is to be counted again as one
		"counted",
		`SELECT json_array(tally, bin, moved) FROM tally_line WHERE part = $2 AND tally IN (SELECT id FROM tally WHERE state = 'open')
			AND NOT EXISTS (SELECT 1 FROM tally_line o WHERE o.tally = tally_line.tally AND o.bin = tally_line.bin AND o.part = $1)
			ORDER BY tally, bin`,
		`UPDATE tally_line SET part = $1, moved = 1 WHERE part = $2 AND tally IN (SELECT id FROM tally WHERE state = 'open')
			AND NOT EXISTS (SELECT 1 FROM tally_line o WHERE o.tally = tally_line.tally AND o.bin = tally_line.bin AND o.part = $1)`,
		`UPDATE tally_line SET part = $2 WHERE part = $1 AND tally = $3 ->> 0 AND bin = $3 ->> 1`,
	},
	{
		"claim",
		`SELECT json_array(number) FROM claim WHERE about = 'part' AND subject = $2 ORDER BY number`,
		`UPDATE claim SET subject = $1 WHERE about = 'part' AND subject = $2`,
		`UPDATE claim SET subject = $2 WHERE subject = $1 AND number = $3 ->> 0`,
	},
	{ // subject: "place part"
		"fit_claim",
		`SELECT json_array(number) FROM claim WHERE about = 'place_part' AND substr(subject, instr(subject, ' ') + 1) = $2
			ORDER BY number`,
		`UPDATE claim SET subject = substr(subject, 1, instr(subject, ' ')) || $1
			WHERE about = 'place_part' AND substr(subject, instr(subject, ' ') + 1) = $2`,
		`UPDATE claim SET subject = substr(subject, 1, instr(subject, ' ')) || $2
			WHERE about = 'place_part' AND substr(subject, instr(subject, ' ') + 1) = $1 AND number = $3 ->> 0`,
	},
	pointing("told_pack", "scan", "part", "seq", ""), // packs without a code
	pointing("remark", "remark", "part", "seq", ""),
	pointing("remark_ordered", "remark", "ordered", "seq", ""),
	pointing("record", "part", "merged_into", "id", ""), // what was merged into it before
}

// Kinds of moved rows that are no rows of moves.
const (
	movedCode = "code" // [code, pieces, supplier]: a new link says what it stands for
	movedFact = "fact" // [column, value]: filled in, for the kept record did not know it
)

// filled are the facts that the kept record takes over where it does not know
// them, with what stands for "not known".
var filled = []struct{ column, none string }{
	{"inner_um", "NULL"},
	{"outer_um", "NULL"},
	{"height_um", "NULL"},
	{"overall_um", "NULL"},
	{"head_um", "NULL"},
	{"legs", "NULL"},
	{"home_bin", "NULL"},
	{"minimum", "0"},
	{"uncounted", "0"},
	{"sell_minor", "NULL"},
	{"thread", "''"},
	{"seat", "''"},
	{"strength", "''"},
	{"coated", "''"},
	{"material", "''"},
	{"elastomer", "''"},
	{"entered", "''"},
}

// Counted is how many rows of a kind a merge moves.
type Counted struct {
	Kind string
	Rows int
}

// WouldMove counts what MergeParts would move, by kind.
func WouldMove(ctx context.Context, tx *store.Tx, kept, gone string) ([]Counted, error) {
	var all []Counted
	count := func(kind string, n int) {
		if n > 0 {
			all = append(all, Counted{kind, n})
		}
	}
	links, err := LinksOf(ctx, tx, gone)
	if err != nil {
		return nil, err
	}
	count(movedCode, len(links))
	for _, m := range moves {
		rows, err := movable(ctx, tx, m.list, kept, gone)
		if err != nil {
			return nil, err
		}
		if m.kind == "place_twice" { // do of "place" has not run yet
			continue
		}
		count(m.kind, len(rows))
	}
	rows, err := unknown(ctx, tx, kept, gone)
	count(movedFact, len(rows))
	return all, err
}

func movable(ctx context.Context, tx *store.Tx, query, kept, gone string) (rows []string, err error) {
	err = tx.Each(ctx, func(scan store.Scan) error {
		var row string
		err := scan(&row)
		rows = append(rows, row)
		return err
	}, query, kept, gone)
	return rows, err
}

// unknown gives the facts that gone knows and kept does not.
func unknown(ctx context.Context, tx *store.Tx, kept, gone string) (rows []string, err error) {
	for _, f := range filled {
		more, err := movable(ctx, tx, `SELECT json_array('`+f.column+`', g.`+f.column+`) FROM part k JOIN part g ON g.id = $2
			WHERE k.id = $1 AND k.`+f.column+` IS `+f.none+` AND g.`+f.column+` IS NOT `+f.none, kept, gone)
		if err != nil {
			return nil, err
		}
		rows = append(rows, more...)
	}
	return rows, nil
}

// MergeParts makes two records one: everything that points at the one that is
// gone points at the kept one from now on, and what was done is kept, so that
// it can be undone. Stock is the caller's, whose posting m names. Errors: those
// of Mergeable.
func MergeParts(ctx context.Context, tx *store.Tx, m Merge) (Merge, error) {
	if err := checkTexts(field{"reason", m.Reason, mostText}); err != nil {
		return m, err
	}
	kept, _, err := PartByID(ctx, tx, m.Kept)
	if err != nil {
		return m, err
	}
	gone, _, err := PartByID(ctx, tx, m.Gone)
	if err != nil {
		return m, err
	}
	if err := Mergeable(ctx, tx, kept, gone); err != nil {
		return m, err
	}
	m.At = store.Stamp(tx.Now)
	if _, err := tx.Exec(ctx, `INSERT INTO merge (id, kept, gone, reason, person, at, posting) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		m.ID, m.Kept, m.Gone, m.Reason, m.Person, m.At, textOrNull(m.Posting)); err != nil {
		return m, err
	}
	g := merging{m: m}
	return m, firstErrorOf(
		func() error { return g.codes(ctx, tx) },
		func() error { return g.rows(ctx, tx) },
		func() error { return g.facts(ctx, tx) },
		func() error {
			_, err := tx.Exec(ctx, `UPDATE part SET merged_into = $1 WHERE id = $2`, m.Kept, m.Gone)
			return err
		},
	)
}

// firstErrorOf runs steps until one fails.
func firstErrorOf(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// merging is a merge under way.
type merging struct {
	m   Merge
	seq int
}

// remember keeps rows that undo needs.
func (g *merging) remember(ctx context.Context, tx *store.Tx, kind string, rows ...string) error {
	for _, row := range rows {
		g.seq++
		if _, err := tx.Exec(ctx, `INSERT INTO merge_moved (merge, seq, kind, row) VALUES ($1, $2, $3, $4)`,
			g.m.ID, g.seq, kind, row); err != nil {
			return err
		}
	}
	return nil
}

func (g *merging) codes(ctx context.Context, tx *store.Tx) error {
	links, err := LinksOf(ctx, tx, g.m.Gone)
	if err != nil {
		return err
	}
	for _, l := range links {
		row, err := json.Marshal([]any{l.Code, l.Pieces, l.Supplier})
		if err != nil {
			return fault.Of(err)
		}
		if err := g.remember(ctx, tx, movedCode, string(row)); err != nil {
			return err
		}
		l.Part = g.m.Kept
		if err := LinkCode(ctx, tx, l, g.m.Person, true); err != nil {
			return err
		}
	}
	return nil
}

func (g *merging) rows(ctx context.Context, tx *store.Tx) error {
	for _, m := range moves {
		rows, err := movable(ctx, tx, m.list, g.m.Kept, g.m.Gone)
		if err != nil {
			return err
		}
		if err := g.remember(ctx, tx, m.kind, rows...); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, m.do, g.m.Kept, g.m.Gone); err != nil {
			return err
		}
	}
	return nil
}

func (g *merging) facts(ctx context.Context, tx *store.Tx) error {
	rows, err := unknown(ctx, tx, g.m.Kept, g.m.Gone)
	if err != nil || len(rows) == 0 {
		return err
	}
	if err := g.remember(ctx, tx, movedFact, rows...); err != nil {
		return err
	}
	set := ""
	for _, row := range rows {
		column, _, err := factIn(row)
		if err != nil {
			return err
		}
		set += `, ` + column + ` = (SELECT ` + column + ` FROM part WHERE id = $2)`
	}
	_, err = tx.Exec(ctx, `UPDATE part SET id = id`+set+` WHERE id = $1`, g.m.Kept, g.m.Gone)
	return err
}

// factIn reads a row of movedFact: one of the columns of filled, and how "not
// known" is written there.
func factIn(row string) (column, none string, err error) {
	var told []any
	if err := json.Unmarshal([]byte(row), &told); err != nil || len(told) != 2 {
		return "", "", fault.New(fault.Damaged, "catalog.merge_damaged").WithCause(err)
	}
	for _, f := range filled {
		if f.column == told[0] {
			return f.column, f.none, nil
		}
	}
	return "", "", fault.New(fault.Damaged, "catalog.merge_damaged")
}

// UnmergeParts puts everything back that MergeParts moved and that nobody has
// changed since. Error: Conflict where the kept record was merged into another
// itself, which has to be undone first.
func UnmergeParts(ctx context.Context, tx *store.Tx, m Merge, person string) error {
	var later string
	found, err := tx.One(ctx, store.Into(&later), `SELECT id FROM merge WHERE gone = $1 AND undone_at IS NULL`, m.Kept)
	if err != nil {
		return err
	}
	if found {
		return fault.New(fault.Conflict, "catalog.merge_later").WithHint("catalog.merge_later.hint", later)
	}
	if _, err := tx.Exec(ctx, `UPDATE part SET merged_into = NULL WHERE id = $1`, m.Gone); err != nil {
		return err
	}
	if err := unmergeRows(ctx, tx, m, person); err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE merge SET undone_at = $2, undone_by = $3 WHERE id = $1`, m.ID, store.Stamp(tx.Now), person)
	return err
}

func unmergeRows(ctx context.Context, tx *store.Tx, m Merge, person string) error {
	undo := map[string]string{}
	for _, x := range moves {
		undo[x.kind] = x.undo
	}
	type moved struct{ kind, row string }
	var all []moved
	err := tx.Each(ctx, func(scan store.Scan) error {
		var x moved
		err := scan(&x.kind, &x.row)
		all = append(all, x)
		return err
	}, `SELECT kind, row FROM merge_moved WHERE merge = $1 ORDER BY seq DESC`, m.ID)
	if err != nil {
		return err
	}
	for _, x := range all {
		switch x.kind {
		case movedCode:
			err = unlink(ctx, tx, m, x.row, person)
		case movedFact:
			err = forget(ctx, tx, m, x.row)
		default:
			_, err = tx.Exec(ctx, undo[x.kind], m.Kept, m.Gone, x.row)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// unlink gives a code back to the record that was gone, unless it has come to
// stand for something else.
func unlink(ctx context.Context, tx *store.Tx, m Merge, row, person string) error {
	l := Link{Part: m.Gone}
	if err := json.Unmarshal([]byte(row), &[]any{&l.Code, &l.Pieces, &l.Supplier}); err != nil {
		return fault.New(fault.Damaged, "catalog.merge_damaged").WithCause(err)
	}
	now, _, err := linkFor(ctx, tx, l.Code, l.Supplier)
	if err != nil || now.Part != m.Kept || now.Pieces != l.Pieces {
		return err
	}
	return LinkCode(ctx, tx, l, person, true)
}

// forget makes a fact unknown again that the kept record took over.
func forget(ctx context.Context, tx *store.Tx, m Merge, row string) error {
	column, none, err := factIn(row)
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `UPDATE part SET `+column+` = `+none+` WHERE id = $1 AND `+column+` = $2 ->> 1`, m.Kept, row)
	return err
}
