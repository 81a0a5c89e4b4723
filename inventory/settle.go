package inventory

import (
	"context"
	"image"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// Counting a pack once. One bag can carry two different codes of its part, a
// GTIN beside the maker's own. The first of such a pair is counted; whether
// the second is another pack is asked once, and the answer kept for that pair
// of codes. Two codes are taken for a pair when they stand for the same part
// and were seen together: in one picture, or one right after the other with a
// hand scanner. In a picture, codes whose boxes overlap once each is grown by
// half its width pair first. Equal symbols are never a pair: they are two
// packs. A GTIN as a plain number beside an element string with the same GTIN
// is a pair, though both are filed under one code.

// Settle decides what becomes of a scan that is open or waits: posted, waiting
// for its code to be known, waiting to be confirmed, or no part at all. All
// scans of its sheet have been recorded before.
func Settle(ctx context.Context, tx *store.Tx, s Scan) (Scan, error) {
	link, known, err := Resolve(ctx, tx, &s)
	if err != nil {
		return s, err
	}
	switch {
	case !known:
		s.State = ScanUnknown
		return s, s.save(ctx, tx)
	case link.Part == "":
		s.State = ScanIgnored
		return s, s.save(ctx, tx)
	}
	sheet, err := around(ctx, tx, s)
	if err != nil {
		return s, err
	}
	if asked, err := s.beside(ctx, tx, link.Part, sheet); err != nil {
		return s, err
	} else if asked {
		return s, s.save(ctx, tx)
	}
	return book(ctx, tx, s, link)
}

// beside says of a scan that it may be the same pack as another of its sheet, or
// is, and reports whether so.
func (s *Scan) beside(ctx context.Context, tx *store.Tx, part string, sheet []Scan) (bool, error) {
	if s.Part != "" {
		return false, nil // told by hand, one by one
	}
	twin, found, err := partner(ctx, tx, *s, part, sheet)
	if err != nil || !found {
		return false, err
	}
	packs, answered, err := catalog.Packs(ctx, tx, s.Code, twin.Code)
	if err != nil || packs == 2 {
		return false, err
	}
	s.State, s.Beside = ScanToConfirm, twin.Seq
	if answered {
		s.State = ScanSamePack
	}
	return true, nil
}

// Resolve looks the code of a scan up, by what was said of it itself before it goes by
// its looks. Eight digits with two readings become the one that the shop knows;
// while it knows none or both, they wait. The scan is changed to what it was
// taken for, and not saved.
func Resolve(ctx context.Context, tx *store.Tx, s *Scan) (link catalog.Link, known bool, err error) {
	if s.Part != "" {
		return catalog.Link{Part: s.Part, Pieces: s.Pieces}, true, nil
	}
	s.unread()
	readings := []string{s.Code}
	if two := gs1.Readings(s.Code); len(two) == 2 && s.Symbology == "" {
		readings = two
	}
	var hits []catalog.Link
	for _, code := range readings {
		l, ok, err := catalog.LinkFrom(ctx, tx, code, s.Supplier)
		if err != nil {
			return l, false, err
		}
		if ok {
			hits = append(hits, l)
		}
	}
	switch {
	case len(hits) == 0 && s.ByLooks():
		return look(ctx, tx, s)
	case len(hits) != 1:
		return link, false, nil
	}
	s.Code = hits[0].Code
	return hits[0], true, nil
}

// partner finds the scan of a sheet that was counted and may be the same pack
// as s.
func partner(ctx context.Context, tx *store.Tx, s Scan, part string, sheet []Scan) (Scan, bool, error) {
	var free []Scan
	for _, o := range sheet {
		if o.alike(s) || o.State != ScanPosted || o.Beside != 0 ||
			slices.ContainsFunc(sheet, func(x Scan) bool { return x.Beside == o.Seq && x.Seq != s.Seq && x.alike(s) }) {
			continue
		}
		link, known, err := catalog.LinkFrom(ctx, tx, o.Code, o.Supplier)
		if err != nil {
			return Scan{}, false, err
		}
		if known && link.Part == part {
			free = append(free, o)
		}
	}
	for _, o := range free {
		if s.Picture() && near(s.Box, o.Box) {
			return o, true, nil
		}
	}
	for _, o := range free {
		// One that overlaps another scan of s's code is that one's partner.
		spoken := slices.ContainsFunc(sheet, func(x Scan) bool { return x.Seq != s.Seq && x.alike(s) && near(x.Box, o.Box) })
		if s.Picture() && !spoken || !s.Picture() && next(sheet, o, s) {
			return o, true, nil
		}
	}
	return Scan{}, false, nil
}

// around gives the scans that partner has to look at: all of a picture's page,
// or the two lines before and after one of a hand scanner.
func around(ctx context.Context, tx *store.Tx, s Scan) ([]Scan, error) {
	if s.Picture() {
		return queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.sheet = $1 AND s.delivery = $2
			AND s.back = '' ORDER BY s.seq`, s.Sheet, s.Delivery)
	}
	before, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.sheet = $1 AND s.y0 < $2 AND s.back = ''
		ORDER BY s.y0 DESC, s.seq DESC LIMIT 2`, s.Sheet, s.Box.Min.Y)
	if err != nil {
		return nil, err
	}
	after, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.sheet = $1 AND s.y0 > $2 AND s.back = ''
		ORDER BY s.y0, s.seq LIMIT 2`, s.Sheet, s.Box.Min.Y)
	return append(before, after...), err
}

// alike reports whether two scans can only be of two packs: the same code, in
// the same kind of symbol.
func (s Scan) alike(o Scan) bool {
	return s.Code == o.Code && family(s.Symbology) == family(o.Symbology) && s.plain() == o.plain()
}

// plain reports whether the scan holds its code as it stands, and not in an
// element string.
func (s Scan) plain() bool {
	code, _ := gs1.Key(s.Symbology, s.Text)
	return code == s.Code || len(s.Text) == 8
}

// family puts the symbologies together that one printed symbol can be read as.
func family(symbology string) string {
	switch symbology {
	case "ean13", "ean8", "upca", "upce":
		return "ean"
	}
	return symbology
}

// near reports whether two boxes overlap once each is grown by half its width.
func near(a, b image.Rectangle) bool {
	return a.Inset(-a.Dx() / 2).Overlaps(b.Inset(-b.Dx() / 2))
}

// next reports whether two hand-scanner lines follow each other with no other
// scan between but those of the same pack.
func next(sheet []Scan, a, b Scan) bool {
	from, to := min(a.Box.Min.Y, b.Box.Min.Y), max(a.Box.Min.Y, b.Box.Min.Y)
	return !slices.ContainsFunc(sheet, func(x Scan) bool { return x.Box.Min.Y > from && x.Box.Min.Y < to && x.Beside != a.Seq })
}

// book posts a scan under its own key. Its value is that of the order that the
// delivery is for, else not known before the invoice.
func book(ctx context.Context, tx *store.Tx, s Scan, link catalog.Link) (Scan, error) {
	bin, err := target(ctx, tx, s, link.Part)
	if err != nil {
		return s, err
	}
	lot, err := LotOf(ctx, tx, Lot{Part: link.Part, Delivery: s.Delivery, Batch: s.Batch, UseBy: s.UseBy, Printed: s.Printed})
	if err != nil {
		return s, err
	}
	key := "scan:" + s.Key
	if s.Posting != "" { // booked anew
		key += "/after/" + s.Posting
	}
	portions, flows, err := forOrders(ctx, tx, Delivery{ID: s.Delivery},
		Flow{Part: link.Part, Lot: lot.ID, To: bin, Amount: link.Pieces * s.Times})
	if err != nil {
		return s, err
	}
	head := Posting{Key: key, Content: s.Content, Kind: Receive, Person: s.Person, Delivery: s.Delivery}
	if len(portions) > 0 {
		head.Purchase = portions[0].order.ID
	}
	p, err := Post(ctx, tx, head, flows)
	if err != nil {
		return s, err
	}
	for _, n := range portions {
		if err := n.order.Fulfil(ctx, tx, n.line.ID, p.ID, n.amount); err != nil {
			return s, err
		}
	}
	s.State, s.Posting, s.Beside = ScanPosted, p.ID, 0
	return s, s.save(ctx, tx)
}

// target gives the bin that a scan goes to: the one asked for, else the
// part's home, else INTAKE.
func target(ctx context.Context, tx *store.Tx, s Scan, part string) (bin string, err error) {
	if s.Bin != "" {
		return s.Bin, nil
	}
	_, err = tx.One(ctx, store.Into(&bin), `SELECT coalesce(p.home_bin, (SELECT b.id FROM bin b WHERE b.name_norm = $2))
		FROM part p WHERE p.id = $1`, part, Intake)
	return bin, err
}

// SettleCode settles what hung on a code that is known now: scans of it that
// wait or were no part, eight digits that can be read as it, and the question
// whether it is on one pack with another.
func SettleCode(ctx context.Context, tx *store.Tx, code string) ([]Scan, error) {
	waiting, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s
		WHERE s.state = 'unknown' OR s.state = 'ignored' AND s.code = $1
		OR s.state = 'to_confirm' AND (s.code = $1 OR s.beside IN (SELECT seq FROM scan WHERE code = $1)) ORDER BY s.seq`, code)
	if err != nil {
		return nil, err
	}
	var settled []Scan
	for _, s := range waiting {
		if s.State == ScanUnknown && s.Code != code {
			if !slices.Contains(gs1.Readings(s.Code), code) {
				continue
			}
			s.Code = code // the reading that was meant
		}
		if s, err = Settle(ctx, tx, s); err != nil {
			return nil, err
		}
		settled = append(settled, s)
	}
	return settled, nil
}

