package catalog

import (
	"regexp"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Traits tell apart bolts and bushings of one size. An empty one is not known.
type Traits struct {
	Head     measure.Length // height of a bolt's head
	Seat     string         // of Seats: what a bolt's head sits on
	Strength string         // class of a bolt: "8.8", "12.9", "A2-70"
	Coated   string         // of Coatings: the sliding face of a bushing
}

// The words for a seat and for a coated face, as the contract has them.
var (
	Seats    = []string{"flat", "flanged", "countersunk", "sealed"}
	Coatings = []string{"inside", "outside", "both"}
)

// Bolt reports whether parts of r have a thread and a head.
func (r Role) Bolt() bool { return r == BottomBolt || r == DrainScrew }

// Bushing reports whether parts of r are bushings.
func (r Role) Bushing() bool { return r == TubeBushing || r == LowerBushing }

// check refuses what no part of the role can have.
func (t Traits) check(role Role) error {
	err := firstError(checkWord("seat", t.Seat, Seats), checkWord("coated", t.Coated, Coatings), checkStrength(t.Strength))
	switch {
	case err != nil:
		return err
	case t.Head < 0 || t.Head > tallestHead:
		return fault.New(fault.Invalid, "catalog.bad_head", t.Head, tallestHead)
	case !role.Bolt() && (t.Head != 0 || t.Seat != "" || t.Strength != ""):
		return fault.New(fault.Invalid, "catalog.no_bolt", fault.Say("role."+string(role))).WithHint("catalog.no_bolt.hint")
	case !role.Bushing() && t.Coated != "":
		return fault.New(fault.Invalid, "catalog.no_bushing", fault.Say("role."+string(role))).WithHint("catalog.no_bushing.hint")
	}
	return nil
}

// tallestHead is the most that a bolt's head can be high: that of a bolt of M48.
const tallestHead = 50 * measure.Millimetre

// checkWord is checkChoice for a word that may be left out.
func checkWord(kind, word string, of []string) error {
	if word == "" {
		return nil
	}
	return checkChoice(kind, word, of)
}

// steelClasses are the property classes of steel bolts, the weakest first: ISO
// 898-1, from memory.
var steelClasses = []string{"4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9"}

// stainless is a class of a stainless bolt: ISO 3506-1, from memory.
var stainless = regexp.MustCompile(`^[ACF]\d-\d{2,3}$`)

// Strength gives a strength class as it is kept: "10.9" for "10,9", "A2-70"
// for "a2-70".
func Strength(text string) string {
	return strings.ToUpper(strings.ReplaceAll(strings.Join(strings.Fields(text), ""), ",", "."))
}

func checkStrength(class string) error {
	if class == "" || slices.Contains(steelClasses, class) || stainless.MatchString(class) {
		return nil
	}
	return fault.New(fault.Invalid, "catalog.bad_strength", short(class)).
		WithHint("catalog.bad_strength.hint", strings.Join(steelClasses, " "))
}
