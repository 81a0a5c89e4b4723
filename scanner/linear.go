package scanner

import (
	"context"
	"math"
)

// Linear symbols are read line by line, each line made bars and spaces twice:
// between its peaks and valleys, which copes with shadow and blur; and against
// the middle of the range nearby, which copes with noise and small modules.
// Where a line says something, or the picture has stripes, more lines are
// read around it until enough of them agree on one text at one place: they
// make a track, and the number of lines in it is what a text is believed by.

// A track is the lines of one symbol in a band.
type track struct {
	top, low hit
	votes    int
	need     int
	wrong    bool    // the check digit or character is
	last     float64 // line that voted last
	from, to float64 // lines where the bars are, readable or not
	bars     extent  // of the line that was read last
}

// A probe reads lines of a band from its middle outwards.
type probe struct {
	band
	reach  float64 // how far the furthest lines lie from the middle
	lines  int     // that are averaged for each
	focus  int     // which of the blurs is undone, 0 none
	light  bool    // light bars on dark
	fit    int     // curves are fitted, see reader.fits
	back   bool    // and are read so
	tracks []track
	open   int // pieces of the last line that said nothing
}

const mostLines = 25 // on each side of the middle

// run reads lines until one text is sure, or the bars end. They lie closer
// together near the middle.
func (r *reader) run(ctx context.Context, p *probe) {
	p.tracks = p.tracks[:0]
	r.readLine(p, 0, 1)
	far := 0.
	dead := [2]bool{}
	for i := 1; i <= mostLines && far <= p.reach && !(dead[0] && dead[1]) && ctx.Err() == nil && r.spend(0); i++ {
		step := float64((1 + i/3) * ((p.lines + 1) / 2))
		far += step
		for side, y := range [2]float64{far, -far} {
			if !dead[side] {
				r.readLine(p, y, step)
				dead[side] = !p.alive(y, step)
			}
		}
		if p.sure() {
			break
		}
	}
	for i := range p.tracks {
		r.sight(p, &p.tracks[i])
	}
}

// alive reports whether bars of a track are still there near line y.
func (p *probe) alive(y, step float64) bool {
	for i := range p.tracks {
		if p.tracks[i].reaches(y, step) {
			return true
		}
	}
	return false
}

// reaches reports whether line y is near enough to the lines of the track: a
// gap ends it when it is higher than maxBreak of the symbol's width.
func (t *track) reaches(y, step float64) bool {
	slack := max(3.5*step, maxBreak*math.Abs(t.low.x1-t.low.x0))
	return y >= t.from-slack && y <= t.to+slack
}

// sure reports whether one text has won and nothing is open.
func (p *probe) sure() bool {
	sure := false
	for i := range p.tracks {
		t := &p.tracks[i]
		if t.wrong {
			continue
		}
		if 2*t.votes >= 3*t.need {
			sure = true
			continue
		}
		beaten := false
		for j := range p.tracks {
			u := &p.tracks[j]
			beaten = beaten || i != j && 2*u.votes >= 3*u.need && u.votes*t.need >= margin*t.votes*u.need && t.overlaps(u)
		}
		if !beaten {
			return false
		}
	}
	return sure && p.open == 0
}

func (t *track) overlaps(u *track) bool {
	a0, a1 := min(t.top.x0, t.top.x1), max(t.top.x0, t.top.x1)
	b0, b1 := min(u.top.x0, u.top.x1), max(u.top.x0, u.top.x1)
	return a0 < b1 && b0 < a1
}

// readLine adds what line y says to the tracks.
func (r *reader) readLine(p *probe, y, step float64) {
	line := r.sample(p.band, y, p.lines)
	if p.fit > 0 {
		r.hits = r.fits(r.hits[:0], line, y, p.fit, p.back)
		for _, h := range r.hits {
			p.note(h, step)
		}
		r.unsaid(p, y, step)
		return
	}
	seen := line
	if p.focus > 0 {
		line = r.refocused(line, p.focus)
	}
	for method := range 2 {
		if r.bars(line, method, p.lines > 1); p.light {
			r.row.negate()
		}
		r.hits = r.readRow(r.hits[:0], y)
		for _, h := range r.hits {
			if p.focus == 0 || h.votes > 1 && quiet(seen, h) {
				p.note(h, step)
			}
		}
		r.unsaid(p, y, step)
		if p.open == 0 {
			return
		}
	}
}

// unsaid counts the pieces of a line that said nothing, and makes tracks
// longer whose bars they have.
func (r *reader) unsaid(p *probe, y, step float64) {
	p.open = 0
	for i, left := range r.pieces {
		if !r.done[i] {
			p.open++
			p.keep(r.row.extent(left), y, step)
		}
	}
}

// bars makes r.row of a line.
func (r *reader) bars(line []int32, method int, averaged bool) {
	quiet, least := int32(9), int32(6*depth)
	if averaged {
		quiet, least = 16, 2*depth
	}
	if method == 0 {
		r.row.set(r.peaks(line, quiet, least), len(line))
	} else {
		r.row.set(r.levels(line, 2*least), len(line))
	}
}

// keep makes tracks longer whose bars are in line y, although nobody can read
// them there.
func (p *probe) keep(bars extent, y, step float64) {
	for i := range p.tracks {
		if t := &p.tracks[i]; t.continues(bars) && t.reaches(y, step) {
			t.from, t.to = min(t.from, y), max(t.to, y)
		}
	}
}

// note adds a hit to its track.
func (p *probe) note(h hit, step float64) {
	for i := range p.tracks {
		t := &p.tracks[i]
		if t.top.symbology != h.symbology || t.top.text != h.text || t.wrong != h.wrong || !t.near(h) || !t.reaches(h.y, step) {
			continue
		}
		if t.last != h.y || t.votes == 0 {
			t.votes += h.votes
		}
		t.last, t.bars = h.y, h.bars
		t.from, t.to = min(t.from, h.y), max(t.to, h.y)
		if h.y < t.top.y {
			t.top = h
		}
		if h.y > t.low.y {
			t.low = h
		}
		return
	}
	t := track{
		top: h, low: h, votes: h.votes, need: linearNeed(h.symbology, h.text), wrong: h.wrong,
		last: h.y, from: h.y, to: h.y, bars: h.bars,
	}
	p.tracks = append(p.tracks, t)
}

// near reports whether h lies above or below the lines of t.
func (t *track) near(h hit) bool {
	last := t.low
	if h.y < t.top.y {
		last = t.top
	}
	return math.Abs((h.x0+h.x1)-(last.x0+last.x1)) < math.Abs(last.x1-last.x0)
}

// continues reports whether bars that nobody could read look like another
// line of t: as many, at the same place.
func (t *track) continues(bars extent) bool {
	slack := (t.bars.end - t.bars.begin) / 8
	return math.Abs(bars.begin-t.bars.begin) < slack && math.Abs(bars.end-t.bars.end) < slack &&
		abs(bars.bars-t.bars.bars)*5 < t.bars.bars
}

// sight adds a track to what was seen.
func (r *reader) sight(p *probe, t *track) {
	a, b := t.top, t.low
	if a.x0 > a.x1 {
		a, b = b, a
	}
	s := sighting{
		symbology: a.symbology, text: a.text, votes: t.votes, need: t.need, wrong: t.wrong,
		at: quad{p.at(a.x0, a.y), p.at(a.x1, a.y), p.at(b.x1, b.y), p.at(b.x0, b.y)},
	}
	r.add(s)
}

func abs(n int) int { return max(n, -n) }
