package shop

import (
	"context"
	"encoding/json"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Oil is how much oil a leg takes, or the closed cartridge in it.
type Oil struct {
	Model    string            `json:"model,omitempty"` // where it holds for some bikes only
	Leg      string            `json:"leg"`
	Chamber  string            `json:"chamber"`
	DryML    int64             `json:"dry_ml"`    // per leg, after a strip-down
	RefillML int64             `json:"refill_ml"` // per leg, after draining
	JobML    int64             `json:"job_ml"`    // of all legs that this is said of, dry where that is known
	GapUM    measure.Length    `json:"air_gap_um"`
	GapHow   string            `json:"air_gap_how,omitempty"`
	Grade    string            `json:"grade,omitempty"`
	CSt      catalog.Viscosity `json:"cst_40c_milli"` // thousandths of a cSt
	Index    int64             `json:"viscosity_index"`
	Source   string            `json:"source,omitempty"`
	Note     fault.Message     `json:"note,omitzero"` // which of two values counts
	Whose    []fault.Message   `json:"whose"`         // what is not told of these bikes, and whose it is
}

// MarshalJSON writes null for each number that is not known.
func (o Oil) MarshalJSON() ([]byte, error) {
	type plain Oil
	return json.Marshal(struct {
		plain
		DryML    *int64             `json:"dry_ml"`
		RefillML *int64             `json:"refill_ml"`
		JobML    *int64             `json:"job_ml"`
		GapUM    *measure.Length    `json:"air_gap_um"`
		CSt      *catalog.Viscosity `json:"cst_40c_milli"`
		Index    *int64             `json:"viscosity_index"`
	}{plain(o), known(o.DryML), known(o.RefillML), known(o.JobML), known(o.GapUM), known(o.CSt), known(o.Index)})
}

// known gives nil for a number that is not known.
func known[T comparable](n T) *T {
	if n == *new(T) {
		return nil
	}
	return &n
}

// oilView shows a fill; name names the bikes that one holds for, empty for all.
func oilView(o catalog.Pour, name func(catalog.OilFill) string) Oil {
	out := Oil{
		Model: name(o.OilFill), Leg: o.Leg, Chamber: o.Chamber, DryML: o.DryML, RefillML: o.RefillML, GapUM: o.Gap, GapHow: o.GapHow,
		Grade: o.Grade, CSt: o.CSt, Index: o.Index, Source: o.Source,
		Whose: []fault.Message{},
	}
	if out.JobML = o.DryML; o.DryML == 0 {
		out.JobML = o.RefillML
	}
	if o.Leg == "both" {
		out.JobML *= 2
	}
	if o.Gap != 0 && out.JobML != 0 && o.GapIsOwn() {
		out.Note = fault.Say("shop.gap_wins")
	}
	for _, l := range o.Lent {
		what := fault.Say("catalog.lent." + l.Field)
		if bikes := name(l.Of); bikes != "" {
			out.Whose = append(out.Whose, fault.Say("shop.oil_of_bikes", what, bikes))
		} else {
			out.Whose = append(out.Whose, fault.Say("shop.oil_of_fork", what))
		}
	}
	return out
}

// addOil tells how much oil goes in: of one bike what holds for it, else all
// that is told of the fork and its bikes. It gives the fills to count with.
func (out *Fork) addOil(ctx context.Context, tx *store.Tx, c choice, fitments []catalog.Fitment) ([]catalog.Pour, error) {
	all, err := catalog.OilFills(ctx, tx, c.fork.ID)
	if err != nil {
		return nil, err
	}
	bikes := map[string]catalog.Fitment{}
	for _, m := range fitments {
		bikes[m.ID] = m
	}
	bike := ""
	if len(c.bikes) == 1 {
		bike = c.bikes[0].ID
	}
	count := catalog.OilOn(all, bike, c.year)
	show := count
	if bike == "" && c.swap == nil {
		show = nil
		for _, o := range all {
			show = append(show, catalog.Pour{OilFill: o})
		}
	}
	name := func(o catalog.OilFill) string {
		m, ok := bikes[o.Fitment]
		if !ok {
			return ""
		}
		if o.YearFrom != 0 {
			m.YearFrom, m.YearTo = o.YearFrom, o.YearTo
		}
		return m.Name()
	}
	for _, o := range show {
		out.Oil = append(out.Oil, oilView(o, name))
	}
	return count, nil
}

// pourOil sets how much the places of oil take to what the fills say, dry. A
// leg's first place of oil is the leg's, its second the cartridge's.
func pourOil(positions []catalog.Position, fills []catalog.Pour) {
	places := map[string]int{} // of oil, by leg
	for i := range positions {
		p := &positions[i]
		if p.Role != catalog.Oil {
			continue
		}
		nth := max(places[p.Leg], places["both"])
		places[p.Leg] = nth + 1
		if nth >= len(catalog.Chambers) {
			continue
		}
		for _, o := range fills {
			if o.Chamber == catalog.Chambers[nth] && (o.Leg == p.Leg || o.Leg == "both") && o.DryML != 0 {
				p.PerLeg = o.DryML
			}
		}
	}
}

// OilFacts are what can be told of how much oil a leg takes. Nil stays as it
// is, an empty text is not known.
type OilFacts struct {
	Dry    *string // volumes as measure.ParseVolume reads them
	Refill *string
	Gap    *string // air gap, as measure.ParseLength reads it
	GapHow *string
	Grade  *string
	CSt    *string // at 40 C, as catalog.ParseViscosity reads it
	Index  *string // viscosity index
	Source *string // default: who tells it
}

// OilRequest says which fill is meant, and what of it.
type OilRequest struct {
	Fork    string
	Model   string // make and model (and variant) of the bikes; empty: the fork's own
	Years   string // of those bikes, or some of them
	Leg     string // of catalog.Sides; adding: default both
	Chamber string // of catalog.Chambers; default leg
	Sure    bool   // although a volume is unusual
	OilFacts
}

// unusual questions a volume that was told and is none of a leg or cartridge,
// as a rule. Error: Invalid, unless Sure.
func (q OilRequest) unusual(o catalog.OilFill) error {
	for _, v := range []struct {
		told *string
		ml   int64
	}{{q.Dry, o.DryML}, {q.Refill, o.RefillML}} {
		ask := catalog.UnusualFill(o.Chamber, v.ml)
		if v.told == nil || v.ml == 0 || ask.IsZero() || q.Sure {
			continue
		}
		e := fault.New(fault.Invalid, "").WithHint("shop.fill_unusual.hint")
		e.Message = ask
		return e
	}
	return nil
}

// AddOil tells how much oil a fork takes, or takes on some bikes. Errors:
// Invalid (an unusual volume too, unless Sure), NotFound, Ambiguous (the bikes),
// Conflict (it is told already).
func (s *Shop) AddOil(ctx context.Context, q OilRequest) (Fork, error) {
	q.Leg = wordFor("leg", q.Leg, catalog.Sides)
	return s.oil(ctx, q, func(ctx context.Context, tx *store.Tx, f catalog.Fork, o catalog.OilFill, who Actor) error {
		o.Leg, o.Source = or(q.Leg, "both"), who.Name
		if err := q.apply(&o); err != nil {
			return err
		}
		if err := q.unusual(o); err != nil {
			return err
		}
		return catalog.AddOilFill(ctx, tx, f.ID, o)
	})
}

// ChangeOil corrects how much oil a fork takes. Errors: Invalid, NotFound,
// Ambiguous (the bikes, the leg).
func (s *Shop) ChangeOil(ctx context.Context, q OilRequest) (Fork, error) {
	q.Leg = wordFor("leg", q.Leg, catalog.Sides)
	if q.OilFacts == (OilFacts{}) {
		return Fork{}, noChange()
	}
	return s.oil(ctx, q, func(ctx context.Context, tx *store.Tx, f catalog.Fork, o catalog.OilFill, who Actor) error {
		all, err := catalog.OilFills(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		e := fault.New(fault.Ambiguous, "shop.oils_possible", f.Name).WithHint("shop.oils_possible.hint")
		var hits []catalog.OilFill
		for _, old := range all {
			if old.Fitment == o.Fitment && old.Chamber == o.Chamber && old.YearFrom == o.YearFrom && old.YearTo == o.YearTo &&
				(q.Leg == "" || old.Leg == q.Leg) {
				hits = append(hits, old)
				e.Candidates = append(e.Candidates, fault.Candidate{Name: "--leg " + old.Leg, Tell: fault.Say("leg." + old.Leg)})
			}
		}
		switch {
		case len(hits) == 0:
			return fault.New(fault.NotFound, "shop.oil_absent", f.Name).WithHint("shop.oil_absent.hint")
		case len(hits) > 1:
			return e
		}
		o = hits[0]
		if err := q.apply(&o); err != nil {
			return err
		}
		if err := q.unusual(o); err != nil {
			return err
		}
		if q.Source == nil {
			o.Source = who.Name
		}
		return catalog.ChangeOilFill(ctx, tx, o)
	})
}

// oil finds the fork and the bikes, lets keep do the rest, and shows the fork as
// it is then.
func (s *Shop) oil(ctx context.Context, q OilRequest, keep func(
	context.Context, *store.Tx, catalog.Fork, catalog.OilFill, Actor) error,
) (Fork, error) {
	var out Fork
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		f, err := catalog.ForkNamed(ctx, tx, q.Fork)
		if err != nil {
			return err
		}
		o := catalog.OilFill{Chamber: or(wordFor("chamber", q.Chamber, catalog.Chambers), "leg")}
		if tidied(q.Model) != "" || tidied(q.Years) != "" {
			if o.Fitment, o.YearFrom, o.YearTo, err = bikesOf(ctx, tx, f, q.Model, q.Years); err != nil {
				return err
			}
		}
		if err := keep(ctx, tx, f, o, who); err != nil {
			return err
		}
		out, err = forkView(ctx, tx, f)
		return err
	})
	return out, err
}

