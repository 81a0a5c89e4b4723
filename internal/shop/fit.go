package shop

import (
	"cmp"
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// FitQuery asks which parts fit what was measured. Lengths are texts as
// measure.ParseLength reads them; an empty one is not told.
type FitQuery struct {
	Role                          string // id of a role, or a word for it in either language
	Inner, Outer, Height, Overall string // nominal, or printed on a part
	Tube, Bore, Groove            string // measured in the fork
	Wall, Coated                  string // of a bushing
	Thread, Length                string // Length is Height, of a bolt or a bushing
	Head, Seat, Strength          string // of a bolt
	Worn                          bool   // the sizes but Tube, Bore and Groove were taken from an old part
	Limit                         int    // most parts that fit, and most that come near; 0: 20
}

// Fitting is which parts fit what was measured.
type Fitting struct {
	Role  catalog.Role    `json:"role"`
	Open  []fault.Message `json:"open"` // sizes still to be measured before "fits" can be relied on
	Parts []Fit           `json:"parts"`
	Total int             `json:"total"` // parts that fit or come near, shown or not
}

// mostMistaken is how many parts are told that do not fit but may be taken for
// one that does.
const mostMistaken = 5

// usualLimit is how many parts an answer has where nobody says.
const usualLimit = 20

// Word gives the verdict as it stands on screens: as long as sizes are open,
// what fits only fits so far.
func (f Fitting) Word(v catalog.Verdict) fault.Message {
	if v == catalog.Fits && len(f.Open) > 0 {
		return fault.Say("verdict.so_far")
	}
	return fault.Say("verdict." + string(v))
}

// Empty reports whether nothing fits or comes near.
func (f Fitting) Empty() bool { return f.Total == 0 }

// Fit compares the parts of a role with what was measured: what fits first,
// then what comes near, of each what is on the shelf first; last a few that do
// not fit but may be taken for one that does. Errors: Invalid, Ambiguous (the
// word for the role).
func (s *Shop) Fit(ctx context.Context, q FitQuery) (Fitting, error) {
	want, err := s.wanted(q)
	if err != nil {
		return Fitting{}, err
	}
	out := Fitting{Role: want.Role, Open: append([]fault.Message{}, want.Open()...), Parts: []Fit{}}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		matches, err := catalog.Fitting(ctx, tx, want)
		if err != nil {
			return err
		}
		free, err := inventory.Free(ctx, tx)
		if err != nil {
			return err
		}
		shown := out.arrange(matches, free, cmp.Or(q.Limit, usualLimit))
		ids := []string{}
		for _, m := range shown {
			ids = append(ids, m.Part.ID)
		}
		said, err := catalog.SizesSaid(ctx, tx, ids)
		if err != nil {
			return err
		}
		for _, m := range shown {
			part, err := view(ctx, tx, m.Part, fault.Message{})
			if err != nil {
				return err
			}
			part.Standing = said[m.Part.ID]
			out.Parts = append(out.Parts, Fit{Part: part, Verdict: m.Verdict, Reasons: append([]fault.Message{}, m.Why...), Old: m.Old})
		}
		return nil
	})
	out.sayOpen()
	return out, err
}

