package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/lineup"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// identifyPage finds out which fork it is. All that was told stands in the
// address, so that each step can be taken back, and none needs a script.
type identifyPage struct {
	Told    []toldStep
	Next    *questionField
	All     []questionField // to tell anything else, or to correct
	Bike    []fitField
	Hidden  []fitField // what was told before, beside Next
	Found   shop.Identified
	Blame   *toldStep  // what to look at again
	NewFork string     // address of the form for a new fork, filled in
	Meant   []wordLink // bikes that may have been meant
	More    string     // address that shows every candidate
	Refused *fault.Error
}

// toldStep is an answer that can be taken back.
type toldStep struct {
	shop.Told
	Back string // address without it
}

// questionField is a question with what was typed in answer.
type questionField struct {
	Name, Value string
	Text        bool          // letters are typed, too
	How         fault.Message // to see or to measure it
	Expected    string
	Within      shop.Tolerance
	Words       []wordLink // to choose from
	Group       string     // where their messages begin
	Skip        string     // address that asks for something else
}

// wordLink is a word to choose, and the address with it chosen.
type wordLink struct{ Word, Href string }

// bikeFields are what can be told of the bike.
var bikeFields = []string{"make", "model", "variant", "year", "code", "frame"}

func (s *site) identify(w http.ResponseWriter, r *http.Request) error {
	told := toldOf(r.URL.Query())
	page, status := identifyPage{NewFork: toNewFork(told)}, http.StatusOK
	for _, name := range bikeFields {
		page.Bike = append(page.Bike, fitField{Name: name, Value: told.Get(name), Text: name != "year"})
	}
	for _, q := range catalog.Questions {
		page.All = append(page.All, fieldOf(q, told))
	}
	q, err := identifyQuery(r)
	if err == nil {
		page.Found, err = s.shop.Identify(r.Context(), q)
	}
	switch fault.KindOf(err) {
	case "":
		page.steps(told)
		if page.Next != nil && s.printer.Language() == "de" {
			page.Next.Expected = strings.Replace(page.Next.Expected, ".", ",", 1)
		}
	case fault.Invalid: // what was typed stays at hand
		page.Refused, status = s.forPages(fault.Of(err)), statuses[fault.Invalid]
	default:
		return err
	}
	return s.show(w, r, status, "identify", s.printer.Say("web.identify"), page)
}

// steps fills in what was told, what is asked next, and the addresses of both.
func (p *identifyPage) steps(told url.Values) {
	for _, t := range p.Found.Told {
		names := []string{t.Measurement}
		if t.Measurement == "bike" {
			names = bikeFields
		}
		step := toldStep{t, without(told, names...)}
		p.Told = append(p.Told, step)
		if c := p.Found.Contradiction; c != nil && c.Measurement == t.Measurement {
			p.Blame = &step
		}
	}
	for _, b := range p.Found.Meant {
		out := clone(told)
		out.Set("make", b.Make)
		p.Meant = append(p.Meant, wordLink{b.Make + " " + b.Model, with(out, "model", b.Model)})
	}
	if len(p.Found.Candidates) < p.Found.Total {
		p.More = with(told, "n", fmt.Sprint(min(p.Found.Total, mostHits)))
	}
	next := p.Found.MeasureNext
	if next == nil {
		return
	}
	q, _ := catalog.QuestionNamed(next.Measurement)
	f := fieldOf(q, told)
	f.How, f.Expected, f.Within = next.How, next.Expected, next.Tolerance
	skipped := clone(told)
	skipped.Add("skip", q.Name)
	f.Skip = "/identify?" + skipped.Encode()
	p.Next = &f
	for name, values := range told {
		for _, v := range values {
			p.Hidden = append(p.Hidden, fitField{Name: name, Value: v})
		}
	}
	slices.SortFunc(p.Hidden, func(a, b fitField) int { return strings.Compare(a.Name+"="+a.Value, b.Name+"="+b.Value) })
}

func fieldOf(q lineup.Question, told url.Values) questionField {
	f := questionField{Name: q.Name, Value: told.Get(q.Name), Text: q.Name == "cap_thread", Group: catalog.ChoiceOf(q.Name)}
	for _, word := range q.Words {
		f.Words = append(f.Words, wordLink{word, with(told, q.Name, word)})
	}
	return f
}

// toldOf gives what was told in an address: no empty fields, nothing strange.
func toldOf(query url.Values) url.Values {
	told := url.Values{}
	keep := func(name string) {
		for _, v := range query[name] {
			if v = strings.TrimSpace(v); v != "" && (name == "skip" || told.Get(name) == "") {
				told.Add(name, v)
			}
		}
	}
	for _, q := range catalog.Questions {
		keep(q.Name)
	}
	for _, name := range append([]string{"skip"}, bikeFields...) {
		keep(name)
	}
	return told
}

// clone copies what was told.
func clone(told url.Values) url.Values {
	out := url.Values{}
	for name, values := range told {
		out[name] = slices.Clone(values)
	}
	return out
}

// with gives the address with one more thing told.
func with(told url.Values, name, value string) string {
	out := clone(told)
	out.Set(name, value)
	return "/identify?" + out.Encode()
}

// without gives the address with some things taken back. What somebody could
// not tell is asked for again.
func without(told url.Values, names ...string) string {
	out := clone(told)
	out.Del("skip")
	for _, name := range names {
		out.Del(name)
	}
	return "/identify?" + out.Encode()
}

// toNewFork gives the address of the form for a new fork with all in it that
// was told.
func toNewFork(told url.Values) string {
	out := clone(told)
	for from, to := range map[string]string{"leg_micrometer": "leg", "year": "years", "frame": "frames"} {
		if v := out.Get(from); v != "" {
			out.Set(to, v)
		}
		out.Del(from)
	}
	if out.Del("skip"); len(out) == 0 {
		return ""
	}
	out.Set("how", "bench")
	return "/fork/new?" + out.Encode()
}

func identifyQuery(r *http.Request) (shop.IdentifyQuery, error) {
	query := r.URL.Query()
	if query.Get("n") == "" {
		query.Set("n", "10")
	}
	r = &http.Request{Form: query}
	most, err := limit(r)
	year, bad := number(r, "year", 0)
	if err == nil {
		err = bad
	}
	told := toldOf(query)
	q := shop.IdentifyQuery{
		Told: map[string]string{}, Skip: told["skip"], Make: told.Get("make"), Model: told.Get("model"), Variant: told.Get("variant"),
		Code: told.Get("code"), Frame: told.Get("frame"), Year: int(year), Limit: most,
	}
	for _, question := range catalog.Questions {
		q.Told[question.Name] = told.Get(question.Name)
	}
	return q, err
}

func (s *site) identifyJSON(r *http.Request) (any, error) {
	q, err := identifyQuery(r)
	if err != nil {
		return nil, err
	}
	return pointer(s.shop.Identify(r.Context(), q))
}