// bikesOf finds the bikes with a fork by their make and model in one text, and
// their years: exactly those told, or some of them, which it gives then.
func bikesOf(ctx context.Context, tx *store.Tx, f catalog.Fork, name, years string) (id string, from, to int, err error) {
	var asked catalog.Fitment
	if tidied(years) != "" {
		if err := readYears(years, &asked); err != nil {
			return "", 0, 0, err
		}
	}
	all, err := catalog.FitmentsOfFork(ctx, tx, f.ID)
	if err != nil {
		return "", 0, 0, err
	}
	var hits []catalog.Fitment
	e := fault.New(fault.Ambiguous, "shop.bikes_possible", clipped(name), f.Name).WithHint("shop.bikes_possible.hint")
	for _, m := range all {
		named := catalog.Normal(m.Bike()) == catalog.Normal(name) || catalog.Normal(m.Make+m.Model) == catalog.Normal(name)
		within := asked.YearFrom == 0 || m.YearFrom <= asked.YearFrom && (m.YearTo == 0 || asked.YearTo != 0 && asked.YearTo <= m.YearTo)
		if named && within {
			hits = append(hits, m)
			e.Candidates = append(e.Candidates, fault.Candidate{Name: m.Name()})
		}
	}
	switch {
	case len(hits) > 1:
		return "", 0, 0, e
	case len(hits) == 0:
		return "", 0, 0, fault.New(fault.NotFound, "shop.not_on_bike", clipped(name), tidied(years), f.Name).
			WithHint("shop.bike_absent.hint")
	case asked.YearFrom == 0 || asked.YearFrom == hits[0].YearFrom && asked.YearTo == hits[0].YearTo:
		return hits[0].ID, 0, 0, nil
	}
	return hits[0].ID, asked.YearFrom, asked.YearTo, nil
}

