package shop

import (
	"context"
	"slices"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/measure"
	"forkstock/internal/sheet"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/scanner"
)

// LabelRequest asks for labels of parts and bins.
type LabelRequest struct {
	LabelSheet
	Parts    []string // numbers, or makers and numbers
	Bins     []string // names
	AllBins  bool     // every bin
	Of       string   // every part that lies in this bin or has it for its home
	Orders   []string // numbers or codes of orders
	Delivery string   // every part that came with this delivery
	Today    bool     // every part that came in today
	Copies   int      // of each; 0 is 1
	Each     bool     // one for each pack of Pieces that came in, or of other parts that is on hand
	Pieces   int64    // of the part's unit, that one scan of a part's label counts; 0: one piece, a bottle
}

// mostLabels is how many labels are printed at a time.
const mostLabels = 2000

// Labelled is labels that were made.
type Labelled struct {
	Sheet  string  `json:"sheet"`
	Usual  bool    `json:"-"` // nobody has said on what the shop prints
	Code   string  `json:"code"`
	DPI    int     `json:"dpi"`
	Pages  int     `json:"pages"`
	Count  int     `json:"count"` // of labels, copies included
	New    int     `json:"new"`   // so many parts and bins have their number since now
	Labels []Label `json:"labels"`
	PDF    []byte  `json:"-"`
}

// Label is the label of a part or a bin.
type Label struct {
	Number   string         `json:"number,omitempty"` // of the part
	Maker    string         `json:"maker,omitempty"`
	Role     catalog.Role   `json:"role,omitempty"`
	Unit     string         `json:"unit,omitempty"`
	Pieces   int64          `json:"pieces,omitempty"` // of the unit, that a scan counts
	Order    int64          `json:"order,omitempty"`  // the order
	Bin      string         `json:"bin"`              // the bin, or where the part belongs; empty: nowhere
	Code     string         `json:"code"`             // as the shop files it
	Text     string         `json:"text"`             // as it is printed
	New      bool           `json:"new"`              // it has the number since now
	Copies   int            `json:"copies"`
	ModuleUM measure.Length `json:"module_um"`

	label sheet.Label
}

// Name gives the part as a command takes it, the bin, or the order's code.
func (l Label) Name() string {
	if l.Order != 0 {
		return l.Code
	}
	if l.Number == "" {
		return l.Bin
	}
	return l.Maker + "/" + l.Number
}

// Label makes labels, and gives a number of the shop's own to what has no code
// that would do. The same request again gives the same labels. Errors: Invalid
// (nothing named, a sheet that the labels do not fit on, a liquid without the
// size of its bottle), NotFound, Ambiguous.
func (s *Shop) Label(ctx context.Context, q LabelRequest) (Labelled, error) {
	l, err := s.labelling(ctx, q)
	if err != nil {
		return Labelled{}, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		l.tx, l.person = tx, who.ID
		return l.make(ctx)
	})
	return l.out, err
}

// LabelAgain makes labels of what has its numbers already, and changes nothing.
// Errors also: Conflict where something has none.
func (s *Shop) LabelAgain(ctx context.Context, q LabelRequest) (Labelled, error) {
	l, err := s.labelling(ctx, q)
	if err != nil {
		return Labelled{}, err
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		l.tx = tx
		return l.make(ctx)
	})
	return l.out, err
}

// LabelPlan says what Label would print and what would get a number of the
// shop's own, and changes nothing: those have no code yet, and there is no file.
func (s *Shop) LabelPlan(ctx context.Context, q LabelRequest) (Labelled, error) {
	l, err := s.labelling(ctx, q)
	if err != nil {
		return Labelled{}, err
	}
	l.plan = true
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		l.tx = tx
		return l.collect(ctx)
	})
	return l.out, err
}

// labelling is labels being made.
type labelling struct {
	s      *Shop
	q      LabelRequest
	grid   sheet.Grid
	print  sheet.Print
	words  *words.Printer
	tx     *store.Tx
	person string // id of who may give numbers; empty: nobody
	plan   bool   // only say which labels there would be
	out    Labelled
}

// labelling reads a request.
func (s *Shop) labelling(ctx context.Context, q LabelRequest) (*labelling, error) {
	l := &labelling{s: s, q: q, words: words.For(s.settings.Language), out: Labelled{Labels: []Label{}}}
	how, kept, err := s.UsualLabels(ctx, q.LabelSheet)
	if err != nil {
		return nil, err
	}
	if l.grid, l.print, err = how.read(); err != nil {
		return nil, err
	}
	l.out.Sheet, l.out.DPI, l.out.Code, l.out.Usual = l.grid.String(), l.print.DPI, how.Code, !kept
	if l.q.Copies == 0 {
		l.q.Copies = 1
	}
	switch {
	case l.q.Copies < 0 || l.q.Copies > mostLabels:
		return nil, fault.New(fault.Invalid, "shop.bad_copies", q.Copies, mostLabels)
	case q.Pieces < 0 || q.Pieces > mostAmount:
		return nil, fault.New(fault.Invalid, "shop.bad_amount", q.Pieces, int64(mostAmount))
	case len(q.Parts)+len(q.Bins)+len(q.Orders) == 0 && !q.AllBins && q.Of == "" && q.Delivery == "" && !q.Today:
		return nil, fault.New(fault.Invalid, "shop.label_nothing").WithHint("shop.label_nothing.hint")
	}
	return l, nil
}

