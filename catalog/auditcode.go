package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// bearer is a part with a code that stands for it.
type bearer struct {
	code string
	part string // id
	name string // as a command takes it
	said fault.Message
	link bool // the shop's own word, not a list's
}

// codesWrong finds codes with a wrong check digit, and codes that stand for
// two parts, or twice in two forms: the shop's own links, and the codes of
// what suppliers offer of parts that the shop uses.
func codesWrong(ctx context.Context, tx *store.Tx, _ []Part) (all []Finding, err error) {
	bearers, err := bearers(ctx, tx)
	if err != nil {
		return nil, err
	}
	first := map[string]bearer{}
	for _, b := range bearers {
		if mistyped(b.code) {
			kind := "check_digit"
			if !b.link {
				kind = "check_digit_list"
			}
			f := find(kind, b.code, []any{b.code, b.said, b.name}, []any{words.ShellWord(b.code)})
			f.Kind = "check_digit"
			all = append(all, f)
		}
		key, _ := gs1.Key("", b.code)
		a, seen := first[key]
		switch {
		case !seen:
			first[key] = b
		case a.part != b.part:
			all = append(all, find("code_twice", key, []any{key, a.name, a.said, b.name, b.said}, []any{words.ShellWord(key), words.ShellWord(b.name)}))
		case a.link && b.link: // a scan finds the one form only
			f := find("code_forms", key, []any{a.code, b.code, b.name}, []any{words.ShellWord(b.code), words.ShellWord(b.name)})
			f.Kind = "code_twice"
			all = append(all, f)
		}
	}
	return all, nil
}

// leastBottle is the mL of the smallest bottle that has a code of its own.
const leastBottle = 10

// codesSmall finds codes of liquids that stand for less than a bottle: counted as
// pieces, most likely.
func codesSmall(ctx context.Context, tx *store.Tx, _ []Part) (all []Finding, err error) {
	err = tx.Each(ctx, func(scan store.Scan) error {
		var code, name string
		var amount int64
		err := scan(&code, &name, &amount)
		all = append(all, find("code_small", code, []any{code, amount, name}, []any{words.ShellWord(code), words.ShellWord(name)}))
		return err
	}, `SELECT l.code, p.maker || '/' || p.number, l.pieces FROM code_now l JOIN part r ON r.id = l.part
		JOIN part p ON p.id = coalesce(r.merged_into, r.id)
		WHERE p.unit = 'mL' AND l.pieces < $1 ORDER BY l.code`, leastBottle)
	return all, err
}

func bearers(ctx context.Context, tx *store.Tx) (all []bearer, err error) {
	err = tx.Each(ctx, func(scan store.Scan) error {
		b := bearer{link: true, said: fault.Say("audit.linked")}
		var supplier, number string
		err := scan(&b.code, &b.part, &b.name, &supplier, &number)
		if supplier != "" {
			b.link, b.said = false, fault.Say("audit.listed", supplier, number)
		}
		all = append(all, b)
		return err
	}, `SELECT c.code, p.id, p.maker || '/' || p.number, '', '' FROM (
			SELECT l.code, coalesce(p.merged_into, p.id) AS part FROM code_now l JOIN part p ON p.id = l.part
			WHERE l.supplier IS NULL) c JOIN part p ON p.id = c.part
		UNION ALL SELECT i.code, p.id, p.maker || '/' || p.number, s.name, i.number FROM (
			SELECT i.code, i.supplier, i.number, coalesce(p.merged_into, p.id) AS part FROM supplier_item i JOIN part p ON p.id = i.part
			WHERE i.code <> '') i JOIN part p ON p.id = i.part JOIN supplier s ON s.id = i.supplier
		ORDER BY 4, 1, 5`)
	return all, err
}

// mistyped reports whether a code is as long as a GTIN and all digits, and its
// last one is no check digit of the rest.
func mistyped(code string) bool {
	switch len(code) {
	case 8, 12, 13, 14:
	default:
		return false
	}
	for _, r := range code {
		if r < '0' || r > '9' {
			return false
		}
	}
	return !gs1.Valid(code) && len(gs1.Readings(code)) == 0
}
