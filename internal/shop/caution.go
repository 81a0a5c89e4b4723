package shop

import (
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
)

// cautions gives what to mind with a fork, in the order of the work. They
// never stand for the maker's manual, which comes last.
func cautions(f catalog.Fork) []fault.Message {
	any := func(match func(catalog.Leg) bool) bool { return slices.ContainsFunc(f.Legs, match) }
	ids := []string{"caution.stand"}
	if any(func(l catalog.Leg) bool { return l.Springing == "air" || l.Springing == "coil_with_air" }) {
		ids = append(ids, "caution.air")
	}
	ids = append(ids, "caution.caliper", "caution.clamp")
	if any(func(l catalog.Leg) bool { return l.Springing != "air" && l.Springing != "none" }) {
		ids = append(ids, "caution.spring")
	}
	if any(func(l catalog.Leg) bool {
		return (l.Damping == "open_cartridge" || l.Damping == "closed_cartridge") && l.Springing != "air" && l.Springing != "none"
	}) {
		ids = append(ids, "caution.cartridge")
	}
	ids = append(ids, "caution.oil_on_brake", "caution.pump", "caution.manual")
	out := []fault.Message{}
	for _, id := range ids {
		out = append(out, fault.Say(id))
	}
	return out
}
