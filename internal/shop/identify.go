package shop

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/lineup"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/search"
)

// IdentifyQuery is what was seen and measured of a fork on the bike.
type IdentifyQuery struct {
	Told  map[string]string // by name of a question of catalog.Questions, as it was typed; an empty text is no answer
	Skip  []string          // names of questions that nobody can answer now: they are not asked
	Make  string
	Model string
	// Variant, Code, Frame and Year narrow the bike down, as in ForkQuery.
	Variant, Code, Frame string
	Year                 int
	Limit                int // the most candidates to show
}

// bike is the name of the answer that is the bike itself.
const bikeAnswer = "bike"

// Identified is which fork it may be.
type Identified struct {
	Told          []Told          `json:"told"`
	Candidates    []Candidate     `json:"candidates"` // the likeliest first
	Total         int             `json:"total"`      // of candidates, shown or not
	MeasureNext   *MeasureNext    `json:"measure_next"`
	Contradiction *Contradiction  `json:"contradiction"`      // where nothing is left
	Note          fault.Message   `json:"note,omitzero"`      // why the bike says nothing, where it does not
	Meant         []MeantBike     `json:"meant"`              // bikes that may have been meant, where the one that was told is not known
	AddFork       string          `json:"add_fork,omitempty"` // the command that keeps what was told as a new fork
	Cautions      []fault.Message `json:"cautions"`

	query IdentifyQuery
}

// MeantBike is a bike that is spelled much like one that is not known.
type MeantBike struct {
	Make    string `json:"make"`
	Model   string `json:"model"`
	Command string `json:"command"` // that asks with it
}

// Told is an answer as it was understood.
type Told struct {
	Measurement string         `json:"measurement"`
	Value       fault.Message  `json:"value"`
	ValueUM     measure.Length `json:"value_um,omitzero"`
	Tolerance
}

// Tolerance is how far a measured value may be off, either way, and who says
// so; what is seen has none.
type Tolerance struct {
	ToleranceUM measure.Length `json:"tolerance_um,omitzero"`
	Source      fault.Message  `json:"tolerance_source,omitzero"`
}

func tolerance(q lineup.Question) Tolerance {
	if q.Tolerance == 0 {
		return Tolerance{}
	}
	return Tolerance{q.Tolerance, fault.Say("tolerance." + q.Name)}
}

// Candidate is a fork that it may be.
type Candidate struct {
	Fork          string         `json:"fork"`
	Layout        string         `json:"layout"`
	LegDiameter   string         `json:"leg_diameter"`
	LegDiameterUM measure.Length `json:"leg_diameter_um"`
	Models        []Model        `json:"models"`
	TellApart     fault.Message  `json:"tell_apart"` // from the other candidates that are shown
	Unknown       []string       `json:"unknown"`    // what was told, and is not known of it
}

// MeasureNext is what to look at or to measure next.
type MeasureNext struct {
	Measurement string        `json:"measurement"`
	How         fault.Message `json:"how"`
	Words       []string      `json:"words,omitempty"` // the answers to choose from
	Tolerance
	Candidates    int    `json:"candidates"`
	Expected      string `json:"expected"` // candidates that an answer leaves, on average
	ExpectedCenti int64  `json:"expected_centi"`
}

// Contradiction is the answer to look at again.
type Contradiction struct {
	Measurement string        `json:"measurement"`
	Value       fault.Message `json:"value"`
	Excludes    int           `json:"excludes"` // forks that it rules out by itself
	Of          int           `json:"of"`
	Without     []string      `json:"without"` // the likeliest forks that the other answers leave
	Left        int           `json:"left"`    // how many those leave in all
}

// Empty reports whether no fork is left.
func (i Identified) Empty() bool { return len(i.Candidates) == 0 }

// mostWithout is how many forks a contradiction names, and a refusal to keep one
// twice.
const mostWithout = 5

// Identify tells which fork it may be, and what to measure next. Error:
// Invalid.
func (s *Shop) Identify(ctx context.Context, q IdentifyQuery) (Identified, error) {
	var out Identified
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) (err error) {
		var left []lineup.Candidate
		if out, left, err = identify(ctx, tx, q); err != nil {
			return err
		}
		return out.show(ctx, tx, left[:min(len(left), q.Limit)])
	})
	return out, err
}

