package catalog

import (
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// thread compares threads. One without a pitch never matches by itself: the
// coarse pitch of ISO 262 is a hint, and M10x1.25 and M10x1 are met as well.
func (f *fitting) thread(want, got string) {
	if want == "" || f.unstated(got == "", "catalog.thread") {
		return
	}
	w, errW := measure.ParseThread(want)
	g, errG := measure.ParseThread(got)
	coarse := max(w.CoarseHint(), g.CoarseHint())
	switch {
	case errW != nil || errG != nil || w.Series != g.Series || w.Diameter() != g.Diameter():
		f.miss(1, 0, "catalog.differs", fault.Say("catalog.thread"), g, w)
	case (!w.Stated() || !g.Stated()) && coarse != 0:
		f.add(Near, "catalog.no_pitch_coarse", g, w, coarse)
	case !w.Stated() || !g.Stated():
		f.add(Near, "catalog.no_pitch", g, w)
	case !w.Same(g):
		f.miss(0, 0, "catalog.differs", fault.Say("catalog.thread"), g, w)
	default:
		f.agreed++
	}
}

// head compares the heights of bolts' heads: a taller one may stand out of its
// recess, a lower one has a smaller key and holds less.
func (f *fitting) head(want Wanted, p Part) {
	if want.Head == 0 || f.unstated(p.Head == 0, "catalog.head") {
		return
	}
	w, g := headLike(or(want.Thread, p.Thread), want.Head), headLike(or(p.Thread, want.Thread), p.Head)
	switch off := p.Head - want.Head; {
	case abs(off) <= it14.of(want.Head):
		f.agreed++
	case off > 0:
		f.miss(off, nextHeight, "catalog.head_taller", g, w)
	default:
		f.add(Near, "catalog.head_lower", g, w)
	}
}

// heads are the heights of heads of hexagon socket bolts, and the key for
// them. Sources: ISO 4762 and DIN 7984, as a public table of fasteners prints
// them (FreeCAD_FastenersWB). Special bolts need not follow them.
var heads = []struct {
	standard    string
	thread      measure.Length // nominal diameter
	height, key measure.Length
}{
	{"ISO 4762", 5000, 5000, 4000},
	{"ISO 4762", 6000, 6000, 5000},
	{"ISO 4762", 8000, 8000, 6000},
	{"ISO 4762", 10_000, 10_000, 8000},
	{"ISO 4762", 12_000, 12_000, 10_000},
	{"DIN 7984", 6000, 4000, 4000},
	{"DIN 7984", 8000, 5000, 5000},
	{"DIN 7984", 10_000, 6000, 7000},
}

// headLike names the standard that a head of a height follows, with its key;
// the height alone where none does.
func headLike(thread string, height measure.Length) fault.Message {
	t, err := measure.ParseThread(thread)
	for _, h := range heads {
		if err == nil && t.Series == "M" && t.Diameter() == h.thread && height == h.height {
			return fault.Say("catalog.head_like", height, h.standard, h.key)
		}
	}
	return fault.Say("catalog.mm", height)
}

// word compares what a bolt's head sits on.
func (f *fitting) word(kind, want, got string) {
	switch {
	case want == "" || f.unstated(got == "", "field."+kind):
	case want == got:
		f.agreed++
	default:
		f.miss(0, 0, "catalog.word_differs", fault.Say(kind+"."+got), fault.Say(kind+"."+want))
	}
}

// strength compares strength classes: a weaker one never does; of a stronger
// one the manual has to tell.
func (f *fitting) strength(want, got string) {
	if want == "" || f.unstated(got == "", "field.strength") {
		return
	}
	w, g := slices.Index(steelClasses, want), slices.Index(steelClasses, got)
	switch {
	case want == got:
		f.agreed++
	case w < 0 || g < 0: // a stainless one and another class
		f.miss(0, 0, "catalog.strength_other", got, want)
	case g < w:
		f.miss(0, 0, "catalog.weaker", got, want)
	default:
		f.add(Near, "catalog.stronger", got, want)
	}
}

// coated compares the coated faces of bushings.
func (f *fitting) coated(want, got string) {
	if got == "both" && want != "" && want != got {
		f.add(Near, "catalog.word_differs", fault.Say("coated."+got), fault.Say("coated."+want))
		return
	}
	f.word("coated", want, got)
}
