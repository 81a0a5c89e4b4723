package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Standing is what the claims on one field come to.
type Standing struct {
	Force        Claim   // by which the field has its value; zero where none stands
	Same         []Claim // that stand and say the same, Force among them
	Others       []Claim // that stand and contradict it
	Right, Wrong int     // how often the value was seen so
	Why          string  // it was seen wrong, the last time
}

// StandingOf sums up the claims on one field.
func StandingOf(claims []Claim) Standing {
	var s Standing
	s.Force, _ = InForce(claims)
	for _, c := range claims {
		switch {
		case !c.stands():
		case c.Value == s.Force.Value:
			s.Same = append(s.Same, c)
			s.Right += c.Right
			s.Wrong += c.Wrong
			s.Why = or(c.Why, s.Why)
		case !c.agrees(s.Force):
			s.Others = append(s.Others, c)
		}
	}
	return s
}

// agrees reports whether two claims can both be right: of sizes and threads,
// whether what both state is the same.
func (c Claim) agrees(o Claim) bool {
	if c.Value == "" || o.Value == "" || c.Value == o.Value {
		return true
	}
	if c.Field == "thread" {
		a, errA := measure.ParseThread(c.Value)
		b, errB := measure.ParseThread(o.Value)
		return errA == nil && errB == nil && a.Diameter() == b.Diameter() && (!a.Stated() || !b.Stated() || a.Same(b))
	}
	a, errA := measure.ParseSize(c.Value)
	b, errB := measure.ParseSize(o.Value)
	return c.Field == "size" && errA == nil && errB == nil && len(apart(a, b)) == 0
}

// apart names the lengths that two sizes state differently.
func apart(a, b measure.Size) (names []string) {
	for _, l := range []struct {
		name string
		a, b measure.Length
	}{{"inner", a.Inner, b.Inner}, {"outer", a.Outer, b.Outer}, {"height", a.Height, b.Height}, {"overall", a.Overall, b.Overall}} {
		if l.a != 0 && l.b != 0 && l.a != l.b {
			names = append(names, l.name)
		}
	}
	return names
}

// Line says in a few words where the value comes from: "confirmed 4 times",
// "one list says so", "lists disagree: height 11 / 10.5". The zero Standing
// says nothing.
func (s Standing) Line() fault.Message {
	if s.Force.Number == 0 {
		return fault.Message{}
	}
	lines := []fault.Message{s.said()}
	if s.Wrong > 0 {
		lines = append(lines, fault.Say("claim.seen_wrong", s.Wrong))
	}
	if len(s.Others) > 0 {
		lines = append(lines, s.disagree())
	}
	line := lines[0]
	for _, more := range lines[1:] {
		line = fault.Say("claim.and", line, more)
	}
	return line
}

// said tells how often the value was seen right, else who says so.
func (s Standing) said() fault.Message {
	if s.Right > 0 {
		return fault.Say("claim.seen_right", s.Right)
	}
	lists := 0
	for _, c := range s.Same {
		if c.How == "list" {
			lists++
		}
	}
	if s.Force.How == "list" && lists > 1 {
		return fault.Say("claim.lists", lists)
	}
	id := "claim.by." + s.Force.How
	if s.Force.Source == "" {
		return fault.Say(id+".person", s.Force.Name)
	}
	return fault.Say(id, s.Force.Source)
}

// Worded gives the text for a value that is one of a list of words; ok is false
// where it is none.
func Worded(field, value string) (text fault.Message, ok bool) {
	kind := field
	if _, ofLeg, found := strings.Cut(field, "_"); found && field != "cap_shape" {
		kind = ofLeg // left_damping
	}
	switch kind {
	case "fits":
		kind = "claim.fits"
	case "seat", "coated", "layout", "cap_shape", "damping", "cap":
	default:
		return text, false
	}
	return fault.Say(kind + "." + value), value != ""
}

