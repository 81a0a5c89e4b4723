package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// complaintRoutes are the pages of what suppliers have to settle, of what is
// blocked, and of where a delivery goes.
func (s *site) complaintRoutes() []route {
	return []route{
		{"GET /complaints", s.complaints},
		{"GET /complaint", s.complaint},
		{"GET /complaint/new", s.newComplaint},
		{"POST /complaint/new", s.complain},
		{"POST /complaint/credit", s.takeCredit},
		{"POST /complaint/back", s.takeBackCredit},
		{"POST /complaint/expect", s.expectCredit},
		{"POST /complaint/settle", s.settleComplaint},
		{"POST /complaint/reopen", s.reopenComplaint},
		{"POST /held", s.held},
		{"GET /putaway", s.putAway},
		{"POST /putaway", s.putInPlace},
		{"POST /invoice", s.invoice},
		{"GET /prices", s.prices},
	}
}

// complaintsPage is what is open, what is settled, and what is blocked.
type complaintsPage struct {
	shop.Complaints
	Open, Older []shop.Complaint
	Held        heldPage
	Done        string // what a form did, the end of a message id
}

// heldPage is what lies in blocked places, with what its forms need.
type heldPage struct {
	Lines           []shop.Held
	Bins, Suppliers []string
	Complaint       int64 // for which they are shown; 0: for none
}

func (s *site) heldPage(r *http.Request, lines []shop.Held, complaint int64) (page heldPage, err error) {
	page = heldPage{Lines: lines, Complaint: complaint}
	if len(lines) == 0 {
		return page, nil
	}
	if page.Bins, err = s.shop.Shelves(r.Context()); err != nil {
		return page, err
	}
	page.Suppliers, err = s.shop.SupplierNames(r.Context())
	return page, err
}

func (s *site) complaints(w http.ResponseWriter, r *http.Request) error {
	list, err := s.shop.Complaints(r.Context(), true, "")
	if err != nil {
		return err
	}
	page := complaintsPage{Complaints: list, Done: r.FormValue("done")}
	for _, c := range list.Complaints {
		if c.State == "open" {
			page.Open = append(page.Open, c)
		} else {
			page.Older = append(page.Older, c)
		}
	}
	if page.Held, err = s.heldPage(r, list.Held, 0); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "complaints", s.printer.Say("web.complaints"), page)
}

// complaintPage is one complaint with the forms that settle it.
type complaintPage struct {
	shop.Complaint
	Held  heldPage
	Today string
	Done  string
}

// Paid reports whether a credit stands that may be taken back.
func (p complaintPage) Paid() bool { return p.Credited > 0 && p.State != "undone" }

func (s *site) complaint(w http.ResponseWriter, r *http.Request) error {
	n, err := number(r, "number", 0)
	if err != nil {
		return err
	}
	c, err := s.shop.Complaint(r.Context(), n)
	if err != nil {
		return err
	}
	page := complaintPage{Complaint: c, Today: s.shop.Today(), Done: r.FormValue("done")}
	if page.Held, err = s.heldPage(r, c.Held, n); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "complaint", s.printer.Say("web.complaint", n), page)
}

// whats are what a complaint can be about, as the form offers it.
var whats = []string{inventory.Damaged, inventory.Wrong, inventory.TooShort, inventory.KitShort, inventory.Suspect}

// complaintForm is a complaint before it is opened.
type complaintForm struct {
	Values  url.Values
	Whats   []string
	Refused *fault.Error
}

func (s *site) newComplaint(w http.ResponseWriter, r *http.Request) error {
	return s.showComplaintForm(w, r, http.StatusOK, complaintForm{Values: r.URL.Query()})
}

func (s *site) showComplaintForm(w http.ResponseWriter, r *http.Request, status int, page complaintForm) error {
	page.Whats = whats
	return s.show(w, r, status, "newcomplaint", s.printer.Say("web.complaint.new"), page)
}

