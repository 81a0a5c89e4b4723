package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/scanner"
)

// BeginRequest opens a delivery.
type BeginRequest struct {
	Name     string   // empty: that of the first order or of the supplier, with the day
	Orders   []string // numbers, or codes, of the orders that it is for
	Supplier string   // name; empty: that of the orders
}

// BeginDelivery opens a delivery, which is scanned from then on and posted when
// it is finished. Errors: Invalid, NotFound (order, supplier), Conflict (there is
// a delivery of that name; an order that was not placed, or goes to another
// supplier).
func (s *Shop) BeginDelivery(ctx context.Context, q BeginRequest) (out OpenDelivery, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		var orders []inventory.Purchase
		for _, name := range q.Orders {
			if trimmed(name) == "" {
				continue
			}
			p, err := placedOrder(ctx, tx, name)
			if err != nil {
				return err
			}
			orders = append(orders, p)
		}
		var supplier catalog.Supplier
		if trimmed(q.Supplier) != "" {
			if supplier, err = catalog.SupplierNamed(ctx, tx, q.Supplier); err != nil {
				return err
			}
		}
		for _, p := range orders {
			if supplier.ID != "" && p.Supplier != supplier.ID {
				return fault.New(fault.Conflict, "shop.order_of_other", p.Number, supplier.Name).WithHint("inventory.order_absent.hint")
			}
		}
		name := trimmed(q.Name)
		if name == "" {
			name = tx.Today() + " " + inventory.DeliveryWords(supplier.Name)
			if len(orders) > 0 {
				name = codeOfOrder(orders[0].Number) + " " + tx.Today()
			}
			if name, err = inventory.FreeDeliveryName(ctx, tx, trimmed(name)); err != nil {
				return err
			}
		}
		d, err := inventory.BeginDelivery(ctx, tx, name)
		if err != nil {
			return err
		}
		if supplier.ID != "" {
			if d, err = inventory.SetSupplier(ctx, tx, d, supplier.ID, true); err != nil {
				return err
			}
		}
		for _, p := range orders {
			if d, err = join(ctx, tx, d, p); err != nil {
				return err
			}
		}
		out, err = standing(ctx, tx, d)
		return err
	})
	return out, err
}

// placedOrder finds an order that the supplier has. Errors: Invalid, NotFound,
// Conflict.
func placedOrder(ctx context.Context, tx *store.Tx, name string) (inventory.Purchase, error) {
	p, err := orderNamed(ctx, tx, name)
	if err == nil && (p.State == inventory.Draft || p.State == inventory.Cancelled) {
		err = fault.New(fault.Conflict, "inventory.order_unsent", p.Number).WithHint("inventory.order_unsent.hint", p.Number)
	}
	return p, err
}

// ScanRequest is one scan for an open delivery.
type ScanRequest struct {
	Delivery string
	Text     string // what the hand scanner typed
	Session  string // of a device, with Number unique; the same again adds nothing
	Number   int    // of the scan within the session, from 1
	Times    int    // how many packs it stands for, 0 as 1
	Bin      string // name of where it goes; empty: the part's home
}

// ScannedInto is what a scan was, of an open delivery.
type ScannedInto struct {
	ScannedPack
	Repeated bool   `json:"repeated"`
	Times    int    `json:"times"` // it was the line =12: the next stands for so many packs
	Bin      string `json:"bin"`   // it was the label of a bin: what follows goes there
	Order    int64  `json:"order"` // it was the code of an order, which the delivery is for now
	Packs    int64  `json:"packs"` // that the delivery counts by now
}

