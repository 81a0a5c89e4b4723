package shop

import (
	"context"
	"encoding/json"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Looks is what is seen and measured of a fork on the bike, beside layout and
// leg diameter.
type Looks struct {
	CapShape  string         `json:"cap_shape"` // of catalog.CapShapes; empty: not known
	CapFlats  measure.Length `json:"cap_flats_um"`
	CapThread string         `json:"cap_thread"`
	Axle      measure.Length `json:"axle_um"`
	Centres   measure.Length `json:"centres_um"` // from leg to leg
}

// MarshalJSON writes null for each length that is not known.
func (l Looks) MarshalJSON() ([]byte, error) {
	type plain Looks
	return json.Marshal(struct {
		plain
		CapFlats *measure.Length `json:"cap_flats_um"`
		Axle     *measure.Length `json:"axle_um"`
		Centres  *measure.Length `json:"centres_um"`
	}{plain(l), known(l.CapFlats), known(l.Axle), known(l.Centres)})
}

// Said gives what is known, as it stands on screens.
func (l Looks) Said() (all []fault.Message) {
	if l.CapShape != "" {
		all = append(all, fault.Say("shop.looks.cap", fault.Say("cap_shape."+l.CapShape)))
	}
	for _, m := range []struct {
		id string
		l  measure.Length
	}{{"cap_flats", l.CapFlats}, {"axle", l.Axle}, {"centres", l.Centres}} {
		if m.l != 0 {
			all = append(all, fault.Say("shop.looks."+m.id, m.l))
		}
	}
	if l.CapThread != "" {
		all = append(all, fault.Say("shop.looks.cap_thread", sizes(measure.Size{}, l.CapThread)))
	}
	return all
}

// LookFacts are the looks as they were typed; an empty text leaves one as it
// is.
type LookFacts struct {
	CapShape          string // of catalog.CapShapes
	CapFlats          string // as measure.ParseLength reads it, and so are the others
	CapThread         string // as measure.ParseThread reads it
	Axle, Centres     string
	LeftCap, RightCap string // of catalog.Caps
}

// apply sets the looks that were told of f. Error: Invalid.
func (q LookFacts) apply(f *catalog.Fork) error {
	f.CapShape = or(wordFor("cap_shape", q.CapShape, catalog.CapShapes), f.CapShape)
	for _, l := range []struct {
		typed string
		to    *measure.Length
	}{{q.CapFlats, &f.CapFlats}, {q.Axle, &f.Axle}, {q.Centres, &f.Centres}} {
		if trimmed(l.typed) == "" {
			continue
		}
		var err error
		if *l.to, err = measure.ParseLength(l.typed); err != nil {
			return err
		}
	}
	if trimmed(q.CapThread) != "" {
		t, err := measure.ParseThread(trimmed(q.CapThread))
		if err != nil {
			return err
		}
		f.CapThread = t.String()
	}
	for i, l := range f.Legs {
		typed := map[string]string{"left": q.LeftCap, "right": q.RightCap}[l.Leg]
		f.Legs[i].Cap = or(wordFor("cap", typed, catalog.Caps), l.Cap)
	}
	return nil
}

// retold lets facts of a fork count that were typed as they are known already:
// one more source for them.
func (q ForkFacts) retold(was *catalog.Fork, now catalog.Fork) {
	for _, l := range []struct {
		typed string
		was   *measure.Length
		now   measure.Length
	}{
		{q.Leg, &was.Leg, now.Leg},
		{q.Looks.CapFlats, &was.CapFlats, now.CapFlats},
		{q.Looks.Axle, &was.Axle, now.Axle},
		{q.Looks.Centres, &was.Centres, now.Centres},
	} {
		if trimmed(l.typed) != "" && *l.was == l.now {
			*l.was = 0
		}
	}
	type word struct {
		typed string
		was   *string
		now   string
	}
	all := []word{
		{q.Layout, &was.Layout, now.Layout},
		{q.Looks.CapShape, &was.CapShape, now.CapShape},
		{q.Looks.CapThread, &was.CapThread, now.CapThread},
	}
	for i, l := range now.Legs {
		all = append(all, word{map[string]string{"left": q.Looks.LeftCap, "right": q.Looks.RightCap}[l.Leg], &was.Legs[i].Cap, l.Cap},
			word{side(q.Damping, l.Leg), &was.Legs[i].Damping, l.Damping})
	}
	for _, w := range all {
		if trimmed(w.typed) != "" && *w.was == w.now {
			*w.was = ""
		}
	}
}

// seenPlaces adds the places of a new fork that were seen from outside: its
// wiper, whose outside was measured, and its drain screw, there or not.
func (q ForkFacts) seenPlaces(ctx context.Context, tx *store.Tx, f catalog.Fork, who Actor) error {
	var places []catalog.Position
	if trimmed(q.Wiper) != "" {
		p := newPlace(catalog.Wiper)
		var err error
		if p.Size.Outer, err = measure.ParseLength(q.Wiper); err != nil {
			return err
		}
		places = append(places, p)
	}
	if screw := trimmed(q.DrainScrew); screw != "" {
		p := newPlace(catalog.DrainScrew)
		p.Fitted = wordFor("fitted", screw, catalog.Fitteds)
		places = append(places, p)
	}
	for i, p := range places {
		p.Seq = i + 1
		p, err := catalog.AddPosition(ctx, tx, f.ID, p)
		if err != nil {
			return err
		}
		if err := catalog.TellPlace(ctx, tx, catalog.Position{}, p, word(who, q.How, q.Source)); err != nil {
			return err
		}
	}
	return nil
}

// seenFrame adds to the note of a new fork the frame number of the bike that
// it was seen on, where neither make nor model is told.
func (s *Shop) seenFrame(q ForkFacts) ForkFacts {
	if q.Bike.Make != "" || q.Bike.Model != "" || q.Bike.Frames == "" && q.Bike.Code == "" && q.Bike.Years == "" {
		return q
	}
	seen := tidied(q.Bike.Code + " " + q.Bike.Frames + " " + q.Bike.Years)
	q.Note = tidied(q.Note + " " + words.For(s.settings.Language).Say("shop.seen_on", seen))
	q.Bike = Bike{}
	return q
}
