package shop

import (
	"cmp"
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// Complaint is what the shop claims from a supplier.
type Complaint struct {
	Complaint int64        `json:"complaint"` // its number
	What      string       `json:"what"`      // damaged, wrong, suspect, short, kit_short, sent_back
	Delivery  string       `json:"delivery"`  // empty: not known
	Supplier  string       `json:"supplier"`  // empty: not known
	Number    string       `json:"number"`
	Maker     string       `json:"maker"`
	Role      catalog.Role `json:"role"`
	Unit      string       `json:"unit"`
	Amount    int64        `json:"amount"`
	Lacks     string       `json:"lacks"` // of a kit: what was not in it
	Reason    string       `json:"reason"`
	State     string       `json:"state"` // open, settled, undone
	By        string       `json:"by"`    // replacement, credit, refusal, mistake
	Person    string       `json:"person"`
	Opened    string       `json:"opened"`         // the day
	Settled   string       `json:"settled"`        // the day; empty: it is open
	Note      string       `json:"note"`           // how it was settled
	Expected  *int64       `json:"expected_minor"` // the credit; null: not agreed
	Credited  int64        `json:"credited_minor"`
	Owed      *int64       `json:"owed_minor"` // null: not agreed
	Currency  string       `json:"currency"`
	Repeated  bool         `json:"repeated"` // the key was used before: nothing new was opened
	Held      []Held       `json:"held"`     // what of the part its delivery brought and lies in blocked places
	Credits   []Credit     `json:"credits"`
	Moved     []Moved      `json:"moved"` // for it, without what was undone
	// Remarks are what is to be looked at, such as more paid back than was expected.
	Remarks []fault.Message `json:"remarks"`
}

// Held is what lies in a blocked place: on hand, never picked.
type Held struct {
	Number   string       `json:"number"`
	Maker    string       `json:"maker"`
	Role     catalog.Role `json:"role"`
	Unit     string       `json:"unit"`
	Bin      string       `json:"bin"`
	Lot      int64        `json:"lot"`
	Amount   int64        `json:"amount"`
	Delivery string       `json:"delivery"`
	Supplier string       `json:"supplier"`
	Home     string       `json:"home"` // bin of the part; empty: it has none
}

// Moved is what moved for a complaint.
type Moved struct {
	Seq    int64  `json:"seq"`  // of its first movement
	Kind   string `json:"kind"` // move: into a blocked place; send_back
	Day    string `json:"day"`
	Amount int64  `json:"amount"`
}

// Credit is what a supplier paid back.
type Credit struct {
	Credit    int64  `json:"credit"` // its number
	Minor     int64  `json:"amount_minor"`
	Day       string `json:"day"`
	Note      string `json:"note"`
	TakenBack bool   `json:"taken_back"`
}

// Owed is what a supplier has still to settle.
type Owed struct {
	Supplier string `json:"supplier"` // empty: it is not known whose they are
	Minor    int64  `json:"owed_minor"`
	Open     int    `json:"open"`     // complaints
	Unagreed int    `json:"unagreed"` // of them, those of which no credit is agreed
}

// Complaints is what suppliers have to settle.
type Complaints struct {
	Complaints []Complaint `json:"complaints"`
	Owed       []Owed      `json:"owed"`
	Held       []Held      `json:"held"` // all that lies in blocked places
	Currency   string      `json:"currency"`
}

// mostComplaints is how many complaints a list shows.
const mostComplaints = 200

// Complaints gives the open complaints, the newest first, all of them for
// settled, those of a delivery where it is named; what suppliers owe by them;
// and all that lies in blocked places. Error: NotFound (the delivery).
func (s *Shop) Complaints(ctx context.Context, settled bool, delivery string) (Complaints, error) {
	out := Complaints{Complaints: []Complaint{}, Owed: []Owed{}, Held: []Held{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		of := inventory.ClaimsOf{Open: !settled, Most: mostComplaints}
		if delivery != "" {
			d, err := inventory.KnownDelivery(ctx, tx, delivery)
			if err != nil {
				return err
			}
			of.Delivery = d.ID
		}
		all, err := inventory.Claims(ctx, tx, of)
		if err != nil {
			return err
		}
		for _, c := range all {
			v, err := s.complaint(ctx, tx, c)
			if err != nil {
				return err
			}
			out.Complaints = append(out.Complaints, v)
		}
		if err := out.owe(ctx, tx, of.Delivery); err != nil {
			return err
		}
		lines, err := inventory.AllHeld(ctx, tx)
		if err == nil {
			out.Held, err = helds(ctx, tx, lines)
		}
		return err
	})
	return out, err
}

// owe sums up by supplier what is open, of a delivery where one is given.
func (out *Complaints) owe(ctx context.Context, tx *store.Tx, delivery string) error {
	all, err := inventory.Claims(ctx, tx, inventory.ClaimsOf{Open: true, Delivery: delivery})
	if err != nil {
		return err
	}
	for _, c := range all {
		name, err := supplierName(ctx, tx, c.Supplier)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(out.Owed, func(o Owed) bool { return o.Supplier == name })
		if i < 0 {
			i = len(out.Owed)
			out.Owed = append(out.Owed, Owed{Supplier: name})
		}
		o := &out.Owed[i]
		o.Open++
		if v := c.Owed(); v.Known {
			o.Minor += v.Minor
		} else {
			o.Unagreed++
		}
	}
	slices.SortFunc(out.Owed, func(a, b Owed) int { return cmp.Compare(a.Supplier, b.Supplier) })
	return nil
}

// Complaint gives a complaint by its number. Error: NotFound.
func (s *Shop) Complaint(ctx context.Context, number int64) (out Complaint, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		out, err = s.complaintNumbered(ctx, tx, number)
		return err
	})
	return out, err
}

