package catalog

import (
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Looks is what is seen and measured of a fork while it is on the bike,
// beside layout and leg diameter. 0 and the empty text say that it is not
// known.
type Looks struct {
	CapShape  string         // of CapShapes: where the key for the fork cap goes
	CapFlats  measure.Length // across the flats of that hexagon or recess
	CapThread string         // as measure.ParseThread reads it
	Axle      measure.Length // diameter of the axle where the leg holds it
	Centres   measure.Length // from leg to leg, centre to centre, where all its bikes have the same
}

// The words for the shape of a fork cap, and for what stands on one.
var (
	CapShapes = []string{"hexagon", "hexagon_recess", "square_recess", "round"}
	Caps      = []string{"plain", "preload", "damping", "preload_damping", "air", "air_damping"}
)

// The most that is taken for a size of a fork's outside: twice what is met
// (common practice, no source).
const (
	widestFlats   = 100 * measure.Millimetre
	thickestAxle  = 60 * measure.Millimetre
	widestCentres = 500 * measure.Millimetre
)

func (o Looks) check() error {
	for _, l := range []struct {
		name string
		is   measure.Length
		most measure.Length
	}{{"cap_flats", o.CapFlats, widestFlats}, {"axle", o.Axle, thickestAxle}, {"centres", o.Centres, widestCentres}} {
		if l.is < 0 || l.is > l.most {
			return fault.New(fault.Invalid, "catalog.bad_looks", fault.Say("claim.field."+l.name), l.is, l.most)
		}
	}
	if o.CapThread != "" {
		if _, err := measure.ParseThread(o.CapThread); err != nil {
			return err
		}
	}
	return checkWord("cap_shape", o.CapShape, CapShapes)
}

// check refuses a cap that the leg cannot have.
func (l Leg) check() error {
	err := firstError(checkChoice("leg", l.Leg, Sides[1:]), checkChoice("damping", l.Damping, Dampings),
		checkChoice("springing", l.Springing, Springings), checkWord("cap", l.Cap, Caps))
	switch {
	case err != nil:
		return err
	case strings.HasPrefix(l.Cap, "air") && (l.Springing == "coil" || l.Springing == "none"):
		return fault.New(fault.Invalid, "catalog.cap_no_air", fault.Say("leg."+l.Leg), fault.Say("springing."+l.Springing)).
			WithHint("catalog.cap_no_air.hint")
	case strings.HasSuffix(l.Cap, "damping") && l.Damping == "none":
		return fault.New(fault.Invalid, "catalog.cap_no_damping", fault.Say("leg."+l.Leg)).WithHint("catalog.cap_no_damping.hint")
	}
	return nil
}

// facts gives the fields of f that carry claims.
func (f *Fork) facts() []fact {
	all := []fact{
		lengthFact("leg", &f.Leg), textFact("layout", &f.Layout), textFact("cap_shape", &f.CapShape), lengthFact("cap_flats", &f.CapFlats),
		textFact("cap_thread", &f.CapThread), lengthFact("axle", &f.Axle), lengthFact("centres", &f.Centres),
	}
	for _, side := range Sides[1:] {
		leg := &Leg{}
		for i := range f.Legs {
			if f.Legs[i].Leg == side {
				leg = &f.Legs[i]
			}
		}
		all = append(all, textFact(side+"_damping", &leg.Damping), textFact(side+"_cap", &leg.Cap))
	}
	return all
}

// looksLike reports whether nothing that is known of both tells two forks
// apart. The forks have their legs in order, as they are read.
func (f Fork) looksLike(other Fork) bool {
	if f.Layout != other.Layout || len(f.Legs) != len(other.Legs) {
		return false
	}
	for i, l := range f.Legs {
		if o := other.Legs[i]; l.Damping != o.Damping || l.Springing != o.Springing {
			return false
		}
	}
	theirs := other.facts()
	for i, mine := range f.facts() {
		if mine.value != "" && theirs[i].value != "" && mine.value != theirs[i].value {
			return false
		}
	}
	return true
}