// arrange counts matches, puts them in order and gives at most most that fit,
// and at most as many that come near: what fits does not hide what may. free is
// what may be taken of each part.
func (f *Fitting) arrange(all []catalog.Match, free map[string]int64, most int) []catalog.Match {
	rank := map[catalog.Verdict]int{catalog.Near: 1, catalog.No: 2}
	gone := func(m catalog.Match) int {
		if free[m.Part.ID] > 0 {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(all, func(a, b catalog.Match) int {
		return cmp.Or(rank[a.Verdict]-rank[b.Verdict], gone(a)-gone(b), len(a.Why)-len(b.Why))
	})
	f.Total = slices.IndexFunc(all, func(m catalog.Match) bool { return m.Verdict == catalog.No })
	if f.Total < 0 {
		f.Total = len(all)
	}
	near := slices.IndexFunc(all, func(m catalog.Match) bool { return m.Verdict != catalog.Fits })
	if near < 0 {
		near = f.Total
	}
	first := func(some []catalog.Match, most int) []catalog.Match { return some[:min(len(some), most)] }
	return slices.Concat(first(all[:near], most), first(all[near:f.Total], most), first(all[f.Total:], mostMistaken))
}

// sayOpen says of each part that fits which sizes were not compared.
func (f *Fitting) sayOpen() {
	var open fault.Message
	for _, size := range f.Open {
		open = listed(open, size)
	}
	for i, p := range f.Parts {
		if p.Verdict == catalog.Fits && !open.IsZero() {
			f.Parts[i].Reasons = append(p.Reasons, fault.Say("shop.not_compared", open))
		}
	}
}

// FitGroup is the parts of one verdict.
type FitGroup struct {
	Verdict catalog.Verdict
	Word    fault.Message
	Common  []fault.Message // reasons that hold for all of them
	Parts   []Fit           // with their other reasons
}

// Groups gives the parts by verdict, with what all of one say told once.
func (f Fitting) Groups() (all []FitGroup) {
	for _, p := range f.Parts {
		if len(all) == 0 || all[len(all)-1].Verdict != p.Verdict {
			all = append(all, FitGroup{Verdict: p.Verdict, Word: f.Word(p.Verdict)})
		}
		g := &all[len(all)-1]
		g.Parts = append(g.Parts, p)
	}
	for i := range all {
		all[i].share()
	}
	return all
}

// share moves the reasons that all parts have, where there are several.
func (g *FitGroup) share() {
	if len(g.Parts) < 2 {
		return
	}
	has := func(m fault.Message) func(fault.Message) bool {
		return func(o fault.Message) bool { return o.String() == m.String() }
	}
	for _, m := range g.Parts[0].Reasons {
		lacks := func(p Fit) bool { return !slices.ContainsFunc(p.Reasons, has(m)) }
		if !slices.ContainsFunc(g.Parts, lacks) {
			g.Common = append(g.Common, m)
		}
	}
	for i, p := range g.Parts {
		common := func(m fault.Message) bool { return slices.ContainsFunc(g.Common, has(m)) }
		g.Parts[i].Reasons = slices.DeleteFunc(slices.Clone(p.Reasons), common)
	}
}

// wanted reads what was typed.
func (s *Shop) wanted(q FitQuery) (w catalog.Wanted, err error) {
	if w.Role, err = s.role(tidied(q.Role)); err != nil {
		return w, err
	}
	var long measure.Length
	for _, x := range []struct {
		text string
		to   *measure.Length
	}{
		{q.Inner, &w.Size.Inner},
		{q.Outer, &w.Size.Outer},
		{q.Height, &w.Size.Height},
		{q.Overall, &w.Size.Overall},
		{q.Tube, &w.Tube},
		{q.Bore, &w.Bore},
		{q.Groove, &w.Groove},
		{q.Wall, &w.Wall},
		{q.Head, &w.Head},
		{q.Length, &long},
	} {
		if *x.to, err = readLength(x.text); err != nil {
			return w, err
		}
	}
	switch {
	case long != 0 && w.Size.Height != 0 && long != w.Size.Height:
		return w, fault.New(fault.Invalid, "shop.height_length", w.Size.Height, long).WithHint("shop.height_length.hint")
	case long != 0:
		w.Size.Height = long
	}
	if w.Thread, err = readThread(trimmed(q.Thread)); err != nil {
		return w, err
	}
	w.Seat, w.Coated = wordFor("seat", tidied(q.Seat), catalog.Seats), wordFor("coated", tidied(q.Coated), catalog.Coatings)
	w.Strength, w.Worn = catalog.Strength(q.Strength), q.Worn
	return w, w.Check()
}