// apply sets the facts that were told of o. Error: Invalid.
func (f OilFacts) apply(o *catalog.OilFill) (err error) {
	for _, v := range []struct {
		told *string
		to   *int64
	}{{f.Dry, &o.DryML}, {f.Refill, &o.RefillML}} {
		if err == nil && v.told != nil {
			*v.to = 0
			if text(v.told) != "" {
				var ml measure.Volume
				ml, err = measure.ParseVolume(*v.told)
				*v.to = int64(ml)
			}
		}
	}
	if err == nil && f.Gap != nil {
		if o.Gap = 0; text(f.Gap) != "" {
			o.Gap, err = measure.ParseLength(*f.Gap)
		}
	}
	if err == nil && f.CSt != nil {
		if o.CSt = 0; text(f.CSt) != "" {
			o.CSt, err = catalog.ParseViscosity(text(f.CSt))
		}
	}
	if err == nil && f.Index != nil {
		if o.Index = 0; text(f.Index) != "" {
			if o.Index, err = strconv.ParseInt(text(f.Index), 10, 64); err != nil {
				err = fault.New(fault.Invalid, "shop.bad_index", clipped(*f.Index)).WithHint("shop.bad_index.hint")
			}
		}
	}
	set(&o.GapHow, f.GapHow)
	set(&o.Grade, f.Grade)
	set(&o.Source, f.Source)
	return err
}
