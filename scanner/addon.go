package scanner

// addOns looks for the small symbols to the right of EAN and UPC symbols, on
// lines that run on beyond the last bar. They are lower than the symbol, so
// not every line crosses them.
func (r *reader) addOns(symbols []Symbol) {
	for i := range symbols {
		s := &symbols[i]
		switch s.Symbology {
		case EAN13, UPCA, UPCE:
			if s.AddOn = r.addOn(*s); s.AddOn != "" {
				s.AIM = r.aim(s.Symbology, s.Text, s.AddOn)
			}
		}
	}
}

const (
	linesBeside = 12 // that are read for an add-on
	leastAddOn  = 3  // that must agree on it
)

// furthest gives how far an add-on may reach from the left of its symbol, in
// widths of the symbol: 95 modules, or 51 for UPC-E, a gap, and 47 more.
func furthest(s Symbol) float64 {
	if s.Symbology == UPCE {
		return 2.6
	}
	return 1.8
}

// withAddOn gives the place of a symbol and what is read beside it.
func withAddOn(s Symbol) quad {
	q := quadOf(s.Corners)
	if s.AddOn != "" {
		q[1], q[2] = q.top().at(furthest(s)), q.low().at(furthest(s))
	}
	return q
}

// addOn gives the add-on of a symbol, "" where it has none.
func (r *reader) addOn(s Symbol) string {
	q := quadOf(s.Corners)
	reach := .12 + furthest(s)
	votes := map[string]int{}
	for i := range linesBeside {
		l := q.top().mix(q.low(), (float64(i)+.5)/linesBeside)
		n := l.length()
		if n < 8 || i >= linesBeside-leastAddOn && len(votes) == 0 {
			return ""
		}
		along := point{(l.b.x - l.a.x) / n, (l.b.y - l.a.y) / n}
		b := band{origin: l.at(-.12), along: along, n: int(reach * n)}
		if text := r.addOnIn(r.sample(b, 0, 1), s); text != "" {
			votes[text]++
		}
	}
	best, most, all := "", 0, 0
	for text, n := range votes {
		all += n
		if n > most {
			best, most = text, n
		}
	}
	if most < leastAddOn || most < margin*(all-most) {
		return ""
	}
	return best
}

// addOnIn gives the add-on that a line says beside the text of a symbol.
func (r *reader) addOnIn(line []int32, s Symbol) string {
	for method := range 2 {
		r.bars(line, method, false)
		r.hits = r.readRow(r.hits[:0], 0)
		for _, h := range r.hits {
			if h.symbology == s.Symbology && h.text == s.Text && h.addOn != "" {
				return h.addOn
			}
		}
	}
	return ""
}
