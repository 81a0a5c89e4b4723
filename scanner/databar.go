package scanner

import (
	"math"
	"slices"
	"strconv"

	"github.com/makiuchi-d/gozxing/oned/rss"

	"forkstock/internal/gs1"
)

// GS1 DataBar, omnidirectional and truncated (ISO/IEC 24724, clause 5): a GTIN
// in four characters of eight bars and spaces around two finder patterns of
// five, a bar and a space of one module at each end. It needs no quiet zones,
// so it is looked for at every bar of a row. Each half is told from the outside
// in: outer character, finder pattern, inner character.
const (
	runsDataBar    = 45 // without the space that begins it
	modulesDataBar = 95
	most13         = 10_000_000_000_000
)

// findersDataBar are the finder patterns by their values.
var findersDataBar = newCharset(15, "38211", "35511", "33711", "31911", "27411", "25611", "23811", "15711", "13911")

// A dataBarKind is what tells the outer characters from the inner ones: the
// modules, and by how many of them the second set of every other element has,
// from the fewest on in twos: the widest element of the first set, how many
// values the other set has, and the values before.
type dataBarKind struct {
	modules, most                int
	widest, times, before        []int
	evenNarrow, oddNarrow, outer bool
}

var (
	outerDataBar = dataBarKind{
		modules: 16, most: 12, widest: []int{8, 6, 4, 3, 1}, times: []int{1, 10, 34, 70, 126},
		before: []int{0, 161, 961, 2015, 2715}, evenNarrow: true, outer: true,
	}
	innerDataBar = dataBarKind{
		modules: 15, most: 10, widest: []int{2, 4, 6, 8}, times: []int{4, 20, 48, 81},
		before: []int{0, 336, 1036, 1516}, oddNarrow: true,
	}
)

// readDataBar reads a symbol whose first bar is widths[0].
func (r *reader) readDataBar(widths []int) (s decoded, ok bool) {
	if len(widths) < runsDataBar {
		return s, false
	}
	w := widths[:runsDataBar]
	module := float64(sum(w)) / modulesDataBar
	at := 0
	for _, part := range [...]struct{ runs, modules int }{{1, 1}, {8, 16}, {5, 15}, {8, 15}, {8, 15}, {5, 15}, {8, 16}, {1, 1}, {1, 1}} {
		if math.Abs(float64(sum(w[at:at+part.runs]))-float64(part.modules)*module) > .9*module {
			return s, false
		}
		at += part.runs
	}
	turned := slices.Clone(w)
	slices.Reverse(turned)
	left, leftFinder, leftCheck, ok := halfDataBar(w[1:22], false)
	if !ok {
		return s, false
	}
	right, rightFinder, rightCheck, ok := halfDataBar(turned[2:23], true)
	if !ok {
		return s, false
	}
	want := 9*leftFinder + rightFinder
	for _, skipped := range [2]int{73, 9} {
		if want >= skipped {
			want--
		}
	}
	value := 4537077*left + right
	if value >= most13 || (leftCheck+16*rightCheck)%79 != want {
		return s, false
	}
	text := append(r.text[:0], "01"...)
	digits := strconv.Itoa(value)
	for range 13 - len(digits) {
		text = append(text, '0')
	}
	text = append(text, digits...)
	check, ok := gs1.CheckDigit(string(text[2:]))
	text = append(text, check)
	r.text = text
	return decoded{symbology: GS1DataBar, text: text, runs: runsDataBar}, ok
}

// halfDataBar reads 21 bars and spaces from the outside in: the value of the
// half, that of its finder pattern, and its share of the check value.
func halfDataBar(w []int, barFirst bool) (value, finder, check int, ok bool) {
	finder, off := findersDataBar.nearest(w[8:13], 0)
	if off > worstChar {
		return 0, 0, 0, false
	}
	spread := findersDataBar.spread(w[8:13], finder) // of what is first
	inside := slices.Clone(w[13:21])
	slices.Reverse(inside)
	outer, outerCheck, ok := outerDataBar.read(w[:8], spread)
	if !ok {
		return 0, 0, 0, false
	}
	inner, innerCheck, ok := innerDataBar.read(inside, spread)
	return 1597*outer + inner, finder, outerCheck + 4*innerCheck, ok
}

// read gives the value of a character and its share of the check value; the
// first of its elements, and every second, are wider by spread modules.
func (k *dataBarKind) read(w []int, spread float64) (value, check int, ok bool) {
	var sets [2][4]int
	scale, modules := float64(k.modules)/float64(sum(w)), 0
	for i := range w {
		n := int(math.Round(float64(w[i])*scale - spread))
		if n < 1 || n > 8 {
			return 0, 0, false
		}
		sets[i%2][i/2] = n
		modules += n
		spread = -spread
	}
	odd, even := sum(sets[0][:]), sum(sets[1][:])
	few := odd // of the set that says which values there are
	if !k.outer {
		few = even
	}
	if modules != k.modules || few%2 == 1 || few < 4 || few > k.most {
		return 0, 0, false
	}
	group := (k.most - few) / 2
	widest := k.widest[group]
	first := rss.RSSUtils_getRSSvalue(sets[0][:], widest, k.oddNarrow)
	second := rss.RSSUtils_getRSSvalue(sets[1][:], 9-widest, k.evenNarrow)
	if !k.outer {
		first, second = second, first
	}
	for i, weight := 0, 1; i < 4; i, weight = i+1, weight*9 {
		check += weight * (sets[0][i] + 3*sets[1][i])
	}
	return first*k.times[group] + second + k.before[group], check, true
}

// dataBars adds the GS1 DataBar symbols of r.row to hits; pieces that they lie
// in count as read.
func (r *reader) dataBars(hits []hit, y float64) []hit {
	if !r.wants(GS1DataBar) {
		return hits
	}
	n := len(r.row.widths)
	for _, turned := range [2]bool{false, true} {
		widths := r.row.widths
		if turned {
			widths = r.turned
		}
		for at := 1; at+runsDataBar < n; at += 2 {
			s, ok := r.readDataBar(widths[at:])
			if !ok {
				continue
			}
			from, to := at, at+runsDataBar
			if turned {
				from, to = n-from, n-to
			}
			bars := piece{min(from, to), max(from, to) - 1}
			for i, p := range r.pieces {
				r.done[i] = r.done[i] || p.first >= bars.first && p.last <= bars.last
			}
			hits = append(hits, hit{
				symbology: s.symbology, text: string(s.text), x0: r.row.pixels(from), x1: r.row.pixels(to), y: y,
				votes: votes(s.symbology, true), bars: r.row.extent(bars),
			})
			at += runsDataBar - 1
		}
	}
	return hits
}
