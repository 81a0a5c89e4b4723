package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// ContentFacts name a thing in a kit: a part, or a role with what is known of
// its size where the kit's maker names no number.
type ContentFacts struct {
	Part string
	Role *string
	SizeFacts
	Pieces *int64 // of the part's unit; default 1
}

// AddContent says what a kit brings. Errors: Invalid, NotFound, Ambiguous,
// Conflict (it is told already).
func (s *Shop) AddContent(ctx context.Context, kit string, f ContentFacts) (Kit, error) {
	return s.contents(ctx, kit, f, func(all []catalog.Content, c catalog.Content) ([]catalog.Content, error) {
		c.Pieces = 1
		if f.Pieces != nil {
			c.Pieces = *f.Pieces
		}
		return append(all, c), nil
	})
}

// ChangeContent says how many pieces a kit brings of a thing; 0 takes it out.
// Errors: Invalid, NotFound, Ambiguous where a role alone means several.
func (s *Shop) ChangeContent(ctx context.Context, kit string, f ContentFacts) (Kit, error) {
	if f.Pieces == nil {
		return Kit{}, fault.New(fault.Invalid, "shop.no_change").WithHint("shop.no_pieces.hint")
	}
	return s.contents(ctx, kit, f, func(all []catalog.Content, c catalog.Content) ([]catalog.Content, error) {
		hits := []int{}
		word := what(c.Part)
		e := fault.New(fault.Ambiguous, "shop.contents_possible", word).WithHint("shop.contents_possible.hint")
		for i, in := range all {
			if isNamed(in.Part, c.Part) {
				hits = append(hits, i)
				e.Candidates = append(e.Candidates, fault.Candidate{Name: naming(in.Part), Tell: what(in.Part)})
			}
		}
		switch {
		case len(hits) == 0:
			return nil, fault.New(fault.NotFound, "shop.content_absent", word).
				WithHint("shop.content_absent.hint", words.ShellWord(kit))
		case len(hits) > 1:
			return nil, e
		case *f.Pieces == 0:
			return slices.Delete(all, hits[0], hits[0]+1), nil
		}
		all[hits[0]].Pieces = *f.Pieces
		return all, nil
	})
}

// isNamed reports whether a thing in a kit is the one that was named: the part,
// or one of the role that agrees in what was told of its size.
func isNamed(in, named catalog.Part) bool {
	if named.ID != "" {
		return in.ID == named.ID
	}
	same := named.Size == in.Size || named.Size.String() == ""
	return in.ID == "" && in.Role == named.Role && same && (named.Thread == "" || named.Thread == in.Thread)
}

// what tells which thing in a kit is meant.
func what(p catalog.Part) fault.Message {
	if p.ID != "" {
		return fault.Plain(p.Name())
	}
	return fault.Say("shop.tell_place", fault.Say("role."+string(p.Role)), sizes(p.Size, p.Thread))
}

// naming gives the words by which a command names a thing in a kit.
func naming(p catalog.Part) string {
	if p.ID != "" {
		return words.ShellWord(p.Name())
	}
	text := "--role " + string(p.Role)
	if s := p.Size.String(); s != "" {
		text += " --size " + words.ShellWord(s)
	}
	if p.Thread != "" {
		text += " --thread " + p.Thread
	}
	return text
}

// contents finds the kit and the thing that was named, lets change give what
// the kit brings from now on, and keeps it.
func (s *Shop) contents(ctx context.Context, name string, f ContentFacts, change func([]catalog.Content, catalog.Content) ([]catalog.Content, error)) (Kit, error) {
	var out Kit
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		kit, err := kitNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		c, err := s.named(ctx, tx, f)
		if err != nil {
			return err
		}
		all, err := catalog.Contents(ctx, tx, kit.ID)
		if err != nil {
			return err
		}
		if all, err = change(all, c); err != nil {
			return err
		}
		if err := catalog.SetContents(ctx, tx, kit, all); err != nil {
			return err
		}
		out, err = kitView(ctx, tx, kit)
		return err
	})
	return out, err
}

// named reads which thing is meant.
func (s *Shop) named(ctx context.Context, tx *store.Tx, f ContentFacts) (c catalog.Content, err error) {
	if (f.Part == "") == (f.Role == nil) || f.Part != "" && f.SizeFacts != (SizeFacts{}) {
		return c, fault.New(fault.Invalid, "shop.part_or_role").WithHint("shop.part_or_role.hint")
	}
	if f.Part != "" {
		c.Part, err = catalog.PartNamed(ctx, tx, f.Part)
		return c, err
	}
	if c.Part.Role, err = s.role(text(f.Role)); err != nil {
		return c, err
	}
	return c, f.SizeFacts.apply(c.Part.Role, &c.Part.Size, &c.Part.Thread)
}

// SetLegs says for how many legs a kit is, 1 or 2. Errors: Invalid, NotFound,
// Ambiguous.
func (s *Shop) SetLegs(ctx context.Context, name string, legs int) (Kit, error) {
	var out Kit
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		kit, err := kitNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if err := catalog.SetLegs(ctx, tx, kit, legs); err != nil {
			return err
		}
		out, err = kitView(ctx, tx, kit)
		return err
	})
	return out, err
}
