package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// taker gives what takes the rows of a list in.
func (s *Shop) taker(ctx context.Context, tx *store.Tx, who Actor, l *list) (taker, error) {
	b := base{s, tx, who, l}
	switch l.kind.Name {
	case "prices":
		return s.priceTaker(ctx, tx, l)
	case "parts":
		return &partTaker{b}, nil
	case "forks":
		return &forkTaker{b}, nil
	case "fitments":
		return &fitmentTaker{b}, nil
	case "kits":
		return &kitTaker{b}, nil
	case "codes":
		return &codeTaker{b}, nil
	case "replacements":
		return &replacementTaker{b}, nil
	case "stock":
		return &stockTaker{b}, nil
	case "jobs":
		return &jobTaker{b}, nil
	}
	return nil, fault.New(fault.Internal, "internal")
}

// base is what every taker has.
type base struct {
	s   *Shop
	tx  *store.Tx
	who Actor
	l   *list
}

// cells gives what a row tells of a column.
func (b *base) cells(row exchange.Row) func(string) string {
	return func(column string) string {
		if i := b.l.kind.At(column); i >= 0 {
			return row.Get(i)
		}
		return ""
	}
}

// length reads a canonical length, 0 for none.
func length(text string) measure.Length {
	if text == "" {
		return 0
	}
	l, _ := measure.ParseLength(text)
	return l
}

// told sets to what a row tells; a cell that is empty says nothing.
func told[T comparable](to *T, value T) {
	var zero T
	if value != zero {
		*to = value
	}
}

// toldSize sets what a row tells of a size.
func toldSize(size *measure.Size, thread *string, get func(string) string) {
	told(&size.Inner, length(get("inner_mm")))
	told(&size.Outer, length(get("outer_mm")))
	told(&size.Height, length(get("height_mm")))
	told(&size.Overall, length(get("overall_mm")))
	told(thread, get("thread"))
}

// toldTraits sets what a row tells of traits.
func toldTraits(t *catalog.Traits, entered *string, get func(string) string) {
	told(&t.Head, length(get("head_mm")))
	told(&t.Seat, get("seat"))
	told(&t.Strength, get("strength"))
	told(&t.Coated, get("coated"))
	told(entered, get("entered"))
}

// bin finds a bin, or adds it: a list of parts or of stock names them all.
func (b *base) bin(ctx context.Context, name, kind string) (inventory.Bin, error) {
	bin, err := inventory.BinNamed(ctx, b.tx, name)
	if fault.KindOf(err) != fault.NotFound {
		return bin, err
	}
	if kind == "" {
		kind = "shelf"
	}
	bin, err = inventory.AddBin(ctx, b.tx, inventory.Bin{Name: name, Kind: kind})
	if err == nil {
		b.l.out.NewBins = append(b.l.out.NewBins, bin.Name)
	}
	return bin, err
}

// part finds the part that a row names with two columns. The number alone will
// do where one maker has it.
func (b *base) part(ctx context.Context, number, maker, numberColumn string) (catalog.Part, error) {
	name := number
	if maker != "" {
		p, ok, err := catalog.PartOf(ctx, b.tx, maker, number)
		if err != nil || ok {
			return p, err
		}
		name = maker + "/" + number
	}
	p, err := catalog.PartNamed(ctx, b.tx, name)
	return p, in(numberColumn, err)
}

// partTaker takes parts in.
type partTaker struct{ base }

func (t *partTaker) take(ctx context.Context, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	old, found, err := catalog.PartOf(ctx, t.tx, get("maker"), get("number"))
	if err != nil {
		return catalog.Unchanged, err
	}
	p := old
	if !found {
		p = catalog.Part{Number: get("number"), Maker: get("maker")}
	}
	if err := t.tell(ctx, &p, r, get); err != nil {
		return catalog.Unchanged, err
	}
	if !found {
		return catalog.Added, t.add(ctx, p, r)
	}
	return t.change(ctx, old, p, r)
}