// ScanInto records one scan of an open delivery, in a transaction of its own.
// The code of an order adds that one to what is expected; the label of a bin and
// the line =12 are told back, for the scans that follow. Errors: Invalid (it is
// no scan), NotFound (delivery, bin, order), Conflict (the delivery is not open;
// the number of the session was used for another scan).
func (s *Shop) ScanInto(ctx context.Context, q ScanRequest) (out ScannedInto, err error) {
	if !sessionName.MatchString(q.Session) || q.Number < 1 {
		return out, fault.New(fault.Invalid, "shop.bad_session", q.Session).WithHint("shop.bad_session.hint")
	}
	order := false
	var lines []scanner.Line
	if _, order = orderOfCode(q.Text); !order {
		if lines, out.Times, err = s.oneScan(ctx, q); err != nil || len(lines) == 0 {
			return out, err
		}
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		r := receiving{s: s, tx: tx, who: who, in: Intake{Session: q.Session}}
		if r.delivery, err = inventory.OpenDelivery(ctx, tx, q.Delivery); err != nil {
			return err
		}
		if order {
			p, err := placedOrder(ctx, tx, q.Text)
			if err != nil {
				return err
			}
			out.Order = p.Number
			r.delivery, err = join(ctx, tx, r.delivery, p)
			return err
		}
		if q.Bin != "" {
			b, err := inventory.BinNamed(ctx, tx, q.Bin)
			if err != nil {
				return err
			}
			r.bin = b.ID
		}
		if err := r.session(ctx, lines); err != nil {
			return err
		}
		if err := r.finish(ctx); err != nil {
			return err
		}
		if len(r.bins) > 0 {
			out.Bin = r.bins[0].Bin
			return nil
		}
		out.Repeated = r.repeated[0]
		return out.tell(ctx, tx, r)
	})
	return out, err
}

// tell says what the scan was taken for.
func (out *ScannedInto) tell(ctx context.Context, tx *store.Tx, r receiving) error {
	out.State = "taken_back"
	for _, f := range r.foreseen {
		if brings(f) {
			out.Packs += f.Times
		}
		if f.Seq != r.scans[0].Seq {
			continue
		}
		p, _, err := catalog.PartByID(ctx, tx, f.Link.Part)
		if err != nil {
			return err
		}
		out.ScannedPack = ScannedPack{f.Seq, f.Code, f.Text, f.State, p.Number, p.Maker, p.Unit, f.Amount() * int64(len(r.scans))}
	}
	return nil
}

// oneScan reads what is one scan; of the line =12 it gives how many it says.
func (s *Shop) oneScan(ctx context.Context, q ScanRequest) (lines []scanner.Line, waits int, err error) {
	text := strings.NewReplacer("\r", " ", "\n", " ", "\t", " ").Replace(trimmed(q.Text))
	if text == "" {
		return nil, 0, fault.New(fault.Invalid, "shop.no_code")
	}
	good, bad, err := s.readLines(ctx, strings.NewReader(text))
	if err != nil {
		return nil, 0, err
	}
	if len(bad) > 0 {
		if n, ok := scanner.Waits(bad[0]); ok {
			return nil, n, nil
		}
		return nil, 0, badLines(bad)
	}
	for i := range good {
		good[i].Number, good[i].Times = q.Number, max(q.Times, 1)
	}
	if packs(good) > mostTimes {
		return nil, 0, fault.New(fault.Invalid, "shop.many_lines", packs(good), mostTimes).WithHint("shop.many_lines.hint")
	}
	return good, 0, nil
}

// mostTimes is for how many packs one scan stands at most.
const mostTimes = 999

// TickRequest says that a pack without a code is there.
type TickRequest struct {
	Delivery string
	Part     string // number, or maker/number
	Pieces   int64  // in the pack; 0: as it was ordered, else 1
	Bin      string // name of where it goes; empty: the part's home
	Key      string // of the caller: the same again adds nothing
}

// Tick counts a pack that has no code. Errors: Invalid, NotFound, Ambiguous,
// Conflict.
func (s *Shop) Tick(ctx context.Context, q TickRequest) (OpenDelivery, error) {
	if q.Pieces < 0 || q.Pieces > mostAmount {
		return OpenDelivery{}, fault.New(fault.Invalid, "shop.bad_amount", q.Pieces, int64(mostAmount))
	}
	if !sessionName.MatchString(q.Key) {
		return OpenDelivery{}, fault.New(fault.Invalid, "shop.bad_key", q.Key).WithHint("shop.bad_key.hint")
	}
	return s.inOpen(ctx, q.Delivery, func(ctx context.Context, tx *store.Tx, d inventory.Delivery, who Actor) (bool, error) {
		part, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return false, err
		}
		sc := inventory.Scan{
			Delivery: d.ID, Person: who.ID, Text: part.Name(), Part: part.ID, Pieces: q.Pieces,
			Key: "tick/" + d.ID + "/" + q.Key, Source: "tick", Sheet: "tick/" + d.ID + "/" + q.Key,
		}
		if q.Bin != "" {
			b, err := inventory.BinNamed(ctx, tx, q.Bin)
			if err != nil {
				return false, err
			}
			sc.Bin = b.ID
		}
		if sc.Pieces == 0 {
			if sc.Pieces, err = packOrdered(ctx, tx, d, part.ID); err != nil {
				return false, err
			}
		}
		sc.Content = sc.Part + "\n" + itoa(q.Pieces) + "\n" + sc.Bin
		_, repeated, err := inventory.Record(ctx, tx, sc)
		return repeated, err
	})
}

