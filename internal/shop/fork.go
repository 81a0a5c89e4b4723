package shop

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Fork is what both legs of a fork need, and what of it is on hand.
type Fork struct {
	Fork          string          `json:"fork"`
	Layout        string          `json:"layout"`
	LegDiameter   string          `json:"leg_diameter"`
	LegDiameterUM measure.Length  `json:"leg_diameter_um"`
	Note          string          `json:"note,omitempty"`
	Source        string          `json:"source,omitempty"`
	Models        []Model         `json:"models"`
	Legs          []Leg           `json:"legs"`
	Positions     []Position      `json:"positions"`
	Oil           []Oil           `json:"oil"`
	Cautions      []fault.Message `json:"cautions"`
	Missing       int             `json:"missing"` // positions that lack pieces
	Kits          []KitFor        `json:"kits"`    // that would serve
	Sources       []Source        `json:"sources,omitempty"`
}

// Model is a bike that carries a fork.
type Model struct {
	Make  string `json:"make"`
	Model string `json:"model"`
	Years string `json:"years"`
}

// Leg is what one leg holds.
type Leg struct {
	Leg       string `json:"leg"`
	Damping   string `json:"damping"`
	Springing string `json:"springing"`
}

// Position is a place in a leg with the parts for it.
type Position struct {
	Role   catalog.Role `json:"role"`
	Leg    string       `json:"leg"`
	PerLeg int64        `json:"per_leg"`
	PerJob int64        `json:"per_job"`
	Renew  string       `json:"renew"`
	Sizes
	Traits
	Fitted  string        `json:"fitted"`
	Note    string        `json:"note,omitempty"`
	Parts   []Fit         `json:"parts"`
	Unit    string        `json:"unit"`
	OnHand  int64         `json:"on_hand"`
	Why     fault.Message `json:"why,omitzero"` // where the size is known from
	Missing int64         `json:"missing"`      // of PerJob, of the one part that most is there of, where the place is fitted for sure
}

// Fit is a part for a place, with the verdict.
type Fit struct {
	Part
	Verdict catalog.Verdict `json:"verdict"` // fits or near
	Reasons []fault.Message `json:"reasons"`
}

// Oil is how much oil a leg takes.
type Oil struct {
	Model    string         `json:"model,omitempty"` // where it holds for one bike only
	Leg      string         `json:"leg"`
	Chamber  string         `json:"chamber"`
	DryML    int64          `json:"dry_ml,omitempty"`
	RefillML int64          `json:"refill_ml,omitempty"`
	GapUM    measure.Length `json:"air_gap_um,omitempty"`
	GapHow   string         `json:"air_gap_how,omitempty"`
	Grade    string         `json:"grade,omitempty"`
	Source   string         `json:"source,omitempty"`
}

// ForkQuery names a fork: by its name, or by a bike that carries it.
type ForkQuery struct {
	Name        string
	Make, Model string
	Year        int // 0: any
}

// Fork gives what both legs of a fork need. Errors: Invalid, NotFound,
// Ambiguous with the forks that one model-year can have.
func (s *Shop) Fork(ctx context.Context, q ForkQuery) (Fork, error) {
	var out Fork
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		f, bike, err := chooseFork(ctx, tx, q)
		if err != nil {
			return err
		}
		if out, err = forkOn(ctx, tx, f, bike); err != nil {
			return err
		}
		claims, err := catalog.ClaimsOfFork(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		out.Sources, err = s.sources(ctx, tx, claims)
		return err
	})
	return out, err
}

