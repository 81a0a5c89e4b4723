package shop

import (
	"context"
	"fmt"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// UnpackRequest asks for kits or pairs to be opened into what they hold.
type UnpackRequest struct {
	Kit    string // number, or maker/number
	Amount int64  // of kits; 0: one
	Bin    string // where they lie; empty: wherever they may be taken
	To     string // where the singles go; empty: each to its home
	Reason string
	Key    string
}

// Unpacked is what became of a kit that was opened.
type Unpacked struct {
	Posted
	// Left is what the kit holds of which the catalog has no part: it is in no
	// bin by the book.
	Left []Content `json:"left"`
}

// Unpack opens kits: they go out, and what they hold comes in as singles. The
// cost of the kit is shared out by what the singles are worth alone, where all
// of them have a price, else by pieces. Errors: Invalid (no kit, or nothing is
// known of what it holds), NotFound, Ambiguous, Short, Conflict (the key).
func (s *Shop) Unpack(ctx context.Context, q UnpackRequest) (Unpacked, error) {
	out := Unpacked{Left: []Content{}}
	if q.Amount == 0 {
		q.Amount = 1
	}
	if q.Amount < 0 || q.Amount > mostAmount {
		return out, fault.New(fault.Invalid, "shop.bad_amount", q.Amount, int64(mostAmount))
	}
	if err := checkKey(q.Key); err != nil {
		return out, err
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		kit, err := kitNamed(ctx, tx, q.Kit)
		if err != nil {
			return err
		}
		all, err := catalog.Contents(ctx, tx, kit.ID)
		if err != nil {
			return err
		}
		m := moving{q: MoveRequest{Bin: q.Bin, To: q.To}, part: kit, who: who}
		if err := m.places(ctx, tx); err != nil {
			return err
		}
		content := fmt.Sprintf("unpack\n%s\n%d\n%s\n%s\n%s", kit.ID, q.Amount, m.bin, m.to, q.Reason)
		if q.Key != "" {
			if old, repeated, err := inventory.PostingByKey(ctx, tx, q.Key, content); err != nil {
				return err
			} else if repeated {
				out.Posted, err = posted(ctx, tx, old, true)
				return err
			}
		}
		known, bins, err := out.sort(ctx, tx, m, all)
		if err != nil {
			return err
		}
		if len(known) == 0 {
			return fault.New(fault.Invalid, "shop.kit_unknown", kit.Name()).WithHint("shop.kit_unknown.hint")
		}
		p := inventory.Posting{Key: q.Key, Content: content, Person: who.ID, Reason: q.Reason}
		out.Posted, err = m.unpack(ctx, tx, p, q.Amount, known, bins)
		return err
	})
	return out, err
}

// sort gives what of a kit can go into bins, with its lot still to come, and the
// bin of each part.
func (out *Unpacked) sort(ctx context.Context, tx *store.Tx, m moving, all []catalog.Content) (known []inventory.Content, bins map[string]string, err error) {
	bins = map[string]string{}
	told := true
	for _, c := range all {
		if c.Part.ID == "" {
			left, err := content(ctx, tx, c)
			if err != nil {
				return nil, nil, err
			}
			out.Left = append(out.Left, left)
			continue
		}
		single := moving{part: c.Part, bin: m.to}
		if bins[c.Part.ID], err = single.home(ctx, tx); err != nil {
			return nil, nil, err
		}
		weight, err := singly(ctx, tx, c)
		if err != nil {
			return nil, nil, err
		}
		told = told && weight > 0
		known = append(known, inventory.Content{Part: c.Part.ID, Pieces: c.Pieces, Weight: weight})
	}
	if !told {
		for i := range known {
			known[i].Weight = 0
		}
	}
	return known, bins, nil
}

// singly gives what the pieces of a content cost when they are bought alone: by
// the cheapest offer, times a thousand so that pieces of large packs keep their
// share; 0 where nobody has a price.
func singly(ctx context.Context, tx *store.Tx, c catalog.Content) (int64, error) {
	items, err := catalog.ItemsOf(ctx, tx, c.Part.ID)
	var best int64
	for _, i := range items {
		if i.Priced && i.PackPriceMinor < 1e9 {
			if each := i.PackPriceMinor * 1000 / i.Pack * c.Pieces; best == 0 || each < best {
				best = each
			}
		}
	}
	return best, err
}

// unpack posts the opening, lot by lot: what comes out of a lot belongs to the
// same delivery, batch and dates.
func (m *moving) unpack(ctx context.Context, tx *store.Tx, p inventory.Posting, amount int64, contents []inventory.Content, bins map[string]string) (Posted, error) {
	kits, err := inventory.Pick(ctx, tx, m.part.ID, amount, m.bin, m.lot)
	if err != nil {
		if err = m.explain(ctx, tx, err); fault.KindOf(err) == fault.Short {
			err = fault.Of(err).WithHint("shop.short_kit.hint")
		}
		return Posted{}, err
	}
	p, err = inventory.Unpack(ctx, tx, p, kits, contents, bins)
	if err != nil {
		return Posted{}, err
	}
	return posted(ctx, tx, p, false)
}
