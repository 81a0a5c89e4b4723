package demo

import (
	"context"
	"strings"

	"forkstock/catalog"
)

// The lists and the bench whose word the demo shop goes by. A list decides
// nothing; what somebody saw on the bench was seen right a few times since.

// listed is the word of a printed list, or of the bench where the source says
// so.
func (s *filler) listed(source string) catalog.Word {
	if rest, bench := strings.CutPrefix(source, "bench: "); bench {
		return catalog.Word{How: "bench", Source: rest, Person: s.person}
	}
	if source == callipers {
		return catalog.Word{How: "bench", Person: s.person}
	}
	return catalog.Word{How: "list", Source: source, Person: s.person}
}

// claimFork claims what is told of a fork and its places; what makers' lists
// name was confirmed on the bench where the shop sees the fork often.
func (s *filler) claimFork(ctx context.Context, f *fork) error {
	if err := catalog.TellFork(ctx, s.tx, catalog.Fork{}, f.Fork, s.listed(f.Source)); err != nil {
		return err
	}
	for _, p := range f.places {
		named := p.Position.Parts
		p.Position.Parts = nil
		if err := catalog.TellPlace(ctx, s.tx, catalog.Position{}, p.Position, s.listed(f.Source)); err != nil {
			return err
		}
		for _, n := range named {
			now := catalog.Position{ID: p.ID, Parts: []catalog.NamedPart{n}}
			if err := catalog.TellPlace(ctx, s.tx, catalog.Position{}, now, s.listed(n.Source)); err != nil {
				return err
			}
		}
	}
	return nil
}

// doubts enters what lists contradict each other in, and what was seen on the
// bench, for some parts of the first copy.
func (s *filler) doubts(ctx context.Context, b *book) error {
	seal := b.byName[storySeal]
	other := catalog.Claim{
		About: catalog.AboutPart, Subject: seal.ID, Field: "size", Value: "39x52x10.5",
		Word: s.listed(suppliers[0].name + " list 2014"),
	}
	if _, err := catalog.Claimed(ctx, s.tx, other); err != nil {
		return err
	}
	for _, w := range b.wares {
		if hash("seen/"+w.Name())%12 != 0 && w != seal {
			continue
		}
		claims, err := catalog.Claims(ctx, s.tx, catalog.AboutPart, w.ID)
		if err != nil {
			return err
		}
		force, ok := catalog.InForce(claims)
		for range 1 + hash("often/"+w.Name())%6 {
			if !ok {
				break
			}
			if err := catalog.Saw(ctx, s.tx, force, true, "", s.person); err != nil {
				return err
			}
		}
	}
	return nil
}
