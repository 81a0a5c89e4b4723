package demo

import (
	"strings"

	"forkstock/catalog"
)

// looksTable is what is seen and measured of each fork on the bike: shape of
// the cap, across its flats, thread; axle; legs centre to centre; what stands
// on the left and on the right cap. Sizes lie where they mostly do for such a
// leg (common practice, no source), which fork has which is invented, and goes
// with notes. "?" is not known: lists name less than half of this.
const looksTable = `
Corva_31    hexagon        22 ?       12 ?   plain           plain
Corva_33    hexagon        24 M30x1   12 160 plain           plain
Corva_34.9  square_recess  12 ?       14 ?   plain           plain
Corva_35    hexagon        24 M31x1   12 168 plain           plain
Corva_36    hexagon        24 M32x1.5 15 175 air             air
Corva_37    hexagon_recess 17 M33x1.5 15 180 plain           plain
Corva_38    square_recess  14 M34x1.5 15 184 plain           plain
Corva_39    hexagon        30 M35x1.5 15 186 plain           plain
Pasko_39    hexagon        30 M35x1.5 17 190 damping         damping
Corva_40    hexagon_recess 17 M36x1.5 15 188 plain           plain
Corva_41    hexagon        30 M37x1.5 17 192 plain           plain
Pasko_41    hexagon        32 M37x1.5 20 196 damping         damping
Pasko_41.3  hexagon        36 ?       25 228 preload         preload
Corva_42    round          ?  M38x1.5 17 196 preload         preload
Pasko_43    hexagon        32 M39x1.5 20 204 preload_damping preload_damping
Pasko_43_S  hexagon        36 M39x1.5 25 210 preload_damping preload_damping
Pasko_45    round          ?  ?       25 236 plain           plain
Tirona_41   hexagon        46 M47x1.5 20 198 damping         damping
Tirona_43   hexagon        46 M49x1.5 25 206 preload_damping preload_damping
Tirona_43_H hexagon        46 M49x1.5 25 206 preload         damping
Tirona_46   hexagon        50 M52x1.5 20 184 damping         damping
Tirona_47   hexagon        50 M53x1.5 22 186 damping         damping
Tirona_48   hexagon        50 M54x1.5 20 190 damping         damping
Tirona_48_K hexagon        50 M54x1.5 22 190 damping         damping
Tirona_48_R hexagon        46 M54x1.5 22 ?   damping         damping
Aerel_48    hexagon        50 M54x1.5 22 190 air             damping
Aerel_49    hexagon        50 M55x1.5 22 192 air             damping
Tirona_50   round          ?  M56x1.5 25 198 preload_damping preload_damping
`

// looks gives what looksTable says of a fork, and of its legs.
func looks(name string) (out catalog.Looks, left, right string) {
	for line := range strings.Lines(strings.TrimSpace(looksTable)) {
		f := strings.Fields(strings.ReplaceAll(line, "?", "-"))
		if strings.ReplaceAll(f[0], "_", " ") != name {
			continue
		}
		out = catalog.Looks{CapShape: f[1], CapFlats: length(f[2]), Axle: length(f[4]), Centres: length(f[5])}
		if f[3] != "-" {
			out.CapThread = f[3]
		}
		return out, f[6], f[7]
	}
	return out, "", ""
}