// identify gives all but the candidates to show, and the forks that are left.
func identify(ctx context.Context, tx *store.Tx, q IdentifyQuery) (out Identified, left []lineup.Candidate, err error) {
	out = Identified{Told: []Told{}, Candidates: []Candidate{}, Meant: []MeantBike{}, Cautions: []fault.Message{}, query: q}
	answers, err := q.answers()
	if err != nil {
		return out, nil, err
	}
	for _, a := range answers {
		out.Told = append(out.Told, told1(a))
	}
	forks, err := catalog.Lineup(ctx, tx)
	if err != nil {
		return out, nil, err
	}
	if answers, err = out.byBike(ctx, tx, q, forks, answers); err != nil {
		return out, nil, err
	}
	left = lineup.Narrow(forks, answers)
	out.Total = len(left)
	if len(left) == 0 && len(forks) > 0 {
		out.blame(lineup.Blamed(forks, answers), len(forks))
	}
	if next, ok := lineup.Next(left, catalog.Questions, answers, q.Skip...); ok {
		out.MeasureNext = measureNext(next)
	}
	out.caution()
	out.AddFork = q.command()
	return out, left, nil
}

// answers reads what was told, in the order of catalog.Questions. Error:
// Invalid.
func (q IdentifyQuery) answers() (all []lineup.Answer, err error) {
	for _, name := range slices.Concat(slices.Sorted(maps.Keys(q.Told)), q.Skip) {
		if _, ok := catalog.QuestionNamed(name); !ok {
			return nil, fault.New(fault.Invalid, "shop.no_question", clipped(name)).WithHint("shop.no_question.hint", questionNames())
		}
	}
	for _, question := range catalog.Questions {
		typed := tidied(q.Told[question.Name])
		if typed == "" {
			continue
		}
		if question.Words != nil {
			typed = wordFor(catalog.ChoiceOf(question.Name), typed, question.Words)
		}
		a, err := catalog.ReadAnswer(question, typed)
		if err != nil {
			e := *fault.Of(err)
			e.Message = fault.Say("shop.bad_answer", fault.Say("measure."+question.Name), e.Message)
			return nil, &e
		}
		all = append(all, a)
	}
	return all, nil
}

// questionNames lists what can be told.
func questionNames() string {
	var names []string
	for _, q := range catalog.Questions {
		names = append(names, q.Name)
	}
	return strings.Join(names, ", ")
}

// byBike adds what the bike says: the forks that are told of it may be the
// one, those of which other bikes are told are not. A bike that is not in the
// catalog says nothing.
func (out *Identified) byBike(ctx context.Context, tx *store.Tx, q IdentifyQuery, forks []lineup.Fork, answers []lineup.Answer) ([]lineup.Answer, error) {
	bike := catalog.BikeQuery{Make: q.Make, Model: q.Model, Variant: q.Variant, Code: q.Code, Frame: q.Frame, Year: q.Year}
	if bike == (catalog.BikeQuery{}) {
		return answers, nil
	}
	carry, err := carriers(ctx, tx, bike)
	switch fault.KindOf(err) {
	case "":
	case fault.NotFound:
		out.Note = fault.Say("shop.bike_says_nothing", fault.Of(err).Message)
		return answers, out.spelled(ctx, tx, q)
	default:
		return nil, err
	}
	elsewhere := map[string]bool{} // forks that other bikes carry
	all, err := catalog.Fitments(ctx, tx)
	if err != nil {
		return nil, err
	}
	for _, m := range all {
		elsewhere[m.Fork] = true
	}
	const yes, no = "yes", "no"
	for _, f := range forks {
		switch {
		case carry[f.ID]:
			f.Can[bikeAnswer] = []lineup.Value{{Word: yes}}
		case elsewhere[f.ID]:
			f.Can[bikeAnswer] = []lineup.Value{{Word: no}}
		}
	}
	a := lineup.Answer{Question: lineup.Question{Name: bikeAnswer}, Value: lineup.Value{Word: yes}}
	out.Told = append(out.Told, Told{Measurement: bikeAnswer, Value: fault.Plain(q.named())})
	return append(answers, a), nil
}

