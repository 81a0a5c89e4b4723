package catalog

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// A Reading is what the description of an item seems to say: a proposal, until
// somebody makes a part of the item.
type Reading struct {
	Role   Role // empty: it does not say
	Size   measure.Size
	Thread string
	Leg    measure.Length // of the fork that it is for
	Pieces int64          // in the pack; 0: it does not say
	Sure   bool           // by a rule of the shop
}

// An Outcome is what taking something in did.
type Outcome int

// The outcomes.
const (
	Unchanged Outcome = iota
	Added
	Changed
)

const (
	insertItem = `INSERT INTO supplier_item (id, supplier, number, number_norm, description, part, pack, pack_price_minor,
		code, maker, maker_number, maker_number_norm, listed, note)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`
	updateItem = `UPDATE supplier_item SET description = $2, part = $3, pack = $4, pack_price_minor = $5, code = $6, maker = $7,
		maker_number = $8, maker_number_norm = $9, listed = $10, note = $11 WHERE id = $1`
)

func (i Item) inserted() []any {
	return []any{
		i.ID, i.Supplier, i.Number, Normal(i.Number), i.Description, textOrNull(i.Part), i.Pack, i.price(),
		i.Code, i.Maker, i.MakerNumber, Normal(i.MakerNumber), i.Listed, i.Note,
	}
}

func (i Item) updated() []any {
	return []any{
		i.ID, i.Description, textOrNull(i.Part), i.Pack, i.price(), i.Code, i.Maker, i.MakerNumber, Normal(i.MakerNumber),
		i.Listed, i.Note,
	}
}

// Items takes in the items of a supplier's list, one after the other.
type Items struct {
	tx        *store.Tx
	supplier  string
	find, add *store.Stmt
	change    *store.Stmt
	read      *store.Stmt
	unread    *store.Stmt
	word      *store.Stmt
	unword    *store.Stmt
	was       *store.Stmt
	words     func(description string) []string

	// Old is what the last item that Put changed was before.
	Old Item
}

// NewItems readies the statements that Put runs for each item of a supplier,
// in one transaction. words gives the words by which a description is found.
func NewItems(ctx context.Context, tx *store.Tx, supplier string, words func(description string) []string) (*Items, error) {
	x := &Items{tx: tx, supplier: supplier, words: words}
	for _, s := range []struct {
		to    **store.Stmt
		query string
	}{
		{&x.find, `SELECT id, number, description, coalesce(part, ''), pack, coalesce(pack_price_minor, 0), pack_price_minor IS NOT NULL,
			code, maker, maker_number, listed, note FROM supplier_item WHERE supplier = $1 AND number_norm = $2`},
		{&x.add, insertItem},
		{&x.change, updateItem},
		{&x.read, `INSERT INTO item_reading (item, role, inner_um, outer_um, height_um, overall_um, thread, leg_um, pieces, sure)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) ON CONFLICT (item) DO UPDATE SET role = excluded.role,
			inner_um = excluded.inner_um, outer_um = excluded.outer_um, height_um = excluded.height_um,
			overall_um = excluded.overall_um, thread = excluded.thread, leg_um = excluded.leg_um, pieces = excluded.pieces,
			sure = excluded.sure`},
		{&x.unread, `DELETE FROM item_reading WHERE item = $1`},
		{&x.word, `INSERT INTO item_word (word, item) VALUES ($1, $2) ON CONFLICT (word, item) DO NOTHING`},
		{&x.unword, `DELETE FROM item_word WHERE word = $1 AND item = $2`},
		{&x.was, keepPrice},
	} {
		var err error
		if *s.to, err = tx.Prepare(ctx, s.query); err != nil {
			return nil, err
		}
	}
	return x, nil
}

