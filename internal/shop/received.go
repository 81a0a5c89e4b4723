package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// tell shows what became of scans, after the transaction that settled them.
// repeated may be nil.
func (s *Shop) tell(ctx context.Context, scans []inventory.Scan, repeated []bool, pictures ...viewing) (out Received, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		if out, err = tell(ctx, tx, scans, repeated); err != nil {
			return err
		}
		out.Pictures, err = views(ctx, tx, pictures)
		return err
	})
	return out, err
}

func tell(ctx context.Context, tx *store.Tx, scans []inventory.Scan, repeated []bool) (Received, error) {
	t := telling{tx: tx, part: map[int64]catalog.Part{}, out: Received{
		Symbols: []Seen{}, Lines: []Line{}, Unknown: []Unknown{}, ToConfirm: []ToConfirm{}, Again: []Again{},
		Undone: []Undone{}, Refused: []Refused{}, Unread: []Unread{}, Over: []Line{}, Short: []Outstanding{}, Pictures: []Viewed{},
	}}
	for i, sc := range scans {
		seen := Seen{Line: line(sc), Symbology: sc.Symbology, Text: sc.Text, Code: sc.Code, State: sc.State}
		if sc.Picture() {
			seen.Image = sc.Source
		}
		if i == 0 || sc.Picture() || sc.Sheet != scans[i-1].Sheet || sc.Box != scans[i-1].Box { // of a line once
			seen.Odd = odd(sc)
		}
		if repeated != nil && repeated[i] {
			seen.Repeated = true
			t.out.Repeated++
		}
		if _, told := t.part[sc.Seq]; !told { // one that was given twice is told once
			if err := t.scan(ctx, sc, &seen); err != nil {
				return t.out, err
			}
		}
		seen.Number, seen.Unit = t.part[sc.Seq].Number, t.part[sc.Seq].Unit
		t.out.Symbols = append(t.out.Symbols, seen)
	}
	return t.out, t.out.withLooks(ctx, tx)
}

// telling adds scans up into what is shown of them.
type telling struct {
	tx   *store.Tx
	out  Received
	part map[int64]catalog.Part // of the scans that were told, by seq
}

// scan adds one scan, and remembers its part.
func (t *telling) scan(ctx context.Context, sc inventory.Scan, seen *Seen) error {
	t.part[sc.Seq] = catalog.Part{}
	switch sc.State {
	case inventory.ScanUnknown:
		return t.unknown(ctx, sc)
	case inventory.ScanIgnored:
		t.out.Ignored++
	case inventory.ScanSamePack:
		t.out.SamePack++
	case inventory.ScanToConfirm:
		return t.toConfirm(ctx, sc)
	case inventory.ScanPosted:
		return t.posted(ctx, sc, seen)
	}
	return nil
}

func (t *telling) unknown(ctx context.Context, sc inventory.Scan) error {
	for i := range t.out.Unknown {
		if u := &t.out.Unknown[i]; u.Code == sc.Code && u.from == sc.Supplier {
			u.Count++
			u.add(sc)
			return nil
		}
	}
	u := Unknown{Code: sc.Code, Symbology: sc.Symbology, Count: 1, Line: line(sc)}
	if sc.Picture() {
		u.Image = sc.Source
	}
	if two := gs1.Readings(sc.Code); len(two) == 2 && sc.Symbology == "" {
		u.Readings = two
	}
	if digits(sc.Code) && !gs1.Valid(sc.Code) {
		u.Note = fault.Say("shop.bad_check_digit")
	}
	if err := t.likely(ctx, sc, &u); err != nil {
		return err
	}
	u.add(sc)
	t.out.Unknown = append(t.out.Unknown, u)
	return nil
}

func (t *telling) toConfirm(ctx context.Context, sc inventory.Scan) error {
	twin, _, err := inventory.ScanBySeq(ctx, t.tx, sc.Beside)
	if err != nil {
		return err
	}
	link, _, err := catalog.LinkOf(ctx, t.tx, sc.Code)
	if err != nil {
		return err
	}
	p, _, err := catalog.PartByID(ctx, t.tx, link.Part)
	if err != nil {
		return err
	}
	t.part[sc.Seq] = p
	for i := range t.out.ToConfirm {
		if c := &t.out.ToConfirm[i]; c.Code == sc.Code && c.Beside == twin.Code {
			c.Count++
			return nil
		}
	}
	t.out.ToConfirm = append(t.out.ToConfirm, ToConfirm{
		Code: sc.Code, Beside: twin.Code, Number: p.Number, Unit: p.Unit, Count: 1,
		Why:     fault.Say("shop.one_or_two", sc.Code, twin.Code),
		Command: "forkstock packs " + words.ShellWord(sc.Code) + " " + words.ShellWord(twin.Code) + " 2",
	})
	return nil
}

