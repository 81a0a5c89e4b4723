package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Related is what belongs to a part that was found.
type Related struct {
	Part     string `json:"part"`      // MAKER/NUMBER
	SameSize []Part `json:"same_size"` // of other makers, what is there first
	Kits     []Part `json:"kits"`      // that bring it
	Needs    []Need `json:"needs"`     // what else a job on its fork needs
}

// None reports whether nothing belongs to it.
func (r Related) None() bool { return len(r.SameSize)+len(r.Kits)+len(r.Needs) == 0 }

// Need is a place of a fork that is renewed along with the part.
type Need struct {
	Fork    string       `json:"fork"`
	Role    catalog.Role `json:"role"`
	Leg     string       `json:"leg"`
	PerJob  int64        `json:"per_job"`
	Unit    string       `json:"unit"`
	Missing int64        `json:"missing"`
	Number  string       `json:"number,omitempty"` // of the part to take first; empty where none is known
	Maker   string       `json:"maker,omitempty"`
}

// mostForksRelated is for how many forks what else is needed is told: more of
// them say too little of the job at hand.
const mostForksRelated = 2

// Related gives what belongs to a part: the same size from other makers, the
// kits that bring it, and what else a job on its fork needs, which is what is
// always renewed or whenever it is opened. The fork is the one named, else the
// one or two that take the part. Errors: NotFound, Ambiguous.
func (s *Shop) Related(ctx context.Context, part, fork string) (Related, error) {
	var out Related
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, _, err := partFor(ctx, tx, part)
		if err == nil {
			out, err = relatedTo(ctx, tx, p, fork)
		}
		return err
	})
	return out, err
}

// relatedTo is Related of a part that is at hand; a fork that is named exists.
func relatedTo(ctx context.Context, tx *store.Tx, p catalog.Part, fork string) (Related, error) {
	out := Related{Part: p.Name(), SameSize: []Part{}, Kits: []Part{}, Needs: []Need{}}
	matches, err := catalog.Equivalents(ctx, tx, p)
	if err != nil {
		return out, err
	}
	var same []catalog.Part
	for _, m := range matches {
		same = append(same, m.Part)
	}
	if out.SameSize, err = viewAll(ctx, tx, same); err != nil {
		return out, err
	}
	kits, err := catalog.KitsWith(ctx, tx, p.ID)
	if err != nil {
		return out, err
	}
	if out.Kits, err = viewAll(ctx, tx, kits); err != nil {
		return out, err
	}
	there := func(a, b Part) int { return int(min(b.Available, 1) - min(a.Available, 1)) }
	slices.SortStableFunc(out.SameSize, there)
	slices.SortStableFunc(out.Kits, there)
	forks := []string{fork}
	if fork == "" {
		if forks, err = catalog.ForksTaking(ctx, tx, p); err != nil || len(forks) > mostForksRelated {
			return out, err
		}
	}
	return out, out.need(ctx, tx, p, forks)
}

// viewAll shows parts, with one question for what is there of all of them.
func viewAll(ctx context.Context, tx *store.Tx, parts []catalog.Part) ([]Part, error) {
	out, ids := []Part{}, []string{}
	for _, p := range parts {
		ids = append(ids, p.ID)
	}
	stock, err := inventory.StockOf(ctx, tx, ids)
	if err != nil {
		return out, err
	}
	kept, err := inventory.KeptOf(ctx, tx, ids)
	if err != nil {
		return out, err
	}
	for _, p := range parts {
		v, err := viewLying(ctx, tx, p, fault.Message{}, stock[p.ID], kept[p.ID])
		if err != nil {
			return out, err
		}
		out = append(out, v)
	}
	return out, nil
}

// need fills in what else a job on the forks needs beside p.
func (out *Related) need(ctx context.Context, tx *store.Tx, p catalog.Part, forks []string) error {
	for _, name := range forks {
		f, err := catalog.ForkNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		sheet, err := forkView(ctx, tx, f)
		if err != nil {
			return err
		}
		for _, pos := range sheet.Positions {
			if pos.Role == p.Role || pos.Fitted != "yes" || pos.Renew != "always" && pos.Renew != "opened" {
				continue
			}
			n := Need{Fork: sheet.Fork, Role: pos.Role, Leg: pos.Leg, PerJob: pos.PerJob, Unit: pos.Unit, Missing: pos.Missing}
			if buy := pos.Buy(); buy != nil {
				n.Number, n.Maker = buy.Number, buy.Maker
			}
			out.Needs = append(out.Needs, n)
		}
	}
	return nil
}
