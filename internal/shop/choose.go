package shop

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// ForkQuery names a fork: by its name, by what is known of a bike that carries
// it, or by one bike that is remembered to carry another than its model. A
// name beside make and model means that fork on that bike.
type ForkQuery struct {
	Name        string
	Make, Model string
	Variant     string // letters behind the model
	Code        string // model code on the plate
	Frame       string // frame number
	Bike        string // the shop's name of one bike
	Year        int    // 0: any
}

// bike gives what is known of the bike.
func (q ForkQuery) bike() catalog.BikeQuery {
	return catalog.BikeQuery{Make: q.Make, Model: q.Model, Variant: q.Variant, Code: q.Code, Frame: q.Frame, Year: q.Year}
}

// check refuses a query that names no fork, or a bike by halves.
func (q ForkQuery) check() error {
	byModel := q.Make != "" && q.Model != ""
	half := (q.Make != "") != (q.Model != "")
	onBike := half || q.Variant != "" || q.Code != "" || q.Frame != "" || q.Bike != "" || q.Year != 0
	switch {
	case q.Name != "" && !byModel && onBike:
		return fault.New(fault.Invalid, "shop.fork_twice_named").WithHint("shop.fork_unnamed.hint")
	case q.Name != "" && q.Bike != "":
		return fault.New(fault.Invalid, "shop.fork_twice_named").WithHint("shop.fork_unnamed.hint")
	case half, q.Name == "" && !byModel && q.Code == "" && q.Frame == "" && q.Bike == "":
		return fault.New(fault.Invalid, "shop.fork_unnamed").WithHint("shop.fork_unnamed.hint")
	}
	return nil
}

// choice is a fork with what led to it.
type choice struct {
	fork  catalog.Fork
	bikes []catalog.Fitment // that led to it; all have the fork, unless it was swapped
	swap  *catalog.Swap     // set where one bike is remembered to carry it
	year  int
}

// choose finds the fork. One bike that is remembered goes before its model.
func choose(ctx context.Context, tx *store.Tx, q ForkQuery) (c choice, err error) {
	if err := q.check(); err != nil {
		return c, err
	}
	c.year = q.Year
	if q.Name != "" {
		if c.fork, err = catalog.ForkNamed(ctx, tx, q.Name); err != nil || q.Make == "" {
			return c, err
		}
	} else {
		swapped, err := c.swapped(ctx, tx, q)
		if err != nil || swapped {
			return c, err
		}
	}
	hits, unclear, err := catalog.ForksOf(ctx, tx, q.bike())
	if err != nil {
		return c, err
	}
	if q.Name != "" {
		c.bikes = slices.DeleteFunc(hits, func(m catalog.Fitment) bool { return m.Fork != c.fork.ID })
		if len(c.bikes) == 0 {
			return c, fault.New(fault.NotFound, "shop.not_on_bike", clipped(q.Make), clipped(q.Model), c.fork.Name).
				WithHint("shop.not_on_bike.hint", words.ShellWord(c.fork.Name))
		}
		return c, nil
	}
	if unclear || !same(hits) {
		return c, q.candidates(ctx, tx, hits, unclear)
	}
	c.bikes = hits
	c.fork, _, err = catalog.ForkByID(ctx, tx, hits[0].Fork)
	return c, err
}

// swapped finds what is remembered of one bike, by the shop's name of it or by
// its frame number. What is known of its model stays: clamps and axle are its.
// Error: NotFound where nothing is remembered, and no model is named either.
func (c *choice) swapped(ctx context.Context, tx *store.Tx, q ForkQuery) (bool, error) {
	for _, name := range []string{q.Bike, q.Frame} {
		s, ok, err := catalog.SwapOf(ctx, tx, name)
		if err != nil {
			return false, err
		}
		if !ok {
			continue
		}
		c.swap = &s
		if q.Make != "" || q.Code != "" {
			c.bikes, _, err = catalog.ForksOf(ctx, tx, q.bike())
			if err != nil && fault.KindOf(err) != fault.NotFound {
				return false, err
			}
		}
		c.fork, _, err = catalog.ForkByID(ctx, tx, s.Fork)
		return true, err
	}
	if q.Make == "" && q.Code == "" && q.Frame == "" {
		return false, catalog.NoSwap(q.Bike)
	}
	return false, nil
}

// candidates lists the forks that a bike can have, how to tell them apart, and
// the exact command for each.
func (q ForkQuery) candidates(ctx context.Context, tx *store.Tx, hits []catalog.Fitment, unclear bool) error {
	what := hits[0].Make + " " + hits[0].Model
	if q.Year != 0 {
		what += " " + strconv.Itoa(q.Year)
	}
	e := fault.New(fault.Ambiguous, "shop.forks_possible", what).WithHint("shop.forks_possible.hint")
	switch {
	case unclear && catalog.Normal(q.Frame) == "":
		e = fault.New(fault.Ambiguous, "shop.frame_asked", what).WithHint("shop.frame_asked.hint")
	case unclear:
		e = fault.New(fault.Ambiguous, "shop.frame_unclear", clipped(q.Frame), what).WithHint("shop.frame_unclear.hint")
	}
	var forks []catalog.Fork
	var first []catalog.Fitment // that leads to each
	told := map[string]string{} // what is told of the bikes that carry each
	for _, m := range hits {
		if _, twice := told[m.Fork]; twice {
			told[m.Fork] += ", " + m.Limits()
			continue
		}
		f, _, err := catalog.ForkByID(ctx, tx, m.Fork)
		if err != nil {
			return err
		}
		forks, first, told[m.Fork] = append(forks, f), append(first, m), m.Limits()
	}
	apart, err := tellApart(ctx, tx, forks, featureNames)
	if err != nil {
		return err
	}
	for i, f := range forks {
		tell := fault.Say("shop.tell_bare", f.Leg, fault.Say("layout."+f.Layout), told[f.ID])
		if f.Note != "" {
			tell = fault.Say("shop.tell_fork", f.Leg, fault.Say("layout."+f.Layout), told[f.ID], f.Note)
		}
		if !apart[i].IsZero() {
			tell = fault.Say("shop.tell_apart", tell, apart[i])
		}
		e.Candidates = append(e.Candidates, fault.Candidate{Name: f.Name, Tell: tell, Command: q.command(f.Name, first[i])})
	}
	return e
}