// first gives the first of some texts that is not empty.
func first(texts ...string) string {
	for _, t := range texts {
		if t = trimmed(t); t != "" {
			return t
		}
	}
	return ""
}

// collect finds what gets a label, and how many there are. Errors: NotFound where
// nothing does, Invalid where it is too many.
func (l *labelling) collect(ctx context.Context) error {
	for _, collect := range []func(context.Context) error{l.parts, l.inBin, l.cameIn, l.bins, l.orders} {
		if err := collect(ctx); err != nil {
			return err
		}
	}
	if len(l.out.Labels) == 0 {
		return fault.New(fault.NotFound, "shop.label_none").WithHint("shop.label_none.hint")
	}
	for _, v := range l.out.Labels {
		if l.out.Count += v.Copies; l.out.Count > mostLabels {
			return fault.New(fault.Invalid, "shop.many_labels", mostLabels).WithHint("shop.many_labels.hint")
		}
		if v.New {
			l.out.New++
		}
	}
	return nil
}

// make collects what gets a label, and prints.
func (l *labelling) make(ctx context.Context) error {
	if err := l.collect(ctx); err != nil {
		return err
	}
	var all []sheet.Label
	for _, v := range l.out.Labels {
		all = append(all, slices.Repeat([]sheet.Label{v.label}, v.Copies)...)
	}
	printed, err := sheet.Labels(l.grid, l.print, all, l.words.Say("shop.labels_title"), l.tx.Now)
	if err != nil {
		return err
	}
	l.out.PDF, l.out.Pages = printed.PDF, printed.Pages
	at := 0
	for i := range l.out.Labels {
		l.out.Labels[i].ModuleUM = printed.Module[at]
		at += l.out.Labels[i].Copies
	}
	return nil
}

// parts adds the parts that are named.
func (l *labelling) parts(ctx context.Context) error {
	for _, name := range l.q.Parts {
		p, _, err := partFor(ctx, l.tx, name)
		if err != nil {
			return err
		}
		if err := l.part(ctx, p, -1); err != nil {
			return err
		}
	}
	return nil
}

// inBin adds the parts of a bin.
func (l *labelling) inBin(ctx context.Context) error {
	if l.q.Of == "" {
		return nil
	}
	b, err := inventory.BinNamed(ctx, l.tx, l.q.Of)
	if err != nil {
		return err
	}
	_, ids, err := inventory.PartsIn(ctx, l.tx, b.Name)
	if err != nil {
		return err
	}
	lying := map[string]int64{}
	if l.q.Each {
		of, err := inventory.StockOf(ctx, l.tx, ids)
		if err != nil {
			return err
		}
		for id, lines := range of {
			for _, line := range lines {
				if line.Bin.ID == b.ID {
					lying[id] += line.Amount
				}
			}
		}
	}
	for _, id := range ids {
		if err := l.partByID(ctx, id, lying[id]); err != nil {
			return err
		}
	}
	return nil
}

// cameIn adds the parts that came with a delivery, or today.
func (l *labelling) cameIn(ctx context.Context) error {
	var all []inventory.Arrival
	if l.q.Delivery != "" {
		d, err := inventory.KnownDelivery(ctx, l.tx, trimmed(l.q.Delivery))
		if err != nil {
			return err
		}
		if all, err = inventory.CameWith(ctx, l.tx, d); err != nil {
			return err
		}
	}
	if l.q.Today {
		now := l.tx.Now.In(l.s.settings.zone)
		came, err := inventory.CameSince(ctx, l.tx, time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, now.Location()))
		if err != nil {
			return err
		}
		all = append(all, came...)
	}
	for _, c := range all {
		if err := l.partByID(ctx, c.Part, c.Amount); err != nil {
			return err
		}
	}
	return nil
}

func (l *labelling) partByID(ctx context.Context, id string, amount int64) error {
	p, _, err := catalog.PartByID(ctx, l.tx, id)
	if err != nil {
		return err
	}
	return l.part(ctx, p, amount)
}

