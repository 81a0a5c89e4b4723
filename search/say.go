package search

import (
	"fmt"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// list joins messages with commas.
func list(all []fault.Message) fault.Message {
	if len(all) == 0 {
		return fault.Message{}
	}
	joined := all[0]
	for _, m := range all[1:] {
		joined = fault.Say("list.comma", joined, m)
	}
	return joined
}

// A Group is what was read of one kind: "size", "part", "bike", "place",
// "words", or "as" for what was typed otherwise.
type Group struct {
	Kind string
	Says fault.Message
}

// groups gives how the text was read.
func (q Query) groups() (all []Group) {
	for _, g := range []struct {
		kind string
		says []fault.Message
	}{
		{"size", q.sayMeasures()}, {"part", q.sayParts()}, {"bike", q.sayBikes()}, {"place", q.sayPlace()}, {"words", q.sayWords()}, {"as", q.sayRead()},
	} {
		if len(g.says) > 0 {
			all = append(all, Group{g.kind, list(g.says)})
		}
	}
	return all
}

// understood gives how the text was read in one line.
func understood(groups []Group) fault.Message {
	var all []fault.Message
	for _, g := range groups {
		all = append(all, g.Says)
	}
	return list(all)
}

func (q Query) sayPlace() (all []fault.Message) {
	if q.Bin != "" {
		all = append(all, fault.Say("search.bin", q.Bin))
	}
	if q.InStock {
		all = append(all, fault.Say("search.in_stock"))
	}
	if q.Out {
		all = append(all, fault.Say("search.out"))
	}
	return all
}

func (q Query) sayWords() (all []fault.Message) {
	if len(q.Words) > 0 {
		all = append(all, fault.Say("search.words", strings.Join(q.Words, " ")))
	}
	for _, w := range q.Not {
		all = append(all, fault.Say("search.not", w))
	}
	return all
}

func (q Query) sayRead() (all []fault.Message) {
	for _, r := range q.Read {
		as := r.As
		if l, ok := r.As.(measure.Length); ok {
			as = fault.Say("search.length", l)
		}
		all = append(all, fault.Say("search.read_as", r.Typed, as))
	}
	return all
}

// warns reports whether a note says that the answer does not keep to the text.
func warns(m fault.Message) bool {
	return slices.Contains([]string{
		"search.unknown", "search.unknown_kind", "search.unknown_shown", "search.none_number", "search.none_has", "search.not_all", "search.lost", "search.many_words",
	}, m.ID)
}

// tell puts how the text was read into the answer, and what there is to note.
func (f *finder) tell() {
	if f.q.Tube != "" && len(f.q.Roles) == 0 {
		f.notes = append(f.notes, fault.Say("search.tube"))
	}
	for _, w := range f.q.Lost {
		f.notes = append(f.notes, fault.Say("search.lost", w))
	}
	for _, m := range f.notes {
		if warns(m) {
			f.hits.Warnings = append(f.hits.Warnings, m)
		} else {
			f.hits.Notes = append(f.hits.Notes, m)
		}
	}
	f.hits.Read = f.q.groups()
	f.hits.Understood = understood(f.hits.Read)
}

func (q Query) sayMeasures() (all []fault.Message) {
	say := func(id string, l measure.Length) {
		if l != 0 {
			all = append(all, fault.Say(id, l))
		}
	}
	if q.Cross != (measure.Size{}) {
		id := "search.cross"
		if q.Cross.Inner <= mostBolt {
			id = "search.cross_thread"
		}
		all = append(all, fault.Say(id, q.Cross.Inner, q.Cross.Height))
	}
	for i, s := range q.Sizes {
		if i > 0 || q.Cross == (measure.Size{}) {
			all = append(all, fault.Say("search.size", s))
		}
	}
	say("search.inner", q.Partly.Inner)
	say("search.outer", q.Partly.Outer)
	say("search.height", q.Partly.Height)
	for i, l := range q.Lengths {
		if i == 0 {
			say("search.diameter", l)
		} else {
			say("search.length", l)
		}
	}
	for _, t := range q.Threads {
		all = append(all, fault.Say("search.thread", t))
	}
	say("search.bolt_long", q.Long)
	return all
}

func (q Query) sayParts() (all []fault.Message) {
	say := func(id string, args ...any) { all = append(all, fault.Say(id, args...)) }
	for _, r := range q.Roles {
		say("role." + string(r))
	}
	for _, any := range q.With {
		say("search.with", fault.Say("role."+string(any[0])))
	}
	for _, r := range q.Without {
		say("search.without", fault.Say("role."+string(r)))
	}
	for _, m := range q.Prefer {
		say("search.material_" + m)
	}
	return all
}

func (q Query) sayBikes() (all []fault.Message) {
	say := func(id string, args ...any) { all = append(all, fault.Say(id, args...)) }
	if q.Fork != "" {
		say("search.fork", q.Fork)
	}
	if q.Make != "" {
		say("plain", q.Make)
	}
	for _, b := range q.Bikes {
		say("plain", b.Make+" "+b.Model)
	}
	for _, w := range q.Told {
		say("search.told", w)
	}
	switch {
	case q.Until != 0:
		say("plain", fmt.Sprintf("%d-%d", q.Year, q.Until))
	case q.Year != 0:
		say("plain", q.Year)
	}
	if q.Layout != "" {
		say("layout." + q.Layout)
	}
	if q.Leg != "" {
		say("search.leg_" + q.Leg)
	}
	return all
}