// Put takes an item in: a new one with its reading, or what the list tells of
// one that is there. What i does not tell (an empty text, no pack, no price)
// stays as it was. Listed alone is no change. Error: Invalid.
func (x *Items) Put(ctx context.Context, i Item, r Reading) (Outcome, error) {
	old := Item{Supplier: x.supplier}
	found, err := x.find.One(ctx, store.Into(&old.ID, &old.Number, &old.Description, &old.Part, &old.Pack, &old.PackPriceMinor,
		&old.Priced, &old.Code, &old.Maker, &old.MakerNumber, &old.Listed, &old.Note), x.supplier, Normal(i.Number))
	if err != nil {
		return Unchanged, err
	}
	i.Supplier = x.supplier
	if !found {
		i.Pack = max(i.Pack, 1)
		if err := i.check(); err != nil {
			return Unchanged, err
		}
		if i.ID, err = x.tx.NewID(); err != nil {
			return Unchanged, err
		}
		if err := x.add.Exec(ctx, i.inserted()...); err != nil {
			return Unchanged, err
		}
		return Added, x.keep(ctx, i, Item{}, r)
	}
	merged := old.with(i)
	if merged == old {
		return Unchanged, nil
	}
	if err := merged.check(); err != nil {
		return Unchanged, err
	}
	if err := x.change.Exec(ctx, merged.updated()...); err != nil {
		return Unchanged, err
	}
	x.Old = old
	if args, changed := old.repriced(merged, store.Stamp(x.tx.Now)); changed {
		if err := x.was.Exec(ctx, args...); err != nil {
			return Unchanged, err
		}
	}
	outcome := Changed
	if old.Listed = merged.Listed; old == merged {
		outcome = Unchanged
	}
	if old.Description != merged.Description {
		err = x.keep(ctx, merged, old, r)
	}
	return outcome, err
}

// with gives i with what list tells.
func (i Item) with(list Item) Item {
	for _, t := range []struct {
		to   *string
		told string
	}{
		{&i.Description, list.Description},
		{&i.Part, list.Part},
		{&i.Code, list.Code},
		{&i.Maker, list.Maker},
		{&i.MakerNumber, list.MakerNumber},
		{&i.Listed, list.Listed},
		{&i.Note, list.Note},
	} {
		if t.told != "" {
			*t.to = t.told
		}
	}
	if list.Pack != 0 {
		i.Pack = list.Pack
	}
	if list.Priced {
		i.PackPriceMinor, i.Priced = list.PackPriceMinor, true
	}
	return i
}

// DescribeItem keeps the words and the reading of a new item, which AddItem
// added.
func DescribeItem(ctx context.Context, tx *store.Tx, i Item, words []string, r Reading) error {
	x, err := NewItems(ctx, tx, i.Supplier, func(string) []string { return words })
	if err != nil {
		return err
	}
	return x.keep(ctx, i, Item{}, r)
}

// keep keeps words and reading of an item instead of those of what it was; a
// new one had no id.
func (x *Items) keep(ctx context.Context, i, was Item, r Reading) error {
	words := x.words(i.Description)
	var gone []string
	if was.ID != "" {
		gone = x.words(was.Description)
	}
	for _, w := range gone {
		if !slices.Contains(words, w) {
			if err := x.unword.Exec(ctx, w, i.ID); err != nil {
				return err
			}
		}
	}
	for _, w := range words {
		if !slices.Contains(gone, w) {
			if err := x.word.Exec(ctx, w, i.ID); err != nil {
				return err
			}
		}
	}
	return x.Read(ctx, i.ID, r, was.ID == "")
}

// Read keeps the reading of an item; a new item has none to be taken away.
func (x *Items) Read(ctx context.Context, item string, r Reading, isNew bool) error {
	if (r == Reading{}) {
		if isNew {
			return nil
		}
		return x.unread.Exec(ctx, item)
	}
	var pieces any
	if r.Pieces > 0 {
		pieces = r.Pieces
	}
	return x.read.Exec(ctx, item, r.Role, null(r.Size.Inner), null(r.Size.Outer), null(r.Size.Height), null(r.Size.Overall),
		r.Thread, null(r.Leg), pieces, r.Sure)
}

