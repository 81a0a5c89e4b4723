package shop

import (
	"context"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// DraftOrders puts what is to be ordered this week on a draft for each supplier,
// of one where it is named. A line that stands there already for the shelf is
// set to what the list says; the others stay. What nobody is known to sell is on
// no draft. Errors: NotFound (the supplier).
func (s *Shop) DraftOrders(ctx context.Context, supplier string) (Orders, error) {
	out := Orders{Orders: []Order{}}
	list, err := s.Reorder(ctx, ReorderRequest{Supplier: supplier})
	if err != nil {
		return out, err
	}
	text := words.For(s.settings.Language)
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		for _, o := range list.Orders {
			if o.Supplier == "" {
				continue
			}
			sup, err := catalog.SupplierNamed(ctx, tx, o.Supplier)
			if err != nil {
				return err
			}
			p, err := inventory.DraftFor(ctx, tx, sup.ID, who.ID)
			if err != nil {
				return err
			}
			for _, l := range o.Lines {
				if err := setLine(ctx, tx, p, sup, LineRequest{
					Part: l.Maker + "/" + l.Number, Packs: l.Packs, Item: l.SupplierNumber, why: text.Text(l.Why),
				}); err != nil {
					return err
				}
			}
			v, err := s.order(ctx, tx, p)
			if err != nil {
				return err
			}
			out.Orders = append(out.Orders, v)
		}
		return nil
	})
	return out, err
}

// LineRequest is what is to be ordered of a part.
type LineRequest struct {
	Part  string // number, or maker/number
	Packs int64  // 0 takes it off
	Item  string // the supplier's number; empty: the only one, or the cheapest
	Job   string // whom it is for; empty: the shelf

	// Unlisted orders also what the supplier is not known to sell: by the
	// maker's number, piece by piece, at a price that is not known.
	Unlisted bool
	why      string
}

// OrderPart puts a part on the draft for a supplier, or takes it off. Errors:
// Invalid, NotFound (supplier, part, the supplier does not sell it), Ambiguous.
func (s *Shop) OrderPart(ctx context.Context, supplier string, q LineRequest) (Order, error) {
	var out Order
	if err := q.check(); err != nil {
		return out, err
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		sup, err := catalog.SupplierLike(ctx, tx, supplier)
		if err != nil {
			return err
		}
		p, err := inventory.DraftFor(ctx, tx, sup.ID, who.ID)
		if err != nil {
			return err
		}
		if err := setLine(ctx, tx, p, sup, q); err != nil {
			return err
		}
		out, err = s.order(ctx, tx, p)
		return err
	})
	return out, err
}

// check tidies a request. Error: Invalid.
func (q *LineRequest) check() error {
	if q.Packs < 0 || q.Packs > mostAmount {
		return fault.New(fault.Invalid, "shop.bad_amount", q.Packs, int64(mostAmount))
	}
	if q.Job = strings.TrimSpace(q.Job); len(q.Job) > longestName {
		return fault.New(fault.Invalid, "shop.too_long")
	}
	return nil
}

// OrderMore puts a part on a draft that is named, or takes it off. Errors:
// Invalid, NotFound (order, part, the supplier does not sell it), Ambiguous,
// Conflict (it is no draft any more).
func (s *Shop) OrderMore(ctx context.Context, name string, q LineRequest) (Order, error) {
	if err := q.check(); err != nil {
		return Order{}, err
	}
	return s.changeOrder(ctx, name, func(ctx context.Context, tx *store.Tx, p inventory.Purchase) error {
		sup := catalog.Supplier{ID: p.Supplier}
		if _, err := tx.One(ctx, store.Into(&sup.Name), `SELECT name FROM supplier WHERE id = $1`, p.Supplier); err != nil {
			return err
		}
		return setLine(ctx, tx, p, sup, q)
	})
}

// SetPacks sets the packs of lines of a draft, by their ids; 0 takes one off.
// Errors: Invalid, NotFound, Conflict (it is no draft any more).
func (s *Shop) SetPacks(ctx context.Context, name string, packs map[string]int64) (Order, error) {
	return s.changeOrder(ctx, name, func(ctx context.Context, tx *store.Tx, p inventory.Purchase) error {
		lines, err := inventory.PurchaseLines(ctx, tx, p.ID)
		for _, l := range lines {
			n, told := packs[l.ID]
			if !told || n == l.Packs {
				continue
			}
			if l.Packs = n; n < 0 || n > mostAmount {
				return fault.New(fault.Invalid, "shop.bad_amount", n, int64(mostAmount))
			}
			if err := p.SetLine(ctx, tx, l); err != nil {
				return err
			}
		}
		return err
	})
}

// setLine puts a line on a draft as the supplier's list has it.
func setLine(ctx context.Context, tx *store.Tx, p inventory.Purchase, sup catalog.Supplier, q LineRequest) error {
	part, _, err := partFor(ctx, tx, q.Part)
	if err != nil {
		return err
	}
	item, err := itemFor(ctx, tx, sup, part, q.Item)
	if q.Unlisted && fault.KindOf(err) == fault.NotFound {
		item, err = catalog.Item{Number: trimmed(q.Item), Pack: 1}, nil
	}
	if err != nil {
		return err
	}
	l := inventory.PurchaseLine{
		Part: part.ID, SupplierNumber: item.Number, Pack: item.Pack, Packs: q.Packs, Job: q.Job, Why: q.why,
		PackPrice: inventory.Value{Minor: item.PackPriceMinor, Known: item.Priced},
	}
	return p.SetLine(ctx, tx, l)
}