// disagree names the values that contradict each other, of sizes the one
// number where only one differs.
func (s Standing) disagree() fault.Message {
	values, which := []string{s.Force.Value}, ""
	for _, c := range s.Others {
		a, errA := measure.ParseSize(s.Force.Value)
		b, errB := measure.ParseSize(c.Value)
		name := "many"
		if names := apart(a, b); errA == nil && errB == nil && len(names) == 1 {
			name = names[0]
		}
		if which == "" {
			which = name
		} else if which != name {
			which = "many"
		}
		if !slices.Contains(values, c.Value) {
			values = append(values, c.Value)
		}
	}
	shown := make([]any, len(values))
	for i, v := range values {
		size, err := measure.ParseSize(v)
		word, isWord := Worded(s.Force.Field, v)
		switch {
		case isWord:
			shown[i] = word
		case s.Force.Field != "size" || err != nil:
			shown[i] = v
		case which == "many":
			shown[i] = size
		default:
			shown[i] = map[string]measure.Length{"inner": size.Inner, "outer": size.Outer, "height": size.Height, "overall": size.Overall}[which]
		}
	}
	list := fault.Say("plain", shown[0])
	for _, v := range shown[1:] {
		list = fault.Say("claim.or", list, v)
	}
	id := "claim.disagree"
	if !slices.ContainsFunc(append(slices.Clone(s.Same), s.Others...), func(c Claim) bool { return c.How != "list" }) {
		id = "claim.lists_disagree"
	}
	if s.Force.Field == "size" && which != "many" {
		list = fault.Say("claim.of", fault.Say("catalog."+which), list)
	}
	return fault.Say(id, list)
}

// StandingOn sums up what is claimed of one field of a subject.
func StandingOn(ctx context.Context, tx *store.Tx, about, subject, name string) (Standing, error) {
	claims, err := claimsOn(ctx, tx, about, subject, name)
	return StandingOf(claims), err
}

// SizesSaid says of parts, by id, where their thread is known from, or their
// size where they have none. A part of which nobody has claimed it is left
// out.
func SizesSaid(ctx context.Context, tx *store.Tx, ids []string) (map[string]fault.Message, error) {
	claims, err := claimsOfEach(ctx, tx, AboutPart, `c.subject = k.value AND c.field IN ('size', 'thread')`, ids)
	if err != nil {
		return nil, err
	}
	of := map[[2]string][]Claim{}
	for _, c := range claims {
		key := [2]string{c.Subject, c.Field}
		of[key] = append(of[key], c)
	}
	said := map[string]fault.Message{}
	for _, id := range ids {
		for _, name := range []string{"size", "thread"} {
			if s := StandingOf(of[[2]string{id, name}]); s.Force.Value != "" {
				said[id] = fault.Say("claim."+name, s.Line())
			}
		}
	}
	return said, nil
}

// doubted puts what somebody has seen not to fit a place, or wrong more often
// than right, among what only comes near. Claims are those of the place, by
// part.
func doubted(matches []Match, claims map[string][]Claim) []Match {
	for i, m := range matches {
		if s := StandingOf(claims[m.Part.ID]); s.refuted() {
			m.Verdict, m.Why = worse(m.Verdict, Near), append(slices.Clone(m.Why), s.seen())
		} else if s.Force.Number != 0 {
			m.Said = s.Line()
		}
		matches[i] = m
	}
	slices.SortStableFunc(matches, func(a, b Match) int { return strings.Compare(string(a.Verdict), string(b.Verdict)) }) // fits, near, no
	return matches
}

// said adds to matches of whose fit nothing is claimed what is claimed of
// their size or thread.
func said(ctx context.Context, tx *store.Tx, pos Position, matches []Match) error {
	if pos.ID == "" {
		return nil
	}
	claims, err := claimsOfFits(ctx, tx, pos.ID)
	if err != nil {
		return err
	}
	of := map[string][]Claim{}
	for _, c := range claims {
		_, part, _ := strings.Cut(c.Subject, " ")
		of[part] = append(of[part], c)
	}
	sizes, err := SizesSaid(ctx, tx, idsOf(matches))
	for i, m := range matches {
		if s := StandingOf(of[m.Part.ID]); !s.refuted() && s.Force.Number == 0 {
			matches[i].Said = sizes[m.Part.ID]
		}
	}
	return err
}

// refuted reports whether a fit is not to be relied on.
func (s Standing) refuted() bool { return s.Force.Value == no || s.Wrong > s.Right }

// seen tells who has seen that a part does not fit.
func (s Standing) seen() fault.Message {
	why := or(s.Why, "–")
	if s.Force.Value == no {
		return fault.Say("claim.not_fit", s.Force.Name, or(s.Force.Source, why))
	}
	return fault.Say("claim.refuted", s.Wrong, s.Right, why)
}
