package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/search"
)

// Knowledge from the bench. A request holds what was typed; nil leaves a fact
// as it is, and an empty text takes it back to what it is without being told.

// SizeFacts are the sizes of a part or of a place.
type SizeFacts struct {
	Size   *string // as measure.ParseSize reads it; of an O-ring also as measure.ParseORing does
	Thread *string // as measure.ParseThread reads it
	Length *string // of a bolt or a bushing
	TraitFacts
}

// apply sets the facts that were told; whether they go together, the catalog
// tells. Error: Invalid.
func (f SizeFacts) apply(role catalog.Role, size *measure.Size, thread *string) (err error) {
	if f.Size != nil {
		if *size, err = readSize(role, trimmed(*f.Size)); err != nil {
			return err
		}
	}
	if f.Thread != nil {
		if *thread, err = readThread(trimmed(*f.Thread)); err != nil {
			return err
		}
	}
	if f.Length == nil {
		return nil
	}
	if trimmed(*f.Length) == "" {
		if f.Size == nil {
			size.Height = 0
		}
		return nil
	}
	long, err := measure.ParseLength(*f.Length)
	if err != nil {
		return err
	}
	if f.Size != nil && size.Height != 0 && size.Height != long {
		return fault.New(fault.Invalid, "shop.two_lengths", size.Height, long).WithHint("shop.two_lengths.hint")
	}
	size.Height = long
	return nil
}

func readSize(role catalog.Role, text string) (measure.Size, error) {
	if text == "" {
		return measure.Size{}, nil
	}
	if role == catalog.CapORing || role == "base_valve_oring" {
		if o, err := measure.ParseORing(text); err == nil {
			return measure.Size{Inner: o.Inner, Outer: o.Inner + 2*o.Section, Height: o.Section}, nil
		}
	}
	size, err := measure.ParseSize(text)
	if err != nil && (role == catalog.BottomBolt || role == catalog.DrainScrew) {
		return size, fault.Of(err).WithHint("shop.bolt_size.hint")
	}
	return size, err
}

func readThread(text string) (string, error) {
	if text == "" {
		return "", nil
	}
	t, err := measure.ParseThread(text)
	if err != nil && strings.Count(strings.ToLower(text), "x") > 1 {
		return "", fault.Of(err).WithHint("shop.bolt_size.hint")
	}
	return t.String(), err
}

// PartFacts are what can be told of a part.
type PartFacts struct {
	Role *string // id of a role, or a word for it in either language
	SizeFacts
	Description *string // default: the word for the role, and the size
	Unit        *string // default: piece, of oil mL; stays as it was added
	Bin         *string // the part's home
	Minimum     *int64  // the least to have on hand
	Elastomer   *string
	Source      *string // default: who adds the part
	How         string  // of catalog.Hows: what kind of source; default told
}

// AddPart adds the part MAKER/NUMBER. Errors: Invalid, Ambiguous (the word for
// the role), NotFound (the bin), Conflict (there is one already).
func (s *Shop) AddPart(ctx context.Context, name string, f PartFacts) (PartPage, error) {
	maker, number, ok := strings.Cut(name, "/")
	if !ok {
		return PartPage{}, fault.New(fault.Invalid, "shop.no_maker", clipped(name)).WithHint("shop.no_maker.hint")
	}
	var page PartPage
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		p, err := s.newPart(ctx, tx, who, catalog.Part{Maker: tidied(maker), Number: tidied(number), Source: who.Name}, f)
		if err != nil {
			return err
		}
		page, err = s.partPage(ctx, tx, p)
		return err
	})
	return page, err
}

// newPart adds p with the facts that were told of it.
func (s *Shop) newPart(ctx context.Context, tx *store.Tx, who Actor, p catalog.Part, f PartFacts) (catalog.Part, error) {
	err := s.apply(ctx, tx, &p, f)
	if err != nil {
		return p, err
	}
	if p, err = catalog.AddPart(ctx, tx, p); err != nil {
		return p, err
	}
	return p, catalog.TellPart(ctx, tx, catalog.Part{}, p, word(who, f.How, text(f.Source)))
}

