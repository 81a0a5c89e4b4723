package demo

import (
	"fmt"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// ware is a part of the demo shop with what the shop knows beside the catalog.
type ware struct {
	catalog.Part
	bag   int64  // in the maker's own bag or bottle, of the part's unit
	cost  int64  // about what the shop pays for a piece or a litre, minor units
	shelf string // name of its home bin, empty for none

	undated bool // its bag carries no dates
}

// rule says which part a maker has for a role. In text {size}, {ring},
// {leg}, {bore}, {thread}, {long} and {side} stand for what the place asks.
type rule struct {
	maker, text         string
	material, elastomer string
	share               int // of a hundred sizes that the maker has; a small one is for the common sizes
	bag, cost           int64
	bare                bool   // the maker's list prints no sizes
	undated             string // the elastomer, of a maker who prints no dates on the bag
}

// rules: the shop's first choice first.
var rules = map[catalog.Role][]rule{
	catalog.OilSeal: {
		{maker: orbenta, text: "Fork oil seal {size}, single", elastomer: "NBR", share: 100, bag: 1, cost: 690},
		{maker: selvarin, text: "Front fork seal {size}", elastomer: "NBR", share: 100, bag: 1, cost: 640},
		{maker: orbenta, text: "Fork oil seal {size}, low friction, single", elastomer: "FKM", share: 40, bag: 1, cost: 1180},
		{maker: grevalo, text: "Fork seals {size}, pair", undated: "NBR", share: 55, bag: 2, cost: 410},
		{maker: vaskuro, text: "Oil seal, {leg} mm leg", undated: "NBR", share: 100, bag: 1, cost: 1490},
	},
	catalog.Wiper: {
		{maker: selvarin, text: "Wiper {size}", elastomer: "NBR", share: 100, bag: 1, cost: 560},
		{maker: orbenta, text: "Dust seal (wiper) {ring}, single", elastomer: "NBR", share: 85, bag: 1, cost: 590},
		{maker: grevalo, text: "Dust seals {ring}, pair", undated: "NBR", share: 45, bag: 2, cost: 380},
		{maker: vaskuro, text: "Dust seal, {leg} mm leg", undated: "NBR", share: 100, bag: 1, cost: 1190, bare: true},
	},
	catalog.TubeBushing: {
		{maker: tolmek, text: "Bushing for the inner tube, {leg} mm leg, {long} mm long", material: "steel, coated outside", share: 100, bag: 1, cost: 980},
		{maker: vaskuro, text: "Bushing, inner tube, {leg} mm leg", share: 100, bag: 1, cost: 1690},
	},
	catalog.LowerBushing: {
		{maker: tolmek, text: "Bushing for the outer tube, {leg} mm leg, {long} mm long", material: "steel, coated inside", share: 100, bag: 1, cost: 1040},
		{maker: vaskuro, text: "Bushing, outer tube, {leg} mm leg", share: 100, bag: 1, cost: 1790},
	},
	catalog.BackupWasher: {
		{maker: jostwin, text: "Backup washer {size}", material: "steel", share: 100, bag: 1, cost: 260},
		{maker: vaskuro, text: "Seal spacer, {leg} mm leg", share: 100, bag: 1, cost: 540},
	},
	catalog.Clip: {
		{maker: jostwin, text: "Round wire clip for bore {bore}, wire {long}", material: "spring steel", share: 100, bag: 10, cost: 95},
		{maker: vaskuro, text: "Stopper ring, {leg} mm leg", share: 100, bag: 1, cost: 310},
	},
	catalog.BottomBolt: {
		{maker: vaskuro, text: "Bottom bolt {thread} x {long}", material: "steel 10.9", share: 100, bag: 1, cost: 620},
		{maker: jostwin, text: "Socket head bolt {thread} x {long}, drilled for fork dampers", material: "steel 10.9", share: 60, bag: 1, cost: 340},
	},
	catalog.BottomWasher: {
		{maker: jostwin, text: "Copper washer {size}", material: "copper", share: 100, bag: 10, cost: 22},
		{maker: jostwin, text: "Aluminium washer {size}", material: "aluminium", share: 70, bag: 10, cost: 19},
		{maker: vaskuro, text: "Washer, bottom bolt", material: "copper", share: 100, bag: 1, cost: 140, bare: true},
	},
	catalog.DrainScrew: {
		{maker: vaskuro, text: "Drain screw {thread} x {long}", share: 100, bag: 1, cost: 290},
		{maker: jostwin, text: "Screw {thread} x {long}, for drain holes", share: 100, bag: 10, cost: 45},
	},
	catalog.DrainWasher: {
		{maker: jostwin, text: "Copper washer {size}", material: "copper", share: 100, bag: 100, cost: 9},
		{maker: vaskuro, text: "Washer, drain screw", share: 100, bag: 1, cost: 110, bare: true},
	},
	catalog.CapORing: {
		{maker: selvarin, text: "O-ring {size}", elastomer: "NBR", share: 100, bag: 10, cost: 48},
		{maker: vaskuro, text: "O-ring, fork cap", undated: "NBR", share: 100, bag: 1, cost: 260, bare: true},
	},
	"protector":      {{maker: vaskuro, text: "Protector, {side}, {leg} mm leg", material: "plastic", share: 100, bag: 1, cost: 2890}},
	"air_valve":      {{maker: vaskuro, text: "Air valve, {leg} mm leg", share: 100, bag: 1, cost: 1450}},
	"cartridge_seal": {{maker: vaskuro, text: "Seal head, closed cartridge, {leg} mm leg", elastomer: "NBR", share: 100, bag: 1, cost: 2240}},
	"oil_lock":       {{maker: vaskuro, text: "Oil-lock piece, {leg} mm leg", material: "aluminium", share: 100, bag: 1, cost: 760}},
}

// callipers is the source of what the shop has measured itself.
const callipers = "callipers on the bench"

// sources of the makers' sizes.
var sources = map[string]string{
	vaskuro: makerList, selvarin: selvarin + " list 2023", orbenta: orbenta + " list 11", tolmek: tolmek + " list 4",
	jostwin: jostwin + " list 2021", pelmora: pelmora + " list 8", ambrel: ambrel + " data sheets", grevalo: callipers,
}

// wear gives the parts for a place of the fork in r, new ones where nobody
// asked for them before. Oil goes by its grade.
func (b *book) wear(p catalog.Position, r row) []*ware {
	if p.Role == catalog.Oil {
		return b.oils[r.grade]
	}
	var all []*ware
	for _, rule := range rules[p.Role] {
		known := p.Size != (measure.Size{}) || p.Thread != ""
		anyway := p.Role == "protector" || p.Role == "air_valve" || p.Role == "cartridge_seal" || p.Role == "oil_lock"
		if !known && !anyway && rule.maker != vaskuro { // nobody else knows the place
			continue
		}
		if w := b.make(rule, p, r.leg); w != nil {
			all = append(all, w)
		}
	}
	return all
}

// make gives the maker's part for a place, nil where the maker has none.
func (b *book) make(r rule, p catalog.Position, leg string) *ware {
	side := ""
	if p.Role == "protector" {
		side = p.Leg
	}
	key := strings.Join([]string{r.maker, string(p.Role), r.material, r.elastomer, p.Size.String(), p.Thread, side}, "|")
	if p.Size == (measure.Size{}) {
		key += "|" + leg
	}
	if w, ok := b.made[key]; ok {
		return w
	}
	if int(hash(key)%100) >= r.share {
		return nil
	}
	w := &ware{bag: r.bag, cost: r.cost, Part: catalog.Part{
		Number: b.number(r, p, leg), Maker: r.maker, Role: p.Role, Description: describe(r.text, p, leg, side),
		Unit: catalog.Piece, Thread: p.Thread, Material: r.material, Elastomer: r.elastomer + r.undated, Source: sources[r.maker],
	}, undated: r.undated != ""}
	if !r.bare {
		w.Size = b.shifted(p.Size)
	}
	b.made[key] = w
	b.add(w)
	return w
}

func describe(text string, p catalog.Position, leg, side string) string {
	ring := p.Size
	ring.Height, ring.Overall = 0, 0
	return strings.NewReplacer(
		"{size}", p.Size.String(), "{ring}", ring.String(), "{leg}", leg, "{bore}", p.Size.Outer.String(),
		"{thread}", p.Thread, "{long}", p.Size.Height.String(), "{side}", side,
	).Replace(text)
}

// fork maker's groups of numbers.
var groups = map[catalog.Role]int{
	catalog.OilSeal: 11, catalog.Wiper: 12, catalog.TubeBushing: 21, catalog.LowerBushing: 22, catalog.BackupWasher: 31,
	catalog.Clip: 32, catalog.BottomBolt: 41, catalog.BottomWasher: 42, catalog.DrainScrew: 43, catalog.DrainWasher: 44,
	catalog.CapORing: 51, "protector": 61, "air_valve": 71, "cartridge_seal": 72, "oil_lock": 73,
}

// number makes a part number in the maker's own way: by size, by leg, or by
// counting.
func (b *book) number(r rule, p catalog.Position, leg string) string {
	flat := func(l measure.Length) string { return strings.ReplaceAll(l.String(), ".", "") }
	next := func(series string) int {
		b.counts[series]++
		return b.counts[series]
	}
	switch r.maker {
	case orbenta: // OB395211, OB395211F, OW3952-135
		if p.Role == catalog.Wiper {
			return "OW" + flat(p.Size.Inner) + flat(p.Size.Outer) + "-" + flat(p.Size.Overall)
		}
		n := "OB" + flat(p.Size.Inner) + flat(p.Size.Outer) + flat(p.Size.Height)
		if r.elastomer == "FKM" {
			n += "F"
		}
		return n
	case selvarin: // SV-2107
		series := map[catalog.Role]string{catalog.OilSeal: "SV-2", catalog.Wiper: "SW-3", catalog.CapORing: "SO-7"}[p.Role]
		return fmt.Sprintf("%s%03d", series, 7*next(series)+100)
	case tolmek: // TU 39-15
		series := map[catalog.Role]string{catalog.TubeBushing: "TU ", catalog.LowerBushing: "TL "}[p.Role]
		return series + flat(p.Size.Inner) + "-" + flat(p.Size.Height)
	case jostwin: // 410530, a clip for a bore of 53.0
		if p.Role == catalog.Clip {
			return fmt.Sprintf("41%04d", p.Size.Outer/100) + map[measure.Length]string{1500: "", 1800: "", 2000: "2"}[p.Size.Height]
		}
		return fmt.Sprintf("%d%04d", groups[p.Role]+20, 3*next(jostwin+string(p.Role))+1000)
	case grevalo: // 705-012
		return fmt.Sprintf("7%02d-%03d", groups[p.Role], 4*next(grevalo+string(p.Role))+8)
	}
	return fmt.Sprintf("VK%d-%03d%s", groups[p.Role], next(vaskuro+string(p.Role)), strings.ToUpper(p.Leg[:1]))
}
