package catalog

import (
	"slices"

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

// badness orders verdicts, the best first.
func (v Verdict) badness() int { return map[Verdict]int{Near: 1, No: 2}[v] }

// worse gives the worse of two verdicts.
func worse(a, b Verdict) Verdict {
	if b.badness() > a.badness() {
		return b
	}
	return a
}

// Fit compares a part with what is wanted, size by size: the verdict is the
// worst of them, so that one more size never makes it better. (One exception:
// an overall height settles the doubt about a lip above the body.) Nominal
// diameters must agree to the micrometre: 57.7 is not 57.9. Measured ones may
// differ by the allowances of the role (allow.go). Reasons name each
// difference, and each size that the part does not state.
//
// A part of another role never fits; one of the role "other" of the same size
// comes near: what it is for is not known.
func Fit(want Wanted, p Part) (Verdict, []fault.Message) {
	f := judge(want, p)
	return f.verdict, f.reasons()
}

func judge(want Wanted, p Part) fitting {
	f := fitting{verdict: Fits, role: want.Role, worn: want.Worn}
	if p.Role != want.Role && p.Role != Other {
		f.miss(0, 0, "catalog.other_role", fault.Say("role."+string(p.Role)))
		return f
	}
	f.diameter("catalog.inner", want.Size.Inner, p.Size.Inner, wornInner(want.Role, want.Size.Inner))
	f.diameter("catalog.outer", want.Size.Outer, p.Size.Outer, wornOuter(want.Role))
	f.tube(want.Tube, p.Size.Inner)
	f.bore(want.Bore, p.Size.Outer)
	f.wall(want.Wall, p.Size)
	f.height(want.Size.Height, p.Size.Height)
	f.groove(want.Groove, p.Size.Height)
	f.overall(want, p.Size)
	f.thread(want.Thread, p.Thread)
	f.head(want, p)
	f.word("seat", want.Seat, p.Seat)
	f.strength(want.Strength, p.Strength)
	f.coated(want.Coated, p.Coated)
	f.known = p.Role == want.Role
	if !f.known {
		f.add(Near, "catalog.use_unknown")
	}
	if want.Worn {
		f.add(Near, wornReason(want.Role))
	}
	return f
}

// fitting collects a verdict and its reasons.
type fitting struct {
	verdict Verdict
	said    []reason
	role    Role // that is wanted
	worn    bool
	known   bool // the part is known to be of that role

	compared int  // sizes that both sides tell
	agreed   int  // of them, those that agree
	misses   int  // of them, those that make it No
	far      bool // one of these by more than anybody takes for the same
}

// reason is why a verdict is no better.
type reason struct {
	verdict Verdict
	message fault.Message
}

func (f *fitting) add(v Verdict, id string, args ...any) {
	f.verdict = worse(f.verdict, v)
	f.said = append(f.said, reason{v, fault.Say(id, args...)})
}

// reasons gives what was said, the worst first; what one may mind with a part
// that fits is left out of one that does not.
func (f *fitting) reasons() (all []fault.Message) {
	slices.SortStableFunc(f.said, func(a, b reason) int { return b.verdict.badness() - a.verdict.badness() })
	for _, r := range f.said {
		if r.verdict != Fits || f.verdict != No {
			all = append(all, r.message)
		}
	}
	return all
}

// miss adds a size that does not fit: it is off by that much, and taken for
// the same by mistake up to most.
func (f *fitting) miss(off, most measure.Length, id string, args ...any) {
	f.misses++
	f.far = f.far || abs(off) > most
	f.add(No, id, args...)
}

// worthTelling reports whether a mechanic wants to hear of the part: of one that
// fits or comes near by any size; of one that does not, where it may be taken
// for one that does (all but one of its sizes agree, and that is not far off);
// of one whose use is not known, where it has the same size.
func (f *fitting) worthTelling() bool {
	switch {
	case !f.known:
		return f.agreed > 1 && f.agreed == f.compared
	case f.verdict == No:
		return f.misses == 1 && !f.far && f.agreed > 0
	}
	return f.compared > 0
}

// unstated adds that the part does not say a size, and reports whether it
// does not.
func (f *fitting) unstated(missing bool, which string) bool {
	if missing {
		f.add(Near, "catalog.not_stated", fault.Say(which))
	} else {
		f.compared++
	}
	return missing
}

func abs(l measure.Length) measure.Length { return max(l, -l) }
