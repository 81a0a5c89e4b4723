package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Doubt is what speaks against a part in a place, whatever the sizes say.
type Doubt struct {
	Verdict Verdict // Near, or No
	Why     fault.Message
}

// Doubted gives the places with what speaks against the contents of a kit in
// them: that one was seen not to fit there, or that it is an old version,
// which nobody has said may still be fitted to that fork.
func Doubted(ctx context.Context, tx *store.Tx, places []Position, contents []Content) ([]Position, error) {
	places = slices.Clone(places)
	for i, p := range places {
		against := map[string]Doubt{}
		for _, c := range contents {
			if c.Part.ID == "" || c.Part.Role != p.Role {
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
			return Doubt{No, s.Old()}, true, err
		}
	}
	said, err := StandingOn(ctx, tx, AboutFit, FitSubject(p.ID, part.ID), "fits")
	return Doubt{Near, said.seen()}, said.refuted(), err
}
