package catalog

import (
	"cmp"
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Content is what a kit brings of one part.
type Content struct {
	Part   Part  // without an id where the kit's maker names no number: role, size and thread only
	Pieces int64 // of the part's unit
}

// alike reports whether c and other are told of the same thing.
func (c Content) alike(other Content) bool {
	return c.Part.ID == other.Part.ID && (c.Part.ID != "" ||
		c.Part.Role == other.Part.Role && c.Part.Size == other.Part.Size && c.Part.Thread == other.Part.Thread)
}

func (c Content) check() error {
	switch {
	case !slices.Contains(Roles, c.Part.Role):
		return BadRole(string(c.Part.Role))
	case c.Part.Role == Kit:
		return fault.New(fault.Invalid, "catalog.kit_in_kit").WithHint("catalog.kit_in_kit.hint")
	}
	return firstError(checkRange("pieces", c.Pieces, 1, mostAmount), c.Part.Size.Check())
}

// SetContents says what is in a kit, in the given order. Errors: Invalid,
// Conflict (a thing stands there twice).
func SetContents(ctx context.Context, tx *store.Tx, kit Part, contents []Content) error {
	if kit.Role != Kit {
		return fault.New(fault.Invalid, "catalog.no_kit", kit.Name()).WithHint("catalog.no_kit.hint", kit.Name())
	}
	if _, err := tx.Exec(ctx, `DELETE FROM kit_content WHERE kit = $1`, kit.ID); err != nil {
		return err
	}
	for i, c := range contents {
		if err := c.check(); err != nil {
			return err
		}
		if slices.ContainsFunc(contents[:i], c.alike) {
			return fault.New(fault.Conflict, "catalog.content_twice", kit.Name(), fault.Say("role."+string(c.Part.Role))).
				WithHint("catalog.content_twice.hint")
		}
		p := c.Part
		if p.ID != "" { // the part itself says the rest
			p = Part{ID: p.ID}
		}
		if _, err := tx.Exec(ctx, `INSERT INTO kit_content (kit, seq, part, role, inner_um, outer_um, height_um, overall_um,
			thread, pieces) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
			kit.ID, i+1, textOrNull(p.ID), p.Role, null(p.Size.Inner), null(p.Size.Outer), null(p.Size.Height),
			null(p.Size.Overall), p.Thread, c.Pieces); err != nil {
			return err
		}
	}
	return nil
}

// Contents gives what is in a kit, in the order in which it was told.
func Contents(ctx context.Context, tx *store.Tx, kit string) ([]Content, error) {
	var all []Content
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c Content
		p := &c.Part
		err := scan(&p.ID, &p.Role, &p.Size.Inner, &p.Size.Outer, &p.Size.Height, &p.Size.Overall, &p.Thread, &c.Pieces)
		all = append(all, c)
		return err
	}, `SELECT coalesce(part, ''), role, coalesce(inner_um, 0), coalesce(outer_um, 0), coalesce(height_um, 0),
		coalesce(overall_um, 0), thread, pieces FROM kit_content WHERE kit = $1 ORDER BY seq`, kit)
	if err != nil {
		return nil, err
	}
	for i, c := range all {
		if c.Part.ID == "" {
			all[i].Part.Unit = unitOf(c.Part.Role)
		} else if all[i].Part, _, err = PartByID(ctx, tx, c.Part.ID); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// unitOf gives the unit in which parts of a role are mostly counted.
func unitOf(role Role) string {
	if role == Oil {
		return Millilitre
	}
	return Piece
}

// Legs tells for how many legs a kit is, 0 where nobody has said.
func Legs(ctx context.Context, tx *store.Tx, kit string) (legs int, err error) {
	_, err = tx.One(ctx, store.Into(&legs), `SELECT coalesce(legs, 0) FROM part WHERE id = $1`, kit)
	return legs, err
}

// SetLegs says for how many legs a kit is. Error: Invalid.
func SetLegs(ctx context.Context, tx *store.Tx, kit Part, legs int) error {
	if kit.Role != Kit {
		return fault.New(fault.Invalid, "catalog.no_kit", kit.Name()).WithHint("catalog.no_kit.hint", kit.Name())
	}
	if err := checkRange("legs", int64(legs), 1, 2); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE part SET legs = $2 WHERE id = $1`, kit.ID, legs)
	return err
}

// KitsWith gives the kits that bring a part, by number.
func KitsWith(ctx context.Context, tx *store.Tx, part string) ([]Part, error) {
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p
		WHERE p.id IN (SELECT kit FROM kit_content WHERE part = $1) AND p.merged_into IS NULL ORDER BY p.number_norm, p.maker_norm`, part)
}

// KitsFor gives the kits that bring one of the parts (ids), or something of
// the role and the bore or outside of one of the places, by number.
func KitsFor(ctx context.Context, tx *store.Tx, parts []string, places []Position) ([]Part, error) {
	kits := map[string]bool{}
	more := func(query string, args ...any) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var kit string
			err := scan(&kit)
			kits[kit] = true
			return err
		}, `SELECT c.kit FROM kit_content c JOIN part k ON k.id = c.kit WHERE k.merged_into IS NULL AND `+query+` ORDER BY c.kit`, args...)
	}
	for _, p := range parts {
		if err := more(`c.part = $1`, p); err != nil {
			return nil, err
		}
	}
	for _, p := range places {
		if p.Fitted == "no" || !p.told() {
			continue
		}
		if err := more(`c.role = $1 AND (c.inner_um = $2 OR c.outer_um = $3 OR c.thread <> '')`,
			p.Role, int64(p.Size.Inner), int64(p.Size.Outer)); err != nil {
			return nil, err
		}
	}
	var all []Part
	for kit := range kits {
		p, found, err := PartByID(ctx, tx, kit)
		if err != nil {
			return nil, err
		}
		if found {
			all = append(all, p)
		}
	}
	slices.SortFunc(all, func(a, b Part) int {
		return cmp.Or(cmp.Compare(Normal(a.Number), Normal(b.Number)), cmp.Compare(Normal(a.Maker), Normal(b.Maker)))
	})
	return all, nil
}
