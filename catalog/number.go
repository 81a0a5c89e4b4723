package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Ref is a number with its maker, whether or not the shop keeps the part.
type Ref struct {
	Maker, Number string
}

// Name gives the number with its maker, as a command takes it.
func (r Ref) Name() string { return r.Maker + "/" + r.Number }

// norm gives the form in which two spellings of r are the same.
func (r Ref) norm() string { return Normal(r.Maker) + "/" + Normal(r.Number) }

func (r Ref) check() error {
	switch {
	case Normal(r.Number) == "":
		return fault.New(fault.Invalid, "catalog.no_number", short(r.Number)).WithHint("catalog.name.hint")
	case Normal(r.Maker) == "":
		return fault.New(fault.Invalid, "catalog.no_maker", short(r.Number)).WithHint("catalog.name.hint")
	}
	return checkTexts(field{"number", r.Number, mostName}, field{"maker", r.Maker, mostName})
}

// ParseRef reads MAKER/NUMBER. Error: Invalid.
func ParseRef(name string) (Ref, error) {
	maker, number, _ := strings.Cut(name, "/")
	r := Ref{strings.TrimSpace(maker), strings.TrimSpace(number)}
	if number == "" {
		return r, fault.New(fault.Invalid, "catalog.no_maker", short(name)).WithHint("catalog.name.hint")
	}
	return r, r.check()
}

// Told is who told something, and from where.
type Told struct {
	Source string // a list, a manual, the bench
	Person string // id
}

func (t Told) person() any { return textOrNull(t.Person) }

// OtherNumber is a further number of a part: a fork maker's, another list's.
type OtherNumber struct {
	ID   string
	Part string // id
	Ref
	Told
}

