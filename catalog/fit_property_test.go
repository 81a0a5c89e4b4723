package catalog

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"forkstock/internal/measure"
)

// Sizes are drawn near to one another, most of what is asked for is open and
// a third of the parts are exactly what is asked for, so that all verdicts occur.
func drawLength(t *rapid.T, exact bool, name string, around measure.Length) measure.Length {
	if rapid.IntRange(0, 9).Draw(t, name+" open") < 7 == !strings.HasPrefix(name, "part") {
		return 0
	}
	if exact {
		return around
	}
	steps := []measure.Length{0, 0, 0, 10, -10, 40, -40, 150, -150, 250, -250, 400, -400, 1000, -1000, 3000, -3000}
	return around + rapid.SampledFrom(steps).Draw(t, name)
}

var drawnRoles = []Role{
	OilSeal, Wiper, TubeBushing, LowerBushing, BackupWasher, Clip, BottomBolt, BottomWasher, CapORing, "piston_ring", Other,
}

func drawPart(t *rapid.T, role Role, exact bool) Part {
	p := Part{Role: role}
	if rapid.IntRange(0, 9).Draw(t, "another role") == 0 {
		p.Role = rapid.SampledFrom(drawnRoles).Draw(t, "part's role")
	}
	p.Size = measure.Size{
		Inner: drawLength(t, exact, "part inner", 39_000), Outer: drawLength(t, exact, "part outer", 52_000), Height: drawLength(t, exact, "part height", 11_000),
	}
	if p.Size.Height != 0 {
		p.Size.Overall = rapid.SampledFrom([]measure.Length{0, 0, p.Size.Height, p.Size.Height + 1500}).Draw(t, "part overall")
	}
	p.Thread = rapid.SampledFrom([]string{"", "M10", "M10x1.25", "M10x1.5", "M8x1.25"}).Draw(t, "part thread")
	p.Head = drawLength(t, exact, "part head", 10_000)
	p.Seat = rapid.SampledFrom(append([]string{""}, Seats...)).Draw(t, "part seat")
	p.Strength = rapid.SampledFrom([]string{"", "8.8", "10.9", "A2-70"}).Draw(t, "part strength")
	p.Coated = rapid.SampledFrom(append([]string{""}, Coatings...)).Draw(t, "part coated")
	if exact {
		p.Thread, p.Seat, p.Strength, p.Coated = "M10x1.25", "flat", "8.8", "outside"
	}
	return p
}

// drawSizes draws sizes to ask for, each as what sets it alone.
func drawSizes(t *rapid.T, exact bool) (all []func(*Wanted)) {
	add := func(told bool, set func(*Wanted)) {
		if told {
			all = append(all, set)
		}
	}
	inner, outer, height := drawLength(t, exact, "inner", 39_000), drawLength(t, exact, "outer", 52_000), drawLength(t, exact, "height", 11_000)
	tube, bore, groove := drawLength(t, exact, "tube", 39_000), drawLength(t, exact, "bore", 52_000), drawLength(t, exact, "groove", 11_000)
	wall, head := drawLength(t, exact, "wall", 6_500), drawLength(t, exact, "head", 10_000)
	thread := rapid.SampledFrom([]string{"", "", "", "M10", "M10x1.25", "M10x1.5"}).Draw(t, "thread")
	seat := rapid.SampledFrom(append([]string{"", "", "", ""}, Seats...)).Draw(t, "seat")
	strength := rapid.SampledFrom([]string{"", "", "", "8.8", "10.9", "A2-70"}).Draw(t, "strength")
	coated := rapid.SampledFrom(append([]string{"", "", "", ""}, Coatings...)).Draw(t, "coated")
	if exact {
		thread, seat, strength, coated = "M10x1.25", "flat", "8.8", "outside"
	}
	add(inner != 0, func(w *Wanted) { w.Size.Inner = inner })
	add(outer != 0, func(w *Wanted) { w.Size.Outer = outer })
	add(height != 0, func(w *Wanted) { w.Size.Height = height })
	add(tube != 0, func(w *Wanted) { w.Tube = tube })
	add(bore != 0, func(w *Wanted) { w.Bore = bore })
	add(groove != 0, func(w *Wanted) { w.Groove = groove })
	add(wall != 0, func(w *Wanted) { w.Wall = wall })
	add(thread != "", func(w *Wanted) { w.Thread = thread })
	add(head != 0, func(w *Wanted) { w.Head = head })
	add(seat != "", func(w *Wanted) { w.Seat = seat })
	add(strength != "", func(w *Wanted) { w.Strength = strength })
	add(coated != "", func(w *Wanted) { w.Coated = coated })
	return all
}

