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

// understood gives how the text was read, and what there is to note about it.
func (q Query) understood(notes []fault.Message) fault.Message {
	all := slices.Concat(q.sayMeasures(), q.sayParts(), q.sayBikes())
	say := func(id string, args ...any) { all = append(all, fault.Say(id, args...)) }
	if q.Bin != "" {
		say("search.bin", q.Bin)
	}
	if q.InStock {
		say("search.in_stock")
	}
	if len(q.Words) > 0 {
		say("search.words", strings.Join(q.Words, " "))
	}
	for _, r := range q.Read {
		if l, ok := r.As.(measure.Length); ok {
			say("search.read_as", r.Typed, fault.Say("search.length", l))
			continue
		}
		say("search.read_as", r.Typed, r.As)
	}
	if q.Tube != "" && len(q.Roles) == 0 {
		say("search.tube")
	}
	return list(append(all, notes...))
}

func (q Query) sayMeasures() (all []fault.Message) {
	say := func(id string, l measure.Length) {
		if l != 0 {
			all = append(all, fault.Say(id, l))
		}
	}
	for _, s := range q.Sizes {
		all = append(all, fault.Say("search.size", s))
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
