package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// ChangePart keeps what p says of the part with its id, all but number, maker
// and unit, which other records rest on. Error: Invalid.
func ChangePart(ctx context.Context, tx *store.Tx, p Part) error {
	if err := p.check(); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE part SET role = $2, description = $3, inner_um = $4, outer_um = $5, height_um = $6,
		overall_um = $7, thread = $8, material = $9, elastomer = $10, home_bin = $11, minimum = $12, source = $13,
		head_um = $14, seat = $15, strength = $16, coated = $17, entered = $18 WHERE id = $1`,
		p.ID, p.Role, p.Description, null(p.Size.Inner), null(p.Size.Outer), null(p.Size.Height), null(p.Size.Overall),
		p.Thread, p.Material, p.Elastomer, textOrNull(p.HomeBin), p.Minimum, p.Source,
		null(p.Head), p.Seat, p.Strength, p.Coated, p.Entered)
	return err
}

// ChangeFork keeps what f says of the fork with its id, and of its legs.
// Errors: Invalid, Conflict (another has that name).
func ChangeFork(ctx context.Context, tx *store.Tx, f Fork) error {
	if err := f.check(); err != nil {
		return err
	}
	if other, found, err := forkByNorm(ctx, tx, Normal(f.Name)); err != nil || found && other.ID != f.ID {
		if err == nil {
			err = fault.New(fault.Conflict, "catalog.fork_twice", other.Name).
				WithHint("catalog.fork_twice.hint", words.ShellWord(other.Name))
		}
		return err
	}
	if _, err := tx.Exec(ctx, `UPDATE fork SET name = $2, name_norm = $3, layout = $4, leg_um = $5, note = $6, source = $7,
		cap_shape = $8, cap_flats_um = $9, cap_thread = $10, axle_um = $11, centres_um = $12 WHERE id = $1`,
		f.ID, f.Name, Normal(f.Name), f.Layout, int64(f.Leg), f.Note, f.Source,
		f.CapShape, null(f.CapFlats), f.CapThread, null(f.Axle), null(f.Centres)); err != nil {
		return err
	}
	for _, l := range f.Legs {
		if _, err := tx.Exec(ctx, `UPDATE fork_leg SET damping = $3, springing = $4, cap = $5 WHERE fork = $1 AND leg = $2`,
			f.ID, l.Leg, l.Damping, l.Springing, l.Cap); err != nil {
			return err
		}
	}
	return nil
}

// MakeRoom moves the places of a fork from seq on up by one.
func MakeRoom(ctx context.Context, tx *store.Tx, fork string, seq int) error {
	// In two steps by way of negative numbers: no two places may ever share one.
	if _, err := tx.Exec(ctx, `UPDATE position SET seq = -seq - 1 WHERE fork = $1 AND seq >= $2`, fork, seq); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE position SET seq = -seq WHERE fork = $1 AND seq < 0`, fork)
	return err
}

// ChangePosition keeps what p says of the place with its id, all but its role
// and its place in the stack; parts that p names join those named before.
// Error: Invalid.
func ChangePosition(ctx context.Context, tx *store.Tx, p Position) error {
	if err := p.check(); err != nil {
		return err
	}
	if !p.Told { // what it says now may be the shop's habit, which can change
		p.Renew = Renewal(p.Role)
	}
	if _, err := tx.Exec(ctx, `UPDATE position SET leg = $2, per_leg = $3, renew = $4, fitted = $5, inner_um = $6,
		outer_um = $7, height_um = $8, overall_um = $9, thread = $10, note = $11, head_um = $12, seat = $13, strength = $14,
		coated = $15, entered = $16, renew_told = $17 WHERE id = $1`,
		p.ID, p.Leg, p.PerLeg, p.Renew, p.Fitted, null(p.Size.Inner), null(p.Size.Outer), null(p.Size.Height),
		null(p.Size.Overall), p.Thread, p.Note, null(p.Head), p.Seat, p.Strength, p.Coated, p.Entered, p.Told); err != nil {
		return err
	}
	return nameParts(ctx, tx, p)
}

// nameParts keeps the parts that p names; the last source of one counts.
func nameParts(ctx context.Context, tx *store.Tx, p Position) error {
	for _, n := range p.Parts {
		if err := checkTexts(field{"source", n.Source, mostText}); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `INSERT INTO position_part (position, part, source) VALUES ($1, $2, $3)
			ON CONFLICT (position, part) DO UPDATE SET source = excluded.source`, p.ID, n.Part, n.Source); err != nil {
			return err
		}
	}
	return nil
}

// ChangeSupplier keeps lead time and discount of the supplier with its id.
// Error: Invalid.
func ChangeSupplier(ctx context.Context, tx *store.Tx, s Supplier) error {
	if err := s.check(); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE supplier SET lead_days = $2, discount = $3 WHERE id = $1`, s.ID, s.LeadDays, s.discount())
	return err
}

// ItemNamed finds what a supplier offers under a number. Error: NotFound.
func ItemNamed(ctx context.Context, tx *store.Tx, s Supplier, number string) (Item, error) {
	items, err := itemsNumbered(ctx, tx, s.ID, number)
	if err != nil {
		return Item{}, err
	}
	if len(items) == 0 {
		return Item{}, fault.New(fault.NotFound, "catalog.item_absent", s.Name, short(number)).WithHint("catalog.item_absent.hint")
	}
	return items[0], nil
}

func itemsNumbered(ctx context.Context, tx *store.Tx, supplier, number string) ([]Item, error) {
	return queryItems(ctx, tx, `SELECT`+itemColumns+`FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE i.supplier = $1 AND i.number_norm = $2 ORDER BY i.id`, supplier, Normal(number))
}

// ChangeItem keeps what i says of the item with its id, all but supplier and
// number. Error: Invalid.
func ChangeItem(ctx context.Context, tx *store.Tx, i Item) error {
	if err := i.check(); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, updateItem, i.updated()...)
	return err
}
