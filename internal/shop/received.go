package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// tell shows what became of scans. repeated may be nil.
func tell(ctx context.Context, tx *store.Tx, scans []inventory.Scan, repeated []bool) (Received, error) {
	t := telling{out: Received{
		Symbols: []Seen{}, Lines: []Line{}, Unknown: []Unknown{}, ToConfirm: []ToConfirm{},
		Unread: []Unread{}, Over: []Line{}, Short: []Outstanding{},
	}}
	for i, sc := range scans {
		seen := Seen{Line: line(sc), Symbology: sc.Symbology, Text: sc.Text, Code: sc.Code, State: sc.State}
		if sc.Picture() {
			seen.Image = sc.Source
		}
		if repeated != nil && repeated[i] {
			seen.Repeated = true
			t.out.Repeated++
		}
		number, err := t.scan(ctx, tx, sc)
		if err != nil {
			return t.out, err
		}
		seen.Number = number
		t.out.Symbols = append(t.out.Symbols, seen)
	}
	return t.out, nil
}

// telling adds scans up into what is shown of them.
type telling struct {
	out  Received
	told map[int64]bool // scans by seq: one that was given twice is told once
}

// scan adds one scan, and gives the number of its part.
func (t *telling) scan(ctx context.Context, tx *store.Tx, sc inventory.Scan) (number string, err error) {
	if t.told[sc.Seq] {
		return "", nil
	}
	if t.told == nil {
		t.told = map[int64]bool{}
	}
	t.told[sc.Seq] = true
	switch sc.State {
	case inventory.ScanUnknown:
		t.unknown(sc)
	case inventory.ScanIgnored:
		t.out.Ignored++
	case inventory.ScanSamePack:
		t.out.SamePack++
	case inventory.ScanToConfirm:
		return t.toConfirm(ctx, tx, sc)
	case inventory.ScanPosted:
		return t.posted(ctx, tx, sc)
	}
	return "", nil
}

func (t *telling) unknown(sc inventory.Scan) {
	for i := range t.out.Unknown {
		if t.out.Unknown[i].Code == sc.Code {
			t.out.Unknown[i].Count++
			return
		}
	}
	u := Unknown{Code: sc.Code, Symbology: sc.Symbology, Count: 1, Line: line(sc)}
	if sc.Picture() {
		u.Image = sc.Source
	}
	if two := gs1.Readings(sc.Code); len(two) == 2 && sc.Symbology == "" {
		u.Readings = two
	}
	t.out.Unknown = append(t.out.Unknown, u)
}

func (t *telling) toConfirm(ctx context.Context, tx *store.Tx, sc inventory.Scan) (string, error) {
	twin, _, err := inventory.ScanBySeq(ctx, tx, sc.Beside)
	if err != nil {
		return "", err
	}
	link, _, err := catalog.LinkOf(ctx, tx, sc.Code)
	if err != nil {
		return "", err
	}
	p, _, err := catalog.PartByID(ctx, tx, link.Part)
	if err != nil {
		return "", err
	}
	for i := range t.out.ToConfirm {
		if c := &t.out.ToConfirm[i]; c.Code == sc.Code && c.Beside == twin.Code {
			c.Count++
			return p.Number, nil
		}
	}
	t.out.ToConfirm = append(t.out.ToConfirm, ToConfirm{
		Code: sc.Code, Beside: twin.Code, Number: p.Number, Count: 1, Why: fault.Say("shop.one_or_two", sc.Code, twin.Code),
		Command: "forkstock packs " + quoted(sc.Code) + " " + quoted(twin.Code) + " 2",
	})
	return p.Number, nil
}

func (t *telling) posted(ctx context.Context, tx *store.Tx, sc inventory.Scan) (string, error) {
	p, _, err := inventory.PostingByID(ctx, tx, sc.Posting)
	if err != nil {
		return "", err
	}
	var number string
	for _, m := range p.Movements {
		l, err := movedLine(ctx, tx, m)
		if err != nil {
			return "", err
		}
		number = l.Number
		t.add(l)
	}
	return number, nil
}

// add sums lines of the same part, bin and lot.
func (t *telling) add(l Line) {
	for i := range t.out.Lines {
		o := &t.out.Lines[i]
		if o.Number == l.Number && o.Maker == l.Maker && o.Bin == l.Bin && o.Lot == l.Lot {
			o.Amount += l.Amount
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

// LinkRequest teaches what a code stands for.
type LinkRequest struct {
	Code    string
	Part    string // number, or maker/number; empty with NoPart
	Pieces  int64  // of the part's unit, at least 1; not read with NoPart
	NoPart  bool   // the code is no part: a parcel label, a web link
	Instead bool   // although the code stands for another part
}

// Link teaches what a code stands for from now on, and posts what waited for
// it, in one transaction. Errors: NotFound, Ambiguous (the part, or eight
// digits that can be two codes), Conflict (the code stands for another part).
func (s *Shop) Link(ctx context.Context, q LinkRequest) (Received, error) {
	var out Received
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		code, err := oneCode(q.Code)
		if err != nil {
			return err
		}
		link := catalog.Link{Code: code, Pieces: 1}
		if !q.NoPart {
			if q.Pieces < 1 || q.Pieces > mostAmount {
				return fault.New(fault.Invalid, "catalog.bad_link", q.Code, q.Pieces)
			}
			link.Pieces = q.Pieces
			p, err := catalog.PartNamed(ctx, tx, q.Part)
			if err != nil {
				return err
			}
			link.Part = p.ID
		}
		if err := catalog.LinkCode(ctx, tx, link, who.ID, q.Instead); err != nil {
			return err
		}
		settled, err := inventory.SettleCode(ctx, tx, code)
		if err != nil {
			return err
		}
		out, err = tell(ctx, tx, settled, nil)
		return err
	})
	return out, err
}

// oneCode gives a typed code as the catalog files it. Error: Invalid,
// Ambiguous for eight digits that can be two codes.
func oneCode(text string) (string, error) {
	if trimmed(text) == "" {
		return "", fault.New(fault.Invalid, "shop.no_code")
	}
	if two := gs1.Readings(trimmed(text)); len(two) == 2 {
		e := fault.New(fault.Ambiguous, "shop.two_readings", text).WithHint("shop.two_readings.hint")
		e.Candidates = []fault.Candidate{
			{Name: two[0], Tell: fault.Say("shop.as_ean8")}, {Name: two[1], Tell: fault.Say("shop.as_upce")},
		}
		return "", e
	}
	code, _ := gs1.Key("", text)
	return code, nil
}

// Packs answers "one pack or two?" for a pair of codes, keeps the answer, and
// settles what waited for it. Errors: Invalid, NotFound (a code that stands
// for nothing).
func (s *Shop) Packs(ctx context.Context, a, b string, packs int) (Received, error) {
	var out Received
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
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
		settled, err := inventory.SettlePair(ctx, tx, codes[0], codes[1])
		if err != nil {
			return err
		}
		out, err = tell(ctx, tx, settled, nil)
		return err
	})
	return out, err
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
		out, err = tell(ctx, tx, scans, nil)
		out.Delivery = d.Name
		return err
	})
	return out, err
}
