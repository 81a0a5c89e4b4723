package scanner

// Codabar (AIM USS-Codabar; EN 798): a character is four bars and three
// spaces, two or three of them wide, two to three times as wide as the narrow
// ones; one of A to D begins and another one ends. It has no check character,
// so it is read only where it stands alone between its quiet zones.
var codabar = func() (all []wideBars) {
	for i, c := range "0123456789-$:/.+ABCD" {
		w := wideBars{char: byte(c)}
		for bit := range w.wide {
			w.wide[bit] = widesCodabar[i]>>(6-bit)&1 == 1
		}
		all = append(all, w)
	}
	return all
}()

// widesCodabar tell the wide bars and spaces of each character, the highest of
// seven bits for the first bar.
var widesCodabar = [20]byte{
	0x03, 0x06, 0x09, 0x60, 0x12, 0x42, 0x21, 0x24, 0x30, 0x48,
	0x0c, 0x18, 0x45, 0x51, 0x54, 0x15, 0x1a, 0x29, 0x0b, 0x0e,
}

// wideBars are the wide ones of the bars and spaces of a character.
type wideBars struct {
	char byte
	wide [7]bool
}

const (
	fewestCodabar = 4 // characters: shorter ones are seen in anything
	mostCodabar   = 60
	outerCodabar  = 16 // from here on characters begin and end a symbol
)

// readCodabar reads a Codabar symbol whose first bar is widths[0]. Characters
// differ in size, so the gauge goes by that of the first.
func (r *reader) readCodabar(widths []int) (s decoded, ok bool) {
	if len(widths) < 8*(fewestCodabar+2)-1 {
		return s, false
	}
	size := float64(sum(widths[:7]))
	var g gauge
	least := misfit(1e9)
	for i := range codabar[outerCodabar:] { // each has a wide bar and two wide spaces
		var h gauge
		h.learnOf(widths[:7], codabar[outerCodabar+i].wide[:], size)
		if off := h.misfitOf(widths[:7], codabar[outerCodabar+i].wide[:], size); off < least {
			g, least = h, off
		}
	}
	if least > worstWideMean || !g.sound() {
		return s, false
	}
	text := r.text[:0]
	defer func() { r.text = text }()
	total := least
	for at := 8; at+7 <= len(widths) && len(text) < mostCodabar; at += 8 {
		gap := float64(widths[at-1]) / size
		if gap < .4*g.module() || gap > 4*g.module() {
			return s, false
		}
		char := widths[at : at+7]
		i, off, sure := g.codabar(char, size)
		if !sure {
			return s, false
		}
		total += off
		g.learnOf(char, codabar[i].wide[:], size)
		if i < outerCodabar {
			text = append(text, codabar[i].char)
			continue
		}
		s = decoded{symbology: Codabar, text: text, runs: at + 7, mean: total / float64(len(text)+2)}
		return s, len(text) >= fewestCodabar && s.mean < worstWideMean && g.sound()
	}
	return s, false
}

// codabar gives the character that fits widths best, and how badly it does.
func (g *gauge) codabar(widths []int, size float64) (best int, least misfit, sure bool) {
	least, second := misfit(1e9), misfit(1e9)
	for i := range codabar {
		if off := g.misfitOf(widths, codabar[i].wide[:], size); off < least {
			best, least, second = i, off, least
		} else {
			second = min(second, off)
		}
	}
	return best, least, least <= worstWide && second >= 1.5*least
}
