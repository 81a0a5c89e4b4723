package demo

import (
	"fmt"

	"forkstock/catalog"
)

// kit is a part that brings others.
type kit struct {
	*ware
	contents []content
	legs     int // for which one kit is
}

// content is what a kit brings of one part.
type content struct {
	*ware
	pieces int64
}

// addKits makes the kits: for every fork one with seals and wipers for both
// legs, for those with bushings one for a single leg with all that wears, for
// some one with the seals alone.
func (b *book) addKits() {
	for i, f := range b.forks {
		bike := f.bikes[0] // kits are named after one of those that they fit
		name := fmt.Sprintf("%s %s %s", bike.Make, bike.Model, bike.Years())
		b.kit(pelmora, fmt.Sprintf("PK-%02d2", 10+i), "Seal and wiper kit, both legs, "+name, f, 2, catalog.OilSeal, catalog.Wiper)
		if i%4 == 3 {
			b.kit(grevalo, fmt.Sprintf("702-%03d", 4*i), "Fork seals for both legs, no wipers, "+name, f, 2, catalog.OilSeal)
		}
		if !f.has(catalog.TubeBushing) {
			continue
		}
		roles := []catalog.Role{
			catalog.OilSeal, catalog.Wiper, catalog.TubeBushing, catalog.LowerBushing, catalog.BackupWasher, catalog.BottomWasher,
		}
		text := "Service kit with bushings, one leg, "
		if i%2 == 0 {
			roles, text = append(roles, catalog.BottomBolt, catalog.Clip), "Service kit with bushings, bolt and clip, one leg, "
		}
		b.kit(pelmora, fmt.Sprintf("PK-%02d7", 10+i), text+name, f, 1, roles...)
	}
}

// has reports whether the fork has a place of the role.
func (f *fork) has(role catalog.Role) bool {
	for _, p := range f.places {
		if p.Role == role && p.Fitted == "yes" {
			return true
		}
	}
	return false
}

// kit adds a kit with what so many legs take for the roles: the shop's first
// choice of each. Where the legs differ, it is the left one's.
func (b *book) kit(maker, number, text string, f *fork, legs int64, roles ...catalog.Role) {
	w := &ware{bag: 1, Part: catalog.Part{
		Number: number, Maker: maker, Role: catalog.Kit, Description: text, Unit: catalog.Piece, Source: sources[maker],
	}}
	k := kit{ware: w, legs: int(legs)}
	for _, role := range roles {
		for _, p := range f.places {
			if p.Role != role || p.Fitted != "yes" || p.Leg == "right" {
				continue
			}
			c := content{p.wares[0], p.PerLeg * legs}
			k.bring(c)
			w.cost += c.cost * c.pieces * 85 / 100
		}
	}
	b.add(w)
	b.kits = append(b.kits, k)
}

// bring adds to what is in the kit; a leg may take two of one part.
func (k *kit) bring(c content) {
	for i := range k.contents {
		if k.contents[i].ware == c.ware {
			k.contents[i].pieces += c.pieces
			return
		}
	}
	k.contents = append(k.contents, c)
}