// Misbooked gives the scans of a code that are posted, and stand, as something
// else than the code stands for now.
func Misbooked(ctx context.Context, tx *store.Tx, code string) ([]Scan, error) {
	return misbooked(ctx, tx, `s.code = $1`, code)
}

// MisbookedOf gives those of a delivery, as they are once its supplier is known.
func MisbookedOf(ctx context.Context, tx *store.Tx, d Delivery) ([]Scan, error) {
	return misbooked(ctx, tx, `s.delivery = $1`, d.ID)
}

func misbooked(ctx context.Context, tx *store.Tx, where, value string) ([]Scan, error) {
	booked, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s
		WHERE s.state = 'posted' AND `+where+` ORDER BY s.seq`, value)
	if err != nil {
		return nil, err
	}
	var wrong []Scan
	for _, s := range booked {
		p, _, err := PostingByID(ctx, tx, s.Posting)
		if err != nil {
			return nil, err
		}
		stands, _, err := Stands(ctx, tx, s.Posting)
		if err != nil {
			return nil, err
		}
		link, known, err := catalog.LinkFrom(ctx, tx, s.Code, s.Supplier)
		if err != nil {
			return nil, err
		}
		right := p.brought(link.Part) == link.Pieces*s.Times
		if stands && known && !right {
			wrong = append(wrong, s)
		}
	}
	return wrong, nil
}

// brought gives how much of a part a posting brought, 0 where it brought
// something else.
func (p Posting) brought(part string) (amount int64) {
	for _, m := range p.Movements {
		if m.Part != part {
			return 0
		}
		amount += m.Amount
	}
	return amount
}

// Rebook takes back what a scan posted, and settles it by what its code stands
// for now. Error: Short where what it brought is not all there any more.
func Rebook(ctx context.Context, tx *store.Tx, s Scan, person string) (Scan, error) {
	wrong, _, err := PostingByID(ctx, tx, s.Posting)
	if err != nil {
		return s, err
	}
	if _, err := Reverse(ctx, tx, wrong, Posting{Content: "rebook\n" + wrong.ID, Person: person}); err != nil {
		return s, err
	}
	return Settle(ctx, tx, s)
}

// SettlePair settles what the answer to "one pack or two?" about a pair of
// codes decides, after catalog.SetPacks: what waits for it, and what an earlier
// answer took for the same pack.
func SettlePair(ctx context.Context, tx *store.Tx, a, b string) ([]Scan, error) {
	waiting, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.code IN ($1, $2)
		AND s.state IN ('to_confirm', 'same_pack') ORDER BY s.seq`, a, b)
	if err != nil {
		return nil, err
	}
	packs, _, err := catalog.Packs(ctx, tx, a, b)
	if err != nil {
		return nil, err
	}
	var settled []Scan
	for _, s := range waiting {
		if s.State == ScanSamePack && packs == 1 {
			continue
		}
		twin, ok, err := ScanBySeq(ctx, tx, s.Beside)
		if err != nil {
			return nil, err
		}
		if same := s.Code == a && twin.Code == b || s.Code == b && twin.Code == a; !ok || !same {
			continue
		}
		if s, err = Settle(ctx, tx, s); err != nil {
			return nil, err
		}
		settled = append(settled, s)
	}
	return settled, nil
}