// complain opens a complaint. A form that is refused comes back with what stood
// in it.
func (s *site) complain(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	amount, err := number(r, "amount", 0)
	if err == nil {
		var c shop.Complaint
		c, err = s.shop.Complain(r.Context(), shop.ComplaintRequest{
			Delivery: strings.TrimSpace(f.Get("delivery")), Part: strings.TrimSpace(f.Get("part")), Amount: amount, What: f.Get("what"),
			Lacks: f.Get("lacks"), Reason: f.Get("reason"), Credit: f.Get("credit"), Stay: f.Get("stay") == "yes", Key: f.Get("key"),
		})
		if err == nil {
			toComplaint(w, r, c.Complaint, "opened")
			return nil
		}
	}
	e := fault.Of(err)
	if e.Kind == fault.Internal {
		return err
	}
	return s.showComplaintForm(w, r, statuses[e.Kind], complaintForm{Values: f, Refused: s.forPages(e)})
}

// toComplaint leads to a complaint after a form did something.
func toComplaint(w http.ResponseWriter, r *http.Request, n int64, done string) {
	http.Redirect(w, r, "/complaint?"+url.Values{"number": {strconv.FormatInt(n, 10)}, "done": {done}}.Encode(), http.StatusSeeOther)
}

// onComplaint reads which complaint a form is about, and does something with it.
func (s *site) onComplaint(w http.ResponseWriter, r *http.Request, done string, do func(int64, url.Values) (shop.Complaint, error)) error {
	if err := form(r); err != nil {
		return err
	}
	n, err := number(r, "number", 0)
	if err != nil {
		return err
	}
	if _, err := do(n, r.PostForm); err != nil {
		return err
	}
	toComplaint(w, r, n, done)
	return nil
}

func (s *site) takeCredit(w http.ResponseWriter, r *http.Request) error {
	return s.onComplaint(w, r, "credit", func(n int64, f url.Values) (shop.Complaint, error) {
		return s.shop.TakeCredit(r.Context(), shop.CreditRequest{
			Complaint: n, Amount: f.Get("amount"), Day: f.Get("day"), Note: strings.TrimSpace(f.Get("note")), Last: f.Get("last") == "yes", Key: f.Get("key"),
		})
	})
}

func (s *site) takeBackCredit(w http.ResponseWriter, r *http.Request) error {
	return s.onComplaint(w, r, "back", func(n int64, _ url.Values) (shop.Complaint, error) {
		return s.shop.TakeBackCredit(r.Context(), n)
	})
}

func (s *site) expectCredit(w http.ResponseWriter, r *http.Request) error {
	return s.onComplaint(w, r, "expect", func(n int64, f url.Values) (shop.Complaint, error) {
		return s.shop.ExpectCredit(r.Context(), n, f.Get("amount"))
	})
}

func (s *site) settleComplaint(w http.ResponseWriter, r *http.Request) error {
	return s.onComplaint(w, r, "settled", func(n int64, f url.Values) (shop.Complaint, error) {
		return s.shop.SettleComplaint(r.Context(), n, f.Get("by"), strings.TrimSpace(f.Get("note")))
	})
}

func (s *site) reopenComplaint(w http.ResponseWriter, r *http.Request) error {
	return s.onComplaint(w, r, "reopened", func(n int64, _ url.Values) (shop.Complaint, error) {
		return s.shop.ReopenComplaint(r.Context(), n)
	})
}

// heldDoes are what a form can do with what is blocked.
var heldDoes = map[string]string{"shelf": inventory.Move, "scrap": inventory.Scrap, "back": inventory.SendBack}

// held takes pieces out of a blocked place: to a shelf, to the bin, or back to
// the supplier.
func (s *site) held(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	complaint, err := number(r, "complaint", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	do := f.Get("do")
	q := shop.MoveRequest{
		Kind: heldDoes[do], Part: f.Get("part"), Amount: amount, Bin: f.Get("bin"), Lot: f.Get("lot"), Reason: strings.TrimSpace(f.Get("reason")), Key: f.Get("key"),
	}
	switch do {
	case "shelf":
		q.To = f.Get("to")
	case "back":
		q.Partner, q.Price, q.Complaint = f.Get("supplier"), f.Get("credit"), complaint
	case "scrap":
	default:
		return fault.New(fault.Invalid, "web.bad_form").WithHint("web.bad_form.hint")
	}
	out, err := s.shop.Move(r.Context(), q)
	if err != nil {
		return err
	}
	if complaint == 0 {
		complaint = out.Complaint
	}
	if len(out.Remarks) > 0 {
		do = "back_other"
	}
	if complaint == 0 {
		http.Redirect(w, r, "/complaints?done="+do, http.StatusSeeOther)
		return nil
	}
	toComplaint(w, r, complaint, do)
	return nil
}
