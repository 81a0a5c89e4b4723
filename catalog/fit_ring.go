package catalog

import (
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// By how much a part may be off and still be taken for the right one in the
// hand: common practice, no source.
const (
	nextDiameter = 2500 * measure.Micrometre
	nextHeight   = 5 * measure.Millimetre
	nextLength   = 10 * measure.Millimetre
)

// diameter compares a nominal bore or outside; of an old part, within what
// wear and being pulled out make of it.
func (f *fitting) diameter(which string, want, got measure.Length, worn band) {
	switch off := got - want; {
	case want == 0 || f.unstated(got == 0, which):
	case f.worn && worn.holds(off):
		f.agreed++
		f.oldSeal(which, off)
	case f.worn:
		f.miss(off, nextDiameter, "catalog.worn_differs", fault.Say(which), got, want)
	case abs(off) <= rounding(f.role):
		f.agreed++
	default:
		f.miss(off, nextDiameter, "catalog.differs", fault.Say(which), got, want)
	}
}

// oldSeal names what is odd of an old seal or wiper that still counts as the
// same: an outside smaller than wear makes it, or a bore wider than that of a
// new one, which a lip gets that ran dry or was measured with force.
func (f *fitting) oldSeal(which string, off measure.Length) {
	switch {
	case !pressed(f.role):
	case which == "catalog.outer" && off > slip:
		f.add(Near, "catalog.worn_small", off)
	case which == "catalog.inner" && off < -slip:
		f.add(Near, "catalog.worn_wide", -off)
	}
}

// tube compares the bore of a part with the tube that was measured.
func (f *fitting) tube(tube, got measure.Length) {
	if tube == 0 || f.unstated(got == 0, "catalog.inner") {
		return
	}
	fits, near := tubeBands(f.role, tube)
	switch off := got - tube; {
	case fits.holds(off):
		f.agreed++
		if other := neighbour(got); other != 0 {
			f.add(Fits, "catalog.micrometer", min(got, other), max(got, other))
		}
	case near.holds(off) && f.role == BackupWasher:
		f.add(Near, "catalog.tube_washer", got, tube)
	case near.holds(off):
		f.add(Near, "catalog.tube_near", got, tube)
	default:
		f.miss(off, nextDiameter, "catalog.tube_differs", got, tube)
	}
}

// bore compares the outside of a part with what it sits in: the bore of the
// lower, the counterbore of a washer, the groove that a clip springs into.
func (f *fitting) bore(bore, got measure.Length) {
	if bore == 0 || f.unstated(got == 0, "catalog.outer") {
		return
	}
	fits, near := boreBands(f.role, bore)
	switch off := got - bore; {
	case fits.holds(off):
		f.agreed++
	case near.holds(off) && f.role == Clip:
		f.add(Near, "catalog.clip_near", got, bore)
	case near.holds(off) && loose(f.role):
		f.add(Near, "catalog.washer_loose", bore-got)
	case near.holds(off):
		f.add(Near, "catalog.bore_near", got, bore)
	case loose(f.role) && off > 0:
		f.miss(off, nextDiameter, "catalog.washer_wide", off)
	default:
		f.miss(off, nextDiameter, "catalog.bore_differs", got, bore)
	}
}

// height compares the heights of bodies: a taller one covers the clip groove,
// a shorter one is loose under the clip. Sealing washers may be of any
// thickness; bushings and bolts go by their length, O-rings by their section.
func (f *fitting) height(want, got measure.Length) {
	name := heightName(f.role)
	slack := heightSlack(f.role, want)
	if f.worn {
		slack = wornHeight(f.role, want)
	}
	switch off := got - want; {
	case want == 0 || f.role == BottomWasher || f.role == DrainWasher || f.unstated(got == 0, name):
	case abs(off) <= slack:
		f.agreed++
	case f.role == OilSeal && off < 0:
		f.add(Near, "catalog.too_short", -off)
	case f.worn:
		f.miss(off, nextHeight, "catalog.worn_differs", fault.Say(name), got, want)
	case f.role == OilSeal:
		f.miss(off, nextHeight, "catalog.too_tall", off)
	case f.role.Bolt() && off > 0:
		f.miss(off, nextLength, "catalog.bolt_long", off)
	case f.role.Bolt():
		f.miss(off, nextLength, "catalog.bolt_short", -off)
	default:
		f.miss(off, nextHeight, "catalog.differs", fault.Say(name), got, want)
	}
}

// heightName is what the height of a part of a role is called.
func heightName(role Role) string {
	switch {
	case role.Bolt() || role.Bushing():
		return "catalog.length"
	case oring(role):
		return "catalog.section"
	}
	return "catalog.height"
}

// groove compares the height of a seal's body with the depth that the groove
// leaves for it under the clip.
func (f *fitting) groove(groove, got measure.Length) {
	if groove == 0 || f.unstated(got == 0, "catalog.height") {
		return
	}
	switch off := got - groove; {
	case off < -clipPlay:
		f.add(Near, "catalog.too_short", -off)
	case off <= calliper:
		f.agreed++
	case off <= heightSlack(OilSeal, groove):
		f.add(Near, "catalog.tight", off)
	default:
		f.miss(off, nextHeight, "catalog.too_tall", off)
	}
}

// overall compares overall heights. That of a seal may hold the wiper off its
// seat; where only the height of the body is known, it stays open how much is
// free above it. Another lip of a wiper may touch, or leave the seal open; one
// that was not asked for is to be compared.
func (f *fitting) overall(want Wanted, got measure.Size) {
	asked, body := want.Size.Overall, want.Size.Height
	if body == 0 || want.Groove != 0 && want.Groove < body {
		body = want.Groove
	}
	slack := overallSlack
	if f.worn {
		slack = wornOverall
	}
	switch off := got.Overall - asked; {
	case f.role == Wiper && asked != 0:
		if !f.unstated(got.Overall == 0, "catalog.overall") && abs(off) > slack {
			f.add(Near, "catalog.lip", got.Overall, asked)
		}
	case got.Overall == 0:
	case f.role == Wiper:
		if body != 0 && got.Overall-body > slack {
			f.add(Near, "catalog.lip_open", got.Overall)
		}
	case f.role != OilSeal || asked == 0 && body == 0:
	case asked == 0 && got.Overall-body > slack:
		f.add(Near, "catalog.overall_open", got.Overall-body)
	case asked != 0 && off > slack:
		f.add(Near, "catalog.taller_overall", off)
	}
}

// wall compares the wall of a bushing. A split one shows it, and its length,
// better than its diameters.
func (f *fitting) wall(want measure.Length, got measure.Size) {
	if want == 0 || f.unstated(got.Inner == 0 || got.Outer == 0, "catalog.wall") {
		return
	}
	wall := (got.Outer - got.Inner) / 2
	fits, near := wallBands(f.worn)
	switch off := wall - want; {
	case fits.holds(off):
		f.agreed++
	case near.holds(off):
		f.add(Near, "catalog.wall_near", wall, want)
	default:
		f.miss(off, nextWall, "catalog.differs", fault.Say("catalog.wall"), wall, want)
	}
}

const nextWall = 600 * measure.Micrometre // as nextDiameter
