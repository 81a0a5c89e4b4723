package demo

import (
	"fmt"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// book is one copy of the catalog before it is entered.
type book struct {
	copy   int            // 0 is the shop itself, others are for benchmarks
	shift  measure.Length // by which the sizes of this copy differ, so that not all copies fit one place
	wares  []*ware
	byName map[string]*ware
	forks  []*fork
	kits   []kit
	offers []offer
	labels []label
	olds   []*ware // old versions that still lie there

	made   map[string]*ware   // by what was asked for
	oils   map[string][]*ware // by grade
	counts map[string]int     // running numbers
	taken  map[string]bool    // GTINs, of all copies
}

// newBook makes a copy of the catalog. Nothing in it depends on a seed but
// prices.
func newBook(seed uint64, copy int, taken map[string]bool) *book {
	b := &book{
		copy: copy, shift: measure.Length(copy*37%40) * measure.Millimetre / 2, byName: map[string]*ware{},
		made: map[string]*ware{}, oils: map[string][]*ware{}, counts: map[string]int{},
		taken: taken,
	}
	b.addOils()
	for _, r := range rows() {
		b.forks = append(b.forks, b.assemble(r))
	}
	b.addExtras()
	b.addBikes()
	b.addKits()
	b.stow()
	b.addLabels()
	b.addOffers(seed)
	b.addOlds()
	return b
}

// variant gives what tells this copy's names from those of the others.
func (b *book) variant(mark string) string {
	if b.copy == 0 {
		return ""
	}
	return fmt.Sprint(mark, b.copy)
}

// shifted gives a size as it stands in this copy.
func (b *book) shifted(s measure.Size) measure.Size {
	for _, l := range []*measure.Length{&s.Inner, &s.Outer} {
		if *l != 0 {
			*l += b.shift
		}
	}
	return s
}

// add takes a ware into the book.
func (b *book) add(w *ware) {
	w.Number += b.variant("-V")
	b.wares = append(b.wares, w)
	b.byName[w.Name()] = w
}

// addBikes reads models and gives each fork its bikes.
func (b *book) addBikes() {
	forks := map[string]*fork{}
	for _, f := range b.forks {
		forks[strings.TrimSuffix(f.Name, b.variant(" V"))] = f
	}
	for line := range strings.Lines(strings.TrimSpace(models)) {
		c := strings.Split(line, "|")
		for i := range c {
			c[i] = strings.TrimSpace(c[i])
		}
		bike := catalog.Fitment{Make: c[0], Model: c[1] + b.variant(" V"), Source: makerList}
		if c[2] != "" {
			bike.YearFrom = atoi(c[2])
		}
		if c[3] != "" {
			bike.YearTo = atoi(c[3])
		}
		if len(c) > 5 {
			bike.Variant, bike.Code, bike.Frames = c[5], c[6], must(catalog.ParseFrames(c[7]))
		}
		f := forks[c[4]]
		f.bikes = append(f.bikes, bike)
	}
}

// racks says which rack a role is kept in; what is not named goes to the last.
var racks = map[catalog.Role]byte{
	catalog.OilSeal: 'A', catalog.Kit: 'A', catalog.Wiper: 'B', catalog.CapORing: 'B', catalog.TubeBushing: 'C',
	catalog.LowerBushing: 'C', catalog.BackupWasher: 'C', catalog.Clip: 'C', catalog.BottomWasher: 'C', catalog.DrainWasher: 'C',
}

const rackRows, rackPlaces = 5, 4

// bins gives the names of the shelf bins, rack by rack: A-01-1 to D-05-4.
func bins() []string {
	var all []string
	for _, rack := range "ABCD" {
		for i := range rackRows * rackPlaces {
			all = append(all, fmt.Sprintf("%c-%02d-%d", rack, 1+i/rackPlaces, 1+i%rackPlaces))
		}
	}
	return all
}

// stow gives the parts that the shop reaches for a home bin, and some of its
// first choices a minimum. What only a list names has neither.
func (b *book) stow() {
	used, first := map[*ware]bool{}, map[*ware]bool{}
	for _, f := range b.forks {
		for _, p := range f.places {
			for i, w := range p.wares {
				used[w] = used[w] || i == 0 || w.Maker != vaskuro
				first[w] = first[w] || i == 0
			}
		}
	}
	next := map[byte]int{}
	for _, w := range b.wares {
		if !used[w] && w.Role != "tool" && w.Role != "consumable" && w.Role != catalog.Kit {
			continue
		}
		rack := racks[w.Role]
		if rack == 0 {
			rack = 'D'
		}
		i := next[rack] / 4 % (rackRows * rackPlaces) // four kinds side by side before the next bin
		next[rack]++
		w.shelf = fmt.Sprintf("%c-%02d-%d", rack, 1+i/rackPlaces, 1+i%rackPlaces)
		switch {
		case !first[w]:
		case w.Role == catalog.Oil:
			w.Minimum = 1000
		case w.Role == catalog.BottomWasher || w.Role == catalog.DrainWasher:
			w.Minimum = 10
		case hash(w.Name())%9 == 0:
			w.Minimum = 2
		}
	}
	if b.copy == 0 {
		b.byName[storySeal].Minimum = 4
	}
}
