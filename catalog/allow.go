package catalog

import "forkstock/internal/measure"

// What a part may be off from what was measured, and still be the one. All
// bands hold the part's nominal size less what was measured.
//
// Sources: ISO 286 (grades IT8, IT9, IT14, IT15), DIN 3760 (width of rotary
// seals, outside over bore), ISO 3547-1 (bushings), ISO 4759-1 (bolts), all as
// secondary sources print them, from memory; DIN 472 for clips; the rest is
// common practice, no source. DIN 3760 is for rotary seals: sellers of fork
// seals print nothing better.

// band holds differences from low to high, both included.
type band struct{ low, high measure.Length }

func (b band) holds(off measure.Length) bool { return b.low <= off && off <= b.high }

// wider gives b with more room at both ends.
func (b band) wider(l measure.Length) band { return band{b.low - l, b.high + l} }

// around is the same to both sides.
func around(l measure.Length) band { return band{-l, l} }

// What a measuring tool may be off in a workshop.
const (
	micrometer = 20 * measure.Micrometre
	calliper   = 50 * measure.Micrometre
)

// grade is a tolerance grade of ISO 286 for nominal sizes up to 6, 10, 18, 30,
// 50, 80 and 120 mm, the last also above.
type grade [7]measure.Length

var (
	it8  = grade{18, 22, 27, 33, 39, 46, 54}
	it9  = grade{30, 36, 43, 52, 62, 74, 87}
	it14 = grade{300, 360, 430, 520, 620, 740, 870}
	it15 = grade{480, 580, 700, 840, 1000, 1200, 1400}
)

// of gives the tolerance of a nominal size.
func (g grade) of(nominal measure.Length) measure.Length {
	for i, upTo := range []measure.Length{6000, 10_000, 18_000, 30_000, 50_000, 80_000} {
		if nominal <= upTo {
			return g[i]
		}
	}
	return g[6]
}

// oring reports whether parts of r are O-rings.
func oring(r Role) bool { return r == CapORing || r == "base_valve_oring" }

// pressed reports whether parts of r are pressed into a bore and run on the
// tube with a lip.
func pressed(r Role) bool { return r == OilSeal || r == Wiper }

// loose reports whether parts of r are washers, which lie in a seat.
func loose(r Role) bool { return r == BottomWasher || r == DrainWasher || r == BackupWasher }

// rounding is how far two nominal diameters may be apart: lists round those of
// inch O-rings to 0.01 mm, and an outside is made of three such numbers.
func rounding(r Role) measure.Length {
	if oring(r) {
		return 15 * measure.Micrometre
	}
	return 0
}

// tubeBands are for the bore of a part that runs on the tube, whose nominal
// diameter is the tube's: a tube is ground to h9 (ISO 286) at the widest, so
// it is the nominal diameter or a little less. What is up to 0.35 mm off takes
// a micrometer to tell: 34.9 and 35, 41 and 41.3 are both met. A backup washer
// clears the tube.
func tubeBands(r Role, tube measure.Length) (fits, near band) {
	if r == BackupWasher {
		return band{0, 800}, band{-100, 1500}
	}
	return band{-micrometer, it9.of(tube) + micrometer}, around(350)
}

// neighbours are legs so near to one another that only a micrometer tells
// them apart: common practice, no source.
var neighbours = [][2]measure.Length{{34_900, 35_000}, {41_000, 41_300}}

// neighbour gives the leg diameter that is taken for another one, 0 for none.
func neighbour(leg measure.Length) measure.Length {
	for _, n := range neighbours {
		switch leg {
		case n[0]:
			return n[1]
		case n[1]:
			return n[0]
		}
	}
	return 0
}

