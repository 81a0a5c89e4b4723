package web

import (
	"net/http"
	"net/url"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// newFork is the form that adds a fork, with the bike that carries it where
// one is told.
type newFork struct {
	Values                        url.Values // what was typed
	Layouts, Dampings, Springings []string
	Seen                          []questionField // of what is seen and measured, beside layout and leg
	Refused                       *fault.Error
}

func (s *site) newForkForm(w http.ResponseWriter, r *http.Request) error {
	return s.showNewFork(w, r, http.StatusOK, newFork{Values: r.URL.Query()})
}

func (s *site) showNewFork(w http.ResponseWriter, r *http.Request, status int, page newFork) error {
	page.Layouts, page.Dampings, page.Springings = catalog.Layouts, catalog.Dampings, catalog.Springings
	for _, q := range catalog.Questions {
		if q.Name != "layout" && q.Name != "leg" && q.Name != "leg_micrometer" {
			page.Seen = append(page.Seen, fieldOf(q, page.Values))
		}
	}
	return s.show(w, r, status, "newfork", s.printer.Say("web.new_fork"), page)
}

// addFork adds a fork, and leads to it. A form that is refused comes back with
// what stood in it.
func (s *site) addFork(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	fork, err := s.shop.AddFork(r.Context(), field("name"), shop.ForkFacts{
		Leg: field("leg"), Layout: field("layout"), Damping: sides(field("damping"), field("right_damping")),
		Springing: sides(field("springing"), field("right_springing")), Note: field("note"), Source: field("source"), How: field("how"),
		Bike: shop.Bike{Make: field("make"), Model: field("model"), Variant: field("variant"), Code: field("code"), Years: field("years"), Frames: field("frames")},
		Looks: shop.LookFacts{
			CapShape: field("cap_shape"), CapFlats: field("cap_flats"), CapThread: field("cap_thread"), Axle: field("axle"),
			Centres: field("centres"), LeftCap: field("left_cap"), RightCap: field("right_cap"),
		},
		Wiper: field("wiper"), DrainScrew: field("drain_screw"),
	})
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		return s.showNewFork(w, r, statuses[e.Kind], newFork{Values: r.PostForm, Refused: s.forPages(e)})
	}
	http.Redirect(w, r, toFork(fork.Fork, nil), http.StatusSeeOther)
	return nil
}

// sides puts what is told of both legs into one text, as shop.ForkFacts takes
// it.
func sides(left, right string) string {
	if right == "" || right == left {
		return left
	}
	return left + "/" + right
}

// toFork gives the address of a fork's page.
func toFork(name string, more url.Values) string {
	query := url.Values{"name": {name}}
	for key, values := range more {
		query[key] = values
	}
	return "/fork?" + query.Encode()
}

// placeForm is the form on a fork's page that adds a place.
type placeForm struct {
	Values  url.Values // what was typed
	Roles   []choiceOf // that sit in a leg, those without a place first
	Refused *fault.Error
}

// choiceOf is a role to choose.
type choiceOf struct {
	Role  catalog.Role
	There bool // the fork has such a place
}

// usualRoles sit in most legs (common practice, no source).
var usualRoles = []catalog.Role{
	catalog.OilSeal, catalog.Wiper, catalog.TubeBushing, catalog.LowerBushing, catalog.BackupWasher, catalog.Clip,
	catalog.BottomBolt, catalog.BottomWasher, catalog.CapORing, catalog.Oil,
}

// roles lists what can be added to a fork: what most have and it lacks first,
// then every other.
func (p *placeForm) roles(positions []shop.Position) {
	there := map[catalog.Role]bool{catalog.Kit: true, "tool": true}
	for _, pos := range positions {
		there[pos.Role] = true
	}
	listed := map[catalog.Role]bool{catalog.Kit: true, "tool": true}
	add := func(roles []catalog.Role, when bool) {
		for _, role := range roles {
			if !listed[role] && there[role] == when {
				listed[role] = true
				p.Roles = append(p.Roles, choiceOf{role, when})
			}
		}
	}
	add(usualRoles, false)
	add(catalog.Roles, false)
	add(catalog.Roles, true)
}

// addPlace adds a place to a fork. With a part and nothing else it keeps that
// the part was seen to fit.
func (s *site) addPlace(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	fork := strings.TrimSpace(r.PostForm.Get("fork"))
	said, err := s.typedPlace(r, fork)
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal || e.Kind == fault.Ambiguous {
			return err
		}
		return s.showFork(w, r, statuses[e.Kind], shop.ForkQuery{Name: fork}, placeForm{Values: r.PostForm, Refused: s.forPages(e)})
	}
	http.Redirect(w, r, toFork(fork, said), http.StatusSeeOther)
	return nil
}

func (s *site) typedPlace(r *http.Request, fork string) (url.Values, error) {
	told := func(name string) *string {
		if text := strings.TrimSpace(r.PostForm.Get(name)); text != "" {
			return &text
		}
		return nil
	}
	q := shop.PlaceRequest{Fork: fork, Role: r.PostForm.Get("role"), PlaceFacts: shop.PlaceFacts{
		SizeFacts: shop.SizeFacts{Size: told("size"), Thread: told("thread"), Length: told("length")},
	}}
	why := strings.TrimSpace(r.PostForm.Get("why"))
	if q.Sure = r.PostForm.Get("sure") == "yes"; q.Sure && why == "" {
		why = s.printer.Say("web.measured_so")
	}
	n, err := number(r, "per_leg", 0)
	if err != nil {
		return nil, err
	}
	if told("per_leg") != nil {
		q.PerLeg = &n
	}
	part := told("part")
	if part != nil && q.SizeFacts == (shop.SizeFacts{}) && q.PerLeg == nil {
		done, err := s.shop.Confirm(r.Context(), shop.ConfirmRequest{Part: *part, Fork: fork, Role: q.Role, Why: why})
		return claimed(done), err
	}
	if part != nil {
		q.Parts = []string{*part}
	}
	tell := s.shop.AddPlace
	if r.PostForm.Get("instead") == "yes" {
		tell = s.shop.ChangePlace
	}
	_, err = tell(r.Context(), q)
	return nil, err
}
