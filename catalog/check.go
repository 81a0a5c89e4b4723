package catalog

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Limits of what the catalog takes; more is a slip of the finger, or a code
// scanned into the wrong field.
const (
	mostName    = 60  // characters of a name or number
	mostText    = 500 // characters of any other text
	mostPerLeg  = 10_000
	mostAmount  = 1_000_000
	mostPrice   = 1_000_000_000 // minor units
	mostDays    = 365
	thinnestLeg = 10 * measure.Millimetre
	thickestLeg = 100 * measure.Millimetre
	firstYear   = 1900
	lastYear    = 2200
)

// The words that a fork and its places are told with, as the contract has them.
var (
	Layouts    = []string{"conventional", "upside-down"}
	Dampings   = []string{"damper_rod", "open_cartridge", "closed_cartridge", "none"}
	Springings = []string{"coil", "coil_with_air", "air", "none"}
	Sides      = []string{"both", "left", "right"}
	Renewals   = []string{"always", "opened", "judge", "damage"}
	Fitteds    = []string{"yes", "no", "unknown"}
)

// field is a text of a user, with the message "field." + what for its name.
type field struct {
	what, text string
	most       int
}

// checkTexts refuses what is too long, or cannot be shown on one line.
func checkTexts(fields ...field) error {
	for _, f := range fields {
		name := fault.Say("field." + f.what)
		for _, r := range f.text {
			if !unicode.IsGraphic(r) || r == utf8.RuneError {
				return fault.New(fault.Invalid, "catalog.unprintable", name).WithHint("catalog.unprintable.hint")
			}
		}
		if n := utf8.RuneCountInString(f.text); n > f.most {
			return fault.New(fault.Invalid, "catalog.too_long", name, n, f.most)
		}
	}
	return nil
}

// checkChoice refuses a word that is not one of those; kind is where the
// messages of the words begin.
func checkChoice(kind, word string, of []string) error {
	if slices.Contains(of, word) {
		return nil
	}
	e := fault.New(fault.Invalid, "catalog.bad_choice", short(word), fault.Say("field."+kind)).WithHint("catalog.bad_choice.hint")
	for _, c := range of {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: c, Tell: fault.Say(kind + "." + c)})
	}
	return e
}

// BadRole is the error for a text that names no role: it lists those that it
// may have meant, all where none is given.
func BadRole(text string, meant ...Role) *fault.Error {
	e := fault.New(fault.Invalid, "catalog.bad_role", short(text)).WithHint("catalog.bad_role.hint")
	if len(meant) == 0 {
		meant = Roles
	}
	for _, r := range meant {
		e.Candidates = append(e.Candidates, fault.Candidate{Name: string(r), Tell: fault.Say("role." + string(r))})
	}
	return e
}

// short keeps what was typed by mistake from filling the screen.
func short(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

func checkRange(what string, n, least, most int64) error {
	if n < least || n > most {
		return fault.New(fault.Invalid, "catalog.out_of_range", fault.Say("field."+what), n, least, most)
	}
	return nil
}

func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

func (p Part) check() error {
	switch {
	case Normal(p.Number) == "":
		return fault.New(fault.Invalid, "catalog.no_number", short(p.Number)).WithHint("catalog.name.hint")
	case Normal(p.Maker) == "":
		return fault.New(fault.Invalid, "catalog.no_maker", short(p.Number)).WithHint("catalog.name.hint")
	case !slices.Contains(Roles, p.Role):
		return BadRole(string(p.Role))
	case p.Unit != Piece && p.Unit != Millilitre:
		return fault.New(fault.Invalid, "catalog.bad_unit", short(p.Unit))
	case p.Role == Oil && p.Unit != Millilitre:
		return fault.New(fault.Invalid, "catalog.oil_unit").WithHint("catalog.oil_unit.hint")
	}
	return firstError(
		checkTexts(
			field{"number", p.Number, mostName}, field{"maker", p.Maker, mostName}, field{"description", p.Description, mostText},
			field{"thread", p.Thread, mostName}, field{"material", p.Material, mostName},
			field{"elastomer", p.Elastomer, mostName}, field{"source", p.Source, mostText},
		),
		checkRange("minimum", p.Minimum, 0, mostAmount),
		p.Size.Check(), p.Traits.check(p.Role), checkTexts(field{"entered", p.Entered, mostText}),
	)
}

func (f Fork) check() error {
	switch {
	case Normal(f.Name) == "":
		return fault.New(fault.Invalid, "catalog.bad_fork", short(f.Name))
	case f.Leg < thinnestLeg || f.Leg > thickestLeg:
		return fault.New(fault.Invalid, "catalog.bad_leg", f.Leg, thinnestLeg, thickestLeg)
	}
	err := firstError(
		checkTexts(field{"fork", f.Name, mostName}, field{"note", f.Note, mostText}, field{"source", f.Source, mostText}),
		checkChoice("layout", f.Layout, Layouts), f.Looks.check(),
	)
	for _, l := range f.Legs {
		err = firstError(err, l.check())
	}
	return err
}

func (p Position) check() error {
	switch {
	case !slices.Contains(Roles, p.Role):
		return BadRole(string(p.Role))
	case p.Role == Kit || p.Role == "tool":
		return fault.New(fault.Invalid, "catalog.no_place", fault.Say("role."+string(p.Role))).WithHint("catalog.no_place.hint")
	}
	return firstError(
		checkChoice("leg", p.Leg, Sides), checkChoice("renew", p.Renew, Renewals), checkChoice("fitted", p.Fitted, Fitteds),
		checkRange("per_leg", p.PerLeg, 1, mostPerLeg),
		checkTexts(field{"thread", p.Thread, mostName}, field{"note", p.Note, mostText}, field{"entered", p.Entered, mostText}),
		p.Size.Check(), p.Traits.check(p.Role),
	)
}

func (s Supplier) check() error {
	if Normal(s.Name) == "" {
		return fault.New(fault.Invalid, "catalog.bad_supplier", short(s.Name))
	}
	return firstError(
		checkTexts(field{"supplier", s.Name, mostName}),
		checkRange("days", int64(s.LeadDays), 0, mostDays),
		checkRange("discount", s.Discount, 0, 100_00),
	)
}

func (i Item) check() error {
	if Normal(i.Number) == "" {
		return fault.New(fault.Invalid, "catalog.bad_item", short(i.Number))
	}
	return firstError(
		checkTexts(
			field{"number", i.Number, mostName}, field{"description", strings.ReplaceAll(i.Description, "\n", " "), mostText},
			field{"maker", i.Maker, mostName}, field{"number", i.MakerNumber, mostName}, field{"note", strings.ReplaceAll(i.Note, "\n", " "), mostText},
		),
		checkRange("pack", i.Pack, 1, mostAmount),
		checkRange("price", i.PackPriceMinor, 0, mostPrice),
	)
}
