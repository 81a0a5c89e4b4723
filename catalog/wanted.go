package catalog

import (
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Wanted is what a place asks of a part, or what was measured for one. A size
// that is 0 or empty is open.
type Wanted struct {
	Role   Role
	Size   measure.Size // nominal, or printed on a part or in a list
	Thread string
	Traits
	Measured
}

// Measured are sizes taken on the bench.
type Measured struct {
	Tube   measure.Length // outer diameter of the inner tube, where it is not worn
	Bore   measure.Length // of what the part sits in; of a clip, of its groove
	Groove measure.Length // depth that is left for a seal's body under the clip
	Wall   measure.Length // of a bushing
	Worn   bool           // the other sizes were taken from an old part
}

// told gives the sizes of w that are told, by the names of flags and fields.
func (w Wanted) told() map[string]bool {
	return map[string]bool{
		"inner": w.Size.Inner != 0, "outer": w.Size.Outer != 0, "height": w.Size.Height != 0, "overall": w.Size.Overall != 0,
		"tube": w.Tube != 0, "bore": w.Bore != 0, "groove": w.Groove != 0, "wall": w.Wall != 0, "thread": w.Thread != "",
		"head": w.Head != 0, "seat": w.Seat != "", "strength": w.Strength != "", "coated": w.Coated != "",
	}
}

// Sizes gives the names of the sizes that tell parts of a role apart, none
// where nothing does. "height" is the length of a bolt or a bushing and the
// section of an O-ring.
func (r Role) Sizes() []string {
	switch {
	case !slices.Contains(Roles, r) || r == Oil || r == Kit || r == "tool" || r == "consumable":
		return nil
	case r == OilSeal:
		return []string{"inner", "outer", "height", "overall", "tube", "bore", "groove"}
	case r == Wiper:
		return []string{"inner", "outer", "height", "overall", "tube", "bore"}
	case r == TubeBushing:
		return []string{"inner", "outer", "height", "wall", "bore", "coated"}
	case r == LowerBushing:
		return []string{"inner", "outer", "height", "wall", "tube", "bore", "coated"}
	case r == BackupWasher:
		return []string{"inner", "outer", "height", "tube", "bore"}
	case r == Clip || r == BottomWasher || r == DrainWasher:
		return []string{"inner", "outer", "height", "bore"}
	case r.Bolt():
		return []string{"thread", "height", "head", "seat", "strength"}
	case oring(r):
		return []string{"inner", "outer", "height"}
	}
	return []string{"inner", "outer", "height", "overall", "thread"}
}

// Open names the sizes that are still to be told before a part of the role can
// be called the right one, as messages: of two that say the same, one is
// enough.
func (w Wanted) Open() []fault.Message {
	told := w.told()
	var open []fault.Message
	for _, either := range w.Role.needs() {
		if !slices.ContainsFunc(either, func(name string) bool { return told[name] }) {
			open = append(open, w.Role.sizeName(either[0]))
		}
	}
	return open
}

// byInner reports whether a place of a role is told only where its inner
// diameter is, for of what is asked instead a place keeps nothing.
func (r Role) byInner() bool {
	return slices.ContainsFunc(r.needs(), func(either []string) bool {
		return slices.Contains(either, "inner") && !slices.Contains(either, "outer")
	})
}

// needs gives the sizes by which parts of a role are chosen.
func (r Role) needs() [][]string {
	inner, outer := []string{"inner", "tube"}, []string{"outer", "bore"}
	switch {
	case r == OilSeal:
		return [][]string{inner, outer, {"height", "groove"}}
	case r == Wiper:
		return [][]string{inner, outer}
	case r.Bushing(): // the wall leaves the diameter open
		return [][]string{{"wall", "inner"}, {"bore", "outer", "tube", "inner"}, {"height"}}
	case r == BackupWasher:
		return [][]string{inner, outer, {"height"}}
	case r == Clip:
		return [][]string{outer, {"height"}}
	case r == BottomWasher || r == DrainWasher:
		return [][]string{inner, outer}
	case r.Bolt():
		return [][]string{{"thread"}, {"height"}, {"head"}}
	case oring(r):
		return [][]string{inner, {"height"}}
	case r.Sizes() == nil:
		return nil
	}
	return [][]string{{"inner", "thread"}, {"outer", "thread"}, {"height"}}
}

// sizeName is what a size of a role is called.
func (r Role) sizeName(name string) fault.Message {
	switch name {
	case "height":
		return fault.Say(heightName(r))
	case "seat", "strength", "coated":
		return fault.Say("field." + name)
	}
	return fault.Say("catalog." + name)
}

// Check refuses sizes that say nothing of the role, that contradict one
// another, or none at all. Error: Invalid.
func (w Wanted) Check() error {
	word := fault.Say("role." + string(w.Role))
	takes := w.Role.Sizes()
	if !slices.Contains(Roles, w.Role) {
		return BadRole(string(w.Role))
	}
	if takes == nil {
		return fault.New(fault.Invalid, "catalog.no_sizes", word).WithHint("catalog.no_sizes.hint")
	}
	flags := "--" + strings.Join(takes, " --")
	if w.Role.Bolt() || w.Role.Bushing() {
		flags = strings.Replace(flags, "--height", "--length", 1)
	}
	some, old := false, false
	for _, name := range []string{
		"inner", "outer", "height", "overall", "thread", "head", "seat", "strength", "coated", "wall", "tube", "bore", "groove",
	} {
		if !w.told()[name] {
			continue
		}
		if !slices.Contains(takes, name) {
			return fault.New(fault.Invalid, "catalog.no_use", w.Role.sizeName(name), word).WithHint("catalog.no_use.hint", flags)
		}
		some, old = true, old || !slices.Contains([]string{"tube", "bore", "groove"}, name)
	}
	switch {
	case !some:
		return fault.New(fault.Invalid, "catalog.no_size", word).WithHint("catalog.no_use.hint", flags)
	case w.Worn && !old:
		return fault.New(fault.Invalid, "catalog.worn_what").WithHint("catalog.worn_what.hint")
	}
	return firstError(w.Size.Check(), w.Traits.check(w.Role), w.agree())
}

// doubtful is how far two sizes of one thing may differ before one of them must
// be a slip.
const doubtful = 500 * measure.Micrometre

// agree refuses sizes that cannot both be of one place, or, of an old part, of
// one that came out of it.
func (w Wanted) agree() error {
	contradict := func(a string, x measure.Length, b string, y measure.Length) error {
		return fault.New(fault.Invalid, "catalog.contradict", w.Role.sizeName(a), x, w.Role.sizeName(b), y).
			WithHint("catalog.contradict.hint")
	}
	in, out := w.Size.Inner, w.Size.Outer
	both := func(a, b measure.Length) bool { return a != 0 && b != 0 }
	straight := !loose(w.Role) && w.Role != Clip
	body := w.Size.Height
	inner, outer, deep := around(doubtful), around(doubtful), clipPlay+heightSlack(w.Role, body)
	if w.Worn {
		inner, outer, deep = wornInner(w.Role, in).wider(doubtful), wornOuter(w.Role).wider(doubtful), clipPlay+wornHeight(w.Role, body)
	}
	switch {
	case both(body, w.Groove) && abs(body-w.Groove) > deep:
		return contradict("height", body, "groove", w.Groove)
	case both(w.Tube, w.Bore) && w.Tube >= w.Bore:
		return contradict("tube", w.Tube, "bore", w.Bore)
	case both(in, w.Bore) && in >= w.Bore:
		return contradict("inner", in, "bore", w.Bore)
	case both(w.Tube, out) && w.Tube >= out:
		return contradict("tube", w.Tube, "outer", out)
	case straight && both(in, w.Tube) && !inner.holds(w.Tube-in):
		return contradict("inner", in, "tube", w.Tube)
	case straight && both(out, w.Bore) && !outer.holds(w.Bore-out):
		return contradict("outer", out, "bore", w.Bore)
	case both(in, out) && w.Wall != 0 && abs((out-in)/2-w.Wall) > doubtful/2:
		return contradict("outer", out, "wall", w.Wall)
	}
	return nil
}
