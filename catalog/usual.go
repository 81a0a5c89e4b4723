package catalog

import (
	"context"
	"fmt"
	"strings"

	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Practice is the source of what is usual without a standard to say so.
const Practice = "common practice, verify by measuring"

// Usual is what is usual for a leg diameter or a thread, whoever makes it: a
// hint to measure by, never a fit.
type Usual struct {
	Role    Role           // empty: of rubber as such
	Leg     measure.Length // usual for that leg; 0: a standard size of its own
	Name    string         // "ISO 4762", "AS568-214"
	Size    measure.Size
	Section measure.Length // of an O-ring
	Thread  string
	Key     measure.Length // across the flats
	Note    string         // "28.8-35.2 mm²/s, 40 °C"; other pitches that are met
	Source  string
}

// Starter gives what is usual as it comes with the program: sizes by leg
// diameter, standard screws and washers, O-rings, grades of oil, and how long
// rubber keeps.
func Starter() (all []Usual, err error) {
	for _, row := range starterRows("usual") {
		u := Usual{Role: Role(row["role"]), Name: row["name"], Thread: row["thread"], Note: row["note"], Source: row["source"]}
		for _, l := range []struct {
			to   *measure.Length
			text string
		}{{&u.Leg, row["leg"]}, {&u.Section, row["section"]}, {&u.Key, row["key"]}} {
			if l.text == "" {
				continue
			}
			if *l.to, err = measure.ParseLength(l.text); err != nil {
				return nil, err
			}
		}
		if row["size"] != "" {
			if u.Size, err = measure.ParseSize(row["size"]); err != nil {
				return nil, err
			}
		}
		all = append(all, u)
	}
	for dash := 1; dash < 1000; dash++ {
		name := fmt.Sprintf("AS568-%03d", dash)
		if o, err := measure.ParseORing(name); err == nil {
			all = append(all, Usual{
				Role: CapORing, Name: name, Section: o.Section, Source: "SAE AS568",
				Size: measure.Size{Inner: o.Inner, Outer: o.Inner + 2*o.Section, Height: o.Section},
			})
		}
	}
	for _, g := range Groups() {
		all = append(all, Usual{
			Name: g.Edition + " " + g.Name, Source: g.Source,
			Note: fmt.Sprintf("%s: %d + %d", strings.Join(g.Elastomers, " "), g.Years, g.More),
		})
	}
	return all, nil
}

// AddStarter lays in what comes with the program, and gives how much of it was
// not there yet.
func AddStarter(ctx context.Context, tx *store.Tx) (added int, err error) {
	all, err := Starter()
	if err != nil {
		return 0, err
	}
	for _, u := range all {
		args := []any{
			u.Role, null(u.Leg), u.Name, null(u.Size.Inner), null(u.Size.Outer), null(u.Size.Height), null(u.Size.Overall),
			null(u.Section), u.Thread, null(u.Key), u.Note, u.Source,
		}
		var there int
		if _, err := tx.One(ctx, store.Into(&there), `SELECT count(*) FROM usual WHERE role = $1 AND leg_um IS $2 AND name = $3
			AND inner_um IS $4 AND outer_um IS $5 AND height_um IS $6 AND overall_um IS $7 AND section_um IS $8
			AND thread = $9 AND key_um IS $10 AND note = $11 AND source = $12`, args...); err != nil {
			return added, err
		}
		if there > 0 {
			continue
		}
		id, err := tx.NewID()
		if err != nil {
			return added, err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO usual (role, leg_um, name, inner_um, outer_um, height_um, overall_um, section_um,
			thread, key_um, note, source, id) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
			append(args, id)...); err != nil {
			return added, err
		}
		added++
	}
	return added, nil
}

// Usuals gives what is usual for a leg diameter (0: any) and a role (empty:
// any). Standard sizes of no leg stand for every leg where a role is asked for.
func Usuals(ctx context.Context, tx *store.Tx, leg measure.Length, role Role) ([]Usual, error) {
	var all []Usual
	err := tx.Each(ctx, func(scan store.Scan) error {
		var u Usual
		err := scan(&u.Role, &u.Leg, &u.Name, &u.Size.Inner, &u.Size.Outer, &u.Size.Height, &u.Size.Overall, &u.Section, &u.Thread,
			&u.Key, &u.Note, &u.Source)
		all = append(all, u)
		return err
	}, `SELECT role, coalesce(leg_um, 0), name, coalesce(inner_um, 0), coalesce(outer_um, 0), coalesce(height_um, 0),
		coalesce(overall_um, 0), coalesce(section_um, 0), thread, coalesce(key_um, 0), note, source FROM usual
		WHERE ($1 = 0 OR leg_um = $1 OR leg_um IS NULL AND $2 <> '') AND ($2 = '' OR role = $2) ORDER BY id`,
		int64(leg), role)
	return all, err
}
