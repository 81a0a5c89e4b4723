package web

import (
	"net/http"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// fitPage asks for the sizes of a measured part, those of its role alone, and
// shows what fits below.
type fitPage struct {
	Role    catalog.Role
	Roles   []catalog.Role // to choose from
	Printed []fitField     // taken from a part or from a list
	InFork  []fitField     // measured in the fork
	Worn    bool
	Asked   bool
	Found   shop.Fitting
	Refused *fault.Error
}

// fitField is a size to type, or a word to choose.
type fitField struct {
	Name, Value string
	Label       string   // "size." and this is the id of its name
	Text        bool     // letters are typed, too
	Of          []string // the words to choose from
	Word        string   // where their messages begin
}

func (s *site) fit(w http.ResponseWriter, r *http.Request) error {
	q, err := fitQuery(r)
	if err != nil {
		return err
	}
	page := fitPage{Role: catalog.Role(q.Role), Worn: q.Worn}
	for _, role := range catalog.Roles {
		if role.Sizes() != nil {
			page.Roles = append(page.Roles, role)
		}
	}
	for _, name := range page.Role.Sizes() {
		f := fitFieldOf(page.Role, name, strings.TrimSpace(r.FormValue(name)))
		page.Asked = page.Asked || r.Form.Has(name) // sent empty, it is told what to fill in
		if name == "tube" || name == "bore" || name == "groove" {
			page.InFork = append(page.InFork, f)
		} else {
			page.Printed = append(page.Printed, f)
		}
	}
	status := http.StatusOK
	if page.Asked {
		page.Found, err = s.shop.Fit(r.Context(), q)
		switch fault.KindOf(err) {
		case "":
		case fault.Invalid: // what was typed stays at hand
			page.Refused, status = s.forPages(fault.Of(err)), statuses[fault.Invalid]
		default:
			return err
		}
	}
	return s.show(w, r, status, "fit", s.printer.Say("web.fit"), page)
}

func fitFieldOf(role catalog.Role, name, value string) fitField {
	f := fitField{Name: name, Value: value, Label: name}
	switch {
	case name == "height" && role.Bolt() || name == "height" && role.Bushing():
		f.Label = "length"
	case name == "height" && (role == catalog.CapORing || role == "base_valve_oring"):
		f.Label = "section"
	case name == "bore" && role == catalog.Clip:
		f.Label = "clip_groove"
	case name == "seat":
		f.Of, f.Word = catalog.Seats, "seat"
	case name == "coated":
		f.Of, f.Word = catalog.Coatings, "coated"
	}
	f.Text = name == "thread" || name == "strength"
	return f
}

func (s *site) fitJSON(r *http.Request) (any, error) {
	q, err := fitQuery(r)
	if err != nil {
		return nil, err
	}
	return pointer(s.shop.Fit(r.Context(), q))
}

func fitQuery(r *http.Request) (shop.FitQuery, error) {
	most, err := limit(r)
	field := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	return shop.FitQuery{
		Role: field("role"), Inner: field("inner"), Outer: field("outer"), Height: field("height"), Overall: field("overall"),
		Tube: field("tube"), Bore: field("bore"), Groove: field("groove"), Wall: field("wall"), Coated: field("coated"),
		Thread: field("thread"), Length: field("length"), Head: field("head"), Seat: field("seat"), Strength: field("strength"),
		Worn: field("worn") != "", Limit: most,
	}, err
}
