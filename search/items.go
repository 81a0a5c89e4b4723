package search

import (
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// What suppliers offer and the shop does not use yet is found by its numbers
// and its code, and by what its description was read to say when it was taken
// in: size, leg, kind of part, words. Every step has an index: a list has
// 100,000 rows and more.

// ItemHit is an offer of a supplier that was found.
type ItemHit struct {
	Item    catalog.Item
	Reading catalog.Reading // what its description seems to say
	Why     fault.Message
}

// mostItems is how many items are looked at for one answer.
const mostItems = 200

// items puts into the answer what suppliers offer: by number, else by what
// the descriptions say.
func (f *finder) items(ctx context.Context, tx *store.Tx) error {
	if f.q.InStock || f.q.stockAlone() || f.opt.Only.Maker != "" {
		return nil
	}
	if err := f.itemsNumbered(ctx, tx); err != nil {
		return err
	}
	if len(f.hits.Items) > 0 {
		f.notes = slices.DeleteFunc(f.notes, func(m fault.Message) bool { return strings.HasPrefix(m.ID, "search.unknown") })
		return nil
	}
	if f.bikes != nil || f.q.Fork != "" {
		return nil
	}
	if err := f.itemsDescribed(ctx, tx); err != nil || len(f.hits.Items) == 0 {
		return err
	}
	f.notes = slices.DeleteFunc(f.notes, f.offered)
	return nil
}

// offered reports whether a note says of a word that nothing has it, though the
// items that were found, having all that are left, do.
func (f *finder) offered(m fault.Message) bool {
	if m.ID != "search.none_number" && !strings.HasPrefix(m.ID, "search.unknown") {
		return false
	}
	return len(m.Args) > 0 && slices.ContainsFunc(f.rest, func(w string) bool { return w == m.Args[0] })
}

// itemsNumbered gives the items whose number, or maker's number, begins as the
// text, or whose code it is; where nothing else was found also those whose
// number holds it.
func (f *finder) itemsNumbered(ctx context.Context, tx *store.Tx) error {
	norm := catalog.Normal(f.q.Text)
	key, _ := gs1.Key("", f.q.Text)
	// Each branch has an index; an OR of them would read the whole table, and so
	// would the index of parts for those that are none.
	err := f.offers(ctx, tx, fault.Say("search.why_item_number"), `SELECT i.id FROM supplier_item i WHERE coalesce(i.part, '') = '' AND i.id IN (
			SELECT id FROM (SELECT id FROM supplier_item WHERE number_norm >= $1 AND number_norm <= $2 ORDER BY number_norm LIMIT $4)
			UNION SELECT id FROM (SELECT id FROM supplier_item WHERE maker_number_norm >= $1 AND maker_number_norm <= $2
				AND maker_number_norm <> '' ORDER BY maker_number_norm LIMIT $4)
			UNION SELECT id FROM supplier_item WHERE code = $3 AND code <> '')
		ORDER BY i.number_norm, i.supplier LIMIT $5`, norm, norm+beyond, key, mostItems, f.opt.Limit)
	measured := f.q.Sizes != nil || f.q.Lengths != nil || f.q.Roles != nil
	if err == nil && !measured && len(f.hits.Items)+len(f.hits.Parts) == 0 && len([]rune(norm)) >= 4 && numberLike(f.q.Text) {
		err = f.offers(ctx, tx, fault.Say("search.why_holds", norm), `SELECT i.id FROM supplier_item i WHERE coalesce(i.part, '') = '' AND i.number_norm IN
			(SELECT number_norm FROM supplier_item WHERE instr(number_norm, $1) > 0 ORDER BY number_norm LIMIT $2)
			ORDER BY i.number_norm, i.supplier LIMIT $2`, norm, f.opt.Limit)
	}
	return err
}

// numberLike reports whether a text can be a piece of a number: it has a digit,
// and no word of letters alone that is longer than numbers begin with.
func numberLike(text string) bool {
	long := func(w string) bool { return len(w) > 4 && !hasDigit(w) }
	return hasDigit(text) && !slices.ContainsFunc(strings.Fields(text), long)
}

// itemsDescribed gives the items whose descriptions say what the text asks
// for: its first size, its diameter as that of a leg or as an inner one, its
// kinds of part or none that is certain, all its words.
func (f *finder) itemsDescribed(ctx context.Context, tx *store.Tx) error {
	words := wording.Words(strings.Join(f.rest, " "))
	var size measure.Size
	var diameter measure.Length
	if len(f.q.Sizes) > 0 {
		size = f.q.Sizes[0]
	} else if len(f.q.Lengths) > 0 {
		diameter = f.q.Lengths[0]
	}
	numbers := numbersOf(f.rest)
	if len(words) == 0 && !f.q.kinds() && (len(f.rest) > 0 || size.Inner == 0 && diameter == 0) {
		return nil // a number that is nobody's, or nothing to go by
	}
	words, err := rarestFirst(ctx, tx, words)
	if err != nil {
		return err
	}
	roles := []string{}
	for _, r := range f.q.Roles {
		roles = append(roles, string(r))
	}
	from, by := itemsFrom(size, diameter, words)
	why := fault.Say("search.why_description")
	return f.offers(ctx, tx, why, `SELECT id FROM (SELECT i.id AS id, i.number_norm AS number, coalesce(r.role, '') AS role, $3 <> 0 AND r.height_um IS NOT $3 AS loose FROM `+from+`
		WHERE coalesce(i.part, '') = '' AND `+by+`
		AND ($5 = '[]' OR r.role = '' OR r.role IN (SELECT value FROM json_each($5))
			OR r.role IS NULL AND EXISTS (SELECT 1 FROM item_word w JOIN json_each($11) k ON k.value = w.word WHERE w.item = i.id))
		AND NOT EXISTS (SELECT 1 FROM json_each($6) k WHERE NOT EXISTS (SELECT 1 FROM item_word w WHERE w.word = k.value AND w.item = i.id))
		AND NOT EXISTS (SELECT 1 FROM json_each($10) n WHERE ' ' || replace(lower(i.description), ' ', '') || ' ' NOT GLOB n.value)
		LIMIT $7) ORDER BY loose, role = '', number, id LIMIT $8`,
		int64(size.Inner), int64(size.Outer), int64(size.Height), int64(diameter), jsonList(roles), jsonList(append([]string{}, words...)), mostItems, f.opt.Limit, size.String(), jsonList(numbers), jsonList(f.kindWords()))
}

// leastKindWord is how long a word is that says a kind of part by itself: oil is
// in many a name.
const leastKindWord = 6

// kindWords gives the words that name the kinds of part of the text. An item
// that has one may be of the kind, though its description says too little to be
// certain: a Werkzeug, a Sprengring.
func (f *finder) kindWords() []string {
	words := []string{}
	if f.q.Roles == nil {
		return words
	}
	for _, w := range split(f.q.Text) {
		if n := f.v.names[key(w)]; n != nil && !n.idle && len(n.roles) > 0 && len(w) >= leastKindWord {
			words = append(words, wording.Words(w)...)
		}
	}
	return words
}

// numbersOf gives patterns of the words with a digit first, which no index
// has, as they stand in a description without spaces: 5W is not in 15W.
func numbersOf(words []string) []string {
	patterns := []string{}
	for _, w := range words {
		if w == "" || !hasDigit(w[:1]) {
			continue
		}
		pattern := "*[^0-9.,]"
		for _, c := range strings.ToLower(w) {
			switch {
			case c == '.' || c == ',':
				pattern += "[.,]"
			case '0' <= c && c <= '9' || 'a' <= c && c <= 'z':
				pattern += string(c)
			}
		}
		if hasDigit(w[len(w)-1:]) {
			pattern += "[^0-9]"
		}
		patterns = append(patterns, pattern+"*")
	}
	return patterns
}

// kinds reports whether a text asks for kinds of parts, and beside words for
// nothing that the items of a kind are not asked for.
func (q Query) kinds() bool {
	asked := len(q.Roles) > 0 && q.With == nil && q.Without == nil
	q.Roles = []catalog.Role{catalog.OilSeal} // kits too
	return asked && q.kindsAlone()
}

// itemsFrom gives the tables to begin with, the narrowest first, and how; of a
// word or a diameter that thousands have, some are looked at. A
// size also stands as a word in descriptions of which nothing was read.
func itemsFrom(size measure.Size, diameter measure.Length, words []string) (from, by string) {
	switch {
	case size.Inner != 0:
		return `(SELECT item FROM item_reading WHERE inner_um = $1 AND ($2 = 0 OR outer_um = $2) AND ($3 = 0 OR height_um = $3 OR height_um IS NULL)
			UNION SELECT item FROM (SELECT item FROM item_word WHERE word = $9 LIMIT 1000)) d
			JOIN supplier_item i ON i.id = d.item LEFT JOIN item_reading r ON r.item = i.id`, `$4 = 0`
	case diameter != 0:
		return `(SELECT item FROM (SELECT item FROM item_reading WHERE leg_um = $4 LIMIT 1000)
			UNION SELECT item FROM (SELECT item FROM item_reading WHERE inner_um = $4 LIMIT 1000)) d
			JOIN supplier_item i ON i.id = d.item JOIN item_reading r ON r.item = i.id`, `$1 + $2 + $3 = 0 AND $9 = ''`
	}
	if len(words) == 0 {
		return `(SELECT item FROM (SELECT item FROM item_reading WHERE role <> '' AND role IN (SELECT value FROM json_each($5)) LIMIT 1000)
			UNION SELECT item FROM (SELECT item FROM item_word WHERE word IN (SELECT value FROM json_each($11)) LIMIT 1000)) d
			JOIN supplier_item i ON i.id = d.item LEFT JOIN item_reading r ON r.item = i.id`, `$1 + $2 + $3 + $4 = 0 AND $9 = ''`
	}
	return `(SELECT item FROM item_word WHERE word = (SELECT value FROM json_each($6) LIMIT 1) LIMIT 1000) f
			JOIN supplier_item i ON i.id = f.item LEFT JOIN item_reading r ON r.item = i.id`, `$1 + $2 + $3 + $4 = 0 AND $9 = ''`
}

// rarestFirst puts the word first that the fewest items have.
func rarestFirst(ctx context.Context, tx *store.Tx, words []string) ([]string, error) {
	fewest := mostCounted + 1
	for i, w := range words {
		var n int
		if _, err := tx.One(ctx, store.Into(&n), `SELECT count(*) FROM (SELECT 1 FROM item_word WHERE word = $1 LIMIT $2)`, w, mostCounted); err != nil {
			return nil, err
		}
		if n < fewest {
			fewest = n
			words[0], words[i] = words[i], words[0]
		}
	}
	return words, nil
}

// mostCounted is how many items of a word are counted.
const mostCounted = 1000

// offers puts the items of a query into the answer.
func (f *finder) offers(ctx context.Context, tx *store.Tx, why fault.Message, query string, args ...any) error {
	var ids []string
	err := tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		ids = append(ids, id)
		return err
	}, query, args...)
	if err != nil {
		return err
	}
	if len(ids) == 0 {
		return nil
	}
	items, readings, err := catalog.ItemsByID(ctx, tx, ids)
	for _, id := range ids {
		if item, ok := items[id]; ok {
			f.hits.Items = append(f.hits.Items, ItemHit{item, readings[id], why})
		}
	}
	return err
}