// change keeps what a list says of a part that is there: facts with a source
// as the list's word, the rest at once.
func (t *partTaker) change(ctx context.Context, old, p catalog.Part, r ready) (catalog.Outcome, error) {
	get := t.cells(r.row)
	outcome := catalog.Unchanged
	if kept := p.WithFactsOf(old); kept != old {
		outcome = catalog.Changed
		if err := catalog.ChangePart(ctx, t.tx, kept); err != nil {
			return outcome, err
		}
	}
	own := catalog.Part{Material: get("material"), Elastomer: get("elastomer")}
	toldSize(&own.Size, &own.Thread, get)
	toldTraits(&own.Traits, &own.Entered, get)
	var news bool
	err := t.s.renaming(ctx, t.tx, old.ID, func() (err error) {
		news, err = catalog.Heard(ctx, t.tx, old, p, own, t.word(get("source")))
		return err
	})
	if err != nil || !news {
		return outcome, err
	}
	said, err := catalog.StandingOn(ctx, t.tx, catalog.AboutPart, old.ID, "size")
	if len(said.Others) > 0 {
		t.l.note(exchange.Flaw{Line: r.row.Line, Column: t.l.header("number"), Why: fault.Say("claim.of", p.Name(), said.Line())})
	}
	return catalog.Changed, err
}

// word is whose word a list is: that of the source it names, else its own.
func (b *base) word(source string) catalog.Word {
	return catalog.Word{How: "list", Source: or(source, b.l.file.File), Person: b.who.ID}
}

// tell sets what a row tells of a part.
func (t *partTaker) tell(ctx context.Context, p *catalog.Part, r ready, get func(string) string) error {
	if typed := get("role"); typed != "" {
		role, err := t.s.role(typed)
		switch {
		case err == nil:
			p.Role = role
		case p.ID == "" || !ofRow(err):
			return in("role", err)
		default:
			if err := t.l.cell(r.row.Line, "role", err); err != nil {
				return err
			}
		}
	} else if p.ID == "" {
		if p.Role = r.reading.Role; p.Role == "" {
			return in("role", fault.New(fault.Invalid, "shop.no_role").WithHint("shop.import.no_role.hint"))
		}
	}
	told(&p.Description, get("description"))
	toldSize(&p.Size, &p.Thread, get)
	toldTraits(&p.Traits, &p.Entered, get)
	told(&p.Material, get("material"))
	told(&p.Elastomer, get("elastomer"))
	told(&p.Minimum, number(get("minimum")))
	told(&p.Source, get("source"))
	switch u := get("unit"); {
	case p.ID == "":
		p.Unit = unit(p.Role, u)
	case u != "" && u != p.Unit:
		if err := t.l.cell(r.row.Line, "unit", fault.New(fault.Conflict, "shop.import.unit", p.Unit, u)); err != nil {
			return err
		}
	}
	if name := get("home_bin"); name != "" {
		b, err := t.bin(ctx, name, "")
		if err == nil && b.Kind != "shelf" && b.Kind != "intake" {
			err = fault.New(fault.Invalid, "shop.bad_home", b.Name, b.Kind).WithHint("shop.bad_home.hint")
		}
		if err = t.l.cell(r.row.Line, "home_bin", err); err != nil {
			return err
		}
		if b.ID != "" {
			p.HomeBin = b.ID
		}
	}
	return nil
}

// add adds a part, and offers the numbers that its own may be without zeros.
func (t *partTaker) add(ctx context.Context, p catalog.Part, r ready) error {
	if p.Description == "" && !t.l.has["description"] {
		p.Description = t.s.describe(p)
	}
	if p.Source == "" && !t.l.has["source"] {
		p.Source = t.l.file.File
	}
	like, err := catalog.NumbersZeroed(ctx, t.tx, "", p.Number)
	if err != nil {
		return err
	}
	if p, err = catalog.AddPart(ctx, t.tx, p); err != nil {
		return err
	}
	if err := catalog.TellPart(ctx, t.tx, catalog.Part{}, p, t.word(p.Source)); err != nil {
		return err
	}
	for _, n := range like {
		if strings.HasPrefix(catalog.Normal(n), catalog.Normal(p.Maker)) {
			t.l.note(exchange.Flaw{Line: r.row.Line, Column: t.l.header("number"), Why: fault.Say("shop.import.zeros", p.Number, n)})
		}
	}
	return nil
}