// boreBands are for the outside of a part that sits in a bore. The bore of a
// seal is H8 (ISO 286, as DIN 3760 asks for): the nominal diameter or a little
// more. A bushing on the tube slides in its bore, washers lie in their seat,
// and clips are sold by the diameter that they spring into: somebody may have
// measured beside the groove, which is wider.
func boreBands(r Role, bore measure.Length) (fits, near band) {
	switch r {
	case TubeBushing:
		return band{-150, micrometer}, band{-300, 100}
	case Clip:
		return around(200), band{-500, 1500}
	case BackupWasher:
		return band{-800, calliper}, band{-1500, 100}
	case BottomWasher, DrainWasher:
		return band{-300, calliper}, band{-1000, calliper}
	}
	return band{-it8.of(bore) - micrometer, micrometer}, band{-150, 100}
}

// heightSlack is how far two heights may be apart: of seals and the like the
// tolerance of DIN 3760 for widths (0.2 mm up to 10 mm, 0.3 mm above), of
// bushings that of ISO 3547-1, of bolts js15 (ISO 4759-1), of wire and of
// O-rings what lists round.
func heightSlack(r Role, nominal measure.Length) measure.Length {
	switch {
	case oring(r):
		return 10
	case r == Clip:
		return 100
	case r.Bushing():
		return 250
	case r.Bolt():
		return it15.of(nominal) / 2
	case nominal <= 10*measure.Millimetre:
		return 200
	}
	return 300
}

// overallSlack is heightSlack for overall heights.
const overallSlack = 300 * measure.Micrometre

// clipPlay is what a body may be lower than the groove leaves for it: its
// tolerance and the play of the clip. More is loose.
const clipPlay = 500 * measure.Micrometre

// wallBands are for the wall of a bushing, measured with a micrometer: it is
// made up to 0.03 mm thinner than its nominal one (ISO 3547-1); the coating of
// an old one is worn off.
func wallBands(worn bool) (fits, near band) {
	if worn {
		return band{-micrometer, 150}, band{-micrometer, 150}
	}
	return band{-micrometer, 30 + micrometer}, around(100)
}

// wornInner is for the bore of an old part: a free lip stands 1 to 2 mm
// smaller than its tube, wears wider, and gives way to callipers (common
// practice, no source); an O-ring swells.
func wornInner(r Role, measured measure.Length) band {
	switch {
	case pressed(r):
		return band{-500, 2000 + calliper}
	case oring(r):
		return around(max(500, measured/50))
	case r.Bushing(): // split, so it springs
		return around(1000)
	}
	return around(300)
}

// slip is what the outside of an old seal may be smaller than its bore by
// misreading; more, and it was pulled out of round, or has shrunk.
const slip = calliper

// wornOuter is for the outside of an old part: a seal stands 0.1 to 0.35 mm
// larger than its bore (DIN 3760), less where it has set or was pulled out of
// round, so that 57.7, 57.9 and 58.1 cannot be told apart. A free clip stands
// up to 4.2 mm larger (DIN 472, d3 of rings for 45 to 63 mm); a crushed washer
// has spread.
func wornOuter(r Role) band {
	switch {
	case pressed(r):
		return around(400)
	case r == Clip:
		return band{-4200 - 300, 100}
	case oring(r) || r.Bushing():
		return around(1000)
	case r == BottomWasher || r == DrainWasher:
		return band{-500, 200}
	}
	return around(300)
}

// wornHeight is for the height of an old part: that of a seal is doubtful once
// it was pulled out.
func wornHeight(r Role, measured measure.Length) measure.Length {
	switch {
	case oring(r):
		return 150
	case r == Clip:
		return 100
	case r.Bolt():
		return heightSlack(r, measured)
	}
	return 500
}

// wornOverall is wornHeight for overall heights.
const wornOverall = 500 * measure.Micrometre

// wornReason says what to compare before a part for an old one is fitted.
func wornReason(r Role) string {
	switch {
	case r == OilSeal:
		return "catalog.worn_seal"
	case r == Wiper:
		return "catalog.worn_wiper"
	case r.Bushing():
		return "catalog.worn_bushing"
	case r == Clip:
		return "catalog.worn_clip"
	case r.Bolt():
		return "catalog.worn_bolt"
	case loose(r):
		return "catalog.worn_washer"
	}
	return "catalog.worn"
}
