package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Brought is what a customer brought for a job: it lies with the job and is
// never the shop's.
type Brought struct {
	Brought int64        `json:"brought"` // what the shop calls it
	Job     string       `json:"job"`
	Owner   string       `json:"owner"`
	Number  string       `json:"number"` // empty: not in the catalog
	Maker   string       `json:"maker"`
	Role    catalog.Role `json:"role"`
	Sizes
	What   string `json:"what"` // what it is, where it is not in the catalog
	Unit   string `json:"unit"`
	Amount int64  `json:"amount"`
	Used   int64  `json:"used"`
	Back   int64  `json:"given_back"`
	Left   int64  `json:"left"`
	Day    string `json:"day"`
	Again  bool   `json:"repeated"`
}

// BringRequest is what a customer brings.
type BringRequest struct {
	Job    string
	What   string // a part's number, or what it is
	Amount int64
	Owner  string // empty: nobody said
	Key    string
}

// Bring notes what a customer brought for a job, and gives the job a tray to lay
// it in. Errors: Invalid, Ambiguous, Conflict (the key).
func (s *Shop) Bring(ctx context.Context, q BringRequest) (Brought, error) {
	var out Brought
	var err error
	if q.Job, err = jobNamed(q.Job); err != nil {
		return out, err
	}
	q.What, q.Owner = tidied(trimmed(q.What)), tidied(trimmed(q.Owner))
	switch {
	case q.Amount <= 0 || q.Amount > mostAmount:
		return out, fault.New(fault.Invalid, "shop.bad_amount", q.Amount, int64(mostAmount))
	case q.What == "":
		return out, fault.New(fault.Invalid, "shop.brought_what").WithHint("shop.brought_what.hint")
	case len(q.What) > 200 || len(q.Owner) > longestName:
		return out, fault.New(fault.Invalid, "shop.too_long")
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		b := inventory.CustomerPart{Key: q.Key, Job: q.Job, Owner: q.Owner, Amount: q.Amount}
		part, _, err := partFor(ctx, tx, q.What)
		switch {
		case err == nil:
			b.Part = part.ID
		case fault.KindOf(err) == fault.NotFound:
			b.What = q.What
		default:
			return err
		}
		if b.Key == "" {
			if b.Key, err = tx.NewID(); err != nil {
				return err
			}
		}
		b, again, err := inventory.Bring(ctx, tx, b, who.ID)
		if err != nil {
			return err
		}
		if !again {
			if _, err := inventory.GiveTray(ctx, tx, q.Job, "", who.ID); err != nil {
				return err
			}
		}
		out, err = s.brought(ctx, tx, b)
		out.Again = again
		return err
	})
	return out, err
}

// EndBrought notes that some of what a customer brought was used for the job, or
// that it was given back; 0 stands for all that is left. Errors: Invalid,
// NotFound, Conflict (less is left; the key).
func (s *Shop) EndBrought(ctx context.Context, number, amount int64, back bool, key string) (Brought, error) {
	var out Brought
	how := inventory.CustomerUsed
	if back {
		how = inventory.CustomerGiven
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		b, err := inventory.CustomerPartNumbered(ctx, tx, number)
		if err != nil {
			return err
		}
		if amount == 0 {
			amount = b.Left()
		}
		if key == "" {
			if key, err = tx.NewID(); err != nil {
				return err
			}
		}
		again, err := b.End(ctx, tx, key, how, who.ID, amount)
		if err != nil {
			return err
		}
		if b, err = inventory.CustomerPartNumbered(ctx, tx, number); err != nil {
			return err
		}
		out, err = s.brought(ctx, tx, b)
		out.Again = again
		return err
	})
	return out, err
}

func (s *Shop) broughtFor(ctx context.Context, tx *store.Tx, job string) ([]Brought, error) {
	out := []Brought{}
	all, err := inventory.CustomersFor(ctx, tx, job)
	for _, b := range all {
		v, err := s.brought(ctx, tx, b)
		if err != nil {
			return out, err
		}
		out = append(out, v)
	}
	return out, err
}

func (s *Shop) brought(ctx context.Context, tx *store.Tx, b inventory.CustomerPart) (Brought, error) {
	out := Brought{
		Brought: b.Number, Job: b.Job, Owner: b.Owner, What: b.What, Unit: catalog.Piece,
		Amount: b.Amount, Used: b.Used, Back: b.Back, Left: b.Left(), Day: s.stampDay(b.At),
	}
	if b.Part == "" {
		return out, nil
	}
	p, _, err := catalog.PartByID(ctx, tx, b.Part)
	out.Number, out.Maker, out.Role, out.Sizes, out.Unit = p.Number, p.Maker, p.Role, sizes(p.Size, p.Thread), p.Unit
	return out, err
}