func (s *Shop) complaintNumbered(ctx context.Context, tx *store.Tx, number int64) (Complaint, error) {
	c, err := inventory.ClaimNumbered(ctx, tx, number)
	if err != nil {
		return Complaint{}, err
	}
	return s.complaint(ctx, tx, c)
}

// complaint shows a claim.
func (s *Shop) complaint(ctx context.Context, tx *store.Tx, c inventory.Claim) (Complaint, error) {
	part, _, err := catalog.PartByID(ctx, tx, c.Part)
	if err != nil {
		return Complaint{}, err
	}
	out := Complaint{
		Complaint: c.Number, What: c.What, Number: part.Number, Maker: part.Maker, Role: part.Role, Unit: part.Unit, Amount: c.Amount,
		Lacks: c.Lacks, Reason: c.Reason, State: "open", By: c.Ending, Note: c.Note, Expected: minor(c.Expected), Credited: c.Credited,
		Owed: minor(c.Owed()), Currency: s.settings.Currency, Held: []Held{}, Credits: []Credit{}, Moved: []Moved{}, Opened: s.stampDay(c.At), Remarks: []fault.Message{},
	}
	if more := c.Credited - c.Expected.Minor; c.Expected.Known && more > 0 {
		out.Remarks = append(out.Remarks, fault.Say("shop.credit_over",
			words.Money{Minor: more, Currency: out.Currency}, words.Money{Minor: c.Expected.Minor, Currency: out.Currency}))
	}
	switch {
	case c.Undone:
		out.State = "undone"
	case !c.Open():
		out.State = "settled"
	}
	if c.Ended != "" {
		out.Settled = s.stampDay(c.Ended)
	}
	if out.Supplier, err = supplierName(ctx, tx, c.Supplier); err != nil {
		return out, err
	}
	if _, err := tx.One(ctx, store.Into(&out.Person, &out.Delivery), `SELECT p.name, coalesce(d.name, '') FROM person p
		LEFT JOIN delivery d ON d.id = $2 WHERE p.id = $1`, c.Person, c.Delivery); err != nil {
		return out, err
	}
	return out, out.more(ctx, tx, s, c)
}

// more adds what was paid back, what moved, and what still lies in blocked places.
func (out *Complaint) more(ctx context.Context, tx *store.Tx, s *Shop, c inventory.Claim) error {
	credits, err := c.Credits(ctx, tx)
	if err != nil {
		return err
	}
	for _, k := range credits {
		out.Credits = append(out.Credits, Credit{k.Number, k.Minor, k.Day, k.Note, k.TakenBack})
	}
	if inventory.Blocks(c.What) {
		lines, err := inventory.HeldOf(ctx, tx, c.Delivery, c.Part)
		if err != nil {
			return err
		}
		if out.Held, err = helds(ctx, tx, lines); err != nil {
			return err
		}
	}
	moves, err := c.Moves(ctx, tx)
	for _, m := range moves {
		out.Moved = append(out.Moved, Moved{m.Seq, m.Kind, s.stampDay(m.At), m.Amount})
	}
	return err
}

// helds shows what lies in blocked places.
func helds(ctx context.Context, tx *store.Tx, lines []inventory.Line) ([]Held, error) {
	all := []Held{}
	for _, l := range lines {
		p, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return nil, err
		}
		h := Held{Number: p.Number, Maker: p.Maker, Role: p.Role, Unit: p.Unit, Bin: l.Bin.Name, Lot: l.Lot.Short, Amount: l.Amount}
		if _, err := tx.One(ctx, store.Into(&h.Delivery, &h.Supplier), `SELECT d.name, coalesce(s.name, o.name, '') FROM delivery d
			LEFT JOIN supplier s ON s.id = d.supplier LEFT JOIN purchase u ON u.id = d.purchase LEFT JOIN supplier o ON o.id = u.supplier
			WHERE d.id = $1`, l.Lot.Delivery); err != nil {
			return nil, err
		}
		if _, err := tx.One(ctx, store.Into(&h.Home), `SELECT name FROM bin WHERE id = $1`, p.HomeBin); err != nil {
			return nil, err
		}
		all = append(all, h)
	}
	return all, nil
}
