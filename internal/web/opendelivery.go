package web

import (
	"crypto/rand"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// openRoutes are the pages of deliveries that stay open while they are scanned.
// An open delivery stands where it does when it is finished: /delivery.
func (s *site) openRoutes() []route {
	return []route{
		{"POST /delivery/begin", s.beginDelivery},
		{"POST /delivery/scan", s.scanInto},
		{"POST /delivery/tick", s.tick},
		{"POST /delivery/less", s.oneLess},
		{"GET /delivery/line", s.deliveryLine},
		{"POST /delivery/say", s.remark},
		{"POST /delivery/follow", s.toFollow},
		{"POST /delivery/finish", s.finishDelivery},
		{"POST /delivery/drop", s.dropDelivery},
	}
}

// openPage is a delivery that is being scanned.
type openPage struct {
	shop.OpenDelivery
	Key       string            // of the form
	Bin       string            // where what follows goes, empty: the part's own
	Times     int               // how many packs the next scan stands for, 0 as 1
	Shown     *shop.ScannedPack // the scan that led here, else the last one
	Line      *shop.DeliveryLine
	Joined    string       // number of an order that was scanned
	Repeated  bool         // what was asked for had been done before
	Refused   *fault.Error // why a scan came back
	Text      string       // of that scan
	Told      *told        // what a form did that led here
	Suppliers []string
	Bins      []string
	Session   string // of pictures

	Known, KnownFor string // a part that was added for a code that waits

	scan int64 // number of the scan that led here
}

// Done counts the lines that are complete, Expects those on which something was
// expected.
func (p openPage) Done() int { return p.count(shop.LineComplete, shop.LineOver) }

// Expects counts the lines on which something was expected.
func (p openPage) Expects() int {
	return p.count(shop.LineMissing, shop.LineShort, shop.LineComplete, shop.LineOver)
}

func (p openPage) count(states ...string) (n int) {
	for _, l := range p.Lines {
		if slices.Contains(states, l.State) {
			n++
		}
	}
	return n
}

// Open tells what is left to be cleared up, by state.
func (p openPage) Open() (all []openState) {
	for _, state := range []string{shop.LineMissing, shop.LineShort, shop.LineOver, shop.LineNotOrdered} {
		if n := p.count(state); n > 0 {
			all = append(all, openState{state, n})
		}
	}
	return all
}

// openState is how many lines are in a state.
type openState struct {
	State string
	Lines int
}

// Troubles are the pictures in which something was not read.
func (p openPage) Troubles() []shop.Viewed {
	return deliveryPage{Received: shop.Received{Pictures: p.Pictures}}.Troubles()
}

func (s *site) openDelivery(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	times, err := number(r, "times", 0)
	if err != nil {
		return err
	}
	page := openPage{Bin: q.Get("bin"), Times: int(times), Joined: q.Get("order"), Repeated: q.Has("before"), Known: q.Get("known")}
	if page.scan, err = number(r, "scan", 0); err != nil {
		return err
	}
	if page.Known != "" {
		page.KnownFor = q.Get("code")
	}
	if page.Told, err = tell(r, q); err != nil {
		return err
	}
	return s.showOpen(w, r, http.StatusOK, q.Get("name"), page)
}

// showOpen shows a delivery that is being scanned, with what the page says of
// the scan that led there.
func (s *site) showOpen(w http.ResponseWriter, r *http.Request, status int, name string, page openPage) (err error) {
	if page.OpenDelivery, err = s.shop.OpenDelivery(r.Context(), name); err != nil {
		return err
	}
	if page.Suppliers, err = s.shop.SupplierNames(r.Context()); err != nil {
		return err
	}
	if page.Bins, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	page.Key, page.Session, page.Shown = rand.Text(), rand.Text(), page.Last
	if own := page.Scan(page.scan); own != nil { // several phones: each sees its own
		page.Shown = own
	}
	if page.Shown != nil {
		for i, l := range page.Lines {
			if l.Name() == page.Shown.Name() {
				page.Line = &page.Lines[i]
			}
		}
	}
	return s.show(w, r, status, "opendelivery", s.printer.Say("web.delivery", page.Delivery), page)
}

// toDelivery is the page of a delivery.
func toDelivery(name string, more url.Values) string {
	return waitingAt(name, more)
}

func (s *site) beginDelivery(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	q := shop.BeginRequest{Name: f.Get("name"), Orders: f["order"], Supplier: f.Get("supplier")}
	out, err := s.shop.BeginDelivery(r.Context(), q)
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		page := intakePage{Session: rand.Text(), Begin: beginForm{Name: q.Name, Supplier: q.Supplier, Refused: s.forPages(e)}}
		if len(q.Orders) > 0 {
			page.Begin.Order = q.Orders[0]
		}
		return s.showIntake(w, r, statuses[e.Kind], page)
	}
	http.Redirect(w, r, toDelivery(out.Delivery, nil), http.StatusSeeOther)
	return nil
}

// keyOf gives the session and the number that the key of a form stands for: the
// script puts a number behind it for each scan.
func keyOf(key string) (session string, n int) {
	session, last, counted := strings.Cut(key, "-")
	if n, err := strconv.Atoi(last); counted && err == nil && n > 0 {
		return session, n
	}
	return key, 1
}

