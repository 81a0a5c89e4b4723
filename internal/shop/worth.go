package shop

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"time"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Worth is what the stock is worth on a day.
type Worth struct {
	AsOf     string      `json:"as_of"`
	Rule     string      `json:"rule"` // "average" or "fifo"
	Currency string      `json:"currency"`
	Lines    []WorthLine `json:"lines"`
	Total    int64       `json:"total_minor"`
	Unvalued int         `json:"unvalued"` // lines with pieces whose cost is not known, and not in the total
}

// WorthLine is what a part is worth.
type WorthLine struct {
	Number  string       `json:"number"`
	Maker   string       `json:"maker"`
	Role    catalog.Role `json:"role"`
	Unit    string       `json:"unit"`
	Amount  int64        `json:"amount"`      // on hand
	Unknown int64        `json:"unknown"`     // of it, whose cost is not known
	Value   int64        `json:"value_minor"` // of the others
}

// Worth gives what the stock was worth at the end of a day, now for no day: by
// the moving average of the books, or first in, first out. What has no known
// cost is counted apart. Error: Invalid (the day).
func (s *Shop) Worth(ctx context.Context, day string, fifo bool) (Worth, error) {
	out := Worth{Rule: "average", Currency: s.settings.Currency, Lines: []WorthLine{}}
	values := inventory.Values
	if fifo {
		out.Rule, values = "fifo", inventory.FIFOValues
	}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		end, err := s.endOf(day, tx.Now)
		if err != nil {
			return err
		}
		out.AsOf = s.day(end)
		at := time.Time{}
		if day != "" {
			at = end
		}
		worth, err := values(ctx, tx, at)
		if err != nil {
			return err
		}
		ids := slices.Sorted(maps.Keys(worth))
		parts, err := catalog.PartNames(ctx, tx, ids)
		if err != nil {
			return err
		}
		out.Lines = make([]WorthLine, 0, len(ids))
		for _, id := range ids {
			w, p := worth[id], parts[id]
			out.Lines = append(out.Lines, WorthLine{p.Number, p.Maker, p.Role, p.Unit, w.Known + w.Unknown, w.Unknown, w.Minor})
			out.Total += w.Minor
			if w.Unknown != 0 {
				out.Unvalued++
			}
		}
		return nil
	})
	slices.SortFunc(out.Lines, func(a, b WorthLine) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(a.Number, b.Number), cmp.Compare(a.Maker, b.Maker))
	})
	return out, err
}
