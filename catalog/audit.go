package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Finding is something in the catalog that is wrong or not known, and would
// mislead at the bench.
type Finding struct {
	Kind    string // "unfilled", "off_leg", "same_years", "kit_empty", "kit_legs", "check_digit", "code_twice", "number_twice", "elastomer"
	About   string // the thing: a fork, a bike, a part, a code
	Message fault.Message
	Mend    fault.Message // the command that mends it
}

// find makes a finding; the messages are "audit.KIND" and "audit.KIND.hint".
func find(kind, about string, args, mend []any) Finding {
	return Finding{kind, about, fault.Say("audit."+kind, args...), fault.Say("audit."+kind+".hint", mend...)}
}

// Audit looks through what the shop uses: forks, parts, kits and codes, not
// what suppliers offer beside.
func Audit(ctx context.Context, tx *store.Tx) ([]Finding, error) {
	parts, err := Parts(ctx, tx)
	if err != nil {
		return nil, err
	}
	all := elastomersUnknown(parts)
	for _, look := range []func(context.Context, *store.Tx, []Part) ([]Finding, error){
		unfilled, offLeg, sameYears, kitsUnknown, codesWrong, codesSmall, numbersTwice,
	} {
		found, err := look(ctx, tx, parts)
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	return all, nil
}

// elastomersUnknown finds rubber of which no shelf life is known.
func elastomersUnknown(parts []Part) (all []Finding) {
	for _, p := range parts {
		unknown := func(e string) bool { _, ok := GroupOf(e); return !ok }
		if Rubber(p.Role) && slices.ContainsFunc(p.Elastomers(), unknown) {
			all = append(all, find("elastomer", p.Name(), []any{p.Name(), fault.Say("role." + string(p.Role)), p.Elastomer}, []any{words.ShellWord(p.Name())}))
		}
	}
	return all
}

// unfilled finds places that are there for sure and that no part fits.
func unfilled(ctx context.Context, tx *store.Tx, _ []Part) (all []Finding, err error) {
	err = eachPlace(ctx, tx, func(f Fork, p Position) error {
		if p.Fitted != "yes" {
			return nil
		}
		matches, err := PartsFor(ctx, tx, p)
		if err == nil && !slices.ContainsFunc(matches, func(m Match) bool { return m.Verdict == Fits }) {
			all = append(all, find("unfilled", f.Name, []any{f.Name, fault.Say("role." + string(p.Role)), fault.Say("leg." + p.Leg)},
				[]any{words.ShellWord(f.Name), string(p.Role)}))
		}
		return err
	})
	return all, err
}

// eachPlace calls look with every place of every fork.
func eachPlace(ctx context.Context, tx *store.Tx, look func(Fork, Position) error) error {
	forks, err := Forks(ctx, tx)
	if err != nil {
		return err
	}
	for _, f := range forks {
		places, err := Positions(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		for _, p := range places {
			if err := look(f, p); err != nil {
				return err
			}
		}
	}
	return nil
}

// sameYears finds bikes that can carry either of two forks with nothing said
// by which to tell them apart: no variant, code or frame number, no note, and
// nothing that is seen or measured of them.
func sameYears(ctx context.Context, tx *store.Tx, _ []Part) (all []Finding, err error) {
	list, err := Forks(ctx, tx)
	if err != nil {
		return nil, err
	}
	forks := map[string]Fork{}
	for _, f := range list {
		forks[f.ID] = f
	}
	alike := func(a, b Fork) bool {
		return a.ID != b.ID && a.Note == "" && b.Note == "" && a.looksLike(b)
	}
	bikes, err := queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.withdrawn = 0
		ORDER BY m.make_norm, m.model_norm, m.variant_norm, m.year_from, m.id`)
	for i, a := range bikes {
		for _, b := range bikes[i+1:] {
			if Normal(a.Make) != Normal(b.Make) || Normal(a.Model) != Normal(b.Model) {
				break // sorted: no more of this model
			}
			if one, other := forks[a.Fork], forks[b.Fork]; alike(one, other) && a.mistaken(b) {
				all = append(all, find("same_years", a.Bike(), []any{a.Name(), one.Name, b.Name(), other.Name},
					[]any{words.ShellWord(one.Name)}))
			}
		}
	}
	return all, err
}

// mistaken reports whether one and the same bike can be meant by f and by
// other, with nothing on it to tell which.
func (f Fitment) mistaken(other Fitment) bool {
	return Normal(f.Variant) == Normal(other.Variant) && Normal(f.Code) == Normal(other.Code) &&
		!f.Frames.Any() && !other.Frames.Any() && yearsMeet(f.YearFrom, f.YearTo, other.YearFrom, other.YearTo)
}

// kitsUnknown finds kits of which nobody said what they bring, or for how many
// legs.
func kitsUnknown(ctx context.Context, tx *store.Tx, parts []Part) (all []Finding, err error) {
	for _, p := range parts {
		if p.Role != Kit {
			continue
		}
		var told, legs int
		if _, err := tx.One(ctx, store.Into(&told, &legs), `SELECT (SELECT count(*) FROM kit_content WHERE kit = p.id),
			coalesce(p.legs, 0) FROM part p WHERE p.id = $1`, p.ID); err != nil {
			return nil, err
		}
		if told == 0 {
			all = append(all, find("kit_empty", p.Name(), []any{p.Name()}, []any{words.ShellWord(p.Name())}))
		}
		if legs == 0 {
			all = append(all, find("kit_legs", p.Name(), []any{p.Name()}, []any{words.ShellWord(p.Name())}))
		}
	}
	return all, nil
}

// numbersTwice finds two parts with one number and sizes that differ: of two
// makers where they do the same in a fork, and of one maker in any case, as
// another number of one part can be the number of another part.
func numbersTwice(ctx context.Context, tx *store.Tx, parts []Part) (all []Finding, err error) {
	byID := map[string]Part{}
	for _, p := range parts {
		byID[p.ID] = p
	}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var first, second, number string
		var oneMaker bool
		err := scan(&first, &second, &number, &oneMaker)
		a, b := byID[first], byID[second]
		if (oneMaker || a.Role == b.Role) && differ(a, b) {
			all = append(all, find("number_twice", number, []any{number, a.Name(), a.Size, b.Name(), b.Size}, []any{words.ShellWord(b.Name())}))
		}
		return err
	}, `WITH n AS (
			SELECT id AS part, maker_norm, number_norm FROM part WHERE merged_into IS NULL
			UNION SELECT coalesce(p.merged_into, p.id), o.maker_norm, o.number_norm FROM other_number o JOIN part p ON p.id = o.part)
		SELECT a.part, b.part, a.number_norm, max(a.maker_norm = b.maker_norm) FROM n a JOIN n b ON b.number_norm = a.number_norm
		WHERE a.part < b.part GROUP BY a.part, b.part, a.number_norm ORDER BY a.number_norm, a.part, b.part`)
	return all, err
}

// differ reports whether two parts state sizes that cannot be of one part.
func differ(a, b Part) bool {
	apart := func(x, y measure.Length) bool { return x != 0 && y != 0 && x != y }
	return apart(a.Size.Inner, b.Size.Inner) || apart(a.Size.Outer, b.Size.Outer) || apart(a.Size.Height, b.Size.Height) ||
		apart(a.Size.Overall, b.Size.Overall) || a.Thread != "" && b.Thread != "" && a.Thread != b.Thread
}
