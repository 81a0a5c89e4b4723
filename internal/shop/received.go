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
		t.unknown(sc)
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
	if digits(sc.Code) && !gs1.Valid(sc.Code) {
		u.Note = fault.Say("shop.bad_check_digit")
	}
	t.out.Unknown = append(t.out.Unknown, u)
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
	p, _, err := inventory.PostingByID(ctx, t.tx, sc.Posting)
	if err != nil {
		return err
	}
	stands, undo, err := inventory.Stands(ctx, t.tx, p.ID)
	if err != nil {
		return err
	}
	if !stands {
		seen.State = "undone"
		t.out.Undone = append(t.out.Undone, Undone{sc.Code, "forkstock undo " + itoa(undo)})
		return nil
	}
	for _, m := range p.Movements {
		l, err := movedLine(ctx, t.tx, m)
		if err != nil {
			return err
		}
		t.part[sc.Seq] = catalog.Part{Number: l.Number, Unit: l.Unit}
		if !seen.Repeated {
			l.New = l.Amount
		}
		t.add(l)
	}
	if seen.Repeated || !sc.Picture() {
		return nil
	}
	return t.again(ctx, sc, p)
}

// again notes a code that an earlier picture of the delivery held, too.
func (t *telling) again(ctx context.Context, sc inventory.Scan, p inventory.Posting) error {
	earlier, found, err := inventory.SeenBefore(ctx, t.tx, sc)
	if err != nil || !found {
		return err
	}
	t.out.Again = append(t.out.Again, Again{sc.Code, sc.Source, earlier, "forkstock undo " + itoa(p.Movements[0].Seq)})
	return nil
}

// add sums lines of the same part, bin and lot.
func (t *telling) add(l Line) {
	for i := range t.out.Lines {
		o := &t.out.Lines[i]
		if o.Number == l.Number && o.Maker == l.Maker && o.Bin == l.Bin && o.Lot == l.Lot {
			o.Amount += l.Amount
			o.New += l.New
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

// LinkRequest teaches what a code stands for.
type LinkRequest struct {
	Code    string
	Part    string // number, or maker/number; empty with NoPart
	Pieces  int64  // of the part's unit, at least 1; not read with NoPart
	NoPart  bool   // the code is no part: a parcel label, a web link
	Instead bool   // although the code stands for another part
	Correct bool   // what was posted as something else is taken back and posted anew
}

// Link teaches what a code stands for from now on, and posts what waited for
// it, in one transaction. What was posted before, when the code stood for
// something else, stays so unless Correct is set. Errors: NotFound, Ambiguous
// (the part, or eight digits that can be two codes), Conflict (the code stands
// for another part), Short (what is to be corrected is not all there any more).
func (s *Shop) Link(ctx context.Context, q LinkRequest) (Received, error) {
	var settled []inventory.Scan
	earlier := 0
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		code, err := oneCode(q.Code)
		if err != nil {
			return err
		}
		link := catalog.Link{Code: code, Pieces: 1}
		if !q.NoPart {
			if q.Pieces < 1 || q.Pieces > mostAmount {
				return fault.New(fault.Invalid, "catalog.bad_link", q.Code, q.Pieces).WithHint("catalog.bad_link.hint")
			}
			link.Pieces = q.Pieces
			p, err := catalog.PartNamed(ctx, tx, q.Part)
			if err != nil {
				return err
			}
			link.Part = p.ID
		}
		if err := meant(ctx, tx, code, q); err != nil {
			return err
		}
		if err := catalog.LinkCode(ctx, tx, link, who.ID, q.Instead); err != nil {
			return err
		}
		if settled, err = inventory.SettleCode(ctx, tx, code); err != nil {
			return err
		}
		wrong, err := inventory.Misbooked(ctx, tx, link)
		if err != nil || !q.Correct {
			earlier = len(wrong)
			return err
		}
		for _, sc := range wrong {
			if sc, err = inventory.Rebook(ctx, tx, sc, who.ID); err != nil {
				return err
			}
			settled = append(settled, sc)
		}
		return nil
	})
	if err != nil {
		return Received{}, err
	}
	out, err := s.tell(ctx, settled, nil)
	out.Earlier = earlier
	return out, err
}

// meant refuses a code that nobody has seen where one that waits differs from
// it by case and punctuation only: most likely a slip. Instead lets it pass.
func meant(ctx context.Context, tx *store.Tx, code string, q LinkRequest) error {
	if q.Instead {
		return nil
	}
	if _, known, err := catalog.LinkOf(ctx, tx, code); err != nil || known {
		return err
	}
	waiting, err := inventory.Waiting(ctx, tx)
	if err != nil {
		return err
	}
	near := ""
	for _, sc := range waiting {
		switch {
		case sc.Code == code:
			return nil
		case catalog.Normal(sc.Code) == catalog.Normal(code):
			near = sc.Code
		}
	}
	if near == "" {
		return nil
	}
	return fault.New(fault.Conflict, "shop.code_near", q.Code, near).WithHint("shop.code_near.hint", words.ShellWord(near))
}

// oneCode gives a typed code as the catalog files it. Error: Invalid,
// Ambiguous for eight digits that can be two codes.
func oneCode(text string) (string, error) {
	if trimmed(text) == "" {
		return "", fault.New(fault.Invalid, "shop.no_code")
	}
	two := gs1.Readings(trimmed(text))
	if len(two) == 1 {
		return two[0], nil
	}
	if len(two) == 2 {
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
		out.Pictures, err = views(ctx, tx, came)
		return err
	})
	return out, err
}
