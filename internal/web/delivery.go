package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/shop"
)

// deliveryPage is what came in, and what of it waits for an answer. Without a
// delivery it is what waits of all of them.
type deliveryPage struct {
	shop.Received
	Pieces                  int64    // in stock by it
	Added, Repeated, Posted int64    // what the last form did
	Told                    bool     // whether a form led here
	Unread                  []string // pictures without a barcode
}

func (s *site) delivery(w http.ResponseWriter, r *http.Request) error {
	got, err := s.shop.Delivery(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	return s.showDelivery(w, r, s.printer.Say("web.delivery", got.Delivery), got)
}

// waiting shows every code that waits, whatever it came with.
func (s *site) waiting(w http.ResponseWriter, r *http.Request) error {
	got, err := s.shop.Waiting(r.Context())
	if err != nil {
		return err
	}
	return s.showDelivery(w, r, s.printer.Say("web.waiting"), got)
}

func (s *site) showDelivery(w http.ResponseWriter, r *http.Request, title string, got shop.Received) error {
	query := r.URL.Query()
	page := deliveryPage{Received: got, Unread: query["unread"]}
	for _, l := range got.Lines {
		if l.Unit == catalog.Piece {
			page.Pieces += l.Amount
		}
	}
	for name, to := range map[string]*int64{"added": &page.Added, "repeated": &page.Repeated, "posted": &page.Posted} {
		n, err := number(r, name, 0, 0, 1_000_000)
		if err != nil {
			return err
		}
		*to = n
		page.Told = page.Told || query.Has(name)
	}
	return s.show(w, http.StatusOK, "delivery", title, page)
}

// link teaches what a code stands for, and counts what waited for it.
func (s *site) link(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	pieces, err := number(r, "pieces", 1, 1, 1_000_000)
	if err != nil {
		return err
	}
	f := r.PostForm
	got, err := s.shop.Link(r.Context(), shop.LinkRequest{
		Code: f.Get("code"), Part: strings.TrimSpace(f.Get("part")), Pieces: pieces,
		NoPart: f.Get("no_part") == "yes", Instead: f.Get("instead") == "yes",
	})
	if err != nil {
		return err
	}
	s.settled(w, r, got)
	return nil
}

// packs answers "one pack or two?".
func (s *site) packs(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	packs, err := number(r, "packs", 0, 1, 2)
	if err != nil {
		return err
	}
	f := r.PostForm
	got, err := s.shop.Packs(r.Context(), f.Get("code"), f.Get("beside"), int(packs))
	if err != nil {
		return err
	}
	s.settled(w, r, got)
	return nil
}

// settled leads back to what waits, and tells how many scans no longer do.
func (s *site) settled(w http.ResponseWriter, r *http.Request, got shop.Received) {
	done := url.Values{"posted": {strconv.Itoa(len(got.Symbols))}}
	http.Redirect(w, r, waitingAt(r.PostForm.Get("delivery"), done), http.StatusSeeOther)
}

// waitingAt is the page that shows what waits of a delivery, of all where it
// is empty.
func waitingAt(delivery string, query url.Values) string {
	if query == nil {
		query = url.Values{}
	}
	to := "/waiting"
	if delivery != "" {
		to = "/delivery"
		query.Set("name", delivery)
	}
	if len(query) == 0 {
		return to
	}
	return to + "?" + query.Encode()
}
