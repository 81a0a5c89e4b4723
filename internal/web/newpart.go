package web

import (
	"net/http"
	"net/url"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// newPart is the form that adds a part, for a code that waits where Code is
// not empty.
type newPart struct {
	Code, Delivery string
	Values         url.Values // what was typed
	Roles          []catalog.Role
	Bins           []string
	Refused        *fault.Error
}

func (s *site) newPartForm(w http.ResponseWriter, r *http.Request) error {
	return s.showNewPart(w, r, http.StatusOK, newPart{Values: r.URL.Query()})
}

func (s *site) showNewPart(w http.ResponseWriter, r *http.Request, status int, page newPart) (err error) {
	page.Code, page.Delivery, page.Roles = page.Values.Get("code"), page.Values.Get("delivery"), catalog.Roles
	if page.Bins, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	return s.show(w, r, status, "newpart", s.printer.Say("web.new_part"), page)
}

// addPart adds a part, and leads to it, or back to the code that waited for
// it. A form that is refused comes back with what stood in it.
func (s *site) addPart(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	part, err := s.typedPart(r)
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		return s.showNewPart(w, r, statuses[e.Kind], newPart{Values: r.PostForm, Refused: s.forPages(e)})
	}
	if code := r.PostForm.Get("code"); code != "" {
		query := url.Values{"code": {code}, "known": {part.Name()}}
		http.Redirect(w, r, waitingAt(r.PostForm.Get("delivery"), query)+"#waits", http.StatusSeeOther)
		return nil
	}
	http.Redirect(w, r, "/part?"+url.Values{"name": {part.Name()}}.Encode(), http.StatusSeeOther)
	return nil
}

// typedPart adds the part that a form tells of.
func (s *site) typedPart(r *http.Request) (shop.PartPage, error) {
	told := func(name string) *string {
		if text := r.PostForm.Get(name); text != "" {
			return &text
		}
		return nil
	}
	minimum, err := number(r, "minimum", 0)
	if err != nil {
		return shop.PartPage{}, err
	}
	if maker := r.PostForm.Get("maker"); strings.Contains(maker, "/") {
		return shop.PartPage{}, fault.New(fault.Invalid, "web.maker_slash", maker).WithHint("web.maker_slash.hint")
	}
	return s.shop.AddPart(r.Context(), r.PostForm.Get("maker")+"/"+r.PostForm.Get("number"), shop.PartFacts{
		Role: told("role"), SizeFacts: shop.SizeFacts{Size: told("size"), Thread: told("thread"), Length: told("length")},
		Description: told("description"), Bin: told("bin"), Minimum: &minimum, Elastomer: told("elastomer"),
		Source: told("source"),
	})
}
