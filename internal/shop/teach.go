package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/pattern"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// A supplier's labels: one scan is shown with the part number that stands on
// it, the rule is worked out and tried on the last scans, and kept when a
// person has seen what it makes of them.

// TeachRequest shows a scan of a supplier's label.
type TeachRequest struct {
	Supplier string
	Scan     string // as the scanner sent it
	Number   string // the part number in it
	Pieces   int64  // how many the label says are in the pack; 0: it does not say
	Begins   *string
	Way      int64 // which of several ways, from 1; 0: the only one
	Yes      bool  // keep the rule; else it is shown
	Back     int64 // takes a rule back, 0: none
}

// Teaching is the rules for labels, or what a rule would do.
type Teaching struct {
	Rules     []LabelRule `json:"rules"`
	Would     *LabelRule  `json:"would,omitempty"`
	Reads     []LabelSaid `json:"reads,omitempty"` // what the rule makes of the last scans
	Kept      bool        `json:"kept"`
	TakenBack bool        `json:"taken_back"`
	Settled   Received    `json:"settled"`
}

// LabelRule says where on a supplier's labels the part number stands.
type LabelRule struct {
	Rule      int64         `json:"rule"` // what the shop calls it
	Supplier  string        `json:"supplier"`
	Symbology string        `json:"symbology"`
	Begins    string        `json:"begins"`
	Length    int           `json:"length"` // 0: any
	Number    fault.Message `json:"number"` // where it stands
	Zeros     bool          `json:"zeros"`  // leading zeros belong to it
	Packs     fault.Message `json:"packs,omitzero"`
	Example   string        `json:"example"`
	Person    string        `json:"person"`
	Day       string        `json:"day"`
}

// LabelSaid is what a rule makes of a scan.
type LabelSaid struct {
	Text    string   `json:"text"`
	Number  string   `json:"number"`
	Packs   int64    `json:"packs"`
	Means   []string `json:"means"`   // the parts and items that the number is known for
	Ignored bool     `json:"ignored"` // it was no part until now
}

// Taught lists the rules for labels.
func (s *Shop) Taught(ctx context.Context) (out Teaching, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		out, err = s.taught(ctx, tx)
		return err
	})
	return out, err
}

func (s *Shop) taught(ctx context.Context, tx *store.Tx) (out Teaching, err error) {
	out.Rules = []LabelRule{}
	if out.Settled, err = tell(ctx, tx, nil, nil); err != nil {
		return out, err
	}
	rules, err := catalog.LabelRules(ctx, tx, "")
	for _, r := range rules {
		out.Rules = append(out.Rules, s.labelRule(r))
	}
	return out, err
}

func (s *Shop) labelRule(r catalog.LabelRule) LabelRule {
	out := LabelRule{
		r.Number, r.SupplierName, r.Symbology, r.Begins, r.Length, place(r.Part), r.Zeros,
		fault.Message{},
		r.Example, r.Person,
		s.stampDay(r.At),
	}
	if r.Pieces != (pattern.Span{}) {
		out.Packs = place(r.Pieces)
	}
	return out
}

// place says which characters are meant.
func place(p pattern.Span) fault.Message {
	from := fault.Say("label.from", p.From)
	if p.Mark != "" {
		from = fault.Say("label.behind", p.Nth, mark(p.Mark))
		if p.From > 1 {
			from = fault.Say("label.from_behind", p.From, p.Nth, mark(p.Mark))
		}
	}
	switch {
	case p.Length > 0:
		return fault.Say("label.long", from, p.Length)
	case p.Until != "":
		return fault.Say("label.until", from, mark(p.Until))
	}
	return fault.Say("label.to_end", from)
}

// mark shows a mark that cannot be seen by its name.
func mark(text string) string {
	switch text {
	case "\x1d":
		return "GS"
	case " ":
		return "␠"
	}
	return text
}

// Teach works out a rule from a label, and shows what it makes of the last
// scans; with Yes it is kept, and what waited is read by it. Errors: Invalid
// (the number does not stand in the scan), Ambiguous (it stands there more
// than once), NotFound (the supplier, a rule to take back), Conflict.
func (s *Shop) Teach(ctx context.Context, q TeachRequest) (Teaching, error) {
	var out Teaching
	run := s.write
	if !q.Yes && q.Back == 0 {
		run = func(ctx context.Context, f func(context.Context, *store.Tx, Actor) error) error {
			return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error { return f(ctx, tx, Actor{}) })
		}
	}
	err := run(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		var t Teaching
		var settled []inventory.Scan
		err := s.teach(ctx, tx, q, who, &t, &settled)
		if err != nil {
			return err
		}
		if out, err = s.taught(ctx, tx); err != nil {
			return err
		}
		out.Would, out.Reads, out.Kept, out.TakenBack = t.Would, t.Reads, q.Yes, q.Back != 0
		out.Settled, err = tell(ctx, tx, settled, nil)
		return err
	})
	return out, err
}

