package web

import (
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/words"
)

// statuses is the HTTP status of each kind of fault.
var statuses = map[fault.Kind]int{
	fault.Invalid:   http.StatusUnprocessableEntity,
	fault.NotFound:  http.StatusNotFound,
	fault.Ambiguous: http.StatusMultipleChoices,
	fault.Conflict:  http.StatusConflict,
	fault.Short:     http.StatusConflict,
	fault.NoLogin:   http.StatusUnauthorized,
	fault.Denied:    http.StatusForbidden,
	fault.Busy:      http.StatusServiceUnavailable,
	fault.Damaged:   http.StatusInternalServerError,
	fault.Full:      http.StatusInsufficientStorage,
	fault.Internal:  http.StatusInternalServerError,
}

// refusal is a page that says what went wrong, and offers what to do.
type refusal struct {
	Message, Hint fault.Message
	Links         []choice // to the candidates
	Again         *again   // the refused form once more
	Back          string   // the page that the form stood on, empty for none
	New           *choice  // makes what is not known, nil for nothing
}

// choice is one of several things to choose from.
type choice struct {
	To   string // address
	Name string
	Tell fault.Message
}

// again is a form that was refused, to be sent once more with one answer in
// addition: the field that a button sets.
type again struct {
	Action  string
	Fields  []field
	Ask     string // what is asked for with them: "why", else empty
	Said    string // what was typed there
	Buttons []button
}

type field struct{ Name, Value string }

type button struct {
	field
	Label fault.Message
}

// refuse answers with an error: as JSON under /api/, else as a page. It is the
// one place that logs, and logs only defects.
func (s *site) refuse(w http.ResponseWriter, r *http.Request, err error) {
	e := fault.Of(err)
	if e.Kind == fault.Internal {
		if r.Context().Err() != nil { // nobody is left to be told
			return
		}
		slog.Error("defect", "method", r.Method, "path", r.URL.Path, "err", err)
	}
	e = s.forPages(e)
	if strings.HasPrefix(r.URL.Path, "/api/") {
		_ = s.send(w, statuses[e.Kind], e)
		return
	}
	page := refusal{Message: e.Message, Hint: e.Hint, Back: back(r)}
	if r.Method == http.MethodPost {
		page.Again = sendAgain(r, e)
	} else {
		page.Links = links(r.URL, e.Candidates)
		page.New = newOf(r.URL, e.Kind)
	}
	if err := s.show(w, r, statuses[e.Kind], "refusal", s.printer.Say("web.refused"), page); err != nil {
		slog.Error("defect", "method", r.Method, "path", r.URL.Path, "err", err)
		http.Error(w, s.printer.Say("internal"), http.StatusInternalServerError)
	}
}

// forPages gives e as pages say it: message, hint and candidates name no
// command and no flag.
func (s *site) forPages(e *fault.Error) *fault.Error {
	out := *e
	out.Message, out.Hint = words.ForPage(e.Message), words.ForPage(e.Hint)
	out.Candidates = slices.Clone(e.Candidates)
	for i, c := range out.Candidates {
		if flag, value, ok := strings.Cut(c.Name, " "); ok && strings.HasPrefix(flag, "--") {
			out.Candidates[i].Name = strings.Trim(value, "'")
		}
	}
	return &out
}

// named is the field of a request that each candidate can stand in.
func named(path string, message fault.Message) string {
	switch {
	case path == "/fork" || path == "/part":
		return "name"
	case path == "/replaced":
		return "by"
	case path == "/merge":
		return "gone"
	case message.ID == "shop.places_possible":
		return "place"
	case message.ID == "shop.two_readings":
		return "code"
	}
	return "part"
}

// links gives the addresses that name each candidate instead.
func links(from *url.URL, candidates []fault.Candidate) []choice {
	var out []choice
	for _, c := range candidates {
		query := url.Values{}
		if from.Path == "/fork" && from.Query().Has("make") { // the fork that is chosen is that of the bike that was asked for
			for _, name := range []string{"make", "model", "year"} {
				if v := from.Query().Get(name); v != "" {
					query.Set(name, v)
				}
			}
		}
		if kept := from.Query().Get("kept"); kept != "" { // the other part of a merge
			query.Set("kept", kept)
		}
		query.Set(named(from.Path, fault.Message{}), c.Name)
		out = append(out, choice{from.Path + "?" + query.Encode(), c.Name, c.Tell})
	}
	return out
}