// chooseFork finds the fork, and the fitment by which a bike led to it.
func chooseFork(ctx context.Context, tx *store.Tx, q ForkQuery) (f catalog.Fork, bike string, err error) {
	if q.Name != "" {
		if q.Make != "" || q.Model != "" || q.Year != 0 {
			return f, "", fault.New(fault.Invalid, "shop.fork_twice_named").WithHint("shop.fork_unnamed.hint")
		}
		f, err = catalog.ForkNamed(ctx, tx, q.Name)
		return f, "", err
	}
	if q.Make == "" || q.Model == "" {
		return f, "", fault.New(fault.Invalid, "shop.fork_unnamed").WithHint("shop.fork_unnamed.hint")
	}
	fitments, err := catalog.ForksOf(ctx, tx, q.Make, q.Model, q.Year)
	if err != nil {
		return f, "", err
	}
	what := fitments[0].Make + " " + fitments[0].Model
	if q.Year != 0 {
		what += " " + strconv.Itoa(q.Year)
	}
	e := fault.New(fault.Ambiguous, "shop.forks_possible", what).WithHint("shop.forks_possible.hint")
	var first catalog.Fork
	for _, m := range fitments {
		f, _, err := catalog.ForkByID(ctx, tx, m.Fork)
		if err != nil {
			return f, "", err
		}
		if first.ID == "" {
			first = f
		}
		tell := fault.Say("shop.tell_fork", f.Leg, fault.Say("layout."+f.Layout), m.Years(), f.Note)
		command := "forkstock fork " + words.ShellWord(f.Name)
		e.Candidates = append(e.Candidates, fault.Candidate{Name: f.Name, Tell: tell, Command: command})
	}
	if same(fitments) {
		return first, fitments[0].ID, nil
	}
	return catalog.Fork{}, "", e
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

func forkView(ctx context.Context, tx *store.Tx, f catalog.Fork) (Fork, error) {
	return forkOn(ctx, tx, f, "")
}

// forkOn shows a fork on a bike (id of its fitment), whose own oil quantity
// goes before the fork's.
func forkOn(ctx context.Context, tx *store.Tx, f catalog.Fork, bike string) (Fork, error) {
	out := Fork{
		Fork: f.Name, Layout: f.Layout, LegDiameter: f.Leg.String(), LegDiameterUM: f.Leg, Note: f.Note, Source: f.Source,
		Models: []Model{}, Legs: []Leg{}, Positions: []Position{}, Oil: []Oil{}, Cautions: cautions(f),
	}
	for _, l := range f.Legs {
		out.Legs = append(out.Legs, Leg(l))
	}
	fitments, err := catalog.FitmentsOfFork(ctx, tx, f.ID)
	if err != nil {
		return out, err
	}
	bikes := map[string]string{}
	for _, m := range fitments {
		out.Models = append(out.Models, Model{m.Make, m.Model, m.Years()})
		bikes[m.ID] = m.Make + " " + m.Model + " " + m.Years()
	}
	fills, err := catalog.OilFills(ctx, tx, f.ID)
	if err != nil {
		return out, err
	}
	var perLeg int64 // of the bike that was asked for, where it takes another quantity
	for _, o := range fills {
		if bike != "" && o.Fitment == bike && o.Chamber == "leg" {
			perLeg = o.DryML
		}
		out.Oil = append(out.Oil, Oil{bikes[o.Fitment], o.Leg, o.Chamber, o.DryML, o.RefillML, o.Gap, o.GapHow, o.Grade, o.Source})
	}
	return out, out.needs(ctx, tx, f.ID, perLeg)
}

// needs fills in the positions. Both legs get one kind of part, and oils are
// not mixed: what is missing is missing of the part that most is there of.
// Pieces that one place takes are not there for the next. oil, where not 0, is
// the oil of a leg instead of the fork's own.
func (out *Fork) needs(ctx context.Context, tx *store.Tx, fork string, oil int64) error {
	positions, err := catalog.Positions(ctx, tx, fork)
	if err != nil {
		return err
	}
	if out.Kits, err = kitsFor(ctx, tx, positions); err != nil {
		return err
	}
	taken := map[string]int64{}
	for _, p := range positions {
		if p.Role == catalog.Oil && oil != 0 {
			p.PerLeg = oil
		}
		v := Position{
			Role: p.Role, Leg: p.Leg, PerLeg: p.PerLeg, PerJob: p.PerJob(), Renew: p.Renew, Sizes: sizes(p.Size, p.Thread).as(p.Entered),
			Traits: Traits(p.Traits), Fitted: p.Fitted, Note: p.Note, Parts: []Fit{}, Unit: catalog.Piece,
		}
		if p.Role == catalog.Oil {
			v.Unit = catalog.Millilitre
		}
		said, err := catalog.StandingOn(ctx, tx, catalog.AboutPlace, p.ID, "size")
		if err != nil {
			return err
		}
		v.Why = said.Line()
		matches, err := catalog.PartsFor(ctx, tx, p)
		if err != nil {
			return err
		}
		var most int64
		kind := "" // of which most is there
		for _, m := range matches {
			part, err := view(ctx, tx, m.Part, m.Said)
			if err != nil {
				return err
			}
			v.Parts = append(v.Parts, Fit{part, m.Verdict, m.Why})
			if m.Verdict != catalog.Fits {
				continue
			}
			v.OnHand += part.OnHand
			if n := min(v.PerJob, part.Available-taken[m.Part.ID]); kind == "" || n > most {
				kind, most = m.Part.ID, n
			}
		}
		if p.Fitted == "yes" {
			taken[kind] += most
			v.Missing = v.PerJob - most
		}
		if v.Missing > 0 {
			out.Missing++
		}
		slices.SortStableFunc(v.Parts, func(a, b Fit) int { // what fits first, of that what is there
			return cmp.Or(strings.Compare(string(a.Verdict), string(b.Verdict)), cmp.Compare(b.Available, a.Available))
		})
		out.Positions = append(out.Positions, v)
	}
	return nil
}