// itemFor gives by which number a supplier sells a part: the one named, else
// the cheapest by the piece.
func itemFor(ctx context.Context, tx *store.Tx, sup catalog.Supplier, part catalog.Part, number string) (catalog.Item, error) {
	items, err := catalog.ItemsOf(ctx, tx, part.ID)
	var best catalog.Item
	for _, i := range items {
		switch {
		case i.Supplier != sup.ID || number != "" && catalog.Normal(i.Number) != catalog.Normal(number):
		case best.ID == "" || i.Priced && (!best.Priced || i.PackPriceMinor*best.Pack < best.PackPriceMinor*i.Pack):
			best = i
		}
	}
	if err == nil && best.ID == "" {
		err = fault.New(fault.NotFound, "shop.not_sold", sup.Name, part.Name()).
			WithHint("shop.not_sold.hint", words.ShellWord(sup.Name), words.ShellWord(part.Name()))
	}
	return best, err
}

// PlaceOrder records that the supplier has an order, and when it is expected: as
// told, else by how long the supplier takes. Of one that the supplier has already
// it changes the day on which it is expected, where that is told. Errors: Invalid,
// NotFound, Conflict.
func (s *Shop) PlaceOrder(ctx context.Context, name, day, expected string) (Order, error) {
	return s.changeOrder(ctx, name, func(ctx context.Context, tx *store.Tx, p inventory.Purchase) error {
		again := p.State == inventory.Placed && expected != "" && day == ""
		if again {
			day = p.Placed
		}
		if day == "" {
			day = tx.Today()
		}
		from, err := time.Parse(time.DateOnly, day)
		if err != nil {
			return fault.New(fault.Invalid, "shop.bad_day", day).WithHint("shop.bad_day.hint")
		}
		if day > tx.Today() {
			return fault.New(fault.Invalid, "shop.day_to_come", day).WithHint("shop.day_to_come.hint", tx.Today())
		}
		if expected == "" {
			var lead int
			if _, err := tx.One(ctx, store.Into(&lead), `SELECT lead_days FROM supplier WHERE id = $1`, p.Supplier); err != nil {
				return err
			}
			expected = from.AddDate(0, 0, lead).Format(time.DateOnly)
		} else if _, err := time.Parse(time.DateOnly, expected); err != nil {
			return fault.New(fault.Invalid, "shop.bad_day", expected).WithHint("shop.bad_day.hint")
		} else if expected < day {
			return fault.New(fault.Invalid, "shop.day_before", expected, day).WithHint("shop.day_before.hint", day)
		}
		if again {
			return p.Expect(ctx, tx, expected)
		}
		return p.Place(ctx, tx, day, expected)
	})
}

// EndOrder closes an order of which nothing more will come, or cancels one of
// which nothing has. Errors: NotFound, Conflict.
func (s *Shop) EndOrder(ctx context.Context, name string, cancel bool, note string) (Order, error) {
	state := inventory.Closed
	if cancel {
		state = inventory.Cancelled
	}
	if len(note) > 500 {
		return Order{}, fault.New(fault.Invalid, "shop.too_long")
	}
	return s.changeOrder(ctx, name, func(ctx context.Context, tx *store.Tx, p inventory.Purchase) error {
		return p.End(ctx, tx, state, note)
	})
}

// PromiseRequest is what a supplier says of a line that has not come.
type PromiseRequest struct {
	Part    string
	Line    string // id, where the line itself is meant; empty: the part's first that misses some
	Day     string // on which it is to follow
	Dropped *int64 // packs that will not come at all
}

// Promise records what a supplier says of what has not come of a part. Errors:
// Invalid, NotFound (nothing of it is on the order), Conflict.
func (s *Shop) Promise(ctx context.Context, name string, q PromiseRequest) (Order, error) {
	return s.changeOrder(ctx, name, func(ctx context.Context, tx *store.Tx, p inventory.Purchase) error {
		if err := dayToCome(tx, q.Day); err != nil {
			return err
		}
		part, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return err
		}
		lines, err := inventory.PurchaseLines(ctx, tx, p.ID)
		if err != nil {
			return err
		}
		for _, l := range lines {
			if l.Part != part.ID || q.Line != "" && l.ID != q.Line || l.Missing() == 0 && q.Dropped == nil {
				continue
			}
			dropped := l.Dropped
			if q.Dropped != nil {
				dropped = *q.Dropped
			}
			if most := l.Packs - (l.Received+l.Pack-1)/l.Pack; dropped < 0 || dropped > most {
				return fault.New(fault.Invalid, "shop.bad_dropped", dropped, most)
			}
			return p.Promise(ctx, tx, l.ID, q.Day, dropped)
		}
		return fault.New(fault.NotFound, "shop.not_ordered", p.Number, part.Name()).WithHint("shop.not_ordered.hint", p.Number)
	})
}

func (s *Shop) changeOrder(ctx context.Context, name string, change func(context.Context, *store.Tx, inventory.Purchase) error) (Order, error) {
	var out Order
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		p, err := orderNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if err := change(ctx, tx, p); err != nil {
			return err
		}
		if p, err = inventory.PurchaseNumbered(ctx, tx, p.Number); err != nil {
			return err
		}
		out, err = s.order(ctx, tx, p)
		return err
	})
	return out, err
}