// newOf gives the page to make the part or fork that is not known.
func newOf(from *url.URL, kind fault.Kind) *choice {
	name := strings.TrimSpace(from.Query().Get("name"))
	if kind != fault.NotFound || name == "" {
		return nil
	}
	switch from.Path {
	case "/part":
		query := url.Values{"number": {name}}
		if maker, number, ok := strings.Cut(name, "/"); ok {
			query = url.Values{"maker": {maker}, "number": {number}}
		}
		return &choice{"/part/new?" + query.Encode(), name, fault.Say("web.new_part")}
	case "/fork":
		return &choice{"/fork/new?" + url.Values{"name": {name}}.Encode(), name, fault.Say("web.new_fork")}
	}
	return nil
}

// sendAgain gives the refused form with the answers that it may take, nil for
// none. Its key stays: sent twice, it counts once.
func sendAgain(r *http.Request, e *fault.Error) *again {
	var buttons []button
	answer := named(r.URL.Path, e.Message)
	switch {
	case e.Message.ID == "shop.kept":
		answer = "kept"
		buttons = []button{{field{answer, "yes"}, fault.Say("web.take.anyway")}}
	case e.Kind == fault.Short && movingPaths[r.URL.Path] != "":
		answer = "found"
		buttons = []button{{field{answer, "yes"}, fault.Say("web.found_it")}}
	case e.Message.ID == "shop.not_sold":
		answer = "unlisted"
		buttons = []button{{field{answer, "yes"}, fault.Say("web.unlisted")}}
	case e.Message.ID == "catalog.code_taken":
		answer = "instead"
		buttons = []button{{field{answer, "yes"}, fault.Say("web.instead", r.PostForm.Get("part"))}}
	case r.URL.Path != "/place" && (e.Message.ID == "claim.no_reason" || e.Message.ID == "claim.sizes_say_no"):
		answer = "why"
		buttons = []button{{field{"", ""}, fault.Say("web.send_why")}}
	default:
		for _, c := range e.Candidates {
			label := fault.Say("web.candidate", c.Name, c.Tell)
			buttons = append(buttons, button{field{answer, c.Name}, label})
		}
	}
	var sure []field
	if e.Message.ID == "shop.unkept" || e.Message.ID == "shop.unkept_like" {
		typed := r.PostForm.Get(answer)
		buttons, sure = append(buttons, button{field{answer, typed}, fault.Say("web.take_anyway", typed)}), []field{{"sure", "yes"}}
	}
	if len(buttons) == 0 {
		return nil
	}
	form := &again{Action: r.URL.Path, Buttons: buttons, Fields: sure}
	if answer == "why" {
		form.Ask, form.Said = answer, r.PostForm.Get(answer)
	}
	for name, values := range r.PostForm {
		if name != answer && len(values) > 0 {
			form.Fields = append(form.Fields, field{name, values[0]})
		}
	}
	slices.SortFunc(form.Fields, func(a, b field) int { return strings.Compare(a.Name, b.Name) })
	return form
}

// back gives the page that a form stood on.
func back(r *http.Request) string {
	if r.Method != http.MethodPost {
		return ""
	}
	delivery := r.PostForm.Get("delivery")
	switch {
	case r.URL.Path == "/receive":
		return "/receive"
	case delivery != "" || r.URL.Path == "/link" || r.URL.Path == "/packs":
		return waitingAt(delivery, nil)
	}
	if order := r.PostForm.Get("number"); strings.HasPrefix(r.URL.Path, "/order/") && order != "" {
		return "/order?" + url.Values{"number": {order}}.Encode()
	}
	if job := r.PostForm.Get("job"); strings.HasPrefix(r.URL.Path, "/tray/") {
		return "/tray?" + url.Values{"job": {job}}.Encode()
	}
	if r.URL.Path == "/merge" || r.URL.Path == "/unmerge" {
		return "/merge"
	}
	if fork := r.PostForm.Get("fork"); fork != "" && r.PostForm.Get("from") != "part" {
		return toFork(fork, nil)
	}
	if part := r.PostForm.Get("part"); part != "" {
		return "/part?" + url.Values{"name": {part}}.Encode()
	}
	from, err := url.Parse(r.Referer()) // a claim's form names neither
	if err != nil || from.Host != r.Host || from.Path == r.URL.Path {
		return ""
	}
	return from.RequestURI()
}

// form reads the fields of a form that was sent. Error: Invalid where it is
// too large or broken.
func form(r *http.Request) error {
	err := r.ParseForm()
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return fault.New(fault.Invalid, "web.too_large", tooLarge.Limit>>10).WithHint("web.too_large.hint")
	}
	if err != nil {
		return fault.New(fault.Invalid, "web.bad_form").WithHint("web.bad_form.hint").WithCause(err)
	}
	return nil
}

// nowhere answers for every address without a page.
func (s *site) nowhere(http.ResponseWriter, *http.Request) error {
	return fault.New(fault.NotFound, "web.nowhere").WithHint("web.nowhere.hint")
}