// spelled fills in the bikes that the one of q may be, mistyped.
func (out *Identified) spelled(ctx context.Context, tx *store.Tx, q IdentifyQuery) error {
	bikes, err := search.BikesLike(ctx, tx, search.Bike{Make: q.Make, Model: q.Model})
	for _, b := range bikes {
		q.Make, q.Model = b.Make, b.Model
		out.Meant = append(out.Meant, MeantBike{b.Make, b.Model, strings.TrimSuffix(q.command(), " --save NAME")})
	}
	return err
}

// carriers gives the forks of a bike, by id: the one that this very bike is
// remembered to carry goes before those of its model. Errors: NotFound,
// Invalid (half a bike).
func carriers(ctx context.Context, tx *store.Tx, q catalog.BikeQuery) (map[string]bool, error) {
	if swap, ok, err := catalog.SwapOf(ctx, tx, q.Frame); err != nil || ok {
		return map[string]bool{swap.Fork: true}, err
	}
	whole := q.Make != "" && q.Model != ""
	if (q.Make != "") != (q.Model != "") || !whole && q.Code == "" && q.Frame == "" {
		return nil, fault.New(fault.Invalid, "shop.half_bike").WithHint("shop.half_bike.hint")
	}
	hits, _, err := catalog.ForksOf(ctx, tx, q)
	carry := map[string]bool{}
	for _, m := range hits {
		carry[m.Fork] = true
	}
	return carry, err
}

// named gives the bike in one line.
func (q IdentifyQuery) named() string {
	year := ""
	if q.Year != 0 {
		year = strconv.Itoa(q.Year)
	}
	return tidied(strings.Join([]string{q.Make, q.Model, q.Variant, q.Code, year, q.Frame}, " "))
}

// told1 shows an answer.
func told1(a lineup.Answer) Told {
	t := Told{Measurement: a.Name, ValueUM: a.Length, Tolerance: tolerance(a.Question)}
	switch {
	case a.Words != nil:
		t.Value = fault.Say(catalog.ChoiceOf(a.Name) + "." + a.Word)
	case a.Word != "":
		t.Value = fault.Say("plain", sizes(measure.Size{}, "M"+a.Length.String()+"x"+a.Word))
	default:
		t.Value = fault.Say("catalog.mm", a.Length)
	}
	return t
}

func measureNext(s lineup.Split) *MeasureNext {
	centi := s.Expected()
	return &MeasureNext{
		Measurement: s.Name, How: fault.Say("measure." + s.Name + ".how"), Words: s.Words, Tolerance: tolerance(s.Question), Candidates: s.Of,
		Expected: fmt.Sprintf("%d.%d", (centi+5)/100, (centi+5)/10%10), ExpectedCenti: centi,
	}
}

func (out *Identified) blame(b lineup.Blame, of int) {
	c := &Contradiction{Measurement: b.Name, Excludes: b.Excludes, Of: of, Without: []string{}, Left: len(b.Without)}
	for _, t := range out.Told {
		if t.Measurement == b.Name {
			c.Value = t.Value
		}
	}
	for _, w := range b.Without[:min(len(b.Without), mostWithout)] {
		c.Without = append(c.Without, w.Name)
	}
	out.Contradiction = c
}

// caution says what to mind when measuring; the cap comes off only where the
// next measurement asks for it.
func (out *Identified) caution() {
	out.Cautions = append(out.Cautions, fault.Say("caution.stand"), fault.Say("caution.measure_cold"))
	if out.MeasureNext != nil && out.MeasureNext.Measurement == "cap_thread" {
		out.Cautions = append(out.Cautions, fault.Say("caution.air"), fault.Say("caution.clamp"), fault.Say("caution.spring"))
	}
	out.Cautions = append(out.Cautions, fault.Say("caution.measure_manual"))
}

// onBike are the features by which forks are told apart on the bike.
var onBike = []string{
	"caps", "cap_shape", "drain_screw", "protector", "gaiter", "cap_flats", "axle", "wiper", "centres", "cap_thread",
}

