package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Link says what a barcode stands for.
type Link struct {
	Code     string // GTIN-14, or the code's trimmed text
	Part     string // id; empty: the code is no part, such as a parcel label
	Pieces   int64  // of the part's unit: 2 for a pair, 10 for a bag of ten
	Since    string // store.Stamp
	Supplier string // id: so on that one's goods; empty: whoever it comes from
}

// LinkOf gives what a code stands for today, whoever it comes from; ok is false
// where nobody has said yet.
func LinkOf(ctx context.Context, tx *store.Tx, code string) (l Link, ok bool, err error) {
	return LinkFrom(ctx, tx, code, "")
}

// LinkFrom gives what a code stands for today on the goods of a supplier: what
// was said of that one's, else of everybody's. Where the supplier is not known
// (""), what was said of everybody's goes first, and what was said of some
// counts where all of them agree.
func LinkFrom(ctx context.Context, tx *store.Tx, code, supplier string) (l Link, ok bool, err error) {
	l.Code = code
	all, err := queryLinks(ctx, tx, `SELECT`+linkColumns+`FROM code_now c WHERE c.code = $1
		AND (c.supplier IS NULL OR $2 = '' OR c.supplier = $2) ORDER BY (c.supplier IS NULL) = ($2 <> ''), c.supplier`, code, supplier)
	if err != nil || len(all) == 0 {
		return l, false, err
	}
	for _, o := range all[1:] {
		if all[0].Supplier != "" && supplier == "" && (o.Part != all[0].Part || o.Pieces != all[0].Pieces) {
			return l, false, nil
		}
	}
	return all[0], true, nil
}

// linkFor gives what was said of a code for a supplier, or for everybody (""),
// and of nobody else.
func linkFor(ctx context.Context, tx *store.Tx, code, supplier string) (l Link, ok bool, err error) {
	all, err := queryLinks(ctx, tx, `SELECT`+linkColumns+`FROM code_now c WHERE c.code = $1 AND coalesce(c.supplier, '') = $2
		ORDER BY c.seq`, code, supplier)
	if err != nil || len(all) == 0 {
		return Link{Code: code, Supplier: supplier}, false, err
	}
	return all[0], true, nil
}

// LinkCode records what a code stands for from now on; earlier links stay in
// the history, and what was posted under them stands. A code that stands for
// another part is refused (Conflict) unless instead is set. Linking the same
// again changes nothing.
func LinkCode(ctx context.Context, tx *store.Tx, l Link, person string, instead bool) error {
	if l.Code == "" || l.Pieces <= 0 {
		return fault.New(fault.Invalid, "catalog.bad_link", l.Code, l.Pieces).WithHint("catalog.bad_link.hint")
	}
	old, found, err := linkFor(ctx, tx, l.Code, l.Supplier)
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
	return l.add(ctx, tx, person, true)
}

// UnlinkCode takes back what was said of a code, for a supplier or for
// everybody (""): nobody has said anything of it then. Error: NotFound where
// nobody has.
func UnlinkCode(ctx context.Context, tx *store.Tx, code, supplier, person string) error {
	l, found, err := linkFor(ctx, tx, code, supplier)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "catalog.code_unsaid", code)
	}
	if err != nil {
		return err
	}
	return l.add(ctx, tx, person, false)
}

func (l Link) add(ctx context.Context, tx *store.Tx, person string, told bool) error {
	_, err := tx.Exec(ctx, `INSERT INTO code_link (code, part, pieces, person, since, supplier, told) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		l.Code, textOrNull(l.Part), l.Pieces, person, store.Stamp(tx.Now), textOrNull(l.Supplier), told)
	return err
}

// Links gives what every code stands for today, by code.
func Links(ctx context.Context, tx *store.Tx) ([]Link, error) {
	return queryLinks(ctx, tx, `SELECT`+linkColumns+`FROM code_now c ORDER BY c.code, c.supplier`)
}

// LinksOf gives the codes that stand for a part today, by code.
func LinksOf(ctx context.Context, tx *store.Tx, part string) ([]Link, error) {
	return queryLinks(ctx, tx, `SELECT`+linkColumns+`FROM code_now c WHERE c.part = $1 ORDER BY c.code, c.supplier`, part)
}

const linkColumns = ` c.code, coalesce(c.part, ''), c.pieces, c.since, coalesce(c.supplier, '') `

func queryLinks(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Link, error) {
	var all []Link
	err := tx.Each(ctx, func(scan store.Scan) error {
		var l Link
		err := scan(&l.Code, &l.Part, &l.Pieces, &l.Since, &l.Supplier)
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
