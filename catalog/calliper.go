package catalog

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Callipers are what was measured of a part of which nobody knows what it is.
// Two numbers can be the bore and outside of a washer, the bore and section of an
// O-ring, or the outside and wire of a clip; one can be either diameter. The role
// of a part that is compared decides.
type Callipers struct {
	numbers []measure.Length // as they were typed, 0 for "?"
	thread  string
	length  measure.Length // of a bolt
}

// ParseCallipers reads what was measured: 39x52x11, 32x2.5, 52, 10x16x1.5 (in any
// order of the diameters, ? for what was not measured), M10x1.25x30. Lengths are as
// measure.ParseLength reads them. Error: Invalid.
func ParseCallipers(text string) (c Callipers, err error) {
	text = strings.TrimSpace(text)
	bad := fault.New(fault.Invalid, "catalog.bad_callipers", text).WithHint("catalog.bad_callipers.hint")
	if t, err := measure.ParseThread(text); err == nil {
		c.thread = t.String()
		return c, nil
	}
	flat := strings.NewReplacer("×", "x", "X", "x", "*", "x", "Ø", "", "ø", "").Replace(text)
	if i := strings.LastIndex(flat, "x"); i > 0 {
		if t, err := measure.ParseThread(strings.TrimSpace(flat[:i])); err == nil {
			if c.length, err = measure.ParseLength(flat[i+1:]); err != nil {
				return c, bad
			}
			c.thread = t.String()
			return c, nil
		}
	}
	if s, err := measure.ParseSize(text); err == nil && s.Overall != 0 {
		c.numbers = []measure.Length{s.Inner, s.Outer, s.Height, s.Overall}
		return c, nil
	}
	for field := range strings.SplitSeq(flat, "x") {
		if strings.TrimSpace(field) == "?" {
			c.numbers = append(c.numbers, 0)
			continue
		}
		l, err := measure.ParseLength(field)
		if err != nil || l <= 0 {
			return c, bad
		}
		c.numbers = append(c.numbers, l)
	}
	if len(c.numbers) > 3 || slices.Max(c.numbers) == 0 {
		return c, bad
	}
	if n := c.numbers; len(n) == 3 && n[1] != 0 && n[0] > n[1] {
		n[0], n[1] = n[1], n[0]
	}
	return c, nil
}

// Size gives what was measured as the size of a part of a role, and for a bolt its
// thread; all zero where it can be none.
func (c Callipers) Size(r Role) (s measure.Size, thread string) {
	if all := c.readings(r); len(all) > 0 {
		return all[0], c.thread
	}
	return s, ""
}

// readings gives what the numbers can mean for a part of a role.
func (c Callipers) readings(r Role) []measure.Size {
	n := append(slices.Clone(c.numbers), 0, 0, 0, 0)[:4]
	a, b := n[0], n[1]
	switch {
	case c.thread != "":
		if r.Bolt() || r == Other || !r.plain() {
			return []measure.Size{{Height: c.length}}
		}
		return nil
	case r.Bolt():
		return nil
	case len(c.numbers) == 1 && r == Clip:
		return []measure.Size{{Outer: a}}
	case len(c.numbers) == 1:
		return []measure.Size{{Inner: a}, {Outer: a}}
	case len(c.numbers) == 2 && r == Clip && b < a:
		return []measure.Size{{Outer: a, Height: b}}
	case len(c.numbers) == 2 && oring(r) && b < a:
		return []measure.Size{{Inner: a, Outer: a + 2*b, Height: b}}
	case b != 0 && a != 0 && b <= a: // a bushing is measured by one diameter and its length
		return []measure.Size{{Inner: a, Height: b}, {Outer: a, Height: b}}
	}
	return []measure.Size{{Inner: a, Outer: b, Height: n[2], Overall: n[3]}}
}

// plain reports whether parts of r have no thread: of such that may have one
// either way is read.
func (r Role) plain() bool { return !slices.Contains(r.Sizes(), "thread") }

// Alike is a part that may be what was measured.
type Alike struct {
	Part   Part
	Agreed int             // sizes that agree
	Off    measure.Length  // by how much they are off, together
	Why    []fault.Message // what was not stated, or is a little off
}

// AlikeBy gives the parts of any role that may be what was measured, the likeliest
// first. They are compared as one that was taken out is, for a seal that never
// ran stands smaller inside and larger outside, too; nothing that does not agree in
// every size that both tell is among them.
func AlikeBy(ctx context.Context, tx *store.Tx, c Callipers) ([]Alike, error) {
	parts, err := c.near(ctx, tx)
	if err != nil {
		return nil, err
	}
	var all []Alike
	for _, p := range parts {
		if a, ok := c.Compare(p); ok {
			all = append(all, a)
		}
	}
	slices.SortStableFunc(all, func(a, b Alike) int { return cmp.Or(b.Agreed-a.Agreed, cmp.Compare(a.Off, b.Off)) })
	return all, nil
}