// show fills in the candidates.
func (out *Identified) show(ctx context.Context, tx *store.Tx, left []lineup.Candidate) error {
	var forks []catalog.Fork
	for _, c := range left {
		f, _, err := catalog.ForkByID(ctx, tx, c.ID)
		if err != nil {
			return err
		}
		forks = append(forks, f)
	}
	apart, err := tellApart(ctx, tx, forks, onBike)
	if err != nil {
		return err
	}
	for i, f := range forks {
		fitments, err := catalog.FitmentsOfFork(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		switch {
		case f.Note != "" && apart[i].IsZero():
			apart[i] = fault.Plain(f.Note)
		case f.Note != "":
			apart[i] = fault.Say("shop.tell_apart", f.Note, apart[i])
		}
		out.Candidates = append(out.Candidates, Candidate{
			Fork: f.Name, Layout: f.Layout, LegDiameter: f.Leg.String(), LegDiameterUM: f.Leg, Models: models(fitments),
			TellApart: apart[i], Unknown: append([]string{}, left[i].Unknown...),
		})
	}
	return nil
}

// command gives the command that keeps what was told as a new fork.
func (q IdentifyQuery) command() string {
	line := "forkstock identify"
	some := false
	add := func(flag, value string) {
		if value = tidied(value); value != "" {
			line, some = line+" --"+flag+" "+words.ShellWord(value), true
		}
	}
	for _, question := range catalog.Questions {
		add(strings.ReplaceAll(question.Name, "_", "-"), q.Told[question.Name])
	}
	year := ""
	if q.Year != 0 {
		year = strconv.Itoa(q.Year)
	}
	for _, b := range [][2]string{{"make", q.Make}, {"model", q.Model}, {"variant", q.Variant}, {"code", q.Code}, {"year", year}, {"frame", q.Frame}} {
		add(b[0], b[1])
	}
	if !some {
		return ""
	}
	return line + " --save NAME"
}

// NewFork gives what was told as facts of a new fork: what is typed besides
// goes before. The name is still to be told, and what damps it.
func (q IdentifyQuery) NewFork() ForkFacts {
	told := func(name string) string { return tidied(q.Told[name]) }
	f := ForkFacts{
		Leg: or(told("leg_micrometer"), told("leg")), Layout: told("layout"), How: "bench",
		Looks: LookFacts{
			CapShape: told("cap_shape"), CapFlats: told("cap_flats"), CapThread: told("cap_thread"), Axle: told("axle"),
			Centres: told("centres"), LeftCap: told("left_cap"), RightCap: told("right_cap"),
		},
		Wiper: told("wiper"), DrainScrew: told("drain_screw"),
	}
	if q.Make != "" || q.Model != "" || q.Code != "" || q.Frame != "" || q.Year != 0 || q.Variant != "" {
		f.Bike = Bike{Make: q.Make, Model: q.Model, Variant: q.Variant, Code: q.Code, Frames: q.Frame}
		if q.Year != 0 {
			f.Bike.Years = strconv.Itoa(q.Year)
		}
	}
	return f
}

// AddIdentified keeps what was told as a new fork. Errors: as AddFork; Conflict
// where a fork that agrees in all that was told is known, unless another is
// said to be meant.
func (s *Shop) AddIdentified(ctx context.Context, name string, q IdentifyQuery, f ForkFacts, another bool) (Fork, error) {
	var out Fork
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		found, left, err := identify(ctx, tx, q)
		if err != nil {
			return err
		}
		known := slices.DeleteFunc(left, func(c lineup.Candidate) bool { return len(c.Unknown) > 0 })
		if len(known) > 0 && !another {
			if err := found.show(ctx, tx, known[:min(len(known), mostWithout)]); err != nil {
				return err
			}
			e := fault.New(fault.Conflict, "shop.fork_fits", len(known)).WithHint("shop.fork_fits.hint")
			for _, c := range found.Candidates {
				e.Candidates = append(e.Candidates, fault.Candidate{Name: c.Fork, Tell: c.TellApart, Command: "forkstock fork " + words.ShellWord(c.Fork)})
			}
			return e
		}
		out, err = s.addFork(ctx, tx, who, name, f)
		return err
	})
	return out, err
}
