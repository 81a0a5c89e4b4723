package gs1

import (
	"strings"

	"forkstock/internal/fault"
)

// serialised are the keys that a digital signature (AI 8030) may stand beside
// only with their serial number, with their length without one. Source: GS1
// General Specifications, clause 4.14.
var serialised = map[string]int{"253": 13, "255": 13, "8003": 14}

// Warnings tells what is odd about elements that Parse took, at most once each:
// values that can be no such thing, AIs without one that they need, AIs that
// exclude each other. A label with warnings still says what is in the bag, so
// none of them is an error; and what an AI needs may stand in another symbol
// of the same pack.
func (es Elements) Warnings() []fault.Message {
	var all []fault.Message
	for i, e := range es {
		f, known := formats[e.AI]
		if old, _ := es[:i].Get(e.AI); !known || old != "" {
			continue
		}
		if why := f.odd(e.Value); why != "" {
			all = append(all, fault.Say("gs1.warn.value", e.AI, shown(e.Value, 40), fault.Say(why)))
		}
		if len(f.needs) > 0 && !es.satisfy(f.needs) {
			all = append(all, fault.Say("gs1.warn.needs", e.AI, listed(f.needs)))
		}
		if _, signed := es.Get("8030"); signed && len(e.Value) == serialised[e.AI] {
			all = append(all, fault.Say("gs1.warn.serial", e.AI))
		}
		for _, o := range es[i+1:] {
			if e.AI != o.AI && (f.barred(o.AI) || formats[o.AI].barred(e.AI)) {
				all = append(all, fault.Say("gs1.warn.bars", e.AI, o.AI))
			}
		}
	}
	return all
}

// satisfy reports whether all AIs of one of groups are there.
func (es Elements) satisfy(groups [][]string) bool {
	for _, group := range groups {
		found := 0
		for _, pattern := range group {
			for _, e := range es {
				if like(e.AI, pattern) {
					found++
					break
				}
			}
		}
		if found == len(group) {
			return true
		}
	}
	return false
}

// barred reports whether ai may not stand beside f.
func (f *format) barred(ai string) bool {
	for _, pattern := range f.bars {
		if f.ai != ai && like(ai, pattern) {
			return true
		}
	}
	return false
}

// like reports whether an AI is that of pattern, where * is any digit.
func like(ai, pattern string) bool {
	if len(ai) != len(pattern) {
		return false
	}
	for i := range len(ai) {
		if pattern[i] != '*' && pattern[i] != ai[i] {
			return false
		}
	}
	return true
}

// listed writes groups as labels do: (01)+(21), (8006)+(21).
func listed(groups [][]string) string {
	var words []string
	for _, group := range groups {
		words = append(words, "("+strings.Join(group, ")+(")+")")
	}
	return strings.Join(words, ", ")
}
