package catalog

import (
	"cmp"
	"slices"

	"forkstock/internal/fault"
)

// Served is what a kit does for a fork in a job on both legs.
type Served struct {
	Kits    int64 // that the job takes: two of a kit for one leg
	Fits    []Use
	Lacks   []Lack
	Foreign []Use // does not fit, or is more than the job takes
}

// Use is something that kits bring, with what becomes of it.
type Use struct {
	Content         // Pieces: of all kits of the job, as far as this is said of them
	Place   string  // leg of the place that it goes to: "both", "left", "right"; empty where it goes nowhere
	Verdict Verdict // fits also of what is left over
	Why     []fault.Message

	seq int // of the place in the stack
}

// Lack is a place for which kits bring too little.
type Lack struct {
	Place   Position
	Missing int64 // of the part's unit
}

// Serve holds what one kit brings against the places of a fork, for a job on
// both legs. Every piece goes to a place that it fits, or is foreign; a place
// that is fitted for sure and stays short is a lack. So of each place that is
// fitted, what it gets and what it lacks are what the job needs, and of each
// content, what fits and what is foreign are what the kits bring. legs is for
// how many legs one kit is; 0, not told, counts as both.
func Serve(contents []Content, legs int, places []Position) Served {
	out := Served{Kits: 1}
	if legs == 1 {
		out.Kits = 2
	}
	left := make([]int64, len(contents))
	for i, c := range contents {
		left[i] = c.Pieces * out.Kits
	}
	lacks := map[int]int64{}
	for _, j := range fewestFirst(contents, places) {
		p := places[j]
		short := p.PerJob()
		for i, c := range contents {
			if n := min(short, left[i]); n > 0 && fitsPlace(p, c.Part) {
				short, left[i] = short-n, left[i]-n
				out.Fits = append(out.Fits, Use{Content: Content{c.Part, n}, Place: p.Leg, Verdict: Fits, seq: p.Seq})
			}
		}
		lacks[j] = short
	}
	slices.SortStableFunc(out.Fits, func(a, b Use) int { return cmp.Compare(a.seq, b.seq) })
	for j, p := range places {
		if p.Fitted == "yes" && lacks[j] > 0 {
			out.Lacks = append(out.Lacks, Lack{p, lacks[j]})
		}
	}
	for i, c := range contents {
		if left[i] > 0 {
			verdict, why := foreign(c.Part, places)
			out.Foreign = append(out.Foreign, Use{Content: Content{c.Part, left[i]}, Verdict: verdict, Why: why})
		}
	}
	return out
}

// fewestFirst gives the places that something fits and that may be there,
// those with the least choice first, so that a place that takes anything does
// not take what another needs.
func fewestFirst(contents []Content, places []Position) []int {
	choice := map[int]int{}
	var order []int
	for j, p := range places {
		if p.Fitted == "no" {
			continue
		}
		for _, c := range contents {
			if fitsPlace(p, c.Part) {
				choice[j]++
			}
		}
		order = append(order, j)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(choice[a], choice[b]) })
	return order
}

func fitsPlace(pos Position, part Part) bool {
	verdict, _ := pos.Takes(part)
	return verdict == Fits
}

// told reports whether anything is known by which parts could be chosen.
func (p Position) told() bool { return p.Size.Inner != 0 || p.Size.Outer != 0 || p.Thread != "" }

// unmeasured says which sizes are not known of the place without which nobody
// can say that a part fits it. Heights of bolts' heads, which lists seldom
// give, are not among them: common practice, no source.
func (p Position) unmeasured() (why []fault.Message) {
	if !p.told() {
		return []fault.Message{fault.Say("catalog.place_unknown")}
	}
	w := p.Wanted()
	w.Head = cmp.Or(w.Head, 1)
	for _, size := range w.Open() {
		why = append(why, fault.Say("catalog.place_open", size))
	}
	return why
}

// Takes tells whether a part goes into a place: one that is named for it does,
// any other by Fit; nothing fits a place whose sizes are not known. Whatever
// they say, a part of which there is a doubt does not.
func (p Position) Takes(part Part) (Verdict, []fault.Message) {
	verdict, why := p.takes(part)
	if d, ok := p.Against[part.ID]; ok && part.ID != "" {
		return worse(verdict, d.Verdict), slices.Concat(d.Why, why)
	}
	return verdict, why
}

func (p Position) takes(part Part) (Verdict, []fault.Message) {
	if p.named(part.ID) {
		return Fits, nil
	}
	verdict, why := Fit(p.Wanted(), part)
	if open := p.unmeasured(); verdict == Fits && len(open) > 0 {
		return Near, open
	}
	return verdict, why
}

// foreign says why something is left: of the places of its role, by the one
// that it comes nearest to.
func foreign(part Part, places []Position) (Verdict, []fault.Message) {
	verdict, why := No, []fault.Message{fault.Say("catalog.no_such_place")}
	found := false
	for _, p := range places {
		if p.Role != part.Role {
			continue
		}
		v, reasons := p.Takes(part)
		switch {
		case p.Fitted == "no":
			if !found {
				why = []fault.Message{fault.Say("fitted.no")}
			}
			continue
		case v == Fits:
			return Fits, []fault.Message{fault.Say("catalog.left_over")}
		case !found || v == Near && verdict == No:
			verdict, why = v, reasons
		}
		found = true
	}
	return verdict, why
}
