package shop

import (
	"cmp"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/search"
)

// Only narrows a search down, as typed. The zero value of a field narrows
// nothing.
type Only struct {
	Role    string // id, or a word for it in either language
	Leg     string // diameter
	Maker   string
	InStock bool
}

// read reads what was typed. Errors: Invalid, Ambiguous.
func (s *Shop) only(o Only) (search.Only, error) {
	out := search.Only{Maker: o.Maker, InStock: o.InStock}
	var err error
	if o.Role != "" {
		if out.Role, err = s.role(o.Role); err != nil {
			return out, err
		}
	}
	if o.Leg != "" {
		out.Leg, err = measure.ParseLength(o.Leg)
	}
	return out, err
}

// Narrow is what an answer can be narrowed down to, with how many of its parts
// remain; the most first.
type Narrow struct {
	Roles  []RoleCount  `json:"roles"`
	Legs   []LegCount   `json:"legs"` // of seals and wipers
	Makers []MakerCount `json:"makers"`
}

// None reports whether there is nothing to narrow down to.
func (n Narrow) None() bool { return len(n.Roles)+len(n.Legs)+len(n.Makers) == 0 }

// RoleCount, LegCount and MakerCount are parts of one kind, for one diameter
// and of one maker.
type (
	RoleCount struct {
		Role  catalog.Role `json:"role"`
		Parts int          `json:"parts"`
	}
	LegCount struct {
		LegDiameter   string         `json:"leg_diameter"`
		LegDiameterUM measure.Length `json:"leg_diameter_um"`
		Parts         int            `json:"parts"`
	}
	MakerCount struct {
		Maker string `json:"maker"`
		Parts int    `json:"parts"`
	}
)

func narrow(t search.Tally) Narrow {
	n := Narrow{Roles: []RoleCount{}, Legs: []LegCount{}, Makers: []MakerCount{}}
	for _, c := range t.Roles {
		n.Roles = append(n.Roles, RoleCount{c.Of, c.Parts})
	}
	for _, c := range t.Legs {
		n.Legs = append(n.Legs, LegCount{c.Of.String(), c.Of, c.Parts})
	}
	slices.SortFunc(n.Legs, func(a, b LegCount) int { return cmp.Compare(a.LegDiameterUM, b.LegDiameterUM) })
	for _, c := range t.Makers {
		n.Makers = append(n.Makers, MakerCount{c.Of, c.Parts})
	}
	return n
}
