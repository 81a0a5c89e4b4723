package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// orderRoutes are the pages of orders to suppliers.
func (s *site) orderRoutes() []route {
	return []route{
		{"GET /orders", s.orders},
		{"POST /orders/draft", s.draftOrders},
		{"POST /orders/hour", s.setHour},
		{"GET /order", s.order},
		{"POST /order/add", s.orderMore},
		{"POST /order/packs", s.setPacks},
		{"POST /order/place", s.placeOrder},
		{"POST /order/promise", s.promise},
		{"POST /order/end", s.endOrder},
		{"GET /order/sheet", s.orderSheet},
		{"POST /buy", s.buy},
	}
}

// ordersPage is every order: those that are open by supplier, those that are
// ended, and what is urgent today.
type ordersPage struct {
	Open  []shop.Order // by supplier
	Older []shop.Order
	Today shop.Today
	Hours []shop.Hour
	Done  string // what a form did: "drafted", "nothing" or "hour"
}

// bySupplier gives orders by supplier, the oldest first.
func bySupplier(open []shop.Order) []shop.Order {
	return slices.SortedStableFunc(slices.Values(open), func(a, b shop.Order) int {
		return cmp.Or(strings.Compare(a.Supplier, b.Supplier), cmp.Compare(a.Number, b.Number))
	})
}

func (s *site) orders(w http.ResponseWriter, r *http.Request) error {
	page := ordersPage{Done: r.FormValue("done")}
	open, err := s.shop.Orders(r.Context(), false)
	if err != nil {
		return err
	}
	page.Open = bySupplier(open.Orders)
	all, err := s.shop.Orders(r.Context(), true)
	if err != nil {
		return err
	}
	page.Older = slices.DeleteFunc(all.Orders, func(o shop.Order) bool { return o.State != "closed" && o.State != "cancelled" })
	if page.Today, err = s.shop.OrderToday(r.Context()); err != nil {
		return err
	}
	if page.Hours, err = s.shop.Hours(r.Context()); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "orders", s.printer.Say("web.orders"), page)
}

// draftOrders puts the week's list on drafts, of one supplier where it is named.
func (s *site) draftOrders(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	drafted, err := s.shop.DraftOrders(r.Context(), strings.TrimSpace(r.PostForm.Get("supplier")))
	if err != nil {
		return err
	}
	done := "drafted"
	if len(drafted.Orders) == 0 {
		done = "nothing"
	}
	http.Redirect(w, r, "/orders?done="+done, http.StatusSeeOther)
	return nil
}

// setHour keeps until when an order leaves a supplier on the same day.
func (s *site) setHour(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	if _, err := s.shop.SetCutoff(r.Context(), r.PostForm.Get("supplier"), strings.TrimSpace(r.PostForm.Get("cutoff"))); err != nil {
		return err
	}
	http.Redirect(w, r, "/orders?done=hour#today", http.StatusSeeOther)
	return nil
}

// orderPage is an order with the forms that change it.
type orderPage struct {
	shop.Order
	Sender string // who orders, as it is to stand on the sheet
	Text   string // the order, ready to mail
	Paste  string // its lines for the supplier's own page
	Today  string
	Done   string // what a form did, the end of a message id
}

// Draft reports whether the order may still be changed.
func (p orderPage) Draft() bool { return p.State == "draft" }

// Sent reports whether the supplier has it and something may still come.
func (p orderPage) Sent() bool { return p.State == "placed" || p.State == "part_received" }

// Came reports whether something came of it.
func (p orderPage) Came() bool {
	return slices.ContainsFunc(p.Lines, func(l shop.OrderLine) bool { return l.Received > 0 })
}

func (s *site) order(w http.ResponseWriter, r *http.Request) error {
	name := r.FormValue("number")
	o, err := s.shop.Order(r.Context(), name)
	if err != nil {
		return err
	}
	page := orderPage{Order: o, Sender: r.FormValue("sender"), Today: s.shop.Today(), Done: r.FormValue("done")}
	for form, to := range map[string]*string{shop.OrderText: &page.Text, shop.OrderPaste: &page.Paste} {
		text, err := s.shop.OrderSheet(r.Context(), name, form, page.Sender)
		if err != nil {
			return err
		}
		*to = string(text)
	}
	return s.show(w, r, http.StatusOK, "order", s.printer.Say("web.order", o.Number), page)
}

// changed leads back to an order that a form has changed.
func (s *site) changed(w http.ResponseWriter, r *http.Request, o shop.Order, done string) {
	http.Redirect(w, r, "/order?"+url.Values{"number": {strconv.FormatInt(o.Number, 10)}, "done": {done}}.Encode(), http.StatusSeeOther)
}

