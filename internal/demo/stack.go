package demo

import (
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// fork is a fork with its places and the bikes that carry it.
type fork struct {
	catalog.Fork
	places []place
	bikes  []catalog.Fitment
	fills  []catalog.OilFill
	weight int // how often the shop sees it
}

// place is a place of a fork, and what the shop puts there.
type place struct {
	catalog.Position
	wares []*ware // the first choice first
	odds  int     // of a hundred jobs that find the place fitted, how many renew it
}

const (
	makerList = vaskuro + " parts list, issue 7"
	practice  = "common practice, no source"
)

// assemble makes the fork of a row, in the order in which a leg goes together.
func (b *book) assemble(r row) *fork {
	f := &fork{weight: r.weight, Fork: catalog.Fork{
		Name: r.name + b.variant(" V"), Layout: "conventional", Leg: length(r.leg) + b.shift, Note: notes[r.name],
		Source: makerList, Legs: r.legs(),
	}}
	f.Looks, f.Legs[0].Cap, f.Legs[1].Cap = looks(r.name)
	s := stack{b: b, f: f, r: r, leg: length(r.leg), seal: size(r.seal)}
	if r.layout == "U" {
		f.Layout = "upside-down"
		s.wiper()
		s.clip()
		s.oilSeal()
		s.backupWasher()
		s.bushing(catalog.LowerBushing, "Fourth on the tube, coated side inwards.")
		s.bushing(catalog.TubeBushing, "Last: split, spread it no further than the tube asks; it snaps into its groove.")
		s.protectors()
	} else {
		s.bushing(catalog.TubeBushing, "Snaps into the groove at the lower end of the inner tube.")
		s.bushing(catalog.LowerBushing, "Driven into the outer tube with the old one on top of it.")
		s.backupWasher()
		s.oilSeal()
		s.clip()
		s.wiper()
	}
	s.bottom()
	s.drain()
	s.cap()
	s.inside()
	s.oil()
	return f
}

// stack puts the places of one fork together.
type stack struct {
	b    *book
	f    *fork
	r    row
	leg  measure.Length
	seal measure.Size
}

// put adds a place. Wares are made for it where the fork has it.
func (s *stack) put(p catalog.Position, odds int) {
	p.Seq = len(s.f.places) + 1
	if p.Leg == "" {
		p.Leg = "both"
	}
	p.PerLeg = max(p.PerLeg, 1)
	if p.Fitted == "" {
		p.Fitted = "yes"
	}
	pl := place{Position: p, odds: odds}
	if p.Fitted != "no" {
		pl.wares = s.b.wear(p, s.r)
		pl.Size = s.b.shifted(p.Size)
	}
	s.f.places = append(s.f.places, pl)
}

func (s *stack) oilSeal() {
	p := catalog.Position{Role: catalog.OilSeal, Renew: "always", Size: s.seal, Note: "Lettering up, spring side to the oil."}
	if s.r.layout == "U" {
		p.Note = "Third on the tube, sits in the outer tube: lettering to the wiper, spring side to the oil."
	}
	if s.r.name == "Pasko 45" {
		p.PerLeg, p.Note = 2, "Two, one above the other: lettering up on both, spring side to the oil."
	}
	s.put(p, 100)
}

func (s *stack) wiper() {
	p := catalog.Position{Role: catalog.Wiper, Renew: "judge", Size: size(s.r.wiper), Note: "Pressed in last, lip up."}
	odds := 70
	if s.r.layout == "U" {
		p.Renew, p.Note, odds = "always", "First on the tube, lip downwards.", 100
	}
	s.put(p, odds)
}

func (s *stack) clip() {
	note := "In the groove above the seal: the whole groove must show before it goes in."
	if s.r.layout == "U" {
		note = "Second on the tube; the whole groove must show before it goes in."
	}
	s.put(catalog.Position{
		Role: catalog.Clip, Renew: "judge", Size: measure.Size{Outer: s.seal.Outer + 1000, Height: length(s.r.wire)}, Note: note,
	}, 10)
}

func (s *stack) backupWasher() {
	p := catalog.Position{Role: catalog.BackupWasher, Renew: "damage", Note: "Under the seal, bevel towards the bottom."}
	if s.r.layout == "U" {
		p.Note = "Behind the seal, flat side to it."
	}
	if s.r.washer == "-" {
		p.Fitted, p.Note = "no", ""
	} else {
		p.Size = measure.Size{Inner: s.leg + 400, Outer: s.seal.Outer - 300, Height: length(s.r.washer)}
	}
	s.put(p, 6)
}

// bushing adds a ring of 1.5 mm wall; that on the inner tube sits in a groove.
func (s *stack) bushing(role catalog.Role, note string) {
	p := catalog.Position{Role: role, Renew: "judge", Note: note}
	long := s.r.lower
	if role == catalog.TubeBushing {
		long = s.r.tube
	}
	inner := s.leg
	if role == catalog.TubeBushing {
		inner -= 2400
	}
	if long == "-" {
		p.Fitted, p.Note = "no", "The tube runs in the lower itself."
	} else {
		p.Size = measure.Size{Inner: inner, Outer: inner + 3000, Height: length(long)}
	}
	s.put(p, 35)
}

func (s *stack) protectors() {
	for _, leg := range []string{"left", "right"} {
		s.put(catalog.Position{Role: "protector", Leg: leg, Renew: "damage", Note: "Bolted to the foot."}, 4)
	}
}

// bottom adds bottom bolt and washer, for each leg where they differ.
func (s *stack) bottom() {
	left, right := sides(s.r.bolt, ",")
	leftWasher, rightWasher := sides(s.r.crush, ",")
	if left == right {
		s.bolt("both", left, leftWasher)
		return
	}
	s.bolt("left", left, leftWasher)
	s.bolt("right", right, rightWasher)
}

func (s *stack) bolt(leg, bolt, washer string) {
	p := catalog.Position{Role: catalog.BottomBolt, Leg: leg, Renew: "damage", Note: "From below, holds the damper."}
	odds := 5
	bolt, coated := strings.CutSuffix(bolt, "!")
	if coated {
		p.Renew, p.Note, odds = "opened", "From below, holds the damper; locking compound on the thread.", 85
	}
	thread, long, _ := strings.Cut(bolt, "/")
	p.Thread, p.Size = thread, measure.Size{Height: length(long)}
	s.put(p, odds)
	s.put(catalog.Position{
		Role: catalog.BottomWasher, Leg: leg, Renew: "opened", Size: size(washer),
		Note: "The old one often stays stuck in the lower and must come out first.",
	}, 100)
}

func (s *stack) drain() {
	fitted := map[string]string{"yes": "yes", "no": "no", "?": "unknown"}[s.r.drain]
	screw := catalog.Position{Role: catalog.DrainScrew, Renew: "damage", Fitted: fitted}
	washer := catalog.Position{Role: catalog.DrainWasher, Renew: "opened", Fitted: fitted}
	if fitted != "no" {
		screw.Thread, screw.Size, screw.Note = "M6x1.0", measure.Size{Height: 8000}, "In the side of the lower."
		washer.Size = size("6/10x1")
	}
	s.put(screw, 2)
	s.put(washer, 90)
}

func (s *stack) cap() {
	inner, section := s.leg-7000, length(s.r.section)
	s.put(catalog.Position{
		Role: catalog.CapORing, Renew: "judge", Size: measure.Size{Inner: inner, Outer: inner + 2*section, Height: section},
		Note: "Oiled, not twisted.",
	}, 40)
}

// inside adds what only the fork maker's list names.
func (s *stack) inside() {
	switch {
	case strings.HasPrefix(s.r.springing, "air"):
		s.put(catalog.Position{Role: "air_valve", Leg: "left", Renew: "damage", Note: "Air out before anything is undone."}, 5)
		s.put(catalog.Position{Role: "cartridge_seal", Leg: "right", Renew: "judge"}, 30)
	case s.r.damping == "closed":
		s.put(catalog.Position{Role: "cartridge_seal", Renew: "judge"}, 30)
	case s.r.damping == "rod" && s.r.tube != "-":
		s.put(catalog.Position{
			Role: "oil_lock", Renew: "damage", Note: "Sits on the damper rod, falls out and gets lost; tapered end down.",
		}, 2)
	}
}

// oil adds the oil of each leg, and that of a closed cartridge apart.
func (s *stack) oil() {
	grade := s.r.grade + "W"
	fill := func(leg, chamber, mL string) {
		if mL == "" || mL == "-" {
			return
		}
		n := int64(atoi(mL))
		note := ""
		if chamber == "cartridge" {
			note = "In the closed cartridge."
		}
		s.put(catalog.Position{Role: catalog.Oil, Leg: leg, PerLeg: n, Renew: "always", Note: note}, 100)
		o := catalog.OilFill{Leg: leg, Chamber: chamber, DryML: n, RefillML: n * 9 / 10, Grade: grade, Source: makerList}
		o.CSt, o.Index = printed[s.r.grade].cst, printed[s.r.grade].index
		if chamber == "leg" {
			if o.Gap = length(s.r.gap); o.Gap != 0 {
				o.GapHow = "spring out, leg fully compressed"
			}
		}
		s.f.fills = append(s.f.fills, o)
	}
	s.sided(s.r.oil, func(leg, mL string) { fill(leg, "leg", mL) })
	s.sided(s.r.cartridge, func(leg, mL string) { fill(leg, "cartridge", mL) })
}

// sided calls f for both legs, or for each where the cell has two values.
func (s *stack) sided(cell string, f func(leg, value string)) {
	left, right := sides(cell, ",")
	if left == right {
		f("both", left)
		return
	}
	f("left", left)
	f("right", right)
}
