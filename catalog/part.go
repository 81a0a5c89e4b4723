package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Part is something that the shop uses and counts.
type Part struct {
	ID          string
	Number      string // as its maker writes it
	Maker       string
	Role        Role
	Description string
	Unit        string       // Piece or Millilitre
	Size        measure.Size // inner, outer, body height (length of a bushing or bolt), overall height
	Thread      string       // "M10x1.25"; "M10" where the pitch is not stated
	Traits
	Entered   string // the size as it was entered, where that was in inches or as an O-ring's number
	Material  string
	Elastomer string // "NBR"; empty: not known
	HomeBin   string // id of a bin, empty for none
	Minimum   int64  // the least that the shop wants on hand
	Source    string
}

// Name gives the number with its maker, as a command takes it.
func (p Part) Name() string { return p.Maker + "/" + p.Number }

const partColumns = ` p.id, p.number, p.maker, p.role, p.description, p.unit, coalesce(p.inner_um, 0),
	coalesce(p.outer_um, 0), coalesce(p.height_um, 0), coalesce(p.overall_um, 0), p.thread, coalesce(p.head_um, 0),
	p.seat, p.strength, p.coated, p.entered, p.material, p.elastomer, coalesce(p.home_bin, ''), p.minimum, p.source `

func scanPart(scan store.Scan, more ...any) (p Part, err error) {
	return p, scan(append([]any{
		&p.ID, &p.Number, &p.Maker, &p.Role, &p.Description, &p.Unit, &p.Size.Inner,
		&p.Size.Outer, &p.Size.Height, &p.Size.Overall, &p.Thread, &p.Head,
		&p.Seat, &p.Strength, &p.Coated, &p.Entered, &p.Material, &p.Elastomer,
		&p.HomeBin, &p.Minimum, &p.Source,
	}, more...)...)
}

func queryParts(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Part, error) {
	var parts []Part
	err := tx.Each(ctx, func(scan store.Scan) error {
		p, err := scanPart(scan)
		parts = append(parts, p)
		return err
	}, query, args...)
	return parts, err
}

