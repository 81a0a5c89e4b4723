package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/internal/shop"
)

// putAwayPage is where what a delivery brought goes.
type putAwayPage struct {
	shop.PutAway
	Bins []string
	Done string // what a form did, the end of a message id
}

// Homes counts the lines that one tap puts away.
func (p putAwayPage) Homes() (n int) {
	for _, l := range p.Lines {
		if l.InIntake > 0 && l.Home != "" && l.Home != l.Bin && l.Job == "" {
			n++
		}
	}
	return n
}

func (s *site) putAway(w http.ResponseWriter, r *http.Request) error {
	out, err := s.shop.PutAway(r.Context(), r.FormValue("delivery"))
	if err != nil {
		return err
	}
	page := putAwayPage{PutAway: out, Done: r.FormValue("done")}
	if page.Bins, err = s.shop.Shelves(r.Context()); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "putaway", s.printer.Say("web.putaway", out.Delivery), page)
}

func (s *site) putInPlace(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	out, err := s.shop.PutInPlace(r.Context(), shop.PutRequest{
		Delivery: f.Get("delivery"), Part: f.Get("part"), Bin: f.Get("to"), Home: f.Get("home") == "yes" && f.Get("to") != "", Key: f.Get("key"),
	})
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/putaway?"+url.Values{"delivery": {out.Delivery}, "done": {"put"}}.Encode(), http.StatusSeeOther)
	return nil
}

// settling is what a delivery cost, and what was wrong with it.
type settling struct {
	shop.Costs
	Complaints []shop.Complaint
	Putting    int // lines that lie in INTAKE
	Told       *costTold
}

// costTold is what an invoice did, as the address of the page says.
type costTold struct {
	Part    string
	Percent int64 // by how much the cost jumps; 0: it does not
}

// settling gives what a delivery cost; nil for what waits of all of them, or
// where nothing came yet.
func (s *site) settling(r *http.Request, delivery string) (*settling, error) {
	if delivery == "" {
		return nil, nil
	}
	out := &settling{}
	var err error
	if out.Costs, err = s.shop.Costs(r.Context(), delivery); err != nil {
		return nil, err
	}
	list, err := s.shop.Complaints(r.Context(), true, delivery)
	if err != nil {
		return nil, err
	}
	out.Complaints = list.Complaints
	if len(out.Lines) == 0 && len(out.Complaints) == 0 {
		return nil, nil
	}
	put, err := s.shop.PutAway(r.Context(), delivery)
	if err != nil {
		return nil, err
	}
	out.Putting = put.Waiting()
	if part := r.FormValue("cost"); part != "" {
		percent, err := number(r, "jump", 0)
		if err != nil {
			return nil, err
		}
		out.Told = &costTold{part, percent}
	}
	return out, nil
}

// invoice enters what the pieces of a part did cost.
func (s *site) invoice(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	out, err := s.shop.Invoice(r.Context(), shop.InvoiceRequest{
		Delivery: f.Get("delivery"), Part: f.Get("part"), Cost: f.Get("cost"), Reason: strings.TrimSpace(f.Get("reason")), Key: f.Get("key"),
	})
	if err != nil {
		return err
	}
	query := url.Values{"name": {f.Get("delivery")}, "cost": {out.Maker + "/" + out.Number}}
	if out.Jump != nil {
		query.Set("jump", strconv.FormatInt(out.Jump.Percent, 10))
	}
	http.Redirect(w, r, "/delivery?"+query.Encode()+"#cost", http.StatusSeeOther)
	return nil
}

// prices shows what a part costs and did cost.
func (s *site) prices(w http.ResponseWriter, r *http.Request) error {
	out, err := s.shop.Prices(r.Context(), r.FormValue("part"))
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "prices", s.printer.Say("web.prices", out.Number), out)
}
