package shop

import (
	"regexp"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Traits tell apart bolts and bushings of one size; what is not known is left
// out.
type Traits struct {
	Head     measure.Length `json:"head_um,omitzero"`   // height of a bolt's head
	Seat     string         `json:"seat,omitempty"`     // of catalog.Seats
	Strength string         `json:"strength,omitempty"` // class of a bolt
	Coated   string         `json:"coated,omitempty"`   // of catalog.Coatings
}

// Said gives the traits that are known, as they stand on screens.
func (t Traits) Said() (all []fault.Message) {
	if t.Head != 0 {
		all = append(all, fault.Say("shop.head", t.Head))
	}
	if t.Seat != "" {
		all = append(all, fault.Say("seat."+t.Seat))
	}
	if t.Strength != "" {
		all = append(all, fault.Say("shop.strength", t.Strength))
	}
	if t.Coated != "" {
		all = append(all, fault.Say("coated."+t.Coated))
	}
	return all
}

// TraitFacts are the traits as they were typed; nil leaves one as it is, an
// empty text takes it back.
type TraitFacts struct {
	Head     *string // as measure.ParseLength reads it
	Seat     *string // of catalog.Seats
	Strength *string // "8.8", "A2-70"
	Coated   *string // of catalog.Coatings
}

// tell sets the traits that were told.
func (f TraitFacts) tell(t *catalog.Traits) (err error) {
	if f.Head != nil {
		if t.Head, err = readLength(*f.Head); err != nil {
			return err
		}
	}
	setWord(&t.Seat, f.Seat, "seat", catalog.Seats)
	setWord(&t.Coated, f.Coated, "coated", catalog.Coatings)
	if f.Strength != nil {
		t.Strength = catalog.Strength(*f.Strength)
	}
	return nil
}

// readLength reads a length; an empty text is 0.
func readLength(text string) (measure.Length, error) {
	if trimmed(text) == "" {
		return 0, nil
	}
	return measure.ParseLength(text)
}

// inches finds an inch mark behind a number, or the number of an O-ring.
var inches = regexp.MustCompile(`(?i)\d ?(?:"|″|''|in\b|inch|zoll)|^(?:as ?568|-\d{3}$)`)

// entered gives the texts to keep beside a size: those in inches, of what was
// kept before and of what was typed now, that say what the size says.
func (f SizeFacts) entered(role catalog.Role, size measure.Size, before string) string {
	told := strings.Split(before, "; ")
	if f.Size != nil {
		told = nil
	}
	var keep []string
	for _, text := range append(told, text(f.Size), text(f.Length)) {
		if inches.MatchString(text) && says(role, text, size) && !slices.Contains(keep, text) {
			keep = append(keep, text)
		}
	}
	return strings.Join(keep, "; ")
}

// says reports whether a text, read as a size or a length, agrees with size.
func says(role catalog.Role, text string, size measure.Size) bool {
	if long, err := measure.ParseLength(text); err == nil {
		return long == size.Height
	}
	s, err := readSize(role, text)
	same := func(a, b measure.Length) bool { return a == 0 || a == b }
	return err == nil && same(s.Inner, size.Inner) && same(s.Outer, size.Outer) && same(s.Height, size.Height) && same(s.Overall, size.Overall)
}
