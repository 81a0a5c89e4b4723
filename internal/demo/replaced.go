package demo

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/inventory"
)

// What became of numbers. None of it touches the fork of the story.

// olds are old versions of wares that still lie there, and one ware that was
// entered twice, with a zero for its O: number, the ware, pieces.
var olds = []struct {
	number, of string
	pieces     int64
}{
	{"TL 36-15A", tolmek + "/TL 36-15", 3},
	{"SV-2208", selvarin + "/SV-2212", 2},
	{twice, orbenta + "/OB455811", 2},
}

// twice is the number of the ware that was entered twice.
const twice = "0B455811"

// successions: old, new, since, reason; "=" before the new one: both ways.
const successions = `
Tolmek/TL 36-15A   |  Tolmek/TL 36-15   | 2012    | longer lead-in
Selvarin/SV-2208   |  Selvarin/SV-2212  | 2011-05 | second lip, sits deeper
Jostwin/41059      | =Jostwin/4105902   | 2009    | number follows the wire
Vaskuro/VK11-801   |  Vaskuro/VK11-802  | 2007    | other rubber
Vaskuro/VK11-802   |  Vaskuro/VK11-016B | 2013-10 | 
`

// furtherNumbers are those of the makes of bikes: of a ware, number.
const furtherNumbers = `
Vaskuro/VK11-016B | Haldorn/45-3318
Vaskuro/VK11-005B | Tavoshi/51K-2310
Tolmek/TL 36-15   | Tavoshi/51K-2144
`

// stillUsable is the old version that may still go into a fork.
const (
	stillUsable     = tolmek + "/TL 36-15A"
	stillUsableFork = "Corva 36"
)

// addOlds adds the old wares. They come last: nobody sells them, and no number
// of another moves for them.
func (b *book) addOlds() {
	for _, o := range olds {
		of := b.byName[o.of+b.variant("-V")]
		w := &ware{bag: 1, cost: of.cost, shelf: of.shelf, Part: of.Part}
		w.Number = o.number
		b.add(w)
		b.olds = append(b.olds, w)
	}
}

// columns splits a line of a table.
func columns(line string) []string {
	c := strings.Split(line, "|")
	for i := range c {
		c[i] = strings.TrimSpace(c[i])
	}
	return c
}

// table splits the lines of a table.
func table(text string) (all [][]string) {
	for line := range strings.Lines(strings.TrimSpace(text)) {
		all = append(all, columns(line))
	}
	return all
}

// succession reads the old number and the new one of a line of successions.
func (b *book) succession(c []string) (old, by catalog.Ref, both bool) {
	number, both := strings.CutPrefix(c[1], "=")
	return b.ref(c[0]), b.ref(number), both
}

// ref reads MAKER/NUMBER as it is in this copy.
func (b *book) ref(name string) catalog.Ref {
	maker, number, _ := strings.Cut(name, "/")
	return catalog.Ref{Maker: maker, Number: number + b.variant("-V")}
}

// enterReplaced enters what became of numbers, and what lies there of the old.
func (s *filler) enterReplaced(ctx context.Context, b *book) error {
	for _, c := range table(successions) {
		old, by, both := b.succession(c)
		if _, err := catalog.AddReplacement(ctx, s.tx, catalog.Replacement{
			Old: old, New: by, BothWays: both, Since: c[2], Reason: c[3],
			Told: catalog.Told{Source: sources[old.Maker], Person: s.person},
		}); err != nil {
			return err
		}
	}
	for _, c := range table(furtherNumbers) {
		if _, err := catalog.AddOtherNumber(ctx, s.tx, catalog.OtherNumber{
			Part: b.byName[c[0]+b.variant("-V")].ID, Ref: b.ref(c[1]), Told: catalog.Told{Source: makerList, Person: s.person},
		}); err != nil {
			return err
		}
	}
	told := catalog.Told{Source: "callipers on the bench", Person: s.person}
	err := catalog.AddUsable(ctx, s.tx, b.byName[stillUsable+b.variant("-V")].ID, b.fork(stillUsableFork+b.variant(" V")).ID, told)
	if err != nil {
		return err
	}
	return s.openOlds(ctx, b)
}

// openOlds lays down what is left of the old wares.
func (s *filler) openOlds(ctx context.Context, b *book) error {
	for i, w := range b.olds {
		lot, err := inventory.LotOf(ctx, s.tx, inventory.Lot{Part: w.ID})
		if err != nil {
			return err
		}
		n := olds[i].pieces
		if _, err := inventory.Post(ctx, s.tx, inventory.Posting{
			Key: "demo:old:" + w.Name(), Kind: inventory.Opening, Person: s.person, Reason: "left over",
		}, []inventory.Flow{{
			Part: w.ID, Lot: lot.ID, To: w.HomeBin, Amount: n, Value: inventory.Value{Minor: n * w.cost, Known: true},
		}}); err != nil {
			return err
		}
	}
	return nil
}
