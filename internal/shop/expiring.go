package shop

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Expiring is what comes to the end of its time.
type Expiring struct {
	Until string         `json:"until"` // the last day looked at
	Lines []ExpiringLine `json:"lines"`
}

// ExpiringLine is a lot in a bin whose time ends.
type ExpiringLine struct {
	StockLine
	Ends    string `json:"ends"`    // YYYY-MM-DD: as printed (expiry, else best before), else that of the rubber
	Over    bool   `json:"over"`    // the day is over
	Inspect string `json:"inspect"` // until when an inspection can keep it; empty: not, or no more
}

// mostWeeks is how far ahead Expiring looks: ten years.
const mostWeeks = 520

// Expiring gives what on the shelf ends within some weeks, or has, what ends
// first before the rest. Age advises; it blocks nothing. Error: Invalid.
func (s *Shop) Expiring(ctx context.Context, weeks int) (Expiring, error) {
	out := Expiring{Lines: []ExpiringLine{}}
	if weeks < 0 || weeks > mostWeeks {
		return out, fault.New(fault.Invalid, "shop.bad_weeks", weeks, mostWeeks).WithHint("shop.bad_weeks.hint")
	}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		out.Until = s.day(tx.Now.AddDate(0, 0, 7*weeks))
		lines, err := inventory.Stock(ctx, tx, "")
		if err != nil {
			return err
		}
		lines = slices.DeleteFunc(lines, func(l inventory.Line) bool { return l.Lot.UseBy == "" && l.Lot.Cure == "" })
		told, err := s.tellLines(ctx, tx, lines)
		if err != nil {
			return err
		}
		for i, l := range told {
			e := ExpiringLine{StockLine: l, Ends: cmp.Or(l.UseBy, l.AgesBy)}
			if e.Ends == "" || e.Ends > out.Until {
				continue
			}
			e.Over = e.Ends < tx.Today()
			if e.Inspect, err = s.canInspect(ctx, tx, lines[i]); err != nil {
				return err
			}
			out.Lines = append(out.Lines, e)
		}
		return nil
	})
	slices.SortStableFunc(out.Lines, func(a, b ExpiringLine) int {
		return cmp.Or(strings.Compare(a.Ends, b.Ends), strings.Compare(a.Number, b.Number), cmp.Compare(a.Lot, b.Lot))
	})
	return out, err
}

// canInspect gives until when an inspection can keep the rubber of a line, ""
// where it was inspected already, or there is no rubber of known age.
func (s *Shop) canInspect(ctx context.Context, tx *store.Tx, l inventory.Line) (string, error) {
	if kept, err := inventory.InspectedUntil(ctx, tx, l.Lot.ID); err != nil || kept != "" {
		return "", err
	}
	_, age, err := s.rubberAge(ctx, tx, l.Part, l.Lot)
	return age.Inspected, err
}

// rubberAge gives the part of a lot, and when its rubber ends.
func (s *Shop) rubberAge(ctx context.Context, tx *store.Tx, part string, l inventory.Lot) (p catalog.Part, age catalog.Age, err error) {
	if p, _, err = catalog.PartByID(ctx, tx, part); err != nil || l.Cure == "" {
		return p, age, err
	}
	elastomers, err := catalog.RubberOf(ctx, tx, p)
	if err != nil {
		return p, age, err
	}
	cure, err := catalog.ParseCure(l.Cure, p.Maker, "", tx.Now)
	if err != nil { // a date that this program has not written says nothing
		return p, age, nil
	}
	age, _ = catalog.UseBy(elastomers, cure)
	return p, age, nil
}

// Inspected is a lot that was looked at.
type Inspected struct {
	Lot    int64  `json:"lot"`
	Number string `json:"number"`
	Maker  string `json:"maker"`
	Until  string `json:"until"`
	Group  string `json:"rubber_group"` // of ISO 2230
}

// Inspect records that the rubber of a lot was looked at when its time was up
// and found good: it is kept once more, as long as ISO 2230 lets its group.
// Errors: NotFound (the lot), Invalid (no rubber of known age; its time is not up
// for a year yet, or past what an inspection can add), Conflict (it was before).
func (s *Shop) Inspect(ctx context.Context, lot int64, note string) (Inspected, error) {
	var out Inspected
	if len(note) > 500 {
		return out, fault.New(fault.Invalid, "shop.too_long")
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		l, err := inventory.LotNumbered(ctx, tx, lot)
		if err != nil {
			return err
		}
		p, age, err := s.rubberAge(ctx, tx, l.Part, l)
		if err != nil {
			return err
		}
		switch {
		case age.UseBy == "":
			return fault.New(fault.Invalid, "shop.no_rubber", lot, p.Name()).WithHint("shop.no_rubber.hint", lot)
		case tx.Today() > age.Inspected:
			return fault.New(fault.Invalid, "shop.rubber_past", lot, age.Inspected).WithHint("shop.rubber_past.hint")
		case tx.Now.AddDate(1, 0, 0).Format(time.DateOnly) < age.UseBy:
			return fault.New(fault.Invalid, "shop.rubber_young", lot, age.UseBy).WithHint("shop.rubber_young.hint")
		}
		out = Inspected{lot, p.Number, p.Maker, age.Inspected, age.Group.Name}
		return inventory.Inspect(ctx, tx, l, who.ID, age.Inspected, note)
	})
	return out, err
}
