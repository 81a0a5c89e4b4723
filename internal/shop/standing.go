package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// foreseen gives the scans of a delivery that count, with what they will be; of
// one that is finished, what they are.
func foreseen(ctx context.Context, tx *store.Tx, d inventory.Delivery) ([]inventory.Foreseen, error) {
	scans, err := inventory.Counting(ctx, tx, d.ID)
	if err != nil || d.State == inventory.DeliveryOpen {
		all, err2 := inventory.Foresee(ctx, tx, scans)
		if err == nil {
			err = err2
		}
		return all, err
	}
	var all []inventory.Foreseen
	for _, sc := range scans {
		f := inventory.Foreseen{Scan: sc}
		if sc.State == inventory.ScanPosted {
			stands, _, err := inventory.Stands(ctx, tx, sc.Posting)
			if err != nil {
				return nil, err
			}
			if !stands {
				continue
			}
			if f.Link, err = broughtBy(ctx, tx, sc.Posting); err != nil {
				return nil, err
			}
			f.Times = 1
		}
		all = append(all, f)
	}
	return all, nil
}

// broughtBy gives what a posting brought, as a link.
func broughtBy(ctx context.Context, tx *store.Tx, posting string) (l catalog.Link, err error) {
	_, err = tx.One(ctx, store.Into(&l.Part, &l.Pieces), `SELECT coalesce(r.merged_into, r.id), sum(m.amount)
		FROM movement m JOIN part r ON r.id = m.part WHERE m.posting = $1 GROUP BY 1`, posting)
	return l, err
}

// standing shows a delivery as it stands.
func standing(ctx context.Context, tx *store.Tx, d inventory.Delivery) (out OpenDelivery, err error) {
	v := stand{tx: tx, d: d, out: OpenDelivery{Delivery: d.Name, State: d.State, Lines: []DeliveryLine{}, Pictures: []Viewed{}}}
	for _, step := range []func(context.Context) error{v.head, v.scanned, v.lines, v.remarks, v.waiting, v.pictures} {
		if err := step(ctx); err != nil {
			return v.out, err
		}
	}
	return v.out, nil
}

// stand puts a delivery together.
type stand struct {
	tx    *store.Tx
	d     inventory.Delivery
	scans []inventory.Foreseen
	parts map[string]catalog.Part
	out   OpenDelivery
}

func (v *stand) head(ctx context.Context) (err error) {
	if v.out.Begun, err = store.Time(v.d.At); err != nil {
		return err
	}
	if v.out.Orders, err = orderNumbers(ctx, v.tx, v.d); err != nil {
		return err
	}
	v.out.Supplier, err = supplierName(ctx, v.tx, v.d.Supplier)
	return err
}

// brings reports whether a scan is in stock, or will be.
func brings(f inventory.Foreseen) bool {
	return f.Link.Part != "" && (f.State == inventory.ScanOpen || f.State == inventory.ScanPosted)
}

// scanned foresees the scans, and tells the last one.
func (v *stand) scanned(ctx context.Context) (err error) {
	if v.scans, err = foreseen(ctx, v.tx, v.d); err != nil {
		return err
	}
	if _, err = v.tx.One(ctx, store.Into(&v.out.TakenBack), `SELECT count(*) FROM scan WHERE delivery = $1 AND back <> ''`, v.d.ID); err != nil {
		return err
	}
	var ids []string
	for _, f := range v.scans {
		if f.Link.Part != "" && !slices.Contains(ids, f.Link.Part) {
			ids = append(ids, f.Link.Part)
		}
		if brings(f) {
			v.out.Packs += f.Times
		}
	}
	if v.parts, err = catalog.PartsByID(ctx, v.tx, ids); err != nil || len(v.scans) == 0 {
		return err
	}
	for _, f := range v.scans {
		v.out.scans = append(v.out.scans, v.pack(f))
	}
	v.out.Last = &v.out.scans[len(v.out.scans)-1]
	return nil
}

func (v *stand) pack(f inventory.Foreseen) ScannedPack {
	p := v.parts[f.Link.Part]
	return ScannedPack{f.Seq, f.Code, f.Text, f.State, p.Number, p.Maker, p.Unit, f.Amount()}
}

// lines holds what came against what was expected.
func (v *stand) lines(ctx context.Context) error {
	var came []inventory.Arrival
	for _, f := range v.scans {
		if brings(f) {
			came = append(came, inventory.Arrival{Part: f.Link.Part, Amount: f.Amount()})
		}
	}
	all, err := v.d.Against(ctx, v.tx, came)
	if err != nil {
		return err
	}
	for _, m := range all {
		if _, known := v.parts[m.Part]; !known {
			if v.parts[m.Part], _, err = catalog.PartByID(ctx, v.tx, m.Part); err != nil {
				return err
			}
		}
	}
	for _, m := range all {
		v.out.Lines = append(v.out.Lines, v.line(m))
	}
	return nil
}