// ItemsWorded gives at most most items with all of the words, behind the item
// of an id; of one supplier unless that is empty.
func ItemsWorded(ctx context.Context, tx *store.Tx, supplier string, words []string, after string, most int) ([]Item, error) {
	list, err := json.Marshal(words)
	if err != nil || len(words) == 0 {
		return nil, err
	}
	return queryItems(ctx, tx, `SELECT`+itemColumns+`FROM item_word w JOIN supplier_item i ON i.id = w.item
		JOIN supplier s ON s.id = i.supplier WHERE w.word = $1 AND w.item > $2 AND ($3 = '' OR i.supplier = $3)
		AND NOT EXISTS (SELECT 1 FROM json_each($4) k WHERE NOT EXISTS (SELECT 1 FROM item_word o WHERE o.word = k.value AND o.item = i.id))
		ORDER BY w.item LIMIT $5`, words[0], after, supplier, string(list), most)
}

// ItemsListed gives at most most items of a supplier that are no part yet,
// behind a number; with read those only of which something was read.
func ItemsListed(ctx context.Context, tx *store.Tx, supplier, after string, read bool, most int) ([]Item, error) {
	return queryItems(ctx, tx, `SELECT`+itemColumns+`FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE i.supplier = $1 AND i.number_norm > $2 AND coalesce(i.part, '') = ''
		AND (NOT $3 OR EXISTS (SELECT 1 FROM item_reading r WHERE r.item = i.id AND (r.role <> '' OR r.inner_um IS NOT NULL OR r.leg_um IS NOT NULL)))
		ORDER BY i.number_norm LIMIT $4`, supplier, Normal(after), read, most)
}

// EachItem calls f with every item of a supplier, by number.
func EachItem(ctx context.Context, tx *store.Tx, supplier string, f func(Item) error) error {
	return tx.Each(ctx, func(scan store.Scan) error {
		i, err := scanItem(scan)
		if err != nil {
			return err
		}
		return f(i)
	}, `SELECT`+itemColumns+`FROM supplier_item i JOIN supplier s ON s.id = i.supplier WHERE i.supplier = $1
		ORDER BY i.number_norm`, supplier)
}

// ReadingOf gives the reading of an item; the zero Reading where it has none.
func ReadingOf(ctx context.Context, tx *store.Tx, item string) (r Reading, err error) {
	_, err = tx.One(ctx, store.Into(&r.Role, &r.Size.Inner, &r.Size.Outer, &r.Size.Height, &r.Size.Overall, &r.Thread, &r.Leg,
		&r.Pieces, &r.Sure), `SELECT `+readingColumns+` FROM item_reading WHERE item = $1`, item)
	return r, err
}

const readingColumns = `role, coalesce(inner_um, 0), coalesce(outer_um, 0), coalesce(height_um, 0), coalesce(overall_um, 0), thread,
	coalesce(leg_um, 0), coalesce(pieces, 0), sure`

// NumbersZeroed gives the numbers of a supplier that are number with zeros in
// front: those that a spreadsheet may have taken away. An empty supplier means
// the shop's own parts.
func NumbersZeroed(ctx context.Context, tx *store.Tx, supplier, number string) (like []string, err error) {
	norm := Normal(number)
	if norm == "" || norm[0] == '0' || strings.Trim(norm, "0123456789") != "" {
		return nil, nil
	}
	query := `SELECT number FROM supplier_item WHERE supplier = $1 AND number_norm IN ('0' || $2, '00' || $2, '000' || $2)
		ORDER BY number_norm`
	if supplier == "" {
		query = `SELECT maker || '/' || number FROM part WHERE $1 = '' AND number_norm IN ('0' || $2, '00' || $2, '000' || $2)
			ORDER BY number_norm, maker_norm`
	}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var n string
		err := scan(&n)
		like = append(like, n)
		return err
	}, query, supplier, norm)
	return like, err
}
