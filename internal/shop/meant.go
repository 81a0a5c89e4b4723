package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// Meant is something that a code which waits is likely to stand for.
type Meant struct {
	Code           string        `json:"code"`             // the one of two readings
	Number         string        `json:"number,omitempty"` // of the part; empty while the shop does not use the item
	Maker          string        `json:"maker,omitempty"`
	Role           catalog.Role  `json:"role,omitempty"`
	Unit           string        `json:"unit,omitempty"`
	Pieces         int64         `json:"pieces"`             // in a pack; 0: not known
	Packs          int64         `json:"packs"`              // in all, where labels say more than one; else 1
	Supplier       string        `json:"supplier,omitempty"` // on whose goods alone it stands for that
	From           string        `json:"from,omitempty"`     // the supplier that offers it
	SupplierNumber string        `json:"supplier_number,omitempty"`
	Description    string        `json:"description,omitempty"`
	Why            fault.Message `json:"why"`
	Command        string        `json:"command"` // says yes

	part, of string // ids
}

// Total gives how many pieces are in the packs, 0 where nobody knows.
func (m Meant) Total() int64 { return m.Pieces * m.Packs }

// PartName gives the part as a command takes it.
func (m Meant) PartName() string { return m.Maker + "/" + m.Number }

// LabelRead is what a supplier's label rule makes of a scan.
type LabelRead struct {
	Supplier string `json:"supplier"`
	Rule     int64  `json:"rule"`
	Number   string `json:"number"`
	Packs    int64  `json:"packs"` // 0: the label does not say
}

// likely fills in what an unknown code is likely to stand for.
func (t *telling) likely(ctx context.Context, sc inventory.Scan, u *Unknown) (err error) {
	u.from = sc.Supplier
	if u.Supplier, err = supplierName(ctx, t.tx, sc.Supplier); err != nil {
		return err
	}
	if sc.Rule != 0 {
		u.Text = sc.Text
	}
	if u.Read, err = rivals(ctx, t.tx, sc); err != nil {
		return err
	}
	var at string
	if _, err := t.tx.One(ctx, store.Into(&u.Delivery, &at), `SELECT d.name, s.at FROM scan s JOIN delivery d ON d.id = s.delivery
		WHERE s.seq = $1`, sc.Seq); err != nil {
		return err
	}
	if u.Day, err = t.tx.Day(at); err != nil {
		return err
	}
	codes := u.Readings
	if codes == nil {
		codes = []string{sc.Code}
	}
	if u.Meant, err = meantBy(ctx, t.tx, codes, sc.Supplier); err != nil || len(u.Readings) == 0 {
		return err
	}
	own, err := meantBy(ctx, t.tx, []string{sc.Code}, sc.Supplier)
	u.Meant = append(u.Meant, own...)
	return err
}

// add counts the packs that a scan stands for.
func (u *Unknown) add(sc inventory.Scan) {
	u.Packs += sc.Times
	for i := range u.Meant {
		if u.Meant[i].Packs = u.Packs; u.Packs == int64(u.Count) {
			u.Meant[i].Packs = 1
		}
	}
}

// rivals gives what rules make of a label that more than one reads.
func rivals(ctx context.Context, tx *store.Tx, sc inventory.Scan) ([]LabelRead, error) {
	if sc.Rule != 0 {
		return nil, nil
	}
	labels, err := catalog.ReadLabel(ctx, tx, sc.Supplier, sc.Symbology, sc.Text)
	var all []LabelRead
	for _, l := range labels {
		all = append(all, LabelRead{l.Rule.SupplierName, l.Rule.Number, l.Number, l.Pieces})
	}
	return all, err
}

// meantBy gives what codes are likely to stand for on the goods of a supplier.
func meantBy(ctx context.Context, tx *store.Tx, codes []string, supplier string) ([]Meant, error) {
	all := []Meant{}
	for _, code := range codes {
		meanings, err := catalog.Meanings(ctx, tx, code, supplier)
		if err != nil {
			return nil, err
		}
		if len(meanings) == 0 {
			if meanings, err = catalog.Misread(ctx, tx, code, supplier); err != nil {
				return nil, err
			}
		}
		for _, x := range meanings {
			m := Meant{
				Code: x.Code, Pieces: x.Pieces, Packs: 1, From: x.Item.SupplierName, SupplierNumber: x.Item.Number,
				Description: x.Item.Description, Why: x.Why, part: x.Part, of: x.Of,
			}
			if err := m.fill(ctx, tx); err != nil {
				return nil, err
			}
			all = append(all, m)
		}
	}
	for i := range all {
		all[i].say(len(all) == 1)
	}
	return all, nil
}

// fill names the part and the supplier.
func (m *Meant) fill(ctx context.Context, tx *store.Tx) (err error) {
	if m.Supplier, err = supplierName(ctx, tx, m.of); err != nil {
		return err
	}
	p, found, err := catalog.PartByID(ctx, tx, m.part)
	if found {
		m.Number, m.Maker, m.Role, m.Unit = p.Number, p.Maker, p.Role, p.Unit
	}
	return err
}

// say gives the command that says yes.
func (m *Meant) say(alone bool) {
	code := words.ShellWord(m.Code)
	switch {
	case m.part == "":
		m.Command = "forkstock adopt " + words.ShellWord(m.From) + " " + words.ShellWord(m.SupplierNumber)
	case m.Pieces == 0:
		m.Command = "forkstock link " + code + " " + words.ShellWord(m.PartName()) + " --pieces N"
	case alone:
		m.Command = "forkstock link " + code + " --accept"
	default:
		m.Command = "forkstock link " + code + " " + words.ShellWord(m.PartName()) + " --pieces " + itoa(m.Pieces)
		if m.Supplier != "" {
			m.Command += " --supplier " + words.ShellWord(m.Supplier)
		}
	}
}

func supplierName(ctx context.Context, tx *store.Tx, id string) (name string, err error) {
	if id == "" {
		return "", nil
	}
	_, err = tx.One(ctx, store.Into(&name), `SELECT name FROM supplier WHERE id = $1`, id)
	return name, err
}
