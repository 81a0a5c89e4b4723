package shop

import (
	"context"
	"slices"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Model is some bikes that carry a fork.
type Model struct {
	Make    string `json:"make"`
	Model   string `json:"model"`
	Variant string `json:"variant,omitempty"`
	Code    string `json:"code,omitempty"`
	Years   string `json:"years"` // empty where they are told by frame numbers alone
	Frames  string `json:"frames,omitempty"`
}

func model(m catalog.Fitment) Model {
	return Model{m.Make, m.Model, m.Variant, m.Code, m.Years(), m.Frames.String()}
}

func models(fitments []catalog.Fitment) []Model {
	out := []Model{}
	for _, m := range fitments {
		out = append(out, model(m))
	}
	return out
}

// Name gives all that tells the bikes from others.
func (m Model) Name() string {
	name := m.Make
	for _, s := range []string{m.Model, m.Variant, m.Code, m.Years, m.Frames} {
		if s != "" {
			name += " " + s
		}
	}
	return name
}

// Neighbour is another fork on bikes of the same model: in the years before or
// after, or in the same ones.
type Neighbour struct {
	Fork string `json:"fork"`
	Model
	Tell fault.Message `json:"tell"`
}

// addNeighbours tells which bikes of the models that led to the fork (or else
// of all that carry it) carry another. A bike that was swapped has none.
func (out *Fork) addNeighbours(ctx context.Context, tx *store.Tx, c choice, fitments []catalog.Fitment) error {
	if c.swap != nil {
		return nil
	}
	if c.bikes != nil {
		fitments = c.bikes
	}
	seen := map[string]bool{}
	for _, m := range fitments {
		all, err := catalog.FitmentsOfModel(ctx, tx, m.Make, m.Model)
		if err != nil {
			return err
		}
		for _, n := range beside(m, all, c.fork.ID) {
			if seen[n.ID] {
				continue
			}
			seen[n.ID] = true
			other, _, err := catalog.ForkByID(ctx, tx, n.Fork)
			if err != nil {
				return err
			}
			out.Neighbours = append(out.Neighbours, Neighbour{other.Name, model(n), tellNeighbour(m, n, other.Name)})
		}
	}
	return nil
}

// beside gives of all bikes of a model those with another fork that come
// nearest before and after m, and those of the same years.
func beside(m catalog.Fitment, all []catalog.Fitment, fork string) (out []catalog.Fitment) {
	others := slices.DeleteFunc(slices.Clone(all), func(n catalog.Fitment) bool { return n.Fork == fork })
	last, first := 0, 0 // last year before m, first year after it
	for _, n := range others {
		if before(n, m) {
			last = max(last, n.YearTo)
		}
		if before(m, n) && (first == 0 || n.YearFrom < first) {
			first = n.YearFrom
		}
	}
	for _, n := range others {
		switch {
		case before(n, m) && n.YearTo < last, before(m, n) && n.YearFrom > first:
			continue
		}
		out = append(out, n)
	}
	return out
}

// before reports whether the years of a are over when those of b begin.
func before(a, b catalog.Fitment) bool { return a.YearTo != 0 && a.YearTo < b.YearFrom }

func tellNeighbour(m, n catalog.Fitment, fork string) fault.Message {
	switch {
	case before(n, m):
		return fault.Say("shop.neighbour_earlier", n.Bike(), strconv.Itoa(n.YearTo), fork)
	case before(m, n):
		return fault.Say("shop.neighbour_later", n.Bike(), strconv.Itoa(n.YearFrom), fork)
	}
	return fault.Say("shop.neighbour_same", n.Name(), fork)
}