// Disagrees says why a part cannot be what was measured; empty where it may be, or
// where nothing can be compared.
func (c Callipers) Disagrees(p Part) []fault.Message {
	if _, ok := c.Compare(p); ok || p.Role.Sizes() == nil {
		return nil
	}
	for _, s := range c.readings(p.Role) {
		w := Wanted{Role: p.Role, Size: s, Thread: c.thread, Measured: Measured{Worn: true}}
		if w.Check() == nil {
			if f := judge(w, p); f.misses > 0 {
				return f.reasons()[:1]
			}
		}
	}
	return nil
}

// Compare compares a part by the reading that agrees best; ok is false where none
// does, or where a size disagrees.
func (c Callipers) Compare(p Part) (best Alike, ok bool) {
	for _, s := range c.readings(p.Role) {
		w := Wanted{Role: p.Role, Size: s, Thread: c.thread, Measured: Measured{Worn: true}}
		if p.Role.Sizes() == nil || w.Check() != nil {
			continue
		}
		f := judge(w, p)
		a := Alike{Part: p, Agreed: f.agreed, Off: off(p.Role, s, p.Size)}
		if f.misses > 0 || f.agreed == 0 || unlike(s.Height, p.Size.Height) || ok && (a.Agreed < best.Agreed || a.Agreed == best.Agreed && a.Off >= best.Off) {
			continue
		}
		for _, r := range f.said {
			if r.verdict == Near && r.message.ID != wornReason(p.Role) && r.message.ID != "catalog.use_unknown" {
				a.Why = append(a.Why, r.message)
			}
		}
		best, ok = a, true
	}
	return best, ok
}

// unlike reports whether two heights are further apart than callipers, age and the
// squeeze of a washer explain. Common practice, no source.
func unlike(a, b measure.Length) bool {
	return a != 0 && b != 0 && abs(a-b) > 600*measure.Micrometre
}

// off adds up by how much sizes differ; a lip may stand anywhere.
func off(r Role, got, nominal measure.Size) (sum measure.Length) {
	add := func(a, b measure.Length) {
		if a != 0 && b != 0 {
			sum += abs(a - b)
		}
	}
	if !pressed(r) {
		add(got.Inner, nominal.Inner)
	}
	add(got.Outer, nominal.Outer)
	add(got.Height, nominal.Height)
	return sum
}

// near gives the parts that are worth comparing: by thread, else by an outside or a
// bore that is not far off. A lip stands up to 3 mm smaller than its tube.
func (c Callipers) near(ctx context.Context, tx *store.Tx) ([]Part, error) {
	if c.thread != "" {
		return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p WHERE p.thread >= $1 AND p.thread < $1 || char(1114111)
			AND p.merged_into IS NULL ORDER BY p.number_norm, p.maker_norm`, threadStart(c.thread))
	}
	const below, above = 600 * measure.Micrometre, 3 * measure.Millimetre
	var inner, outer []measure.Length
	for _, role := range []Role{OilSeal, Clip, CapORing} {
		for _, s := range c.readings(role) {
			inner, outer = append(inner, s.Inner), append(outer, s.Outer)
		}
	}
	around := func(all []measure.Length, below, above measure.Length) (low, high int64) {
		low, high = math.MaxInt64, -1
		for _, l := range all {
			if l != 0 {
				low, high = min(low, int64(l-below)), max(high, int64(l+above))
			}
		}
		return low, high
	}
	inLow, inHigh := around(inner, below, above)
	outLow, outHigh := around(outer, above/3, above/3)
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p WHERE p.merged_into IS NULL
		AND (p.outer_um BETWEEN $3 AND $4 OR p.inner_um BETWEEN $1 AND $2) ORDER BY p.number_norm, p.maker_norm`,
		inLow, inHigh, outLow, outHigh)
}

// mostMarked is how many parts are told by a marking.
const mostMarked = 20

// Marked gives the parts whose number stands in a marking, or begins with it, the
// longest number first: of "TK KB-39 L" the part KB-39.
func Marked(ctx context.Context, tx *store.Tx, marking string) ([]Part, error) {
	norm := Normal(marking)
	if len(norm) < 3 {
		return nil, nil
	}
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p WHERE p.merged_into IS NULL
		AND (length(p.number_norm) >= 4 AND instr($1, p.number_norm) > 0 OR p.number_norm >= $1 AND p.number_norm < $1 || char(1114111))
		ORDER BY p.number_norm = $1 DESC, length(p.number_norm) DESC, p.number_norm, p.maker_norm LIMIT $2`, norm, mostMarked)
}
