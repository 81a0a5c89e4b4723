package web

import (
	"net/http"
	"net/url"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// trayRoutes are the pages of what lies ready for jobs.
func (s *site) trayRoutes() []route {
	return []route{
		{"GET /trays", s.trays},
		{"GET /tray", s.tray},
		{"POST /tray/give", s.giveTray},
		{"POST /tray/fill", s.fillTray},
		{"POST /tray/take", s.takeFromTray},
		{"POST /tray/clear", s.clearTray},
		{"POST /tray/brought", s.bring},
		{"POST /tray/brought/end", s.endBrought},
	}
}

func (s *site) trays(w http.ResponseWriter, r *http.Request) error {
	all, err := s.shop.Trays(r.Context())
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "trays", s.printer.Say("web.trays"), struct {
		shop.Trays
		Done string
	}{all, r.FormValue("done")})
}

// trayPage is what lies ready for a job; of a job that nothing is known of it is
// the forms alone.
type trayPage struct {
	shop.Tray
	Done string // what a form did, the end of a message id
}

func (s *site) tray(w http.ResponseWriter, r *http.Request) error {
	job := strings.TrimSpace(r.FormValue("job"))
	tray, err := s.shop.Tray(r.Context(), job)
	if fault.KindOf(err) == fault.NotFound {
		tray, err = shop.Tray{Job: job}, nil
	}
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "tray", s.printer.Say("web.tray", job), trayPage{tray, r.FormValue("done")})
}

// toTray leads back to a job's tray after a form did something.
func toTray(w http.ResponseWriter, r *http.Request, done string) {
	http.Redirect(w, r, "/tray?"+url.Values{"job": {strings.TrimSpace(r.PostForm.Get("job"))}, "done": {done}}.Encode(), http.StatusSeeOther)
}

func (s *site) giveTray(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	if _, err := s.shop.GiveTray(r.Context(), r.PostForm.Get("job"), r.PostForm.Get("bin")); err != nil {
		return err
	}
	toTray(w, r, "given")
	return nil
}

// fillTray puts what is set aside for a job into its tray, or what a form names.
func (s *site) fillTray(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	if _, err := s.shop.FillTray(r.Context(), shop.FillRequest{
		Job: f.Get("job"), Part: strings.TrimSpace(f.Get("part")), Amount: amount, Key: f.Get("key"),
	}); err != nil {
		return err
	}
	toTray(w, r, "filled")
	return nil
}

// takeFromTray takes pieces for the job: from its tray first.
func (s *site) takeFromTray(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	if _, err := s.shop.Move(r.Context(), shop.MoveRequest{
		Kind: inventory.Issue, Part: f.Get("part"), Amount: amount, Job: f.Get("job"), Key: f.Get("key"), Found: f.Get("found") == "yes",
	}); err != nil {
		return err
	}
	toTray(w, r, "taken")
	return nil
}

func (s *site) clearTray(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	if _, err := s.shop.ClearTray(r.Context(), r.PostForm.Get("job"), r.PostForm.Get("key")); err != nil {
		return err
	}
	http.Redirect(w, r, "/trays?done=cleared", http.StatusSeeOther)
	return nil
}

// bring notes what a customer brought for a job.
func (s *site) bring(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 1)
	if err != nil {
		return err
	}
	f := r.PostForm
	if _, err := s.shop.Bring(r.Context(), shop.BringRequest{
		Job: f.Get("job"), What: f.Get("part"), Amount: amount, Owner: f.Get("owner"), Key: f.Get("key"),
	}); err != nil {
		return err
	}
	toTray(w, r, "brought")
	return nil
}

// endBrought notes that something a customer brought was used, or given back.
func (s *site) endBrought(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	which, err := number(r, "brought", 0)
	if err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	if _, err := s.shop.EndBrought(r.Context(), which, amount, r.PostForm.Get("back") == "yes", r.PostForm.Get("key")); err != nil {
		return err
	}
	toTray(w, r, "ended")
	return nil
}
