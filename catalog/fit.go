package catalog

import (
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Verdict says whether a part goes into a place.
type Verdict string

// The verdicts of the contract. Near is shown as "NOT the same, measure".
const (
	Fits Verdict = "fits"
	Near Verdict = "near"
	No   Verdict = "no"
)

// worse gives the worse of two verdicts.
func worse(a, b Verdict) Verdict {
	rank := map[Verdict]int{Fits: 0, Near: 1, No: 2}
	if rank[b] > rank[a] {
		return b
	}
	return a
}

// HeightSlack is how far the body height of a part may be off the nominal one:
// 0.3 mm, the wider of the two width tolerances of DIN 3760 (0.2 mm up to
// 10 mm, 0.3 mm above) as sellers of rotary seals print them. A trade value:
// common practice.
const HeightSlack measure.Length = 300

// Wanted is what a place asks of a part. Sizes are nominal; 0 leaves one open.
type Wanted struct {
	Role   Role
	Size   measure.Size
	Thread string
	Traits
}

// Fit compares a part with a place, by nominal sizes. Diameters must agree to
// the micrometre: 57.7 is not 57.9. Reasons name each difference, and each
// size that the part does not state.
func Fit(want Wanted, p Part) (Verdict, []fault.Message) {
	if p.Role != want.Role {
		return No, []fault.Message{fault.Say("catalog.other_role", fault.Say("role."+string(p.Role)))}
	}
	f := fitting{verdict: Fits}
	f.diameter("catalog.inner", want.Size.Inner, p.Size.Inner)
	f.diameter("catalog.outer", want.Size.Outer, p.Size.Outer)
	f.height(want.Role, want.Size.Height, p.Size.Height)
	switch want.Role {
	case OilSeal:
		f.overall(want.Size, p.Size)
	case Wiper:
		f.lip(want.Size.Overall, p.Size.Overall)
	}
	f.thread(want.Thread, p.Thread)
	return f.verdict, f.reasons
}

// fitting collects a verdict and its reasons.
type fitting struct {
	verdict Verdict
	reasons []fault.Message
}

func (f *fitting) add(v Verdict, id string, args ...any) {
	f.verdict = worse(f.verdict, v)
	f.reasons = append(f.reasons, fault.Say(id, args...))
}

// diameter compares a bore or an outside.
func (f *fitting) diameter(which string, want, got measure.Length) {
	switch {
	case want == 0 || want == got:
	case got == 0:
		f.add(Near, "catalog.not_stated", fault.Say(which))
	default:
		f.add(No, "catalog.differs", fault.Say(which), got, want)
	}
}

// height compares body heights: a taller body covers the clip groove, a
// shorter one is loose under the clip. Washers may be of any thickness;
// bushings and bolts go by their length.
func (f *fitting) height(role Role, want, got measure.Length) {
	name := "catalog.height"
	if role == TubeBushing || role == LowerBushing || role == BottomBolt || role == DrainScrew {
		name = "catalog.length"
	}
	switch {
	case want == 0 || want == got || role == BottomWasher || role == DrainWasher:
	case got == 0:
		f.add(Near, "catalog.not_stated", fault.Say(name))
	case got-want > HeightSlack:
		if role == OilSeal {
			f.add(No, "catalog.too_tall", got-want)
		} else {
			f.add(No, "catalog.differs", fault.Say(name), got, want)
		}
	case want-got > HeightSlack:
		if role == OilSeal {
			f.add(Near, "catalog.too_short", want-got)
		} else {
			f.add(No, "catalog.differs", fault.Say(name), got, want)
		}
	}
}

// overall compares overall heights of seals: a taller one may hold the wiper
// off its seat. A place that states its body height only leaves open how much
// is free above it, so that a lip above the body is to be measured.
func (f *fitting) overall(want, got measure.Size) {
	switch {
	case got.Overall == 0 || want.Height == 0 && want.Overall == 0:
	case want.Overall == 0 && got.Overall-want.Height > HeightSlack:
		f.add(Near, "catalog.overall_open", got.Overall-want.Height)
	case want.Overall != 0 && got.Overall-want.Overall > HeightSlack:
		f.add(Near, "catalog.taller_overall", got.Overall-want.Overall)
	}
}

// lip compares the overall heights of wipers, where both are stated: another
// lip may touch, or leave the seal open.
func (f *fitting) lip(want, got measure.Length) {
	if want != 0 && got != 0 && max(want-got, got-want) > HeightSlack {
		f.add(Near, "catalog.lip", got, want)
	}
}

// thread compares threads. One without a pitch never matches by itself.
func (f *fitting) thread(want, got string) {
	if want == "" {
		return
	}
	if got == "" {
		f.add(Near, "catalog.not_stated", fault.Say("catalog.thread"))
		return
	}
	w, errW := measure.ParseThread(want)
	g, errG := measure.ParseThread(got)
	switch {
	case errW != nil || errG != nil || w.Diameter() != g.Diameter():
		f.add(No, "catalog.differs", fault.Say("catalog.thread"), g, w)
	case !w.Stated() || !g.Stated():
		f.add(Near, "catalog.no_pitch", g, w)
	case !w.Same(g):
		f.add(No, "catalog.differs", fault.Say("catalog.thread"), g, w)
	}
}
