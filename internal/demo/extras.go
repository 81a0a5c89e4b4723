package demo

import (
	"fmt"
	"strconv"
	"strings"

	"forkstock/catalog"
)

// extras are parts that no place of a fork asks for: number; role; cents; size
// or thread; elastomer; description. A "." is empty.
var extras = map[string]string{
	// Sizes near those of the forks: right bore, wrong height or outside.
	orbenta: `
OB395195    oil_seal   690 39x51x9.5        NBR Fork oil seal 39x51x9.5, single
OB395311    oil_seal   690 39x53x11         NBR Fork oil seal 39x53x11, single
OB37498     oil_seal   620 37x49x8/9.5      NBR Fork oil seal 37x49x8/9.5, single
OB385211    oil_seal   690 38x52x11         NBR Fork oil seal 38x52x11, single
OB41549     oil_seal   720 41x54x9/10.5     NBR Fork oil seal 41x54x9/10.5, single
OB41755     oil_seal   740 41.7x55x7.5/10   NBR Fork oil seal 41.7x55x7.5/10, single
OB48582     oil_seal   890 48x58.2x9        NBR Fork oil seal 48x58.2x9, single
OR395211    other      310 39x52x11         NBR Rotary shaft seal 39x52x11, not for forks
OW3955-135  wiper      590 39x55x5/13.5     NBR Dust seal (wiper) 39x55, single`,
	selvarin: `
SV-2910     oil_seal   640 40x49.5x7/9.5    NBR Front fork seal 40x49.5x7/9.5
SV-2917     oil_seal   640 39x52x11/12.5    NBR Front fork seal 39x52x11/12.5, with a second lip
SV-2924     oil_seal   700 43x53.5x9.5/10.5 FKM Front fork seal 43x53.5x9.5/10.5
SO-7910     cap_oring   48 33x37.8x2.4      NBR O-ring 33 x 2.4
SO-7917     cap_oring   52 32.99x38.23x2.62 NBR O-ring 32.99 x 2.62
SO-7924     base_valve_oring 55 26x30.8x2.4 NBR O-ring 26 x 2.4, base valve
SO-7931     base_valve_oring 55 29x33.8x2.4 FKM O-ring 29 x 2.4, base valve`,
	grevalo: `
410-530     oil_seal   400 39x52x11         NBR Fork seals 39x52x11, economy, pair
720-031     spring    2225 .                .   Fork springs, linear 7.5 N/mm, 39 mm leg, pair
720-032     spring    2225 .                .   Fork springs, linear 8.0 N/mm, 39 mm leg, pair
720-033     spring    2225 .                .   Fork springs, linear 8.5 N/mm, 41 mm leg, pair
720-034     spring    2225 .                .   Fork springs, linear 9.0 N/mm, 41 mm leg, pair
720-035     spring    2445 .                .   Fork springs, linear 9.5 N/mm, 43 mm leg, pair
720-036     spring    2445 .                .   Fork springs, progressive, 43 mm leg, pair
720-037     spring    2145 .                .   Fork springs, progressive, 37 mm leg, pair
720-038     spring    5190 .                .   Fork spring, linear 4.6 N/mm, 48 mm leg, single
720-039     spring    5190 .                .   Fork spring, linear 4.8 N/mm, 48 mm leg, single
720-040     spring    5190 .                .   Fork spring, linear 5.0 N/mm, 50 mm leg, single
725-008     spacer     390 .                .   Preload spacer 20 mm, 39 and 41 mm leg
725-012     spacer     420 .                .   Preload spacer 30 mm, 43 mm leg
726-004     topout_spring 640 .             .   Top-out spring, 39 and 41 mm leg
726-008     topout_spring 690 .             .   Top-out spring, 43 mm leg
727-004     piston_ring 280 .               .   Piston ring, damper rod, 36 to 39 mm leg
727-008     piston_ring 310 .               .   Piston ring, damper rod, 40 to 42 mm leg
740-031     tool      2900 .                .   Seal driver, split, 31 to 37 mm leg
740-039     tool      3200 .                .   Seal driver, split, 38 to 43 mm leg
740-045     tool      3400 .                .   Seal driver, split, 45 to 50 mm leg
740-102     tool      1850 .                .   Damper holder, tapered, 20 to 30 mm
740-104     tool      2450 .                .   Damper holder, square, with long bar
740-110     tool      1990 .                .   Cap socket 46 mm, thin wall
740-111     tool      1990 .                .   Cap socket 50 mm, thin wall
740-120     tool      7900 .                .   Spring compressor for cartridge caps
740-131     tool      3850 .                .   Level gauge for the air gap, with syringe
740-140     tool       690 .                .   Sleeve for grooves and edges, 41 to 43 mm leg
740-141     tool       690 .                .   Sleeve for grooves and edges, 46 to 49 mm leg
760-003     other      150 .                .   Cable tie, to mark the travel
760-007     other      420 .                .   Sticker set, lower`,
	pelmora: `
PG-301      gaiter    1450 .                .   Gaiter, 31 to 33 mm leg, 9 folds
PG-352      gaiter    1590 .                .   Gaiter, 35 to 37 mm leg, 11 folds
PG-382      gaiter    1690 .                .   Gaiter, 38 and 39 mm leg, 11 folds
PG-391      gaiter    1690 .                .   Gaiter, 39 mm leg, 14 folds
PG-411      gaiter    1790 .                .   Gaiter, 41 mm leg, 14 folds
PG-433      gaiter    1890 .                .   Gaiter, 43 mm leg, 17 folds
PG-480      gaiter    1290 .                .   Neoprene sleeve, 46 to 50 mm leg, upside-down
PG-801      bladder   2690 .                IIR Bladder, closed cartridge, 46 to 48 mm leg`,
	jostwin: `
691004      other       35 M5x0.8           .   Clamp bolt M5x0.8 x 16 for protectors
691007      other       60 M8x1.25          .   Pinch bolt M8x1.25 x 35
691010      bottom_bolt 330 M10             .   Socket head bolt M10 x 30, pitch not stated
621901      bottom_washer 24 10/13.5x1.5    .   Copper washer 10x13.5x1.5
621904      bottom_washer 85 10/18x2        NBR Bonded washer 10x18x2
621907      bottom_washer 24 8/11.5x1       .   Copper washer 8x11.5x1`,
	ambrel: `
AM 401      consumable 790 .                .   Seal grease, tube 50 g
AM 402      consumable 1240 .               .   Seal grease, tin 250 g
AM 411      consumable 980 .                .   Thread-locker, medium, 10 mL bottle
AM 421      consumable 420 .                .   Brake cleaner, can 500 mL
AM 422      consumable 2650 .               .   Brake cleaner, canister 5 L
AM 431      consumable 340 .                .   Assembly paste, copper, tube
AM 441      consumable 590 .                .   Polishing cloth, grain 600, roll
AM 451      consumable 260 .                .   Cleaning cloths, bag of 50`,
}

