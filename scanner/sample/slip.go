package sample

import (
	"fmt"
)

// A Slip says what a packing slip is like.
type Slip struct {
	Symbols int     // Code 128, at most 20
	DPI     float64 // of the scan
	Tilt    float64 // degrees
	Thou    float64 // width of a module, thousandths of an inch
}

// Slips are the slips of the trial: up to 20 symbols, tilted up to 15 degrees,
// from 150 dots an inch up, with the 10 thousandths of an inch a module that
// the slips of gen.py have.
func Slips() (all []Slip) {
	for _, dpi := range []float64{150, 200, 300} {
		for _, n := range []int{4, 12, 20} {
			for _, tilt := range []float64{0, -7, 15} {
				all = append(all, Slip{n, dpi, tilt, 10})
			}
		}
	}
	return all
}

// Picture makes the slip of a seed: an A4 page in one column or two, with a
// line of words at each symbol.
func (s Slip) Picture(seed uint64) Picture {
	what := fmt.Sprintf("slip-%d-%g-%g-%g", s.Symbols, s.DPI, s.Tilt, s.Thou)
	r := dice(seed, what, 0)
	module := s.Thou / 1000 * s.DPI // pixels
	w, h := 8.27*s.DPI, 11.69*s.DPI
	page := newSheet(int(w), int(h))
	big, small := face(false, s.DPI/6), face(false, s.DPI/11)
	page.write(big, int(0.7*s.DPI), int(0.9*s.DPI), "DELIVERY NOTE "+digits(r, 6))
	columns := 1
	if s.Symbols > 4 {
		columns = 2
	}
	rows := (s.Symbols + columns - 1) / columns
	row := (h - 2*s.DPI) / float64(rows)
	type label struct {
		symbol
		x, y float64
	}
	labels := make([][]label, rows)
	p := Picture{Name: fmt.Sprintf("%d-%s", seed, what), Kind: "slip", Harm: fmt.Sprintf("%g dpi, %g degrees", s.DPI, s.Tilt)}
	for i := range s.Symbols {
		text := pick(r, "PN", "SK", "FS") + digits(r, 3) + "-" + letters(r, 2) + digits(r, 2)
		bars := drawCode128(r, text)
		bars.height = min(40, 0.6*row/module)
		x, y := 0.6*s.DPI+float64(i%columns)*3.7*s.DPI, 1.5*s.DPI+float64(i/columns)*row
		labels[i/columns] = append(labels[i/columns], label{bars, x, y})
		page.write(small, int(x), int(y-s.DPI/40), fmt.Sprintf("Item %d, qty %d, %s", i+1, 1+r.IntN(40), text))
		p.Want = append(p.Want, text)
	}
	shade := func(x, y float64) float64 {
		if i := int((y - 1.5*s.DPI) / row); y > 1.5*s.DPI && i < rows {
			for _, l := range labels[i] {
				if u, v := (x-l.x)/module, (y-l.y)/module; u > 0 && v > 0 && u < l.width && v < l.height {
					return l.shade(u, v)
				}
			}
		}
		return page.at(x, y)
	}
	shot := shot{scale: 1, turn: s.Tilt, blur: between(r, 0.3, 0.5), noise: 0.01, dark: 0.1, bright: 0.95}
	p.Grey = shot.take(r, symbol{w, h, shade})
	return p
}
