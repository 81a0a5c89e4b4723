package shop

import (
	"context"
	"errors"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// What a supplier lists becomes a part when the shop uses it. Its description
// proposes what the part is; a person says yes, or says what is right.

// AdoptRequest asks for an item to be made a part.
type AdoptRequest struct {
	Supplier, Number string // of the item
	Maker            string // of the part; default: as the list says
	PartNumber       string // of the part under its maker; default: as the list says
	Pieces           *int64 // in a pack, of the part's unit; default: as the description says, else as the list does
	PartFacts               // what is right, whatever is proposed
	Yes              bool   // all that is proposed is right
}

// Adoption is an item with what its description proposes, and the part that it
// became, where it did.
type Adoption struct {
	Offer
	Proposals []Proposal `json:"proposals"`
	Maker     string     `json:"maker"`  // of the part, empty while nobody has said
	Number    string     `json:"number"` // of the part
	Code      string     `json:"code,omitempty"`
	CodeStays string     `json:"code_stays,omitempty"` // what the item's code stands for already, and goes on to: a part, or "-" for none
	Note      string     `json:"note,omitempty"`
	Adopted   bool       `json:"adopted"`
	Part      *Part      `json:"part,omitempty"`
	Currency  string     `json:"currency"`
}

// A Proposal is what a description says of one field, with its words.
type Proposal struct {
	Field string        `json:"field"` // role, size, thread, leg_diameter, pieces, volume, elastomer, material
	Value string        `json:"value"` // as commands and JSON have it
	Says  fault.Message `json:"says"`  // for a reader
	Words string        `json:"words"`
	Sure  bool          `json:"sure"` // it can be taken as it is
	Rule  bool          `json:"rule"` // a rule of the shop says so
}

// Adopt shows what the description of an item proposes, and with Yes or with
// facts makes it a part: a new one, or the one that has that number already.
// The item, its code and its source go with it; a code that stands for another
// part stays with that. Errors: NotFound, Invalid (something is missing),
// Ambiguous, Conflict (it is a part already).
func (s *Shop) Adopt(ctx context.Context, q AdoptRequest) (Adoption, error) {
	out := Adoption{Proposals: []Proposal{}, Currency: s.settings.Currency}
	explicit := q.Maker != "" || q.PartNumber != "" || q.Pieces != nil || q.PartFacts != (PartFacts{})
	run := s.db.Read
	if q.Yes || explicit {
		run = func(ctx context.Context, f func(context.Context, *store.Tx) error) error {
			return s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
				if err := f(ctx, tx); err != nil {
					return err
				}
				return s.adopt(ctx, tx, who, q, &out)
			})
		}
	}
	err := run(ctx, func(ctx context.Context, tx *store.Tx) error {
		i, w, err := s.itemRead(ctx, tx, q.Supplier, q.Number)
		if err != nil {
			return err
		}
		out.Offer, out.Proposals, out.Code, out.Note = offer(i), proposals(w), i.Code, i.Note
		out.Maker, out.Number = or(tidied(q.Maker), i.Maker), or(tidied(q.PartNumber), i.MakerNumber)
		if p, ok, err := catalog.PartByID(ctx, tx, i.Part); err != nil || ok {
			v, viewed := view(ctx, tx, p, fault.Message{})
			out.Part, out.Adopted = &v, true
			return errors.Join(err, viewed)
		}
		p, _, err := catalog.PartOf(ctx, tx, out.Maker, out.Number)
		if err != nil {
			return err
		}
		out.CodeStays, err = takenBy(ctx, tx, i.Code, p.ID)
		return err
	})
	return out, err
}

// itemRead finds an item and reads its description.
func (s *Shop) itemRead(ctx context.Context, tx *store.Tx, supplier, number string) (i catalog.Item, w wording.Reading, err error) {
	v, err := catalog.SupplierNamed(ctx, tx, supplier)
	if err != nil {
		return i, w, err
	}
	if i, err = catalog.ItemNamed(ctx, tx, v, number); err != nil {
		return i, w, err
	}
	r, err := newReaders(ctx, tx)
	if err != nil {
		return i, w, err
	}
	return i, r.read(v.Name, i.Description), nil
}

// adopt makes the item of out a part.
func (s *Shop) adopt(ctx context.Context, tx *store.Tx, who Actor, q AdoptRequest, out *Adoption) error {
	i, w, err := s.itemRead(ctx, tx, q.Supplier, q.Number)
	if err != nil {
		return err
	}
	if i.Part != "" {
		p, _, err := catalog.PartByID(ctx, tx, i.Part)
		if err != nil {
			return err
		}
		return fault.New(fault.Conflict, "shop.adopt.is", i.SupplierName, i.Number, p.Name()).WithHint("shop.adopt.is.hint", p.Name())
	}
	if catalog.Normal(out.Maker) == "" || catalog.Normal(out.Number) == "" {
		return fault.New(fault.Invalid, "shop.adopt.no_number", i.SupplierName, i.Number).WithHint("shop.adopt.no_number.hint")
	}
	p, found, err := catalog.PartOf(ctx, tx, out.Maker, out.Number)
	if err == nil && !found {
		p, err = s.adoptNew(ctx, tx, who, q, out, i, w)
	}
	if err != nil {
		return err
	}
	i.Part = p.ID
	i.Pack = packOf(q, p, i, w)
	if err := catalog.ChangeItem(ctx, tx, i); err != nil {
		return err
	}
	if out.CodeStays, err = takenBy(ctx, tx, i.Code, p.ID); err != nil {
		return err
	}
	if i.Code != "" && out.CodeStays == "" {
		if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: i.Code, Part: p.ID, Pieces: i.Pack}, who.ID, false); err != nil {
			return err
		}
		if err := settleLinked(ctx, tx, i.Code); err != nil {
			return err
		}
	}
	v, err := view(ctx, tx, p, fault.Message{})
	out.Offer, out.Adopted, out.Part = offer(i), true, &v
	return err
}