// command gives the command that means a fork on the bike that was asked for.
func (q ForkQuery) command(fork string, m catalog.Fitment) string {
	line := fmt.Sprintf("forkstock fork %s --make %s --model %s", words.ShellWord(fork), words.ShellWord(m.Make), words.ShellWord(m.Model))
	if q.Year != 0 {
		line += " --year " + strconv.Itoa(q.Year)
	}
	return line
}

// same reports whether all fitments lead to one fork.
func same(fitments []catalog.Fitment) bool {
	for _, m := range fitments {
		if m.Fork != fitments[0].Fork {
			return false
		}
	}
	return true
}

// mostTold is how many features are named of a fork: more are not read.
const mostTold = 4

// tellApart gives for each fork what can be seen or measured of it that is known
// not to be the same on all of them, of some names of featureNames: those few that differ
// most.
func tellApart(ctx context.Context, tx *store.Tx, forks []catalog.Fork, by []string) ([]fault.Message, error) {
	seen := make([]map[string]fault.Message, len(forks))
	values := map[string]map[string]bool{} // of each name
	for i, f := range forks {
		var err error
		if seen[i], err = features(ctx, tx, f); err != nil {
			return nil, err
		}
		for _, name := range by {
			if values[name] == nil {
				values[name] = map[string]bool{}
			}
			if value := seen[i][name]; !value.IsZero() { // what nobody has told of a fork tells it from none
				values[name][value.String()] = true
			}
		}
	}
	by = slices.DeleteFunc(slices.Clone(by), func(name string) bool { return len(values[name]) < 2 })
	slices.SortStableFunc(by, func(a, b string) int { return len(values[b]) - len(values[a]) })
	out := make([]fault.Message, len(forks))
	for _, name := range by[:min(len(by), mostTold)] {
		for i := range forks {
			out[i] = listed(out[i], seen[i][name])
		}
	}
	return out, nil
}

// featureNames are what two forks are told apart by, what is seen without a
// tool first.
var featureNames = []string{
	"caps", "cap_shape", "legs", "springing", "cap_flats", "axle", "centres", "cap_thread", "air_valve", "drain_screw", "protector", "gaiter", "bottom_bolt", "oil_seal", "wiper",
}

// features gives what can be seen or measured of a fork beside its leg
// diameter and layout, by name of featureNames.
func features(ctx context.Context, tx *store.Tx, f catalog.Fork) (map[string]fault.Message, error) {
	out := map[string]fault.Message{}
	alike := !slices.ContainsFunc(f.Legs, func(l catalog.Leg) bool {
		return l.Damping != f.Legs[0].Damping || l.Springing != f.Legs[0].Springing
	})
	for i, l := range f.Legs {
		damping, springing := fault.Say("damping."+l.Damping), fault.Say("springing."+l.Springing)
		switch {
		case !alike:
			out["legs"] = listed(out["legs"], fault.Say("shop.feature_leg", fault.Say("leg."+l.Leg), fault.Say("list.comma", damping, springing)))
		case i == 0:
			out["legs"], out["springing"] = damping, springing
		}
	}
	looks(f, out)
	positions, err := catalog.Positions(ctx, tx, f.ID)
	for _, p := range positions {
		name, role := string(p.Role), fault.Say("role."+string(p.Role))
		size := sizes(p.Size, p.Thread)
		switch {
		case !slices.Contains(featureNames, name) || p.Fitted == "unknown":
		case p.Fitted == "no":
			out[name] = fault.Say("shop.feature_absent", role)
		case size.Size == "":
			out[name] = fault.Say("shop.feature_there", role)
		default:
			out[name] = listed(out[name], fault.Say("shop.feature_size", role, size))
		}
	}
	return out, err
}

// looks adds what is known of the outside of a fork.
func looks(f catalog.Fork, out map[string]fault.Message) {
	add := func(name string, value any) {
		out[name] = fault.Say("shop.feature_told", fault.Say("measure."+name), value)
	}
	if len(f.Legs) == 2 && f.Legs[0].Cap == f.Legs[1].Cap && f.Legs[0].Cap != "" {
		add("caps", fault.Say("cap."+f.Legs[0].Cap))
	} else {
		for _, l := range f.Legs {
			if l.Cap != "" {
				out["caps"] = listed(out["caps"], fault.Say("shop.feature_told", fault.Say("measure."+l.Leg+"_cap"), fault.Say("cap."+l.Cap)))
			}
		}
	}
	if f.CapShape != "" {
		add("cap_shape", fault.Say("cap_shape."+f.CapShape))
	}
	if f.CapThread != "" {
		add("cap_thread", sizes(measure.Size{}, f.CapThread))
	}
	for name, length := range map[string]measure.Length{"cap_flats": f.CapFlats, "axle": f.Axle, "centres": f.Centres} {
		if length != 0 {
			add(name, fault.Say("catalog.mm", length))
		}
	}
}

// listed joins two messages with a comma; either may say nothing.
func listed(a, b fault.Message) fault.Message {
	switch {
	case a.IsZero():
		return b
	case b.IsZero():
		return a
	}
	return fault.Say("list.comma", a, b)
}
