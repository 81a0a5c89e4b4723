package web

import (
	"net/http"
	"net/url"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// intakeRoutes are the pages of what comes in.
func (s *site) intakeRoutes() []route {
	return []route{
		{"GET /receive", s.receiveForm},
		{"POST /receive", s.receive},
		{"POST /receive/look", s.tryLines},
		{"GET /look", s.look},
		{"GET /delivery", s.delivery},
		{"GET /waiting", s.waiting},
		{"POST /link", s.link},
		{"POST /packs", s.packs},
		{"POST /supplier", s.from},
		{"GET /ignore", s.ignored},
		{"POST /ignore", s.ignore},
		{"GET /teach", s.teach},
		{"POST /teach", s.taught},
	}
}

// ignorePage is what is no part, and with a code the kind that it is of.
type ignorePage struct {
	shop.Ignoring
	Code, Begins string
	AnyLength    bool
	Delivery     string // that the form came from
	Done         string // "kept" or "back", what a form did
	Refused      *fault.Error
}

// ignored lists what is no part; with a code it shows what else would be none
// with it.
func (s *site) ignored(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	page := ignorePage{
		Code: q.Get("code"), Begins: q.Get("begins"), AnyLength: q.Get("any_length") != "", Delivery: q.Get("delivery"), Done: q.Get("done"),
	}
	return s.showIgnored(w, r, http.StatusOK, page)
}

func (s *site) showIgnored(w http.ResponseWriter, r *http.Request, status int, page ignorePage) (err error) {
	if page.Ignoring, err = s.shop.Ignored(r.Context()); err != nil {
		return err
	}
	if page.Code != "" && page.Refused == nil {
		would, err := s.shop.Ignore(r.Context(), shop.IgnoreRequest{
			Code: page.Code, Alike: true, Begins: page.Begins, AnyLength: page.AnyLength,
		})
		if err != nil {
			e := fault.Of(err)
			if e.Kind == fault.Internal {
				return err
			}
			status, page.Refused = statuses[e.Kind], s.forPages(e)
		}
		page.Would, page.Takes = would.Would, would.Takes
		if page.Would != nil && page.Begins == "" {
			page.Begins, page.AnyLength = page.Would.Begins, page.Would.Length == 0
		}
	}
	return s.show(w, r, status, "ignore", s.printer.Say("web.no_parts"), page)
}

// ignore keeps a kind of code that is no part, or takes a code or a kind back.
func (s *site) ignore(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	shape, err := number(r, "back_shape", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	q := shop.IgnoreRequest{
		Code: f.Get("code"), Alike: f.Get("alike") != "", Begins: f.Get("begins"), AnyLength: f.Get("any_length") != "", Yes: true,
		Back: f.Get("back") != "", BackShape: shape,
	}
	out, err := s.shop.Ignore(r.Context(), q)
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal || !q.Alike {
			return err
		}
		return s.showIgnored(w, r, statuses[e.Kind], ignorePage{
			Code: q.Code, Begins: q.Begins, AnyLength: q.AnyLength, Delivery: f.Get("delivery"), Refused: s.forPages(e),
		})
	}
	if q.Back || q.BackShape != 0 {
		http.Redirect(w, r, "/ignore?done=back", http.StatusSeeOther)
		return nil
	}
	s.settled(w, r, out.Settled)
	return nil
}

// teachPage is the rules for labels, and with a scan the form that shows one.
type teachPage struct {
	shop.Teaching
	Scan, Supplier, Number, Pieces, Way, Delivery string
	Suppliers                                     []string
	Done                                          string
	Ways                                          []choice
	Refused                                       *fault.Error
}

// teach lists the rules for labels. With a scan it asks for supplier and
// number, and with these it shows what the rule makes of the last scans.
func (s *site) teach(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return s.showTeach(w, r, http.StatusOK, teachPage{
		Scan: q.Get("scan"), Supplier: q.Get("supplier"), Number: q.Get("number"), Pieces: q.Get("pieces"), Way: q.Get("way"),
		Delivery: q.Get("delivery"), Done: q.Get("done"),
	})
}

func (s *site) showTeach(w http.ResponseWriter, r *http.Request, status int, page teachPage) (err error) {
	if page.Teaching, err = s.shop.Taught(r.Context()); err != nil {
		return err
	}
	if page.Suppliers, err = s.shop.SupplierNames(r.Context()); err != nil {
		return err
	}
	if page.Number != "" && page.Refused == nil {
		q, err := page.request(r)
		if err != nil {
			return err
		}
		would, err := s.shop.Teach(r.Context(), q)
		if err != nil {
			e := fault.Of(err)
			if e.Kind == fault.Internal {
				return err
			}
			status, page.Refused, page.Ways = statuses[e.Kind], s.forPages(e), page.ways(e)
		}
		page.Would, page.Reads = would.Would, would.Reads
	}
	return s.show(w, r, status, "teach", s.printer.Say("web.labels_of_suppliers"), page)
}

// request is what the page asks of the shop.
func (p teachPage) request(r *http.Request) (q shop.TeachRequest, err error) {
	q = shop.TeachRequest{Supplier: p.Supplier, Scan: p.Scan, Number: p.Number}
	if q.Pieces, err = number(r, "pieces", 0); err == nil {
		q.Way, err = number(r, "way", 0)
	}
	return q, err
}

// ways gives the addresses of the ways to read a label that can be meant.
func (p teachPage) ways(e *fault.Error) (all []choice) {
	for _, c := range e.Candidates {
		way := strings.TrimPrefix(c.Name, "--way ")
		query := url.Values{
			"scan": {p.Scan}, "supplier": {p.Supplier}, "number": {p.Number}, "pieces": {p.Pieces}, "way": {way}, "delivery": {p.Delivery},
		}
		all = append(all, choice{"/teach?" + query.Encode(), way, c.Tell})
	}
	return all
}

// taught keeps a rule, or takes one back.
func (s *site) taught(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	page := teachPage{
		Scan: f.Get("scan"), Supplier: f.Get("supplier"), Number: f.Get("number"), Pieces: f.Get("pieces"), Way: f.Get("way"),
		Delivery: f.Get("delivery"),
	}
	q, err := page.request(r)
	if err == nil {
		q.Yes = true
		q.Back, err = number(r, "back", 0)
	}
	if err != nil {
		return err
	}
	out, err := s.shop.Teach(r.Context(), q)
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal || q.Back != 0 {
			return err
		}
		page.Refused, page.Ways = s.forPages(e), page.ways(e)
		return s.showTeach(w, r, statuses[e.Kind], page)
	}
	if q.Back != 0 {
		http.Redirect(w, r, "/teach?done=back", http.StatusSeeOther)
		return nil
	}
	s.settled(w, r, out.Settled)
	return nil
}

// from says from which supplier a delivery came.
func (s *site) from(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	got, err := s.shop.DeliveryFrom(r.Context(), f.Get("delivery"), f.Get("supplier"), f.Get("instead") != "")
	if err != nil {
		return err
	}
	s.settled(w, r, got)
	return nil
}
