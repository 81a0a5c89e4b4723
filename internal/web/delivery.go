package web

import (
	"crypto/rand"
	"net/http"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// deliveryPage is what came in, and what of it waits for an answer. Without a
// delivery it is what waits of all of them.
type deliveryPage struct {
	shop.Received
	Pieces int64 // in stock by it
	Told   *told // what the form did that led here
	Odd    []oddLabel

	Suppliers []string
	Session   string // of what is scanned on the page
	Rivals    bool   // what waits needs the supplier to be known

	Known, KnownFor string // a part that was added for a code that waits

	Held     []shop.PutAwayLine  // that went into a blocked place
	Finished bool                // it was, just now
	Against  []shop.DeliveryLine // that are not as they were ordered, or of which something was said
	Settling *settling           // what it cost, and what was wrong with it
}

// Troubles are the pictures in which something was not read.
func (p deliveryPage) Troubles() (all []shop.Viewed) {
	for _, v := range p.Pictures {
		if len(v.Places) > 0 || !v.Why.IsZero() {
			all = append(all, v)
		}
	}
	return all
}

// told is what a form did, as the address of the page that follows it says.
type told struct {
	Added, Repeated int64 // scans
	Came            int64 // pieces that are new in stock
	Posted          int64 // scans that no longer wait
	Counts          int64 // packs that count in open deliveries by it
	Earlier         int64 // packs that stay posted as what the code stood for before
	Again           int64 // scans that were counted in an earlier picture of their delivery
	Undone          bool  // a posting was undone
	Intake          bool  // an intake led here
	Code, Part      string
	Pieces          string // of Part in a pack with Code
	NoPart          string // "yes" where Code is no part
}

// oddLabel is what is odd about scans of a code.
type oddLabel struct {
	Code string
	Why  fault.Message
}

// oddities gathers what is odd about scans, once for each code.
func oddities(seen []shop.Seen) (all []oddLabel) {
	for _, y := range seen {
		for _, why := range y.Odd {
			o := oddLabel{y.Code, why}
			if !slices.ContainsFunc(all, func(x oddLabel) bool { return reflect.DeepEqual(x, o) }) {
				all = append(all, o)
			}
		}
	}
	return all
}

func (s *site) delivery(w http.ResponseWriter, r *http.Request) error {
	open, err := s.shop.IsOpen(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	if open {
		return s.openDelivery(w, r)
	}
	got, err := s.shop.Delivery(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	if got.Owing, err = s.shop.Owing(r.Context(), got.Delivery); err != nil {
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

func (s *site) showDelivery(w http.ResponseWriter, r *http.Request, title string, got shop.Received) (err error) {
	query := r.URL.Query()
	page := deliveryPage{Received: got, Session: rand.Text(), Odd: oddities(got.Symbols), Known: query.Get("known")}
	if page.Known != "" {
		page.KnownFor = query.Get("code")
	}
	for _, l := range got.Lines {
		if l.Unit == catalog.Piece {
			page.Pieces += l.Amount
		}
	}
	if page.Told, err = tell(r, query); err != nil {
		return err
	}
	if page.Settling, err = s.settling(r, got.Delivery); err != nil {
		return err
	}
	if page.Suppliers, err = s.shop.SupplierNames(r.Context()); err != nil {
		return err
	}
	if page.Against, err = s.against(r, got.Delivery); err != nil {
		return err
	}
	if page.Held, err = s.heldOf(r, got.Delivery); err != nil {
		return err
	}
	page.Finished = query.Has("finished")
	page.Rivals = slices.ContainsFunc(got.Unknown, func(u shop.Unknown) bool { return len(u.Read) > 0 })
	return s.show(w, r, http.StatusOK, "delivery", title, page)
}

// heldOf gives what a delivery brought that was put into a blocked place with it,
// because it is damaged or wrong.
func (s *site) heldOf(r *http.Request, name string) (all []shop.PutAwayLine, err error) {
	if name == "" {
		return nil, nil
	}
	out, err := s.shop.PutAway(r.Context(), name)
	for _, l := range out.Lines {
		if l.Held {
			all = append(all, l)
		}
	}
	return all, err
}

// against gives the lines of a delivery that are not as they were ordered, or of
// which something was said.
func (s *site) against(r *http.Request, name string) (all []shop.DeliveryLine, err error) {
	if name == "" {
		return nil, nil
	}
	d, err := s.shop.OpenDelivery(r.Context(), name)
	for _, l := range d.Lines {
		plain := l.State == shop.LineComplete || l.State == shop.LineFree
		if !plain || l.Damaged+l.Wrong > 0 || l.Noted != nil {
			all = append(all, l)
		}
	}
	return all, err
}

// tell reads what a form did; nil where none led here.
func tell(r *http.Request, query url.Values) (*told, error) {
	t := told{
		Undone: query.Has("undone"), Intake: query.Has("added"), Code: query.Get("code"), Part: query.Get("part"), Pieces: query.Get("pieces"),
		NoPart: query.Get("no_part"),
	}
	by := t.Undone
	for name, to := range map[string]*int64{
		"added": &t.Added, "repeated": &t.Repeated, "came": &t.Came, "posted": &t.Posted, "counts": &t.Counts, "earlier": &t.Earlier,
		"again": &t.Again,
	} {
		n, err := number(r, name, 0)
		if err != nil {
			return nil, err
		}
		*to, by = n, by || query.Has(name)
	}
	if !by {
		return nil, nil
	}
	return &t, nil
}

// received leads to the delivery, and tells what became of an intake.
func received(got shop.Received) string {
	var came int64
	for _, l := range got.Lines {
		if l.Unit == catalog.Piece {
			came += l.New
		}
	}
	query := url.Values{"added": {strconv.Itoa(got.New())}, "repeated": {strconv.Itoa(got.Repeated)}}
	if came > 0 {
		query.Set("came", strconv.FormatInt(came, 10))
	}
	return waitingAt(got.Delivery, query)
}

// look shows what a place in a picture looked like.
func (s *site) look(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r, "id", 0)
	if err != nil {
		return err
	}
	picture, err := s.shop.Look(r.Context(), id)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/jpeg")
	_, _ = w.Write(picture) // a reader that has gone away is no fault
	return nil
}

// Scanning gives the box for what comes in next.
func (p deliveryPage) Scanning() scanning { return scanning{"", 3, p.KnownFor == ""} }

// likely is something that a code which waits for a delivery may stand for.
type likely struct {
	shop.Meant
	Delivery string
}

// likelies gives what a code may stand for, for the page of a delivery.
func likelies(meant []shop.Meant, delivery string) (all []likely) {
	for _, m := range meant {
		all = append(all, likely{m, delivery})
	}
	return all
}

// undoes gives the number that an undo command names.
func undoes(command string) string { return strings.TrimPrefix(command, "forkstock undo ") }

// link teaches what a code stands for, and counts what waited for it.
func (s *site) link(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	pieces, err := number(r, "pieces", 1)
	if err != nil {
		return err
	}
	f := r.PostForm
	got, err := s.shop.Link(r.Context(), shop.LinkRequest{
		Code: f.Get("code"), Part: strings.TrimSpace(f.Get("part")), Pieces: pieces,
		Supplier: f.Get("supplier"), NoPart: f.Get("no_part") == "yes", Instead: f.Get("instead") == "yes", Correct: f.Get("correct") == "yes",
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
	packs, err := number(r, "packs", 0)
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

// settled leads back to what waits, and tells how many scans no longer do, and
// what it takes to correct those that were posted as something else. A delivery
// shows by itself what was counted in two pictures.
func (s *site) settled(w http.ResponseWriter, r *http.Request, got shop.Received) {
	done := url.Values{"posted": {strconv.Itoa(len(got.Symbols))}}
	if got.Counts > 0 {
		done.Set("counts", strconv.FormatInt(got.Counts, 10))
	}
	keep := func(names ...string) {
		for _, name := range names {
			if value := strings.TrimSpace(r.PostForm.Get(name)); value != "" {
				done.Set(name, value)
			}
		}
	}
	if got.Earlier > 0 {
		done.Set("earlier", strconv.Itoa(got.Earlier))
		keep("code", "part", "pieces", "no_part")
	}
	delivery := r.PostForm.Get("delivery")
	if n := len(got.Again); n > 0 && delivery == "" {
		done.Set("again", strconv.Itoa(n))
		keep("part")
	}
	http.Redirect(w, r, waitingAt(delivery, done), http.StatusSeeOther)
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
