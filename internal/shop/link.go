package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// LinkRequest teaches what a code stands for.
type LinkRequest struct {
	Code    string
	Part    string // number, or maker/number; empty with NoPart
	Pieces  int64  // of the part's unit, at least 1; not read with NoPart
	NoPart  bool   // the code is no part: a parcel label, a web link
	Instead bool   // although the code stands for another part
	Correct bool   // what was posted as something else is taken back and posted anew
	// Supplier is the one on whose goods alone the code stands for that; empty:
	// whoever it comes from.
	Supplier string
	Accept   bool // what is proposed is right: Part, Pieces and Supplier are not read
}

// Link teaches what a code stands for from now on, and posts what waited for
// it, in one transaction. What was posted before, when the code stood for
// something else, stays so unless Correct is set. Errors: NotFound, Ambiguous
// (the part, eight digits that can be two codes, or more than one thing is
// proposed), Conflict (the code stands for another part), Short (what is to be corrected is not all there any more).
func (s *Shop) Link(ctx context.Context, q LinkRequest) (Received, error) {
	var settled []inventory.Scan
	var linked Linked
	earlier, counts := 0, int64(0)
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		link, err := wanted(ctx, tx, &q)
		if err != nil {
			return err
		}
		if err := meant(ctx, tx, link.Code, q); err != nil {
			return err
		}
		if linked, err = linkedTo(ctx, tx, link); err != nil {
			return err
		}
		if err := catalog.LinkCode(ctx, tx, link, who.ID, q.Instead); err != nil {
			return err
		}
		if settled, err = inventory.SettleCode(ctx, tx, link.Code); err != nil {
			return err
		}
		if counts, err = countsOpen(ctx, tx, link); err != nil {
			return err
		}
		wrong, err := inventory.Misbooked(ctx, tx, link.Code)
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
	out.Earlier, out.Linked, out.Counts = earlier, &linked, counts
	return out, err
}

// countsOpen gives how many packs of open deliveries count as what a code stands
// for: they wait for nothing, and are posted when the delivery is finished.
func countsOpen(ctx context.Context, tx *store.Tx, l catalog.Link) (packs int64, err error) {
	open, err := inventory.OpenDeliveries(ctx, tx)
	if err != nil || l.Part == "" {
		return 0, err
	}
	for _, d := range open {
		scans, err := foreseen(ctx, tx, d)
		if err != nil {
			return 0, err
		}
		for _, f := range scans {
			if f.Code == l.Code && brings(f) && f.Link.Supplier == l.Supplier {
				packs += f.Times
			}
		}
	}
	return packs, nil
}

func linkedTo(ctx context.Context, tx *store.Tx, l catalog.Link) (out Linked, err error) {
	p, _, err := catalog.PartByID(ctx, tx, l.Part)
	if err != nil {
		return out, err
	}
	out = Linked{Code: l.Code, Number: p.Number, Maker: p.Maker, Unit: p.Unit, Pieces: l.Pieces}
	out.Supplier, err = supplierName(ctx, tx, l.Supplier)
	return out, err
}

// wanted gives the link that is asked for. Of one that is accepted, the request
// is filled in.
func wanted(ctx context.Context, tx *store.Tx, q *LinkRequest) (l catalog.Link, err error) {
	if q.Accept {
		if err := accept(ctx, tx, q); err != nil {
			return l, err
		}
	}
	l = catalog.Link{Pieces: 1}
	if l.Code, err = oneCode(q.Code); err != nil || q.NoPart {
		return l, err
	}
	if q.Pieces < 1 || q.Pieces > mostAmount {
		return l, fault.New(fault.Invalid, "catalog.bad_link", q.Code, q.Pieces).WithHint("catalog.bad_link.hint")
	}
	if trimmed(q.Supplier) != "" {
		v, err := catalog.SupplierNamed(ctx, tx, q.Supplier)
		if err != nil {
			return l, err
		}
		l.Supplier = v.ID
	}
	p, err := catalog.PartNamed(ctx, tx, q.Part)
	l.Part, l.Pieces = p.ID, q.Pieces
	return l, err
}

// accept fills a request in with the one thing that is proposed of its code.
// Errors: NotFound (nothing is), Ambiguous.
func accept(ctx context.Context, tx *store.Tx, q *LinkRequest) error {
	codes := gs1.Readings(q.Code)
	if len(codes) == 0 {
		code, _ := gs1.Key("", q.Code)
		codes = []string{code}
	}
	waiting, err := inventory.Waiting(ctx, tx)
	if err != nil {
		return err
	}
	from := []string{}
	for _, sc := range waiting {
		if (sc.Code == trimmed(q.Code) || slices.Contains(codes, sc.Code)) && !slices.Contains(from, sc.Supplier) {
			from = append(from, sc.Supplier)
		}
	}
	if len(from) == 0 {
		from = []string{""}
	}
	var all []Meant
	for _, supplier := range from {
		meant, err := meantBy(ctx, tx, codes, supplier)
		if err != nil {
			return err
		}
		for _, m := range meant {
			if !slices.ContainsFunc(all, func(o Meant) bool {
				return o.part == m.part && o.Pieces == m.Pieces && o.of == m.of && o.Code == m.Code
			}) {
				all = append(all, m)
			}
		}
	}
	switch {
	case len(all) == 1 && all[0].part != "" && all[0].Pieces > 0:
		q.Code, q.Part, q.Pieces, q.Supplier = all[0].Code, all[0].PartName(), all[0].Pieces, all[0].Supplier
		return nil
	case len(all) == 1 && all[0].part != "":
		return fault.New(fault.Invalid, "shop.accept_pieces", q.Code).WithHint("shop.accept_pieces.hint", words.ShellWord(q.Code), words.ShellWord(all[0].PartName()))
	case len(all) == 1:
		return fault.New(fault.Invalid, "shop.accept_item", q.Code, all[0].From, all[0].SupplierNumber).WithHint("shop.accept_item.hint", all[0].Command)
	case len(all) == 0:
		return fault.New(fault.NotFound, "shop.nothing_meant", q.Code).WithHint("shop.code_absent.hint", words.ShellWord(q.Code))
	}
	e := fault.New(fault.Ambiguous, "shop.accept_which", q.Code).WithHint("shop.accept_which.hint")
	for _, m := range all {
		m.say(false)
		name := m.PartName()
		if m.part == "" {
			name = m.From + " " + m.SupplierNumber
		}
		e.Candidates = append(e.Candidates, fault.Candidate{Name: name, Tell: m.Why, Command: m.Command})
	}
	return e
}

// settleLinked settles what waited for a code that was linked by the way.
func settleLinked(ctx context.Context, tx *store.Tx, code string) error {
	waits, err := inventory.Waits(ctx, tx, code)
	if err == nil && waits {
		_, err = inventory.SettleCode(ctx, tx, code)
	}
	return err
}

// shortCode is the length from which a code that nobody has scanned is believed
// to stand on a pack. Common practice, no source.
const shortCode = 3

// meant refuses a code that nobody has seen where it is very short, or where one
// that waits differs from it by case and punctuation only: most likely a slip.
// Instead lets it pass.
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
		if len(code) < shortCode && !q.NoPart {
			return fault.New(fault.Conflict, "shop.code_short", q.Code).WithHint("shop.code_short.hint")
		}
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