// AddOtherNumber adds a further number of a part. Errors: Invalid, Conflict
// (a part has that number already, or it stands in the part's own chain of
// replacements).
func AddOtherNumber(ctx context.Context, tx *store.Tx, n OtherNumber) (OtherNumber, error) {
	if err := firstError(n.check(), checkTexts(field{"source", n.Source, mostText})); err != nil {
		return n, err
	}
	if err := n.free(ctx, tx, n.Part); err != nil {
		return n, err
	}
	if err := n.outsideChain(ctx, tx); err != nil {
		return n, err
	}
	var err error
	if n.ID, err = tx.NewID(); err != nil {
		return n, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO other_number (id, part, maker, maker_norm, number, number_norm, source, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`, n.ID, n.Part, n.Maker, Normal(n.Maker), n.Number, Normal(n.Number),
		n.Source, n.person(), store.Stamp(tx.Now))
	return n, err
}

// free refuses a number, meant for the part of an id, that a part has already,
// as its own or as a further one. Error: Conflict, naming the part that has it.
func (r Ref) free(ctx context.Context, tx *store.Tx, part string) error {
	owner, err := ownerOf(ctx, tx, r)
	if err != nil || owner == "" {
		return err
	}
	p, _, err := PartByID(ctx, tx, owner)
	if err != nil {
		return err
	}
	e := fault.New(fault.Conflict, "catalog.number_twice", r.Name(), p.Name())
	if owner != part {
		e.WithHint("catalog.number_twice.hint", words.ShellWord(p.Name()))
	}
	return e
}

// outsideChain refuses a number that replaced the part, or was replaced by it:
// that would make the part replace itself.
func (n OtherNumber) outsideChain(ctx context.Context, tx *store.Tx) error {
	p, _, err := PartByID(ctx, tx, n.Part)
	if err != nil {
		return err
	}
	for _, ends := range [][2]Ref{{p.Ref(), n.Ref}, {n.Ref, p.Ref()}} {
		path, err := pathBetween(ctx, tx, ends[0], ends[1])
		if err != nil {
			return err
		}
		if path != nil {
			return fault.New(fault.Conflict, "catalog.number_in_chain", n.Name(), arrows(path)).
				WithHint("catalog.see_chain.hint", words.ShellWord(p.Name()))
		}
	}
	return nil
}

// OtherNumbers gives the further numbers of a part, by maker and number; those
// of the records that were merged into it are among them.
func OtherNumbers(ctx context.Context, tx *store.Tx, part string) ([]OtherNumber, error) {
	var all []OtherNumber
	err := tx.Each(ctx, func(scan store.Scan) error {
		n := OtherNumber{Part: part}
		err := scan(&n.ID, &n.Maker, &n.Number, &n.Source)
		all = append(all, n)
		return err
	}, `SELECT id, maker, number, source FROM (
			SELECT id, maker, number, source, maker_norm, number_norm FROM other_number WHERE part = $1
			UNION ALL SELECT '', maker, number, source, maker_norm, number_norm FROM part WHERE merged_into = $1)
		ORDER BY maker_norm, number_norm`, part)
	return all, err
}

// Ref gives the part's own number.
func (p Part) Ref() Ref { return Ref{p.Maker, p.Number} }

// Named is what a number was found to mean.
type Named struct {
	Ref         // as it is written where it was found
	Part string // id; empty: the number is known from a replacement alone
	own  bool   // it is the part's own number
}

// numberSources are where numbers are looked for, the strongest first; in each
// WHERE stands for the condition on maker_norm and number_norm.
var numberSources = []string{
	`SELECT maker, number, coalesce(merged_into, id), merged_into IS NULL, maker_norm, number_norm FROM part WHERE `,
	`SELECT maker, number, part, 0, maker_norm, number_norm FROM other_number WHERE `,
	`SELECT maker, number, '', 0, maker_norm, number_norm FROM (
		SELECT maker, number, maker_norm, number_norm FROM replacement
		UNION ALL SELECT by_maker, by_number, by_maker_norm, by_number_norm FROM replacement) WHERE `,
}

// NumbersNamed gives what NUMBER or MAKER/NUMBER can mean: parts with that
// number, else parts with that further number, else numbers that were replaced
// or replace others. A number with a slash of its own is tried whole first.
func NumbersNamed(ctx context.Context, tx *store.Tx, name string) ([]Named, error) {
	if Normal(name) == "" {
		return nil, nil
	}
	maker, number, cut := strings.Cut(name, "/")
	for _, source := range numberSources {
		all, err := namedIn(ctx, tx, source+`number_norm = $1 ORDER BY 5, 6, 4 DESC, 3`, Normal(name))
		if err == nil && len(all) == 0 && cut {
			all, err = namedIn(ctx, tx, source+`maker_norm = $1 AND number_norm = $2 ORDER BY 5, 6, 4 DESC, 3`, Normal(maker), Normal(number))
		}
		if err != nil || len(all) > 0 {
			return all, err
		}
	}
	return nil, nil
}

// namedIn reads one source; a part or number that stands in it twice counts once.
func namedIn(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Named, error) {
	var all []Named
	err := tx.Each(ctx, func(scan store.Scan) error {
		var n Named
		var makerNorm, numberNorm string
		if err := scan(&n.Maker, &n.Number, &n.Part, &n.own, &makerNorm, &numberNorm); err != nil {
			return err
		}
		at := slices.IndexFunc(all, func(o Named) bool {
			return n.Part != "" && o.Part == n.Part || n.Part == "" && o.norm() == n.norm()
		})
		switch {
		case at < 0:
			all = append(all, n)
		case n.own:
			all[at] = n
		}
		return nil
	}, query, args...)
	return all, err
}

// ownerOf gives the id of the part that has r as its number or further number,
// of the record that is kept where it was merged; empty where none has.
func ownerOf(ctx context.Context, tx *store.Tx, r Ref) (part string, err error) {
	_, err = tx.One(ctx, store.Into(&part), `SELECT coalesce(merged_into, id) FROM part WHERE maker_norm = $1 AND number_norm = $2
		UNION ALL SELECT part FROM other_number WHERE maker_norm = $1 AND number_norm = $2 LIMIT 1`,
		Normal(r.Maker), Normal(r.Number))
	return part, err
}

// lookAlike maps characters that are read for one another to one of them.
var lookAlike = strings.NewReplacer("O", "0", "I", "1")

// LookAlikes gives the numbers, at most three, that read like a name once O
// and 0, I and 1 count as one; with begins also those that only begin so. They
// are other numbers until somebody says so.
func LookAlikes(ctx context.Context, tx *store.Tx, name string, begins bool) ([]Ref, error) {
	maker, number, cut := strings.Cut(name, "/")
	if !cut {
		maker, number = "", name
	}
	if len([]rune(Normal(number))) < 3 {
		return nil, nil
	}
	like := lookAlike.Replace(Normal(number))
	until := like
	if begins {
		until += "\U0010ffff"
	}
	const looks = `replace(replace(number_norm, 'O', '0'), 'I', '1')` // as their indexes have it
	var all []Ref
	err := tx.Each(ctx, func(scan store.Scan) error {
		var r Ref
		err := scan(&r.Maker, &r.Number)
		all = append(all, r)
		return err
	}, `SELECT maker, number FROM (
			SELECT maker, maker_norm, number, number_norm FROM part
				WHERE merged_into IS NULL AND `+looks+` >= $1 AND `+looks+` <= $3
			UNION SELECT maker, maker_norm, number, number_norm FROM other_number WHERE `+looks+` >= $1 AND `+looks+` <= $3
			UNION SELECT maker, maker_norm, number, number_norm FROM replacement WHERE `+looks+` >= $1 AND `+looks+` <= $3)
		WHERE $2 = '' OR maker_norm = $2
		ORDER BY length(number_norm), number_norm, maker_norm LIMIT 3`, like, Normal(maker), until)
	return all, err
}
