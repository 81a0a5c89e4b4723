package shop

import (
	"context"
	"regexp"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Today is what is urgent enough to be ordered today.
type Today struct {
	Time      string          `json:"time"` // now, in the shop's zone, HH:MM
	Currency  string          `json:"currency"`
	Suppliers []TodaySupplier `json:"suppliers"`
}

// TodaySupplier is what is urgent of one supplier.
type TodaySupplier struct {
	Supplier string        `json:"supplier"`
	Cutoff   string        `json:"cutoff"` // HH:MM; empty: not known
	Missed   bool          `json:"missed"` // the hour is over
	Lines    []ReorderLine `json:"lines"`  // of the week's list, of which nothing may be taken any more
	Jobs     []OrderLine   `json:"jobs"`   // on drafts, for jobs
}

var clockForm = regexp.MustCompile(`^([01]\d|2[0-3]):[0-5]\d$`)

// SetCutoff tells until when an order leaves a supplier on the same day, HH:MM in
// the shop's zone; "" takes it back. Errors: Invalid, NotFound.
func (s *Shop) SetCutoff(ctx context.Context, supplier, clock string) (string, error) {
	name := ""
	if clock != "" && !clockForm.MatchString(clock) {
		return "", fault.New(fault.Invalid, "shop.bad_clock", clipped(clock)).WithHint("shop.bad_clock.hint")
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		v, err := catalog.SupplierLike(ctx, tx, supplier)
		if err != nil {
			return err
		}
		name = v.Name
		_, err = tx.Exec(ctx, `UPDATE supplier SET cutoff = $2 WHERE id = $1`, v.ID, clock)
		return err
	})
	return name, err
}

// Hour is until when an order leaves a supplier on the same day.
type Hour struct {
	Supplier string
	Cutoff   string // HH:MM in the shop's zone; empty: not known
}

// Hours gives the hour of every supplier, by name.
func (s *Shop) Hours(ctx context.Context) (all []Hour, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var h Hour
			err := scan(&h.Supplier, &h.Cutoff)
			all = append(all, h)
			return err
		}, `SELECT name, cutoff FROM supplier ORDER BY name`)
	})
	return all, err
}

// OrderToday gives what is urgent, by supplier: parts of the week's list of which
// nothing is left to take, and what drafts hold for jobs. Whose hour comes first
// stands first; whose hour is over stands last.
func (s *Shop) OrderToday(ctx context.Context) (Today, error) {
	out := Today{Currency: s.settings.Currency, Suppliers: []TodaySupplier{}}
	list, err := s.Reorder(ctx, ReorderRequest{})
	if err != nil {
		return out, err
	}
	at := func(supplier string) *TodaySupplier {
		i := slices.IndexFunc(out.Suppliers, func(t TodaySupplier) bool { return t.Supplier == supplier })
		if i < 0 {
			i = len(out.Suppliers)
			out.Suppliers = append(out.Suppliers, TodaySupplier{Supplier: supplier, Lines: []ReorderLine{}, Jobs: []OrderLine{}})
		}
		return &out.Suppliers[i]
	}
	for _, o := range list.Orders {
		for _, l := range o.Lines {
			if l.OnHand == 0 {
				t := at(o.Supplier)
				t.Lines = append(t.Lines, l)
			}
		}
	}
	drafts, err := s.Orders(ctx, false)
	if err != nil {
		return out, err
	}
	for _, o := range drafts.Orders {
		for _, l := range o.Lines {
			if o.State == "draft" && l.Job != "" {
				t := at(o.Supplier)
				t.Jobs = append(t.Jobs, l)
			}
		}
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		out.Time = tx.Now.In(s.settings.zone).Format("15:04")
		for i := range out.Suppliers {
			t := &out.Suppliers[i]
			if _, err := tx.One(ctx, store.Into(&t.Cutoff), `SELECT cutoff FROM supplier WHERE name = $1`, t.Supplier); err != nil {
				return err
			}
			t.Missed = t.Cutoff != "" && t.Cutoff < out.Time
		}
		return nil
	})
	hour := func(t TodaySupplier) string {
		switch {
		case t.Supplier == "":
			return "~~"
		case t.Missed:
			return "~" + t.Cutoff
		case t.Cutoff == "":
			return "24:00"
		}
		return t.Cutoff
	}
	slices.SortStableFunc(out.Suppliers, func(a, b TodaySupplier) int { return strings.Compare(hour(a), hour(b)) })
	return out, err
}