// packOrdered gives how many pieces are in a pack of a part as it was ordered, 1
// where it was not.
func packOrdered(ctx context.Context, tx *store.Tx, d inventory.Delivery, part string) (int64, error) {
	lines, err := d.Expects(ctx, tx)
	for _, l := range lines {
		if l.Part == part {
			return l.Pack, err
		}
	}
	return 1, err
}

// inOpen does something to an open delivery, and shows it as it stands then.
func (s *Shop) inOpen(ctx context.Context, name string, do func(context.Context, *store.Tx, inventory.Delivery, Actor) (repeated bool, err error)) (out OpenDelivery, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		d, err := inventory.OpenDelivery(ctx, tx, name)
		if err != nil {
			return err
		}
		repeated, err := do(ctx, tx, d, who)
		if err != nil {
			return err
		}
		if d, err = inventory.KnownDelivery(ctx, tx, d.Name); err != nil {
			return err
		}
		out, err = standing(ctx, tx, d)
		out.Repeated = repeated
		return err
	})
	return out, err
}

// LessRequest names a scan of an open delivery that is taken back.
type LessRequest struct {
	Delivery string
	Scan     int64  // its number; 0: the last one
	Part     string // with Scan 0: the last of that part; empty: of all
}

// OneLess takes a scan of an open delivery back: it counts no more, and is kept.
// One that was taken back before stays so. Errors: NotFound (nothing was
// scanned), Conflict.
func (s *Shop) OneLess(ctx context.Context, q LessRequest) (OpenDelivery, error) {
	return s.inOpen(ctx, q.Delivery, func(ctx context.Context, tx *store.Tx, d inventory.Delivery, _ Actor) (bool, error) {
		if q.Scan == 0 {
			var err error
			if q.Scan, err = lastScan(ctx, tx, d, q.Part); err != nil {
				return false, err
			}
		}
		before, found, err := inventory.ScanBySeq(ctx, tx, q.Scan)
		if err != nil {
			return false, err
		}
		_, err = d.TakeBack(ctx, tx, q.Scan)
		return found && before.Back != "", err
	})
}

// lastScan gives the last scan of an open delivery that counts, of a part where
// one is named.
func lastScan(ctx context.Context, tx *store.Tx, d inventory.Delivery, name string) (int64, error) {
	all, err := foreseen(ctx, tx, d)
	if err != nil {
		return 0, err
	}
	var part catalog.Part
	if trimmed(name) != "" {
		if part, _, err = partFor(ctx, tx, name); err != nil {
			return 0, err
		}
	}
	for i := len(all) - 1; i >= 0; i-- {
		if part.ID == "" || brings(all[i]) && all[i].Link.Part == part.ID {
			return all[i].Seq, nil
		}
	}
	return 0, fault.New(fault.NotFound, "inventory.scan_absent", d.Name)
}

// FinishDelivery posts what is known of an open delivery, in one transaction.
// One that is finished already stays so, and is told with Repeated. Errors:
// NotFound, Conflict (nothing was scanned, more is said to be damaged or wrong
// than came, it was dropped).
func (s *Shop) FinishDelivery(ctx context.Context, name string) (out OpenDelivery, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		d, err := inventory.KnownDelivery(ctx, tx, trimmed(name))
		if err != nil {
			return err
		}
		if d.State == inventory.DeliveryFinished {
			out, err = standing(ctx, tx, d)
			out.Repeated = true
			return err
		}
		say := func(kind string) string { return words.For(s.settings.Language).Say("remark." + kind) }
		if d, _, err = d.Finish(ctx, tx, who.ID, say); err != nil {
			return err
		}
		if out, err = standing(ctx, tx, d); err != nil {
			return err
		}
		out.Owing, err = owingOf(ctx, tx, d)
		return err
	})
	return out, err
}

// DropDelivery ends an open delivery without posting; what was scanned is kept.
// One that was dropped already stays so. Errors: NotFound, Conflict (it is
// finished).
func (s *Shop) DropDelivery(ctx context.Context, name string) error {
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		d, err := inventory.KnownDelivery(ctx, tx, trimmed(name))
		if err != nil || d.State == inventory.DeliveryDropped {
			return err
		}
		_, err = d.Drop(ctx, tx)
		return err
	})
}