// With one size more a verdict is the same or worse; the verdict of all is the
// worst of those of each, in whatever order they come. The overall height is
// drawn apart: told beside the height of the body, it settles a doubt.
func TestFitOneSizeMoreIsNeverBetter(t *testing.T) {
	seen := map[Verdict]int{}
	rapid.Check(t, func(t *rapid.T) {
		role := rapid.SampledFrom(drawnRoles).Draw(t, "role")
		exact := rapid.IntRange(0, 2).Draw(t, "exact") == 0
		part, sizes := drawPart(t, role, exact), drawSizes(t, exact)
		base := Wanted{Role: role, Measured: Measured{Worn: rapid.IntRange(0, 5).Draw(t, "worn") == 0}}
		base.Size.Overall = rapid.SampledFrom([]measure.Length{0, 0, 0, 12_500}).Draw(t, "overall")

		all, alone := base, Fits
		before, _ := Fit(base, part)
		for _, set := range rapid.Permutation(sizes).Draw(t, "order") {
			set(&all)
			after, why := Fit(all, part)
			if worse(before, after) != after {
				t.Fatalf("%s before, %s after (%v): %+v for %+v", before, after, why, part, all)
			}
			before = after
			one := base
			set(&one)
			v, _ := Fit(one, part)
			alone = worse(alone, v)
		}
		if len(sizes) > 0 && alone != before {
			t.Fatalf("each alone %s, all %s: %+v for %+v", alone, before, part, all)
		}
		if base.Worn && before == Fits {
			t.Fatalf("an old part fits: %+v for %+v", part, all)
		}
		seen[before]++
	})
	for _, v := range []Verdict{Fits, Near, No} {
		if seen[v] == 0 {
			t.Errorf("no verdict was %s: the test tries too little", v)
		}
	}
}

// The overall height settles the doubt about a lip above the body, and nothing
// else is made better by it.
func TestFitOverallSettlesOnlyTheLip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := drawPart(t, OilSeal, false)
		want := Wanted{Role: OilSeal, Size: measure.Size{Height: 11_000}}
		for _, set := range drawSizes(t, false) {
			set(&want)
		}
		before, why := Fit(want, part)
		want.Size.Overall = want.Size.Height + rapid.SampledFrom([]measure.Length{0, 500, 1500}).Draw(t, "overall")
		after, _ := Fit(want, part)
		doubt := false
		for _, w := range why {
			doubt = doubt || w.ID == "catalog.overall_open"
		}
		if !doubt && worse(before, after) != after {
			t.Fatalf("%s before, %s after: %+v for %+v", before, after, part, want)
		}
	})
}

// The further a size is off, to one side, the worse the verdict.
func TestFitFurtherOffIsNeverBetter(t *testing.T) {
	sizes := map[string]func(w *Wanted, p *Part, asked, got measure.Length){
		"inner":  func(w *Wanted, p *Part, asked, got measure.Length) { w.Size.Inner, p.Size.Inner = asked, got },
		"outer":  func(w *Wanted, p *Part, asked, got measure.Length) { w.Size.Outer, p.Size.Outer = asked, got },
		"height": func(w *Wanted, p *Part, asked, got measure.Length) { w.Size.Height, p.Size.Height = asked, got },
		"tube":   func(w *Wanted, p *Part, asked, got measure.Length) { w.Tube, p.Size.Inner = asked, got },
		"bore":   func(w *Wanted, p *Part, asked, got measure.Length) { w.Bore, p.Size.Outer = asked, got },
		"groove": func(w *Wanted, p *Part, asked, got measure.Length) { w.Groove, p.Size.Height = asked, got },
		"head":   func(w *Wanted, p *Part, asked, got measure.Length) { w.Head, p.Head = asked, got },
		"wall": func(w *Wanted, p *Part, asked, got measure.Length) {
			w.Wall, p.Size.Inner, p.Size.Outer = asked, 1000, 1000+2*got
		},
		"overall": func(w *Wanted, p *Part, asked, got measure.Length) { w.Size.Overall, p.Size.Overall = asked, got },
	}
	names := []string{"inner", "outer", "height", "tube", "bore", "groove", "head", "wall", "overall"}
	rapid.Check(t, func(t *rapid.T) {
		set := sizes[rapid.SampledFrom(names).Draw(t, "size")]
		want := Wanted{Role: rapid.SampledFrom(drawnRoles).Draw(t, "role"), Measured: Measured{Worn: rapid.Bool().Draw(t, "worn")}}
		asked := rapid.SampledFrom([]measure.Length{5_950, 9_950, 10_000, 29_950, 49_950, 52_000}).Draw(t, "asked")
		off := rapid.IntRange(0, 3000).Draw(t, "off")
		further := rapid.IntRange(off, 5000).Draw(t, "further")
		side := rapid.SampledFrom([]int{-1, 1}).Draw(t, "side")
		verdict := func(off int) Verdict {
			w, p := want, Part{Role: want.Role}
			set(&w, &p, asked, asked+measure.Length(side*off))
			v, _ := Fit(w, p)
			return v
		}
		if a, b := verdict(off), verdict(further); worse(a, b) != b {
			t.Fatalf("%s at %d, %s at %d: %+v asked %v", a, side*off, b, side*further, want, asked)
		}
	})
}