// orderMore puts a part on a draft.
func (s *site) orderMore(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	packs, err := number(r, "packs", 1)
	if err != nil {
		return err
	}
	f := r.PostForm
	o, err := s.shop.OrderMore(r.Context(), f.Get("number"), shop.LineRequest{
		Part: strings.TrimSpace(f.Get("part")), Packs: packs, Item: strings.TrimSpace(f.Get("item")), Job: f.Get("job"),
		Unlisted: f.Get("unlisted") == "yes",
	})
	if err != nil {
		return err
	}
	s.changed(w, r, o, "added")
	return nil
}

// setPacks sets how many packs of its lines a draft asks for.
func (s *site) setPacks(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	packs := map[string]int64{}
	if off := r.PostForm.Get("off"); off != "" {
		packs[off] = 0
	} else {
		for name := range r.PostForm {
			id, ok := strings.CutPrefix(name, "packs-")
			if !ok {
				continue
			}
			n, err := number(r, name, -1)
			if err != nil {
				return err
			}
			if n >= 0 { // an empty field changes nothing
				packs[id] = n
			}
		}
	}
	o, err := s.shop.SetPacks(r.Context(), r.PostForm.Get("number"), packs)
	if err != nil {
		return err
	}
	s.changed(w, r, o, "kept")
	return nil
}

// placeOrder notes that the supplier has an order, or another day on which it is
// expected. The form sent twice changes nothing.
func (s *site) placeOrder(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	o, err := s.shop.PlaceOrder(r.Context(), f.Get("number"), strings.TrimSpace(f.Get("day")), strings.TrimSpace(f.Get("expected")))
	return s.ended(w, r, o, err, "placed", "part_received", "placed")
}

// endOrder closes or cancels an order. The form sent twice changes nothing.
func (s *site) endOrder(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	cancel := f.Get("cancel") == "yes"
	o, err := s.shop.EndOrder(r.Context(), f.Get("number"), cancel, strings.TrimSpace(f.Get("reason")))
	state := "closed"
	if cancel {
		state = "cancelled"
	}
	return s.ended(w, r, o, err, state, state)
}

// ended leads to an order that was brought into a state; done is what the page
// tells. Where that is refused because the order is in one of these states
// already, the form was sent twice.
func (s *site) ended(w http.ResponseWriter, r *http.Request, o shop.Order, err error, done string, states ...string) error {
	if fault.KindOf(err) == fault.Conflict {
		now, again := s.shop.Order(r.Context(), r.PostForm.Get("number"))
		if again == nil && slices.Contains(states, now.State) {
			o, err = now, nil
		}
	}
	if err != nil {
		return err
	}
	s.changed(w, r, o, done)
	return nil
}

// promise notes what a supplier says of a line that has not come.
func (s *site) promise(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	q := shop.PromiseRequest{Part: f.Get("part"), Line: f.Get("line"), Day: strings.TrimSpace(f.Get("day"))}
	if f.Get("dropped") != "" {
		n, err := number(r, "dropped", 0)
		if err != nil {
			return err
		}
		q.Dropped = &n
	}
	o, err := s.shop.Promise(r.Context(), f.Get("number"), q)
	if err != nil {
		return err
	}
	s.changed(w, r, o, "promised")
	return nil
}

// orderSheet sends an order in a form that a supplier gets.
func (s *site) orderSheet(w http.ResponseWriter, r *http.Request) error {
	name, kind := r.FormValue("number"), r.FormValue("form")
	o, err := s.shop.Order(r.Context(), name)
	if err != nil {
		return err
	}
	data, err := s.shop.OrderSheet(r.Context(), name, kind, r.FormValue("sender"))
	if err != nil {
		return err
	}
	file := o.Code
	switch kind {
	case shop.OrderPDF:
		sendPDF(w, file+".pdf", data)
		return nil
	case shop.OrderCSV:
		w.Header().Set("Content-Type", "text/csv; charset=utf-8")
		file += ".csv"
	default:
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		file += ".txt"
	}
	w.Header().Set("Content-Disposition", `attachment; filename="`+file+`"`)
	_, _ = w.Write(data) // the reader may have gone
	return nil
}

// scannedOrder gives where to find the order whose code was scanned into the box.
func (s *site) scannedOrder(r *http.Request, text string) (to string, ok bool) {
	if !shop.IsOrderCode(text) {
		return "", false
	}
	o, err := s.shop.Order(r.Context(), text)
	return "/order?number=" + strconv.FormatInt(o.Number, 10), err == nil
}

// buying is the form for what was bought round the corner.
type buying struct {
	Part, Unit string
	Amount     int64
	Suppliers  []string
	Supplier   string // chosen
}

// buy takes in what was bought round the corner.
func (s *site) buy(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	done, err := s.shop.Buy(r.Context(), shop.BuyRequest{
		Part: field("part"), Amount: amount, Supplier: field("supplier"), Price: field("price"), Job: field("job"),
		Bin: field("bin"), Key: field("key"),
	})
	if err != nil {
		return err
	}
	s.donePart(w, r, field("part"), done.Posted)
	return nil
}