// AddPart adds p and gives it an id. Errors: Invalid, Conflict (its maker has
// that number already, or it is a further number of a part).
func AddPart(ctx context.Context, tx *store.Tx, p Part) (Part, error) {
	if err := p.check(); err != nil {
		return p, err
	}
	var twin Part
	found, err := tx.One(ctx, store.Into(&twin.Maker, &twin.Number),
		`SELECT maker, number FROM part WHERE maker_norm = $1 AND number_norm = $2`, Normal(p.Maker), Normal(p.Number))
	if err != nil {
		return p, err
	}
	if found {
		return p, fault.New(fault.Conflict, "catalog.part_twice", twin.Maker, twin.Number).
			WithHint("catalog.part_twice.hint", words.ShellWord(twin.Name()))
	}
	if err := p.Ref().free(ctx, tx, ""); err != nil {
		return p, err
	}
	if p.ID, err = tx.NewID(); err != nil {
		return p, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit,
		inner_um, outer_um, height_um, overall_um, thread, head_um, seat, strength, coated, entered, material, elastomer,
		home_bin, minimum, source)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23)`,
		p.ID, p.Number, Normal(p.Number), p.Maker, Normal(p.Maker), p.Role, p.Description, p.Unit,
		null(p.Size.Inner), null(p.Size.Outer), null(p.Size.Height), null(p.Size.Overall), p.Thread,
		null(p.Head), p.Seat, p.Strength, p.Coated, p.Entered, p.Material, p.Elastomer, textOrNull(p.HomeBin), p.Minimum, p.Source)
	return p, err
}

// PartNamed finds the part that the user named: NUMBER, or MAKER/NUMBER where
// two makers have the number. Errors: NotFound, Ambiguous with candidates.
func PartNamed(ctx context.Context, tx *store.Tx, name string) (Part, error) {
	p, _, err := PartFor(ctx, tx, name)
	return p, err
}

// PartFor finds the part that the user named: by its own number, by a further
// one, or by one that it replaced; how says so where it is not its own. Look-
// alikes are suggested, never taken. Errors: NotFound, Ambiguous with
// candidates.
func PartFor(ctx context.Context, tx *store.Tx, name string) (p Part, how fault.Message, err error) {
	n, err := NumberNamed(ctx, tx, name)
	if err != nil {
		return p, how, err
	}
	return n.stands(ctx, tx, name)
}

// NumberNamed finds what NUMBER or MAKER/NUMBER means, a part or a number that
// is known from a replacement alone. Errors: NotFound, Ambiguous with
// candidates.
func NumberNamed(ctx context.Context, tx *store.Tx, name string) (Named, error) {
	all, err := NumbersNamed(ctx, tx, name)
	switch {
	case err != nil:
		return Named{}, err
	case len(all) == 1:
		return all[0], nil
	case len(all) == 0:
		return Named{}, absent(ctx, tx, name)
	}
	e := fault.New(fault.Ambiguous, "catalog.part_ambiguous", name).WithHint("catalog.part_ambiguous.hint", all[0].Name())
	for _, n := range all {
		c := fault.Candidate{Name: n.Name()}
		if n.Part != "" {
			p, _, err := PartByID(ctx, tx, n.Part)
			if err != nil {
				return n, err
			}
			c.Tell = fault.Plain(p.Description)
		}
		e.Candidates = append(e.Candidates, c)
	}
	return Named{}, e
}

// stands gives the part that a number stands for: its own, or the newest that
// the shop keeps of what replaced it. Error: NotFound where it keeps none.
func (n Named) stands(ctx context.Context, tx *store.Tx, name string) (p Part, how fault.Message, err error) {
	if n.Part != "" {
		p, _, err = PartByID(ctx, tx, n.Part)
		if err == nil && !n.own {
			how = fault.Say("catalog.other_number_of", n.Name(), p.Name())
		}
		return p, how, err
	}
	s, found, err := succession(ctx, tx, link{refs: []Ref{n.Ref}})
	switch {
	case err != nil:
		return p, how, err
	case !found:
		return p, how, absent(ctx, tx, name)
	case s.Part == "":
		return p, how, fault.New(fault.NotFound, "catalog.replaced_absent", n.Name(), s.Current.Name(), s.By.Tail()).
			WithHint("catalog.replaced_absent.hint", words.ShellWord(s.Current.Name()))
	}
	p, _, err = PartByID(ctx, tx, s.Part)
	return p, fault.Say("catalog.was_replaced", n.Name(), p.Name(), s.By.Tail()), err
}

// absent says that there is no such part, and which look like it.
func absent(ctx context.Context, tx *store.Tx, name string) error {
	e := fault.New(fault.NotFound, "catalog.part_absent", short(name)).WithHint("catalog.part_absent.hint", words.ShellWord(short(name)))
	alike, err := LookAlikes(ctx, tx, name, false)
	if err != nil {
		return err
	}
	for _, r := range alike {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: r.Name()})
		e.WithHint("catalog.look_alike.hint")
	}
	return e
}

// PartOf gives the part of a maker under a number; ok is false where there is
// none.
func PartOf(ctx context.Context, tx *store.Tx, maker, number string) (p Part, ok bool, err error) {
	parts, err := queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p WHERE p.maker_norm = $1 AND p.number_norm = $2
		AND p.merged_into IS NULL ORDER BY p.id`, Normal(maker), Normal(number))
	if err != nil || len(parts) == 0 {
		return Part{}, false, err
	}
	return parts[0], true, nil
}

// PartByID gives the part of an id; ok is false where there is none.
func PartByID(ctx context.Context, tx *store.Tx, id string) (p Part, ok bool, err error) {
	parts, err := queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p WHERE p.id = $1 ORDER BY p.id`, id)
	if err != nil || len(parts) == 0 {
		return Part{}, false, err
	}
	return parts[0], true, nil
}

// Parts gives every part, by number and maker, but for records that were merged
// into another.
func Parts(ctx context.Context, tx *store.Tx) ([]Part, error) {
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p WHERE p.merged_into IS NULL ORDER BY p.number_norm, p.maker_norm`)
}

// PartsEver gives every part as Parts does, with those that were merged into
// another: the ledger names them.
func PartsEver(ctx context.Context, tx *store.Tx) ([]Part, error) {
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p ORDER BY p.number_norm, p.maker_norm`)
}

// NumbersLike gives the numbers of at most most parts that begin as typed, in
// normal form, by number.
func NumbersLike(ctx context.Context, tx *store.Tx, typed string, most int) (numbers []string, err error) {
	from := Normal(typed)
	err = tx.Each(ctx, func(scan store.Scan) error {
		var number string
		err := scan(&number)
		numbers = append(numbers, number)
		return err
	}, `SELECT DISTINCT number FROM part WHERE merged_into IS NULL AND number_norm >= $1 AND number_norm < $2 ORDER BY number_norm LIMIT $3`,
		from, from+"\U0010ffff", most)
	return numbers, err
}