// scanInto takes one scan. One that is refused comes back on the page, with what
// was typed.
func (s *site) scanInto(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	times, err := number(r, "times", 0)
	if err != nil {
		return err
	}
	q := shop.ScanRequest{Delivery: f.Get("delivery"), Text: f.Get("text"), Times: int(times), Bin: f.Get("bin")}
	q.Session, q.Number = keyOf(f.Get("key"))
	out, err := s.shop.ScanInto(r.Context(), q)
	if err != nil {
		e := fault.Of(err)
		if open, _ := s.shop.IsOpen(r.Context(), q.Delivery); !open || e.Kind == fault.Internal || e.Kind == fault.Busy {
			return err
		}
		return s.showOpen(w, r, statuses[e.Kind], q.Delivery, openPage{Bin: q.Bin, Times: q.Times, Text: q.Text, Refused: s.forPages(e)})
	}
	more := url.Values{}
	if out.Bin != "" {
		q.Bin = out.Bin
	}
	if q.Bin != "" {
		more.Set("bin", q.Bin)
	}
	if out.Times > 1 {
		more.Set("times", strconv.Itoa(out.Times))
	}
	if out.Order > 0 {
		more.Set("order", strconv.FormatInt(out.Order, 10))
	}
	if out.Scan > 0 {
		more.Set("scan", strconv.FormatInt(out.Scan, 10))
	}
	if out.Repeated {
		more.Set("before", "yes")
	}
	http.Redirect(w, r, toDelivery(q.Delivery, more), http.StatusSeeOther)
	return nil
}

// stay leads back to an open delivery, to the line that a form stood on.
func (s *site) stay(w http.ResponseWriter, r *http.Request, out shop.OpenDelivery, err error) error {
	if err != nil {
		return err
	}
	more := url.Values{}
	for _, name := range []string{"bin"} {
		if v := r.PostForm.Get(name); v != "" {
			more.Set(name, v)
		}
	}
	to := toDelivery(out.Delivery, more)
	if at := r.PostForm.Get("at"); at != "" {
		to += "#" + url.PathEscape(at)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// tick says that a pack without a code is there.
func (s *site) tick(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	pieces, err := number(r, "pieces", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	out, err := s.shop.Tick(r.Context(), shop.TickRequest{
		Delivery: f.Get("delivery"), Part: strings.TrimSpace(f.Get("part")), Pieces: pieces, Bin: f.Get("bin"), Key: f.Get("key"),
	})
	return s.stay(w, r, out, err)
}

// oneLess takes a scan back.
func (s *site) oneLess(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	scan, err := number(r, "scan", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	out, err := s.shop.OneLess(r.Context(), shop.LessRequest{Delivery: f.Get("delivery"), Scan: scan, Part: f.Get("part")})
	return s.stay(w, r, out, err)
}

// linePage is a line of an open delivery, and what can be said of it.
type linePage struct {
	shop.DeliveryLine
	Delivery string
	Others   []shop.DeliveryLine // of which it may have been sent instead
	Verdict  *shop.Substitute    // whether it will do, or the other for it
	Came     string              // the part that came instead, as it was typed
	Ordered  string              // the part that it came for
}

// deliveryLine shows a line of an open delivery; with another part it tells
// whether that will do.
func (s *site) deliveryLine(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	d, err := s.shop.OpenDelivery(r.Context(), q.Get("delivery"))
	if err != nil {
		return err
	}
	page := linePage{Delivery: d.Delivery, Came: strings.TrimSpace(q.Get("came")), Ordered: q.Get("ordered")}
	found := false
	for _, l := range d.Lines {
		switch {
		case l.Name() == q.Get("part"):
			page.DeliveryLine, found = l, true
		case l.Expected > l.Counted:
			page.Others = append(page.Others, l)
		}
	}
	if !found {
		return fault.New(fault.NotFound, "shop.not_expected", q.Get("part"), d.Delivery)
	}
	if page.Came != "" || page.Ordered != "" {
		came, ordered := page.Came, page.Ordered
		if came == "" {
			came = page.Name()
		} else {
			ordered = page.Name()
		}
		verdict, err := s.shop.Substitute(r.Context(), came, ordered)
		if err != nil {
			return err
		}
		page.Verdict = &verdict
	}
	return s.show(w, r, http.StatusOK, "deliveryline", s.printer.Say("web.delivery", d.Delivery), page)
}

// remark says what is wrong with what came of a part.
func (s *site) remark(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	if kind := f.Get("kind"); !slices.Contains([]string{inventory.RemarkDamaged, inventory.RemarkWrong, inventory.RemarkNoted, inventory.RemarkInstead}, kind) {
		return fault.New(fault.Invalid, "web.bad_form").WithHint("web.bad_form.hint")
	}
	out, err := s.shop.Remark(r.Context(), shop.RemarkRequest{
		Delivery: f.Get("delivery"), Part: f.Get("part"), Kind: f.Get("kind"), Amount: amount, Ordered: f.Get("ordered"),
		Reason: f.Get("reason"), Key: f.Get("key"),
	})
	return s.stay(w, r, out, err)
}

// toFollow says when the rest of a line is to come.
func (s *site) toFollow(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	if _, err := s.shop.Promise(r.Context(), f.Get("order"), shop.PromiseRequest{Part: f.Get("part"), Day: f.Get("day")}); err != nil {
		return err
	}
	out, err := s.shop.OpenDelivery(r.Context(), f.Get("delivery"))
	return s.stay(w, r, out, err)
}

// finishDelivery posts what is known.
func (s *site) finishDelivery(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	out, err := s.shop.FinishDelivery(r.Context(), r.PostForm.Get("delivery"))
	if err != nil {
		return err
	}
	http.Redirect(w, r, toDelivery(out.Delivery, url.Values{"finished": {"yes"}}), http.StatusSeeOther)
	return nil
}

// dropDelivery ends a delivery without posting.
func (s *site) dropDelivery(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	name := r.PostForm.Get("delivery")
	if err := s.shop.DropDelivery(r.Context(), name); err != nil {
		return err
	}
	http.Redirect(w, r, "/receive?"+url.Values{"dropped": {name}}.Encode(), http.StatusSeeOther)
	return nil
}