// part adds a part, of which there is so much (below 0: what is on hand). A part
// that was added before is not added again.
func (l *labelling) part(ctx context.Context, p catalog.Part, amount int64) error {
	v, err := view(ctx, l.tx, p, fault.Message{})
	if err != nil {
		return err
	}
	n := Label{Number: p.Number, Maker: p.Maker, Role: p.Role, Unit: p.Unit, Copies: l.q.Copies}
	if slices.ContainsFunc(l.out.Labels, func(o Label) bool { return o.Number != "" && o.Name() == n.Name() }) {
		return nil
	}
	if n.Pieces, err = l.pieces(ctx, p); err != nil {
		return err
	}
	if n.Code, err = inventory.OwnNumberOfPart(ctx, l.tx, p.ID, n.Pieces); err != nil {
		return err
	}
	if n.New = n.Code == ""; n.New && !l.plan {
		if l.person == "" {
			return fault.New(fault.Conflict, "shop.label_number", p.Name())
		}
		if n.Code, err = inventory.NumberPart(ctx, l.tx, p.ID, n.Pieces, l.person); err != nil {
			return err
		}
	}
	if l.q.Each {
		if amount < 0 {
			amount = v.OnHand
		}
		n.Copies *= int(max((amount+n.Pieces-1)/n.Pieces, 1))
	}
	n.Bin, err = l.home(ctx, p, v)
	if err != nil {
		return err
	}
	lines := []string{l.head(p)}
	if n.Pieces > 1 {
		lines = append(lines, l.words.Say("unit."+p.Unit, n.Pieces))
	}
	where := p.Maker
	if n.Bin != "" {
		where = l.words.Say("shop.label_bin", n.Bin) + " · " + where
	}
	n.label = sheet.Label{Heads: []string{l.words.Show(v.Sizes), p.Number}, Lines: append(lines, where)}
	return l.add(n)
}

// head gives what a part is called on its label: what kind it is, or how it is
// described where that says little.
func (l *labelling) head(p catalog.Part) string {
	word := l.words.Say("role." + string(p.Role))
	switch p.Role {
	case catalog.Other, "tool", "consumable", catalog.Kit, catalog.Oil:
		if trimmed(p.Description) != "" {
			return l.words.Described("role."+string(p.Role), p.Description)
		}
	}
	return word
}

// home gives the bin where a part belongs, else where it lies, empty for none.
func (l *labelling) home(ctx context.Context, p catalog.Part, v Part) (name string, err error) {
	if p.HomeBin != "" {
		_, err = l.tx.One(ctx, store.Into(&name), `SELECT name FROM bin WHERE id = $1`, p.HomeBin)
	} else if len(v.Bins) > 0 {
		name = v.Bins[0]
	}
	return name, err
}

// pieces gives how much of a part a scan of its label counts: what was asked
// for, else a piece; of a liquid what its barcode stands for, or the pack that
// it is bought in.
func (l *labelling) pieces(ctx context.Context, p catalog.Part) (int64, error) {
	if l.q.Pieces > 0 {
		return l.q.Pieces, nil
	}
	if p.Unit != catalog.Millilitre {
		return 1, nil
	}
	links, err := catalog.LinksOf(ctx, l.tx, p.ID)
	if err != nil {
		return 0, err
	}
	for _, k := range links {
		if gs1.Valid(k.Code) {
			return k.Pieces, nil
		}
	}
	items, err := catalog.ItemsOf(ctx, l.tx, p.ID)
	if err != nil {
		return 0, err
	}
	if len(items) > 0 {
		return items[0].Pack, nil
	}
	return 0, fault.New(fault.Invalid, "shop.label_bottle", p.Name()).WithHint("shop.label_bottle.hint")
}

// bins adds the bins that are named, or all.
func (l *labelling) bins(ctx context.Context) error {
	var all []inventory.Bin
	for _, name := range l.q.Bins {
		b, err := inventory.BinNamed(ctx, l.tx, name)
		if err != nil {
			return err
		}
		all = append(all, b)
	}
	if l.q.AllBins {
		every, err := inventory.Bins(ctx, l.tx)
		if err != nil {
			return err
		}
		all = append(all, every...)
	}
	for _, b := range all {
		if slices.ContainsFunc(l.out.Labels, func(o Label) bool { return o.Number == "" && o.Order == 0 && o.Bin == b.Name }) {
			continue
		}
		n := Label{Bin: b.Name, Copies: l.q.Copies, label: sheet.Label{Heads: []string{b.Name}, Whole: true}}
		var err error
		if n.Code, err = inventory.NumberOfBin(ctx, l.tx, b.ID); err != nil {
			return err
		}
		if n.New = n.Code == ""; n.New && !l.plan {
			if l.person == "" {
				return fault.New(fault.Conflict, "shop.label_number", b.Name)
			}
			if n.Code, err = inventory.NumberBin(ctx, l.tx, b.ID, l.person); err != nil {
				return err
			}
		}
		if err := l.add(n); err != nil {
			return err
		}
	}
	return nil
}

// add gives a label its symbol.
func (l *labelling) add(n Label) (err error) {
	n.Text = gs1.Printed(n.Code)
	n.label.Number = n.Text
	if !l.plan {
		n.label.Symbol, err = scanner.Encode(l.out.Code, n.Text)
	}
	l.out.Labels = append(l.out.Labels, n)
	return err
}
