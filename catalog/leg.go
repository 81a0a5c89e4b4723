package catalog

import "forkstock/internal/measure"

// legSlack is how far a size of what runs on the inner tube may be off the leg
// diameter: lists write 41 for 41.3, and 35 for 34.9. Common practice, no
// source.
const legSlack = 500 * measure.Micrometre

// OffLeg tells whether a size cannot be that of what runs on f's inner tube in
// that role: an oil seal, a wiper, a bushing in the outer tube. got is the
// diameter that is off, 0 where none is.
func (f Fork) OffLeg(role Role, size measure.Size) (got measure.Length) {
	switch role {
	case OilSeal, Wiper, LowerBushing:
		if size.Inner != 0 && max(size.Inner-f.Leg, f.Leg-size.Inner) > legSlack {
			return size.Inner
		}
	}
	return 0
}
