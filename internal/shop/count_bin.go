package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// CountedBin is a bin of an open count: what was counted in it, and what it
// holds by the book that nobody has counted yet.
type CountedBin struct {
	ID      string      `json:"id"`
	Count   string      `json:"count"`
	Bin     string      `json:"bin"`
	Kind    string      `json:"kind"`
	Done    bool        `json:"done"`    // it was looked through
	Counted []CountLine `json:"counted"` // the last one first
	Open    []CountLine `json:"open"`    // by the book, not counted yet
	Bins    []CountBin  `json:"bins"`    // of the count
}

// CountedBin gives what was counted in a bin, by its name or label. Error:
// NotFound.
func (s *Shop) CountedBin(ctx context.Context, name, bin string) (CountedBin, error) {
	var out CountedBin
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		t, err := inventory.TallyNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		b, err := inventory.BinNamed(ctx, tx, bin)
		if err != nil {
			return err
		}
		c, err := s.count(ctx, tx, t)
		if err != nil {
			return err
		}
		out = CountedBin{ID: c.ID, Count: c.Name, Bin: b.Name, Kind: b.Kind, Counted: []CountLine{}, Open: []CountLine{}, Bins: c.Bins}
		counted := map[string]bool{}
		for _, l := range c.Lines {
			if l.Bin == b.Name {
				out.Counted = append(out.Counted, l)
				counted[l.part] = true
			}
		}
		for _, v := range c.Bins {
			out.Done = out.Done || v.Bin == b.Name && v.Done
		}
		return out.waits(ctx, tx, b, counted)
	})
	return out, err
}

// waits adds what the bin holds by the book and nobody has counted.
func (out *CountedBin) waits(ctx context.Context, tx *store.Tx, b inventory.Bin, counted map[string]bool) error {
	lines, err := inventory.StockIn(ctx, tx, b.ID)
	if err != nil {
		return err
	}
	at := map[string]int{}
	for _, l := range lines {
		if counted[l.Part] {
			continue
		}
		if i, seen := at[l.Part]; seen {
			out.Open[i].Book += l.Amount
			continue
		}
		p, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return err
		}
		at[l.Part] = len(out.Open)
		out.Open = append(out.Open, CountLine{
			Bin: b.Name, Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread).as(p.Entered), Unit: p.Unit,
			Book: l.Amount, part: p.ID,
		})
	}
	return nil
}

// CountOrEnded gives the open count of a name, else the last one of it that was
// ended. Error: NotFound.
func (s *Shop) CountOrEnded(ctx context.Context, name string) (Count, error) {
	var out Count
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		t, err := inventory.TallyNamed(ctx, tx, name)
		if fault.KindOf(err) == fault.NotFound {
			t, err = inventory.TallyEnded(ctx, tx, name)
		}
		if err != nil {
			return err
		}
		out, err = s.count(ctx, tx, t)
		return err
	})
	return out, err
}

// mostEnded is how many counts that were ended are told.
const mostEnded = 10

// CountsEnded gives the last counts that were ended, the newest first, without
// their lines.
func (s *Shop) CountsEnded(ctx context.Context) ([]Count, error) {
	all := []Count{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		ended, err := inventory.Tallies(ctx, tx, "")
		for _, t := range ended {
			if t.State != "open" && len(all) < mostEnded {
				all = append(all, Count{ID: t.ID, Name: t.Name, State: t.State, Begun: s.stampDay(t.Begun)})
			}
		}
		return err
	})
	return all, err
}
