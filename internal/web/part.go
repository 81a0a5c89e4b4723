package web

import (
	"net/http"
	"net/url"
	"strings"

	"forkstock/internal/shop"
)

// partPage is a part, with the forms that move it.
type partPage struct {
	shop.PartPage
	All    []string // bins
	Filled []string // bins that hold some
	Done   []shop.Entry
	Undone bool // what was done is undone by now
	Undo   bool // what was done was an undoing itself
	Again  bool // the form had been sent before
}

func (s *site) part(w http.ResponseWriter, r *http.Request) error {
	part, err := s.shop.PartPage(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	page := partPage{PartPage: part, Filled: part.Bins, Again: r.FormValue("again") != ""}
	if page.All, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	if id := r.FormValue("done"); id != "" {
		if err := page.tell(r, s.shop, id); err != nil {
			return err
		}
	}
	return s.show(w, http.StatusOK, "part", part.Number, page)
}

// tell looks up what a form has done: the posting, and what was found for it.
func (page *partPage) tell(r *http.Request, open *shop.Shop, posting string) error {
	ledger, err := open.Ledger(r.Context(), page.Name())
	if err != nil {
		return err
	}
	var key string
	for _, e := range ledger.Movements {
		if e.Posting == posting {
			key, page.Undo = e.Key, e.Corrects != ""
		}
	}
	for _, e := range ledger.Movements {
		if e.Posting == posting || key != "" && e.Key == key+"/found" {
			page.Done = append(page.Done, e)
		}
		page.Undone = page.Undone || e.Corrects == posting
	}
	return nil
}

// move takes, puts back, throws away or moves pieces; the address says which.
func (s *site) move(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0, 1, 1_000_000)
	if err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	done, err := s.shop.Move(r.Context(), shop.MoveRequest{
		Kind: strings.TrimPrefix(r.URL.Path, "/"), Part: field("part"), Amount: amount,
		Bin: field("bin"), To: field("to"), Reason: field("reason"), Key: field("key"), Found: field("found") == "yes",
	})
	if err != nil {
		return err
	}
	s.donePart(w, r, field("part"), done)
	return nil
}

// undo enters the reverse of a posting.
func (s *site) undo(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	done, err := s.shop.Undo(r.Context(), f.Get("posting"), f.Get("key"), "")
	if err != nil {
		return err
	}
	s.donePart(w, r, f.Get("part"), done)
	return nil
}

// donePart leads back to the part, which tells what was done.
func (s *site) donePart(w http.ResponseWriter, r *http.Request, part string, done shop.Posted) {
	query := url.Values{"name": {part}, "done": {done.Posting.ID}}
	if done.Repeated {
		query.Set("again", "yes")
	}
	http.Redirect(w, r, "/part?"+query.Encode(), http.StatusSeeOther)
}