func (t *telling) posted(ctx context.Context, sc inventory.Scan, seen *Seen) error {
	stands, undo, err := inventory.Stands(ctx, t.tx, sc.Posting)
	if err != nil {
		return err
	}
	if !stands {
		seen.State = "undone"
		t.out.Undone = append(t.out.Undone, Undone{sc.Code, "forkstock undo " + itoa(undo)})
		return nil
	}
	movements, err := inventory.MovementsOf(ctx, t.tx, sc.Posting)
	if err != nil {
		return err
	}
	for _, m := range movements {
		l, err := movedLine(ctx, t.tx, m)
		if err != nil {
			return err
		}
		t.part[sc.Seq] = catalog.Part{Number: l.Number, Unit: l.Unit}
		l.OneLess = "forkstock undo " + itoa(m.Seq)
		if !seen.Repeated {
			l.New = l.Amount
		}
		t.add(l)
	}
	if seen.Repeated || !sc.Picture() {
		return nil
	}
	return t.again(ctx, sc, movements)
}

// again notes a code that an earlier picture of the delivery held, too.
func (t *telling) again(ctx context.Context, sc inventory.Scan, movements []inventory.Movement) error {
	earlier, found, err := inventory.SeenBefore(ctx, t.tx, sc)
	if err != nil || !found {
		return err
	}
	t.out.Again = append(t.out.Again, Again{sc.Code, sc.Source, earlier, "forkstock undo " + itoa(movements[0].Seq)})
	return nil
}

// add sums lines of the same part, bin and lot.
func (t *telling) add(l Line) {
	for i := range t.out.Lines {
		o := &t.out.Lines[i]
		if o.Number == l.Number && o.Maker == l.Maker && o.Bin == l.Bin && o.Lot == l.Lot {
			o.Amount += l.Amount
			o.New += l.New
			o.OneLess = l.OneLess
			return
		}
	}
	t.out.Lines = append(t.out.Lines, l)
}

func movedLine(ctx context.Context, tx *store.Tx, m inventory.Movement) (Line, error) {
	p, _, err := catalog.PartByID(ctx, tx, m.Part)
	if err != nil {
		return Line{}, err
	}
	l := Line{Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit, Amount: m.Amount}
	_, err = tx.One(ctx, store.Into(&l.Bin, &l.Lot, &l.UseBy),
		`SELECT b.name, l.short, l.use_by FROM bin b, lot l WHERE b.id = $1 AND l.id = $2`, m.Bin, m.Lot)
	return l, err
}

// digits reports whether a code looks like a GTIN.
func digits(code string) bool {
	return (len(code) == 8 || len(code) >= 12 && len(code) <= 14) && strings.Trim(code, "0123456789") == ""
}

// Packs answers "one pack or two?" for a pair of codes, keeps the answer, and
// settles what waited for it. Errors: Invalid, NotFound (a code that stands
// for nothing).
func (s *Shop) Packs(ctx context.Context, a, b string, packs int) (Received, error) {
	var settled []inventory.Scan
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) (err error) {
		var codes [2]string
		for i, text := range []string{a, b} {
			code, err := oneCode(text)
			if err != nil {
				return err
			}
			if _, known, err := catalog.LinkOf(ctx, tx, code); err != nil || !known {
				if err == nil {
					err = fault.New(fault.NotFound, "shop.code_absent", text).WithHint("shop.code_absent.hint", text)
				}
				return err
			}
			codes[i] = code
		}
		if err := catalog.SetPacks(ctx, tx, codes[0], codes[1], packs); err != nil {
			return err
		}
		settled, err = inventory.SettlePair(ctx, tx, codes[0], codes[1])
		return err
	})
	if err != nil {
		return Received{}, err
	}
	return s.tell(ctx, settled, nil)
}

// Waiting gives every code that waits to be known or confirmed.
func (s *Shop) Waiting(ctx context.Context) (Received, error) {
	var out Received
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		scans, err := inventory.Waiting(ctx, tx)
		if err != nil {
			return err
		}
		out, err = tell(ctx, tx, scans, nil)
		return err
	})
	return out, err
}

// CountWaiting counts the scans that wait to be known, and to be confirmed.
func (s *Shop) CountWaiting(ctx context.Context) (unknown, confirm int, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		unknown, confirm, err = inventory.CountWaiting(ctx, tx)
		return err
	})
	return unknown, confirm, err
}

// Delivery gives what was scanned for a delivery. Error: NotFound.
func (s *Shop) Delivery(ctx context.Context, name string) (Received, error) {
	var out Received
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, name)
		if err != nil {
			return err
		}
		scans, err := inventory.ScansOf(ctx, tx, d.ID)
		if err != nil {
			return err
		}
		if out, err = tell(ctx, tx, scans, nil); err != nil {
			return err
		}
		out.Delivery = d.Name
		pictures, err := inventory.PicturesOf(ctx, tx, d.ID)
		if err != nil {
			return err
		}
		var came []viewing
		for _, p := range pictures {
			came = append(came, viewing{Picture: p})
		}
		if out.Pictures, err = views(ctx, tx, came); err != nil {
			return err
		}
		out.Supplier, err = supplierName(ctx, tx, d.Supplier)
		return err
	})
	return out, err
}