func (s *Shop) teach(ctx context.Context, tx *store.Tx, q TeachRequest, who Actor, t *Teaching, settled *[]inventory.Scan) error {
	if q.Back != 0 {
		r, err := catalog.EndLabelRule(ctx, tx, q.Back)
		if err != nil {
			return err
		}
		*settled, err = inventory.Resettle(ctx, tx, func(sc inventory.Scan) bool { return sc.Rule == r.Number })
		return err
	}
	r, err := workOut(ctx, tx, q)
	if err != nil {
		return err
	}
	if q.Yes {
		if _, err = catalog.AddLabelRule(ctx, tx, r, who.ID); err != nil {
			return err
		}
		*settled, err = inventory.Resettle(ctx, tx, func(sc inventory.Scan) bool { return sc.State == inventory.ScanUnknown })
		return err
	}
	would := s.labelRule(r)
	t.Would = &would
	t.Reads, err = said(ctx, tx, r)
	return err
}

// workOut gives the one rule that a label with its number makes.
func workOut(ctx context.Context, tx *store.Tx, q TeachRequest) (r catalog.LabelRule, err error) {
	v, err := catalog.SupplierNamed(ctx, tx, q.Supplier)
	if err != nil {
		return r, err
	}
	text := trimmed(q.Scan)
	switch {
	case text == "" || catalog.Normal(q.Number) == "":
		return r, fault.New(fault.Invalid, "shop.teach_bare").WithHint("shop.teach.hint")
	case q.Pieces < 0 || q.Pieces > pattern.MostPieces:
		return r, fault.New(fault.Invalid, "shop.bad_amount", q.Pieces, pattern.MostPieces)
	case catalog.Normal(q.Number) == catalog.Normal(text):
		return r, fault.New(fault.Invalid, "shop.teach_whole", text).WithHint("shop.teach_whole.hint", words.ShellWord(text))
	}
	symbology, err := symbologyOf(ctx, tx, text)
	if err != nil {
		return r, err
	}
	ways := pattern.Work(symbology, text, q.Number, q.Pieces)
	if q.Begins != nil {
		if !strings.HasPrefix(text, *q.Begins) {
			return r, fault.New(fault.Invalid, "shop.begins_otherwise", text, *q.Begins).WithHint("shop.begins_otherwise.hint")
		}
		for i := range ways {
			ways[i].Begins = *q.Begins
		}
	}
	way := 0
	switch {
	case len(ways) == 0:
		return r, fault.New(fault.Invalid, "shop.teach_absent", q.Number, text).WithHint("shop.teach.hint")
	case q.Way < 0 || q.Way > int64(len(ways)):
		return r, fault.New(fault.Invalid, "shop.teach_way", q.Way, len(ways))
	case q.Way > 0:
		way = int(q.Way) - 1
	case len(ways) > 1:
		return r, whichWay(q, ways)
	}
	return catalog.LabelRule{Supplier: v.ID, SupplierName: v.Name, Rule: ways[way], Example: text}, nil
}

// whichWay asks which of several ways to read a label is meant.
func whichWay(q TeachRequest, ways []pattern.Rule) error {
	e := fault.New(fault.Ambiguous, "shop.teach_which", q.Number, q.Scan).WithHint("shop.teach_which.hint")
	for i, r := range ways {
		tell := place(r.Part)
		if r.Pieces != (pattern.Span{}) {
			tell = fault.Say("label.both", tell, place(r.Pieces))
		}
		e.Candidates = append(e.Candidates, fault.Candidate{Name: "--way " + itoa(int64(i+1)), Tell: tell})
	}
	return e
}

// said tries a rule on the last scans that go by their looks.
func said(ctx context.Context, tx *store.Tx, r catalog.LabelRule) ([]LabelSaid, error) {
	last, err := inventory.LastScans(ctx, tx, mostPreview)
	if err != nil {
		return nil, err
	}
	all := []LabelSaid{}
	for _, sc := range last {
		number, packs, ok := r.Read(sc.Symbology, sc.Text)
		if !ok || !sc.ByLooks() {
			continue
		}
		if link, known, err := catalog.LinkFrom(ctx, tx, trimmed(sc.Text), sc.Supplier); err != nil || known && link.Part != "" {
			if err != nil {
				return nil, err
			}
			continue // its own code is known, that goes first
		}
		x := LabelSaid{Text: sc.Text, Number: number, Packs: packs, Means: []string{}, Ignored: sc.State == inventory.ScanIgnored}
		meanings, err := meantBy(ctx, tx, []string{number}, r.Supplier)
		if err != nil {
			return nil, err
		}
		for _, m := range meanings {
			name := m.From + " " + m.SupplierNumber
			if m.part != "" {
				name = m.PartName()
			}
			x.Means = append(x.Means, name)
		}
		all = append(all, x)
	}
	return all, nil
}

// SupplierNames gives the names of all suppliers, in their order.
func (s *Shop) SupplierNames(ctx context.Context) (names []string, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		all, err := catalog.Suppliers(ctx, tx)
		for _, v := range all {
			names = append(names, v.Name)
		}
		return err
	})
	return names, err
}