// makers is every part maker, in the order in which their extras are added.
var makers = []string{vaskuro, selvarin, orbenta, tolmek, jostwin, pelmora, ambrel, grevalo}

// addExtras adds the extras. A part of 50 cents or less comes in bags of ten.
func (b *book) addExtras() {
	for _, maker := range makers {
		for line := range strings.Lines(strings.TrimSpace(extras[maker])) {
			number, f := extra(line)
			w := &ware{bag: 1, cost: int64(atoi(f[1])), Part: catalog.Part{
				Number: number, Maker: maker, Role: catalog.Role(f[0]), Description: f[4], Unit: catalog.Piece,
				Source: sources[maker],
			}}
			if strings.HasPrefix(f[2], "M") {
				w.Thread = f[2]
			} else if f[2] != "." {
				w.Size = b.shifted(size(f[2]))
			}
			if f[3] != "." {
				w.Elastomer, w.undated = f[3], maker == grevalo || maker == pelmora
			}
			switch {
			case w.cost <= 50:
				w.bag = 10
			case strings.HasSuffix(w.Description, "pair"):
				w.bag = 2
			}
			b.add(w)
		}
	}
}

// extra splits a line: the number may hold one space, the description many.
func extra(line string) (number string, fields [5]string) {
	f := strings.Fields(line)
	number, f = f[0], f[1:]
	if number == "AM" {
		number, f = number+" "+f[0], f[1:]
	}
	copy(fields[:4], f)
	fields[4] = strings.Join(f[4:], " ")
	return number, fields
}

// oilTable is the oils: grade as printed, number, cSt at 40 C, viscosity index,
// cents a litre. Two oils of one grade differ.
var oilTable = []struct {
	grade, number, viscosity, index, words, material string
	cost                                             int64
}{
	{"5", "AM 305", "16.9", "148", "Fork oil 5W", "mineral", 1190},
	{"7.5", "AM 307", "22.6", "141", "Fork oil 7.5W", "mineral", 1240},
	{"10", "AM 310", "32.1", "121", "Fork oil 10W", "mineral", 1150},
	{"15", "AM 315", "46.3", "118", "Fork oil 15W", "mineral", 1190},
	{"20", "AM 320", "67.2", "110", "Fork oil 20W", "mineral", 1190},
	{"5", "AM 335", "18.4", "255", "Fork oil 5W, light", "synthetic", 1980},
	{"10", "AM 340", "28.9", "210", "Fork oil 10W, medium", "synthetic", 1980},
}

// addOils adds the oils; they are counted in mL.
func (b *book) addOils() {
	for _, o := range oilTable {
		w := &ware{bag: 1000, cost: o.cost, Part: catalog.Part{
			Number: o.number, Maker: ambrel, Role: catalog.Oil, Unit: catalog.Millilitre, Material: o.material,
			Description: fmt.Sprintf("%s, %s cSt at 40 C, VI %s", o.words, o.viscosity, o.index), Source: sources[ambrel],
		}}
		b.add(w)
		b.oils[o.grade] = append(b.oils[o.grade], w)
	}
}

// atoi reads a whole number of the tables here.
func atoi(text string) int { return must(strconv.Atoi(text)) }
