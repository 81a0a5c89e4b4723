package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/shop"
)

// counterRoutes are what is done over the counter with one part, and what is
// spoken for or out.
func (s *site) counterRoutes() []route {
	return []route{
		{"GET /sell", s.sellForm},
		{"POST /sell", s.move},
		{"POST /lend", s.move},
		{"POST /lend/back", s.move},
		{"POST /borrow", s.move},
		{"POST /borrow/back", s.move},
		{"POST /set-aside", s.setAside},
		{"POST /release", s.release},
		{"POST /shelf", s.shelf},
		{"POST /empty", s.empty},
		{"POST /open", s.openKit},
		{"POST /inspect", s.inspect},
		{"GET /loans", s.loans},
	}
}

// sellPage asks for nothing but "sold", where the part has its price.
type sellPage struct {
	shop.PartPage
	Kept   shop.PartKept
	Amount string
}

func (s *site) sellForm(w http.ResponseWriter, r *http.Request) (err error) {
	var page sellPage
	if page.PartPage, err = s.shop.PartPage(r.Context(), r.FormValue("name")); err != nil {
		return err
	}
	if page.Kept, err = s.shop.PartKept(r.Context(), page.Name()); err != nil {
		return err
	}
	if page.Unit == catalog.Piece {
		page.Amount = "1"
	}
	return s.show(w, r, http.StatusOK, "sell", s.printer.Say("web.sell"), page)
}

// loansPage is what is lent, borrowed and set aside.
type loansPage struct {
	Loans     []shop.Loan
	SetAsides []shop.SetAside
}

func (s *site) loans(w http.ResponseWriter, r *http.Request) error {
	out, err := s.shop.Loans(r.Context())
	if err != nil {
		return err
	}
	asides, err := s.shop.SetAsides(r.Context(), "", "")
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "loans", s.printer.Say("web.loans"), loansPage{out.Lines, asides.Lines})
}

// did leads back to the part, which tells what was done.
func did(w http.ResponseWriter, r *http.Request, what string) {
	http.Redirect(w, r, "/part?"+url.Values{"name": {r.PostForm.Get("part")}, "did": {what}}.Encode(), http.StatusSeeOther)
}

func (s *site) setAside(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	if _, err := s.shop.SetAsideOnce(r.Context(), f.Get("key"), f.Get("part"), amount, f.Get("job"), f.Get("until")); err != nil {
		return err
	}
	did(w, r, "set_aside")
	return nil
}

func (s *site) release(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	if _, err := s.shop.Release(r.Context(), r.PostForm.Get("part"), r.PostForm.Get("job"), 0, ""); err != nil {
		return err
	}
	did(w, r, "released")
	return nil
}

// shelf tells how a part is kept and sold; a field that the form has not stays as
// it is.
func (s *site) shelf(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	var facts shop.ShelfFacts
	if f.Has("sell") {
		price := strings.TrimSpace(f.Get("sell"))
		facts.Sell = &price
	}
	if f.Has("counted") {
		counted := f.Get("counted") != "no"
		facts.Counted = &counted
	}
	if f.Has("bottle") {
		bottle, err := number(r, "bottle", 0)
		if err != nil {
			return err
		}
		facts.Bottle = &bottle
	}
	if _, err := s.shop.SetShelf(r.Context(), f.Get("part"), facts); err != nil {
		return err
	}
	did(w, r, "kept")
	return nil
}

func (s *site) empty(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	out, err := s.shop.Empty(r.Context(), r.PostForm.Get("part"), "")
	if err != nil {
		return err
	}
	if out.Lost != nil {
		s.donePart(w, r, r.PostForm.Get("part"), *out.Lost)
		return nil
	}
	did(w, r, "emptied")
	return nil
}

func (s *site) openKit(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 1)
	if err != nil {
		return err
	}
	f := r.PostForm
	out, err := s.shop.Unpack(r.Context(), shop.UnpackRequest{Kit: f.Get("part"), Amount: amount, To: f.Get("to"), Key: f.Get("key")})
	if err != nil {
		return err
	}
	s.donePart(w, r, f.Get("part"), out.Posted)
	return nil
}

func (s *site) inspect(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	lot, err := number(r, "lot", 0)
	if err != nil {
		return err
	}
	if _, err := s.shop.Inspect(r.Context(), lot, ""); err != nil {
		return err
	}
	did(w, r, "inspected")
	return nil
}

// amountOf gives minor units as a form has them, "" for none.
func (s *site) amountOf(minor *int64) string {
	if minor == nil {
		return ""
	}
	return fmt.Sprintf("%d%c%02d", *minor/100, s.printer.Mark(), *minor%100)
}
