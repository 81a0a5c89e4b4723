package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Doubt is what speaks against a part in a place for which it is named, or
// whose sizes it has.
type Doubt struct {
	Verdict Verdict // Near, or No
	Why     []fault.Message
}

// named reports whether a source names a part for the place.
func (p Position) named(part string) bool {
	return part != "" && slices.ContainsFunc(p.Parts, func(n NamedPart) bool { return n.Part == part })
}

// Doubted gives the places with what speaks against the contents of a kit in
// them: that one was seen not to fit there, that it is an old version, which
// nobody has said may still be fitted to that fork, or that it is named there
// against its sizes.
func Doubted(ctx context.Context, tx *store.Tx, places []Position, contents []Content) ([]Position, error) {
	places = slices.Clone(places)
	for i, p := range places {
		against := map[string]Doubt{}
		for _, c := range contents {
			if c.Part.ID == "" || c.Part.Role != p.Role && !p.named(c.Part.ID) {
				continue
			}
			d, found, err := doubt(ctx, tx, p, c.Part)
			if err != nil {
				return nil, err
			}
			if found {
				against[c.Part.ID] = d
			}
		}
		places[i].Against = against
	}
	return places, nil
}

func doubt(ctx context.Context, tx *store.Tx, p Position, part Part) (d Doubt, found bool, err error) {
	s, old, err := SuccessionOf(ctx, tx, part.ID)
	if err != nil {
		return d, false, err
	}
	if old {
		m, err := oldFor(ctx, tx, p, Match{Part: part, Verdict: Fits}, s)
		if err != nil || m.Verdict == No {
			return Doubt{No, m.Why}, true, err
		}
	}
	said, err := StandingOn(ctx, tx, AboutFit, FitSubject(p.ID, part.ID), "fits")
	if err != nil || said.refuted() {
		return Doubt{Near, []fault.Message{said.seen()}}, err == nil, err
	}
	d, found = p.misnamed(part, said)
	return d, found, nil
}

// misnamed tells what is wrong with naming a part for the place: it is another
// kind of part, or its sizes are others, and nobody has seen it fit.
func (p Position) misnamed(part Part, said Standing) (d Doubt, wrong bool) {
	if !p.named(part.ID) {
		return d, false
	}
	verdict, why := Fit(p.Wanted(), part)
	switch {
	case verdict != No:
		return d, false
	case part.Role != p.Role:
		return Doubt{No, why}, true
	}
	return Doubt{Near, why}, said.Right == 0
}