func (v *stand) line(m inventory.Matched) DeliveryLine {
	p := v.parts[m.Part]
	l := DeliveryLine{
		Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit, Expected: m.Expected,
		Counted: m.Counted, Over: m.Over, Packs: []PackCount{}, Pack: 1, Orders: []int64{}, Jobs: []string{}, Reasons: []string{},
		Instead: []CameFor{}, part: m.Part, State: stateOf(m, len(v.out.Orders) > 0),
	}
	if m.Expected == 0 {
		l.Counted = m.Came
	}
	for i, x := range m.Lines {
		if i == 0 || l.Promised == "" {
			l.Promised = x.Promised
		}
		if i == 0 {
			l.Pack = x.Pack
		}
		if !slices.Contains(l.Orders, x.Order.Number) {
			l.Orders = append(l.Orders, x.Order.Number)
		}
		if x.Job != "" && !slices.Contains(l.Jobs, x.Job) {
			l.Jobs = append(l.Jobs, x.Job)
		}
	}
	for _, a := range m.Instead {
		l.instead(v.parts[a.Part].Name(), a.Amount)
	}
	for _, f := range v.scans {
		if brings(f) && f.Link.Part == m.Part {
			l.packs(f.Times, f.Link.Pieces)
			l.Last = f.Seq
		}
	}
	return l
}

func (l *DeliveryLine) instead(part string, amount int64) {
	for i := range l.Instead {
		if l.Instead[i].Part == part {
			l.Instead[i].Amount += amount
			return
		}
	}
	l.Instead = append(l.Instead, CameFor{part, amount})
}

func (l *DeliveryLine) packs(packs, pieces int64) {
	for i := range l.Packs {
		if l.Packs[i].Pieces == pieces {
			l.Packs[i].Packs += packs
			return
		}
	}
	l.Packs = append(l.Packs, PackCount{packs, pieces})
}

// stateOf tells how what came compares with what was expected.
func stateOf(m inventory.Matched, ordered bool) string {
	switch {
	case m.Expected == 0 && !ordered:
		return LineFree
	case m.Expected == 0 && m.Over > 0:
		return LineNotOrdered
	case m.Expected == 0:
		return LineInstead
	case m.Over > 0:
		return LineOver
	case m.Counted == 0:
		return LineMissing
	case m.Counted < m.Expected:
		return LineShort
	}
	return LineComplete
}

// remarks adds what was said of the lines.
func (v *stand) remarks(ctx context.Context) error {
	all, err := v.d.Remarks(ctx, v.tx)
	if err != nil {
		return err
	}
	for _, r := range all {
		l, err := v.about(ctx, r.Part)
		if err != nil {
			return err
		}
		switch r.Kind {
		case inventory.RemarkDamaged:
			l.Damaged = r.Amount
		case inventory.RemarkWrong:
			l.Wrong = r.Amount
		case inventory.RemarkNoted:
			l.Noted = &r.Amount
		case inventory.RemarkInstead:
			p, _, err := catalog.PartByID(ctx, v.tx, r.Ordered)
			if err != nil {
				return err
			}
			l.InsteadOf = p.Name()
		}
		if r.Reason != "" {
			l.Reasons = append(l.Reasons, r.Reason)
		}
	}
	return nil
}

// about gives the line of a part, a new one where there is none: it may be told
// before anything of it is scanned.
func (v *stand) about(ctx context.Context, part string) (*DeliveryLine, error) {
	i := slices.IndexFunc(v.out.Lines, func(l DeliveryLine) bool { return l.part == part })
	if i < 0 {
		p, _, err := catalog.PartByID(ctx, v.tx, part)
		if err != nil {
			return nil, err
		}
		v.parts[part] = p
		i = len(v.out.Lines)
		v.out.Lines = append(v.out.Lines, v.line(inventory.Matched{Part: part}))
	}
	return &v.out.Lines[i], nil
}

// waiting tells the scans that do not count, as they are told everywhere.
func (v *stand) waiting(ctx context.Context) error {
	var scans []inventory.Scan
	for _, f := range v.scans {
		if !brings(f) {
			scans = append(scans, f.Scan)
		}
	}
	told, err := tell(ctx, v.tx, scans, nil)
	v.out.Unknown, v.out.ToConfirm, v.out.SamePack, v.out.Ignored = told.Unknown, told.ToConfirm, told.SamePack, told.Ignored
	return err
}

func (v *stand) pictures(ctx context.Context) error {
	all, err := inventory.PicturesOf(ctx, v.tx, v.d.ID)
	if err != nil {
		return err
	}
	var came []viewing
	for _, p := range all {
		came = append(came, viewing{Picture: p})
	}
	v.out.Pictures, err = views(ctx, v.tx, came)
	return err
}