// ChangePart changes facts of a part; number, maker and unit stay. Errors:
// Invalid, NotFound, Ambiguous.
func (s *Shop) ChangePart(ctx context.Context, name string, f PartFacts) (PartPage, error) {
	if f == (PartFacts{}) {
		return PartPage{}, noChange()
	}
	var page PartPage
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		p, err := catalog.PartNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		was := p
		if err := s.apply(ctx, tx, &p, f); err != nil {
			return err
		}
		if err := catalog.ChangePart(ctx, tx, p); err != nil {
			return err
		}
		f.retold(&was.Size, p.Size, &was.Thread, p.Thread)
		if err := catalog.TellPart(ctx, tx, was, p, word(who, f.How, text(f.Source))); err != nil {
			return err
		}
		page, err = s.partPage(ctx, tx, p)
		return err
	})
	return page, err
}

func noChange() error {
	return fault.New(fault.Invalid, "shop.no_change").WithHint("shop.no_change.hint")
}

// apply sets the facts that were told of p, which has no id while it is new.
func (s *Shop) apply(ctx context.Context, tx *store.Tx, p *catalog.Part, f PartFacts) (err error) {
	said := s.describe(*p)
	if f.Role != nil || p.ID == "" {
		if p.Role, err = s.role(text(f.Role)); err != nil {
			return err
		}
	}
	if err := f.SizeFacts.apply(p.Role, &p.Size, &p.Thread); err != nil {
		return err
	}
	if err := f.tell(&p.Traits); err != nil {
		return err
	}
	p.Entered = f.entered(p.Role, p.Size, p.Entered)
	if p.ID == "" {
		p.Unit = unit(p.Role, text(f.Unit))
	}
	if f.Bin != nil {
		if p.HomeBin, err = homeBin(ctx, tx, trimmed(*f.Bin)); err != nil {
			return err
		}
	}
	if f.Minimum != nil {
		p.Minimum = *f.Minimum
	}
	set(&p.Description, f.Description)
	set(&p.Elastomer, f.Elastomer)
	set(&p.Source, f.Source)
	if p.Description == "" || f.Description == nil && p.Description == said {
		p.Description = s.describe(*p)
	}
	return nil
}

// describe is what a part is called where nobody has said.
func (s *Shop) describe(p catalog.Part) string {
	return trimmed(words.For(s.settings.Language).Say("role."+string(p.Role)) + " " + sizes(p.Size, p.Thread).Size)
}

// unit gives the unit that was typed, or that of the role where none was.
func unit(role catalog.Role, typed string) string {
	switch {
	case strings.EqualFold(typed, catalog.Millilitre) || typed == "" && role == catalog.Oil:
		return catalog.Millilitre
	case typed == "":
		return catalog.Piece
	}
	return strings.ToLower(typed)
}

// homeBin finds a bin to keep a part in: none that holds the parts of a job,
// or what must not be used.
func homeBin(ctx context.Context, tx *store.Tx, name string) (string, error) {
	if name == "" {
		return "", nil
	}
	b, err := inventory.BinNamed(ctx, tx, name)
	if err == nil && b.Kind != "shelf" && b.Kind != "intake" {
		err = fault.New(fault.Invalid, "shop.bad_home", b.Name, b.Kind).WithHint("shop.bad_home.hint")
	}
	return b.ID, err
}

// role reads the id of a role, or a word for it in either language. Errors:
// Invalid and, where a word means several, Ambiguous.
func (s *Shop) role(typed string) (catalog.Role, error) {
	for _, r := range catalog.Roles {
		for _, name := range []string{string(r), words.For("en").Say("role." + string(r)), words.For("de").Say("role." + string(r))} {
			if catalog.Normal(name) == catalog.Normal(typed) {
				return r, nil
			}
		}
	}
	if typed == "" {
		e := catalog.BadRole("")
		e.Message = fault.Say("shop.no_role")
		return "", e
	}
	q := search.Understand(typed, search.NewVocabulary(nil, nil))
	whole := len(q.Words) == 0 && len(q.Sizes) == 0 && len(q.Lengths) == 0 && len(q.Threads) == 0 && q.Year == 0
	e := catalog.BadRole(typed, q.Roles...)
	switch {
	case whole && len(q.Roles) == 1 && len(q.Read) == 0:
		return q.Roles[0], nil
	case whole && len(q.Roles) > 1:
		e.Kind, e.Message = fault.Ambiguous, fault.Say("shop.roles_possible", clipped(typed))
	}
	return "", e
}

// text gives what was typed, tidied, empty where nothing was.
func text(typed *string) string {
	if typed == nil {
		return ""
	}
	return tidied(*typed)
}

func set(to *string, typed *string) {
	if typed != nil {
		*to = tidied(*typed)
	}
}

// clipped keeps what was typed by mistake from filling the screen.
func clipped(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

// tidied gives text with single spaces, and none at its ends.
func tidied(text string) string {
	return strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }), " ")
}
