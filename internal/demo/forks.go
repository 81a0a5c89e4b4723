package demo

import (
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// forkTable is one fork a line. Sizes are usual for the leg diameter (common
// practice, no source), how they go together here is invented.
//
// Columns: name; layout (C conventional, U upside-down); leg diameter; damping
// and springing, left/right where they differ; seal and wiper; lengths of the
// bushings on the inner and in the outer tube; thickness of the backup washer;
// wire of the clip; bottom bolt and length (! for one with locking compound on
// it) and its washer; drain screw; section of the cap O-ring; mL of oil a leg,
// air gap in mm, grade; mL in a closed cartridge; how often the shop sees it.
// "-" is none, "?" not known.
const forkTable = `
Corva_31    C 31   rod         coil          31x43x10.5     31x43x5/12.5   -  -  -   1.5 M8x1.25/25    8/12x1    yes 1.9  145 -   10  -   2
Corva_33    C 33   rod         coil          33x46x11       33x46x5/13     -  -  -   1.5 M8x1.25/25    8/12x1    yes 1.9  180 165 10  -   4
Corva_34.9  C 34.9 rod         coil          34.9x48x11     34.9x48x5/13   -  -  1.5 1.5 M8x1.25/30    8/14x1.5  yes 2.4  255 -   10  -   2
Corva_35    C 35   rod         coil          35x48x11       35x48x5/13     -  -  1.5 1.5 M8x1.25/30    8/14x1.5  ?   2.4  262 150 10  -   4
Corva_36    C 36   rod         coil_with_air 36x48x11       36x48x5/13     12 15 1.5 1.5 M8x1.25/30    8/14x1.5  yes 2.4  310 150 10  -   4
Corva_37    C 37   rod         coil          37x50x11       37x50x5/13     12 15 1.5 1.5 M8x1.25/30    8/14x1.5  ?   2.4  345 130 15  -   6
Corva_38    C 38   rod         coil          38x50x11       38x50x5/13     15 18 1.5 1.5 M10x1.25/30   10/14x1.5 yes 2.4  390 -   15  -   4
Corva_39    C 39   rod         coil          39x52x11       39x52x5/13.5   15 20 2   1.8 M10x1.25/30!  10/16x1.5 yes 2.4  483 140 10  -   12
Pasko_39    C 39   open        coil          39x52x9.5/11   39x52x5/12     15 20 2   1.8 M10x1.0/35!   10/14x1.5 no  2.4  465 128 7.5 -   4
Corva_40    C 40   rod         coil          40x52x10       40x52x5/13     15 20 2   1.8 M10x1.25/30   10/16x1.5 yes 2.4  440 155 10  -   3
Corva_41    C 41   rod         coil          41x54x11       41x54x5.5/14   15 20 2   1.8 M8x1.25/30    8/14x1.5  no  2.4  492 118 10  -   9
Pasko_41    C 41   open        coil          41x54x11       41x54x5.5/14   12 20 2   1.8 M10x1.0/35!   10/14x1.5 no  2.4  478 107 10  -   10
Pasko_41.3  C 41.3 open        coil          41.3x54x11     ?              15 20 2   1.8 M10x1.5/35    10/14x1.5 no  2.62 520 140 10  -   3
Corva_42    C 42   rod         coil          42x54x11       42x54x5.5/14   15 20 2   1.8 M8x1.25/30    8/14x1.5  ?   2.4  505 125 15  -   3
Pasko_43    C 43   open        coil          43x55x9.5/10.5 43x55x5/13     12 20 2   2   M10x1.0/40!   10/14x1.5 no  2.4  488 95  7.5 -   8
Pasko_43_S  C 43   open        coil          43x54x11       43x54x5.5/14   15 20 1.5 1.8 M10x1.25/40   10/14x1.5 no  2.4  510 110 10  -   4
Pasko_45    C 45   open        coil          45x58x11       45x58x5.5/14   20 25 2   2   M12x1.25/40   12/18x1.5 no  3.5  770 125 15  -   3
Tirona_41   U 41   open        coil          41x53x8/10.5   41x53x6/12     20 15 2   1.8 M10x1.0/35!   10/14x1.5 no  2.4  505 100 5   -   5
Tirona_43   U 43   open        coil          43x55x10.5     43x55x6/12     20 15 2   2   M10x1.0/40!   10/14x1.5 no  2.4  520 98  5   -   8
Tirona_43_H U 43   none/open   coil          43x52.7x9.5/10.3 43x52.7x6/12 20 15 2   1.8 M8x1.25/30,M10x1.0/40! 8/14x1.5,10/14x1.5 no 2.4 430,560 105 5 - 4
Tirona_46   U 46   closed      coil          46x58x9.5      46x58x6/12     20 15 2   2   M10x1.0/40!   10/14x1.5 no  2.4  350 -   5   190 4
Tirona_47   U 47   closed      coil          47x58x10       47x58x6/12     20 15 2   2   M10x1.0/40!   10/14x1.5 no  2.4  360 -   5   196 4
Tirona_48   U 48   closed      coil          48x58x9        48x58x6/12     20 15 2   2   M12x1.25/40!  12/16x1.5 no  2.4  370 -   5   205 6
Tirona_48_K U 48   closed      coil          48x57.9x9.5    48x57.9x6/12   20 15 2   2   M12x1.25/40!  12/16x1.5 no  2.4  378 -   5   205 3
Tirona_48_R U 48   open        coil          48x58.1x8.5/10.5 48x58.1x6/12 20 15 2   2   M12x1.25/40   12/16x1.5 no  3.5  640 110 5   -   5
Aerel_48    U 48   none/closed air/none      48x57.7x9/10.3 48x57.7x6/12   20 15 2   2   M8x1.25/30,M12x1.25/40! 8/14x1.5,12/16x1.5 no 2.4 200,330 - 5 ,212 4
Aerel_49    U 49   none/closed air/coil      49x60x10       49x60x6/12     20 15 2   2   M8x1.25/30,M12x1.25/40! 8/14x1.5,12/16x1.5 no 2.4 240,345 - 7.5 ,220 3
Tirona_50   U 50   open        coil          50x63x11       50x63x6/13     20 15 2   2   M12x1.25/40   12/18x1.5 no  3.5  690 115 5   -   3
`

// notes tell each fork from its neighbours.
var notes = map[string]string{
	"Corva 31":    "Drain screw at the back of the lower; wiper is a boot over the lower.",
	"Corva 33":    "Drain screw at the side; tube plated up to the top.",
	"Corva 34.9":  "34.9 and 35 take a micrometer: measure the tube. The axle is clamped from below.",
	"Corva 35":    "34.9 and 35 take a micrometer: measure the tube. The axle is clamped at the side.",
	"Corva 36":    "Air valve in each cap.",
	"Corva 37":    "Cap with a hexagon recess, no adjuster.",
	"Corva 38":    "Cap with a square recess.",
	"Corva 39":    "No adjuster in the cap, drain screw in the side of the lower. The Pasko 39 has a slotted adjuster and no drain screw.",
	"Pasko 39":    "Slotted rebound adjuster in the cap, no drain screw. Its seal is lower than that of the Corva 39.",
	"Corva 40":    "Cast stop on the lower for the mudguard brace.",
	"Corva 41":    "No adjuster in the cap, bottom bolt 6 mm key. The Pasko 41 has a rebound adjuster and an 8 mm key.",
	"Pasko 41":    "Rebound adjuster in the cap, bottom bolt 8 mm key.",
	"Pasko 41.3":  "41 and 41.3 take a micrometer: measure the tube. Imperial O-ring in the cap.",
	"Corva 42":    "Lower with two mounting holes for a disc cover.",
	"Pasko 43":    "Caliper bolted from the side; clip of round wire.",
	"Pasko 43 S":  "Caliper bolted from the front; outside of the seal 54, not 55.",
	"Pasko 45":    "Two oil seals in each leg, one above the other.",
	"Tirona 41":   "Upside-down, caliper bolted from the side, no number on the foot.",
	"Tirona 43":   "Upside-down, rebound adjuster in both caps.",
	"Tirona 43 H": "Upside-down, adjuster in the right cap only: the left leg holds a spring and no damper.",
	"Tirona 46":   "Upside-down, closed cartridge, foot with a 20 mm axle.",
	"Tirona 47":   "Upside-down, closed cartridge, foot with a 22 mm axle.",
	"Tirona 48":   "Upside-down, outside of the seal 58: read the bore, 57.9 and 58.1 are other forks.",
	"Tirona 48 K": "Upside-down, outside of the seal 57.9, letter K on the foot.",
	"Tirona 48 R": "Upside-down, outside of the seal 58.1, open cartridge with a blue adjuster.",
	"Aerel 48":    "Air valve in the left cap; the right leg holds the damper and no spring.",
	"Aerel 49":    "Air valve in the left cap; the right leg holds damper and spring.",
	"Tirona 50":   "Upside-down, the thickest leg here: 50 at the lower clamp.",
}

// row is a line of forkTable.
type row struct {
	name, layout, leg, damping, springing  string
	seal, wiper, tube, lower, washer, wire string
	bolt, crush, drain, section            string
	oil, gap, grade, cartridge             string
	weight                                 int
}

// rows reads forkTable.
func rows() []row {
	var all []row
	for line := range strings.Lines(strings.TrimSpace(forkTable)) {
		f := strings.Fields(line)
		all = append(all, row{
			strings.ReplaceAll(f[0], "_", " "), f[1], f[2], f[3], f[4], f[5], f[6], f[7], f[8], f[9], f[10],
			f[11], f[12], f[13], f[14], f[15], f[16], f[17], f[18], atoi(f[19]),
		})
	}
	return all
}

// legs gives what each leg holds.
func (r row) legs() []catalog.Leg {
	dampings := map[string]string{"rod": "damper_rod", "open": "open_cartridge", "closed": "closed_cartridge", "none": "none"}
	leftDamping, rightDamping := sides(r.damping, "/")
	leftSpring, rightSpring := sides(r.springing, "/")
	return []catalog.Leg{
		{Leg: "left", Damping: dampings[leftDamping], Springing: leftSpring},
		{Leg: "right", Damping: dampings[rightDamping], Springing: rightSpring},
	}
}

// sides splits a cell into left and right; one value stands for both.
func sides(cell, mark string) (left, right string) {
	left, right, two := strings.Cut(cell, mark)
	if !two {
		right = left
	}
	return left, right
}

// length and size read the cells of the tables here; a table that cannot be
// read is a defect that stops the program at once.
func length(text string) measure.Length {
	if text == "-" || text == "" {
		return 0
	}
	return must(measure.ParseLength(text))
}

func size(text string) measure.Size {
	if text == "-" || text == "?" || text == "" {
		return measure.Size{}
	}
	return must(measure.ParseSize(text))
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}
