package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/catalog/lineup"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Questions are what a fork on the bike can be asked, by a look first. The
// tolerances hold both the error of the tool and what the thing itself may be
// off from the size that lists print:
//
//   - leg: a vernier calliper, jaws not quite square on a tube that is worn or
//     coated, and lists that round 41.3 to 41. Common practice, no source.
//   - leg_micrometer: the same with a micrometer, on the unworn stretch. Common
//     practice, no source.
//   - cap_flats: a hexagon up to 36 mm may be up to 0.62 mm smaller than its
//     nominal size (ISO 4759-1, product grade A, from memory).
//   - cap_thread: the outside of a thread 6g may be up to 0.27 mm smaller than
//     its nominal size at a pitch of 1.5 (ISO 965-1, from memory).
//   - axle: a vernier calliper at the end of the axle. Common practice, no source.
//   - wiper: rubber gives way under the jaws. Common practice, no source.
//   - centres: a tape or a rule over the outsides, less one diameter. Common
//     practice, no source.
//
// What lies outside of Least and Most is a slip of the decimal mark or of the
// unit, and is asked back: common practice, no source, and wide.
var Questions = []lineup.Question{
	{Name: "layout", Words: Layouts, Effort: 1},
	{Name: "left_cap", Words: Caps, Effort: 1},
	{Name: "right_cap", Words: Caps, Effort: 1},
	{Name: "cap_shape", Words: CapShapes, Effort: 1},
	{Name: "drain_screw", Words: []string{yes, no}, Effort: 1},
	{Name: "leg", Tolerance: 300, Least: 20 * measure.Millimetre, Most: 75 * measure.Millimetre, Effort: 2},
	{Name: "cap_flats", Tolerance: 700, Least: 8 * measure.Millimetre, Most: 80 * measure.Millimetre, Effort: 2},
	{Name: "axle", Tolerance: 300, Least: 8 * measure.Millimetre, Most: 50 * measure.Millimetre, Effort: 2},
	{Name: "wiper", Tolerance: 500, Least: 25 * measure.Millimetre, Most: 110 * measure.Millimetre, Effort: 3},
	{Name: "centres", Tolerance: 2 * measure.Millimetre, Least: 100 * measure.Millimetre, Most: 400 * measure.Millimetre, Effort: 3},
	{Name: "leg_micrometer", Tolerance: 50, Least: 20 * measure.Millimetre, Most: 75 * measure.Millimetre, Effort: 4, After: "leg"},
	{Name: "cap_thread", Tolerance: 300, Effort: 5, Opens: true},
}

// QuestionNamed gives the question of a name; ok is false where there is none.
func QuestionNamed(name string) (q lineup.Question, ok bool) {
	i := slices.IndexFunc(Questions, func(q lineup.Question) bool { return q.Name == name })
	if i < 0 {
		return q, false
	}
	return Questions[i], true
}

// ReadAnswer reads what was typed in answer to a question. Error: Invalid.
func ReadAnswer(q lineup.Question, typed string) (a lineup.Answer, err error) {
	a.Question = q
	switch {
	case q.Words != nil:
		a.Word = typed
		return a, checkChoice(ChoiceOf(q.Name), a.Word, q.Words)
	case q.Name == "cap_thread":
		a.Value, err = threadValue(typed)
		return a, err
	}
	if a.Length, err = measure.ParseLength(typed); err == nil && a.Length <= 0 {
		err = fault.New(fault.Invalid, "catalog.no_measure", fault.Say("measure."+q.Name), short(typed))
	}
	if err == nil {
		err = likely(q, a.Length)
	}
	return a, err
}