// takenBy gives what a code stands for that is not the part: its name, "-"
// where it was told to be no part, "" where the code is free.
func takenBy(ctx context.Context, tx *store.Tx, code, part string) (name string, err error) {
	if code == "" {
		return "", nil
	}
	old, found, err := catalog.LinkOf(ctx, tx, code)
	if err != nil || !found || old.Part == part && part != "" {
		return "", err
	}
	p, ok, err := catalog.PartByID(ctx, tx, old.Part)
	if err != nil || !ok {
		return "-", err
	}
	return p.Name(), nil
}

// adoptNew adds the part that an item becomes.
func (s *Shop) adoptNew(ctx context.Context, tx *store.Tx, who Actor, q AdoptRequest, out *Adoption, i catalog.Item, w wording.Reading,
) (catalog.Part, error) {
	source := trimmed(i.SupplierName + " list " + i.Listed)
	if q.Source == nil {
		q.Source = &source
	}
	f := proposed(q.PartFacts, w, q.Yes)
	if f.Role == nil {
		return catalog.Part{}, roleless(i, w)
	}
	if f.Description == nil && i.Description != "" {
		text := strings.Join(strings.Fields(i.Description), " ")
		f.Description = &text
	}
	p := catalog.Part{Maker: out.Maker, Number: out.Number}
	err := s.apply(ctx, tx, &p, f)
	if err != nil {
		return p, err
	}
	if q.Yes && w.Material.Made() {
		p.Material = w.Material.Value
	}
	if p, err = catalog.AddPart(ctx, tx, p); err != nil {
		return p, err
	}
	return p, catalog.TellPart(ctx, tx, catalog.Part{}, p, catalog.Word{How: or(f.How, "list"), Source: text(f.Source), Person: who.ID, Decides: q.Yes})
}

// roleless says that nobody told what an item is. A yes helps only where its
// words propose something.
func roleless(i catalog.Item, w wording.Reading) error {
	e := fault.New(fault.Invalid, "shop.adopt.no_role", i.Description)
	if w.Role.Made() {
		return e.WithHint("shop.adopt.perhaps.hint", fault.Say("role."+string(w.Role.Value)), w.Role.Value)
	}
	return e.WithHint("shop.adopt.no_role.hint")
}

// proposed fills facts that were not told with what is proposed: with all of
// it, or where nobody said yes, with what is certain.
func proposed(f PartFacts, w wording.Reading, all bool) PartFacts {
	take := func(to **string, value string, made, sure bool) {
		if *to == nil && value != "" && made && (all || sure) {
			*to = &value
		}
	}
	take(&f.Role, string(w.Role.Value), w.Role.Made(), w.Role.Sure())
	size := w.Item().Size
	if size.Inner == 0 && size.Outer == 0 && size.Height != 0 {
		take(&f.Length, size.Height.String(), w.Size.Made(), w.Size.Sure())
	} else {
		take(&f.Size, size.String(), w.Size.Made(), w.Size.Sure())
	}
	take(&f.Thread, w.Thread.Value.String(), w.Thread.Made(), w.Thread.Sure())
	take(&f.Elastomer, w.Elastomer.Value, w.Elastomer.Made(), w.Elastomer.Sure())
	return f
}

// packOf gives what a pack of the item holds, of the part's unit.
func packOf(q AdoptRequest, p catalog.Part, i catalog.Item, w wording.Reading) int64 {
	switch {
	case q.Pieces != nil:
		return *q.Pieces
	case p.Unit == catalog.Millilitre && w.Volume.Made():
		return int64(w.Volume.Value)
	case p.Unit == catalog.Piece && w.Pieces.Made() && (q.Yes || w.Pieces.Sure()):
		return w.Pieces.Value
	}
	return i.Pack
}

// proposals lists what a description says.
func proposals(w wording.Reading) []Proposal {
	all := []Proposal{}
	add := func(field, value string, says any, words string, made bool, trust wording.Trust) {
		if !made {
			return
		}
		m, ok := says.(fault.Message)
		if !ok {
			m = fault.Say("shop.adopt.value", says)
		}
		all = append(all, Proposal{field, value, m, words, trust >= wording.Certain, trust == wording.Confirmed})
	}
	role := fault.Say("role." + string(w.Role.Value))
	add("role", string(w.Role.Value), role, w.Role.Words, w.Role.Made(), w.Role.Trust)
	size := sizes(w.Size.Value, "")
	add("size", size.Size, size, w.Size.Words, w.Size.Made(), w.Size.Trust)
	add("thread", w.Thread.Value.String(), w.Thread.Value, w.Thread.Words, w.Thread.Made(), w.Thread.Trust)
	add("leg_diameter", w.Leg.Value.String(), w.Leg.Value, w.Leg.Words, w.Leg.Made(), w.Leg.Trust)
	add("pieces", itoa(w.Pieces.Value), w.Pieces.Value, w.Pieces.Words, w.Pieces.Made(), w.Pieces.Trust)
	add("volume", w.Volume.Value.String(), w.Volume.Value, w.Volume.Words, w.Volume.Made(), w.Volume.Trust)
	add("elastomer", w.Elastomer.Value, w.Elastomer.Value, w.Elastomer.Words, w.Elastomer.Made(), w.Elastomer.Trust)
	add("material", w.Material.Value, w.Material.Value, w.Material.Words, w.Material.Made(), w.Material.Trust)
	return all
}
