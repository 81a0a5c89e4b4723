package catalog

import (
	"cmp"
	"slices"
)

// Pour is what holds for one bike of how much oil a leg takes: the closest that
// is told, and of what that leaves open, what is told more widely.
type Pour struct {
	OilFill
	Lent []Lent // what the closest fill leaves open, in the order of lendings
}

// Lent is what a fill leaves open, and whose word stands instead.
type Lent struct {
	Field string // of lendings
	Of    OilFill
}

// lent reports whether a field was lent by another fill.
func (p Pour) lent(field string) bool {
	return slices.ContainsFunc(p.Lent, func(l Lent) bool { return l.Field == field })
}

// GapIsOwn reports whether the air gap and the volume are told together.
func (p Pour) GapIsOwn() bool { return !p.lent("gap") && !p.lent("dry") }

// lendings are what one fill can take over from another, each as a whole: an
// air gap is worth nothing without how it is measured, nor a viscosity of
// another grade. lend reports whether there was anything to take over.
var lendings = []struct {
	field string
	lend  func(to *OilFill, from OilFill) bool
}{
	{"dry", func(to *OilFill, from OilFill) bool {
		if to.DryML != 0 || from.DryML == 0 || from.DryML < to.RefillML {
			return false
		}
		to.DryML = from.DryML
		return true
	}},
	{"refill", func(to *OilFill, from OilFill) bool {
		if to.RefillML != 0 || from.RefillML == 0 || to.DryML != 0 && from.RefillML > to.DryML {
			return false
		}
		to.RefillML = from.RefillML
		return true
	}},
	{"gap", func(to *OilFill, from OilFill) bool {
		if to.Gap != 0 || from.Gap == 0 {
			return false
		}
		to.Gap, to.GapHow = from.Gap, from.GapHow
		return true
	}},
	{"grade", func(to *OilFill, from OilFill) bool {
		if to.Grade != "" || to.CSt != 0 || to.Index != 0 || from.Grade == "" && from.CSt == 0 && from.Index == 0 {
			return false
		}
		to.Grade, to.CSt, to.Index = from.Grade, from.CSt, from.Index
		return true
	}},
}

// OilOn gives the fills that hold for a bike of a fitment (empty: none) and
// year (0: any), of all that are told of its fork: for each chamber of each
// leg what is told of the bike and some of its years; what that leaves open, as
// it is told of the bike, else of the fork. Legs with the same fill share a
// row.
func OilOn(all []OilFill, fitment string, year int) []Pour {
	var out []Pour
	for _, chamber := range Chambers {
		left, right := closest(all, chamber, "left", fitment, year), closest(all, chamber, "right", fitment, year)
		if slices.Equal(left, right) {
			out = append(out, poured(left, "both")...)
			continue
		}
		out = append(append(out, poured(left, "left")...), poured(right, "right")...)
	}
	slices.SortStableFunc(out, func(a, b Pour) int {
		return cmp.Or(-cmp.Compare(a.Chamber, b.Chamber), cmp.Compare(a.Leg, b.Leg))
	})
	return out
}

// poured makes one of the fills of a leg, the closest first; none of none.
func poured(fills []OilFill, leg string) []Pour {
	if len(fills) == 0 {
		return nil
	}
	p := Pour{OilFill: fills[0]}
	p.Leg = leg
	for _, from := range fills[1:] {
		for _, l := range lendings {
			if l.lend(&p.OilFill, from) {
				p.Lent = append(p.Lent, Lent{l.field, from})
			}
		}
	}
	return []Pour{p}
}

// closest gives the fills that hold for a chamber of a leg, the closest first:
// one of the bike and some of its years, one of the bike, the fork's own.
func closest(all []OilFill, chamber, leg, fitment string, year int) (fills []OilFill) {
	for _, holds := range []func(OilFill) bool{
		func(o OilFill) bool {
			return o.Fitment == fitment && o.YearFrom != 0 && year != 0 && o.YearFrom <= year && (o.YearTo == 0 || year <= o.YearTo)
		},
		func(o OilFill) bool { return o.Fitment == fitment && o.YearFrom == 0 },
		func(o OilFill) bool { return o.Fitment == "" },
	} {
		i := slices.IndexFunc(all, func(o OilFill) bool {
			return o.Chamber == chamber && (o.Leg == "both" || o.Leg == leg) && holds(o)
		})
		if i >= 0 && !slices.Contains(fills, all[i]) {
			fills = append(fills, all[i])
		}
	}
	return fills
}
