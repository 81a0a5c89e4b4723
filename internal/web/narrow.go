package web

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
)

// onlyOf reads what an answer is narrowed down to.
func onlyOf(r *http.Request) shop.Only {
	return shop.Only{
		Role: r.FormValue("role"), Leg: r.FormValue("leg"), Maker: r.FormValue("maker"), InStock: r.FormValue("stock") != "",
	}
}

// A narrowing narrows an answer down, or takes that back.
type narrowing struct {
	Says any // as the page shows it
	URL  string
	N    int  // parts that remain; 0: not counted
	On   bool // it is in force, and the link takes it back
}

// narrowGroup is those of one kind, under their heading.
type narrowGroup struct {
	Heading string // message id
	All     []narrowing
}

// narrowed is what narrows the answer down, and what else can.
type narrowed struct {
	InForce narrowGroup
	Offered []narrowGroup
}

// fewest is how many parts an answer has at least to be worth narrowing down.
const fewest = 5

// narrowings gives the links that narrow the answer to q down, and those that
// widen it again.
func (s *site) narrowings(q string, o shop.Only, f shop.Found) (page narrowed) {
	at := address(q, o)
	link := func(name, value string) string {
		to := maps.Clone(at)
		to.Set(name, value)
		if value == "" {
			to.Del(name)
		}
		return "/?" + to.Encode()
	}
	var in []narrowing
	add := func(name, value string, says any) {
		if value != "" {
			in = append(in, narrowing{Says: says, URL: link(name, ""), On: true})
		}
	}
	add("role", o.Role, s.roleSays(o.Role))
	add("leg", o.Leg, s.legSays(o.Leg))
	add("maker", o.Maker, o.Maker)
	add("stock", at.Get("stock"), s.printer.Say("search.in_stock"))
	page.InForce = narrowGroup{"web.narrowed", in}
	if f.Narrow == nil || f.Total < fewest {
		return page
	}
	var roles, legs, makers []narrowing
	for _, c := range f.Narrow.Roles {
		roles = append(roles, narrowing{Says: s.roleSays(string(c.Role)), URL: link("role", string(c.Role)), N: c.Parts})
	}
	for _, c := range f.Narrow.Legs {
		legs = append(legs, narrowing{Says: s.legSays(c.LegDiameter), URL: link("leg", c.LegDiameter), N: c.Parts})
	}
	for _, c := range f.Narrow.Makers {
		makers = append(makers, narrowing{Says: c.Maker, URL: link("maker", c.Maker), N: c.Parts})
	}
	page.Offered = []narrowGroup{{"web.narrow_role", roles}, {"web.narrow_leg", legs}, {"web.narrow_maker", makers}}
	if !o.InStock {
		page.Offered = append(page.Offered, narrowGroup{"web.narrow_stock", []narrowing{{Says: s.printer.Say("search.in_stock"), URL: link("stock", "1")}}})
	}
	return page
}

// legSays gives a diameter as it stands on screens.
func (s *site) legSays(text string) string {
	l, err := measure.ParseLength(text)
	if err != nil {
		return text
	}
	return s.printer.Say("web.mm", l)
}

// address is where the answer to q stands, as far as it is narrowed down.
func address(q string, o shop.Only) url.Values {
	at := url.Values{"q": {q}}
	for name, value := range map[string]string{"role": o.Role, "leg": o.Leg, "maker": o.Maker} {
		if value != "" {
			at.Set(name, value)
		}
	}
	if o.InStock {
		at.Set("stock", "1")
	}
	return at
}

// moreURL is the address that shows n parts of the same answer.
func moreURL(q string, o shop.Only, n int) string {
	at := address(q, o)
	at.Set("n", strconv.Itoa(n))
	return "/?" + at.Encode()
}

// roleSays gives a kind of part as it stands on screens, or the word for it
// that was typed.
func (s *site) roleSays(text string) string {
	if !slices.Contains(catalog.Roles, catalog.Role(text)) {
		return text
	}
	return s.printer.Say("role." + text)
}