// likely refuses a measure that no fork has, and asks for the one that may
// have been meant: 41.1 for 411, inches for 1.6. Error: Invalid.
func likely(q lineup.Question, l measure.Length) error {
	within := func(l measure.Length) bool { return q.Least <= l && (l <= q.Most || q.Most == 0) }
	if within(l) {
		return nil
	}
	e := fault.New(fault.Invalid, "catalog.odd_measure", l, q.Least, q.Most)
	inches := l * 254 / 10
	switch {
	case within(l / 10):
		return e.WithHint("catalog.odd_measure.hint", l/10)
	case within(inches):
		return e.WithHint("catalog.odd_measure.inches", l, inches)
	}
	return e.WithHint("catalog.odd_measure.again")
}

// ChoiceOf gives the group of words that a question is answered with.
func ChoiceOf(name string) string {
	switch name {
	case "left_cap", "right_cap":
		return "cap"
	case "drain_screw":
		return "fitted"
	}
	return name
}

// threadValue reads a thread, or its outer diameter alone.
func threadValue(typed string) (lineup.Value, error) {
	t, err := measure.ParseThread(typed)
	if err != nil {
		if d, bare := measure.ParseLength(typed); bare == nil && d > 0 {
			return lineup.Value{Length: d}, nil
		}
		return lineup.Value{}, err
	}
	_, pitch, _ := strings.Cut(t.String(), "x")
	return lineup.Value{Length: t.Diameter(), Word: pitch}, nil
}

// Lineup gives every fork with what it can answer to Questions.
func Lineup(ctx context.Context, tx *store.Tx) ([]lineup.Fork, error) {
	all, err := Forks(ctx, tx)
	if err != nil {
		return nil, err
	}
	forks, at := []lineup.Fork{}, map[string]int{}
	for _, f := range all {
		at[f.ID] = len(forks)
		forks = append(forks, lineup.Fork{ID: f.ID, Name: f.Name, Can: f.answers()})
	}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var fork, fitted string
		var role Role
		var outer measure.Length
		err := scan(&fork, &role, &fitted, &outer)
		can := forks[at[fork]].Can
		switch {
		case role == DrainScrew && fitted != "unknown":
			can["drain_screw"] = []lineup.Value{{Word: fitted}}
		case role == Wiper && fitted == "yes" && outer != 0 && !slices.Contains(can["wiper"], lineup.Value{Length: outer}):
			can["wiper"] = append(can["wiper"], lineup.Value{Length: outer})
		}
		return err
	}, `SELECT fork, role, fitted, coalesce(outer_um, 0) FROM position WHERE role IN ($1, $2) ORDER BY fork, seq`, DrainScrew, Wiper)
	return forks, err
}

// answers gives what f itself can answer, places left out.
func (f Fork) answers() map[string][]lineup.Value {
	can := map[string][]lineup.Value{"layout": {{Word: f.Layout}}}
	if f.CapShape != "" {
		can["cap_shape"] = []lineup.Value{{Word: f.CapShape}}
	}
	for name, length := range map[string]measure.Length{
		"leg": f.Leg, "leg_micrometer": f.Leg, "cap_flats": f.CapFlats, "axle": f.Axle, "centres": f.Centres,
	} {
		if length != 0 {
			can[name] = []lineup.Value{{Length: length}}
		}
	}
	if v, err := threadValue(f.CapThread); err == nil {
		can["cap_thread"] = []lineup.Value{v}
	}
	for _, l := range f.Legs {
		can[l.Leg+"_cap"] = l.caps()
	}
	return can
}

// caps gives what can stand on the cap of a leg: what is told of it, or else
// what the inside of the leg leaves. An air valve belongs to a leg with air in
// it, and a damping adjuster to one with damping; a valve that is not on the
// cap may be at the foot.
func (l Leg) caps() (can []lineup.Value) {
	for _, c := range Caps {
		bare := Leg{Leg: l.Leg, Damping: l.Damping, Springing: l.Springing, Cap: c}
		if l.Cap == c || l.Cap == "" && bare.check() == nil {
			can = append(can, lineup.Value{Word: c})
		}
	}
	if len(can) == len(Caps) {
		return nil
	}
	return can
}
