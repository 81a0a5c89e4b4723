// Package web is the pages of a shop and the same answers as JSON under /api/:
// it reads a request, calls one method of internal/shop, and shows what that
// returns in the shop's language. The kinds of fault become HTTP statuses in
// one table here.
//
// Pages are HTML and work without any script; one of our own shows what the text
// in the box may become while it is typed. What changes the shop is a POST, carries
// a key of the form it came from, so that a form sent twice counts once, and
// answers with a redirect (303). There are no logins yet, so only this machine
// may ask: the server listens on loopback addresses alone, and answers
// requests for no other host name (which a hostile page could point at this
// machine) and none sent by another site's page.
//
// Numbers and sizes are shown with the decimal mark of the language; JSON is
// that of the result types of internal/shop, with its units.
//
// Non-goals: business rules, SQL, rendering messages (package words).
//
// Sources: HTTP status codes, RFC 9110; Content Security Policy Level 3;
// Fetch Metadata Request Headers (Sec-Fetch-Site).
package web

import (
	"net/http"
	"slices"

	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// site is the pages of one shop.
type site struct {
	shop    *shop.Shop
	printer *words.Printer
	pages   pages
}

// A handler answers a request, or gives the error to answer with.
type handler func(w http.ResponseWriter, r *http.Request) error

// route is where a handler stands.
type route struct {
	pattern string // as http.ServeMux takes it
	handler handler
}

func (s *site) routes() []route {
	return slices.Concat(s.storyRoutes(), s.takeRoutes(), s.counterRoutes(), s.labelRoutes(), s.orderRoutes(), s.trayRoutes(), s.complaintRoutes(), s.intakeRoutes(), s.openRoutes(), s.countRoutes(), []route{
		{"GET /{$}", s.first},
		{"GET /part", s.part},
		{"GET /part/new", s.newPartForm},
		{"POST /part/new", s.addPart},
		{"POST /issue", s.move},
		{"POST /return", s.move},
		{"POST /scrap", s.move},
		{"POST /move", s.move},
		{"POST /undo", s.undo},
		{"GET /fork", s.fork},
		{"GET /fork/new", s.newForkForm},
		{"POST /fork/new", s.addFork},
		{"POST /place", s.addPlace},
		{"POST /confirm", s.confirm},
		{"POST /withdraw", s.withdraw},
		{"POST /replaced", s.replaced},
		{"POST /usable", s.usable},
		{"GET /merge", s.merge},
		{"POST /merge", s.mergeParts},
		{"POST /unmerge", s.unmerge},
		{"GET /fit", s.fit},
		{"GET /identify", s.identify},
		{"GET /import", s.importForm},
		{"POST /import", s.upload},
		{"GET /import/preview", s.preview},
		{"POST /import/confirm", s.takeList},
		{"GET /import/done", s.listTaken},
		{"GET /items", s.items},
		{"GET /item", s.item},
		{"POST /adopt", s.adopt},
		{"GET /reorder", s.reorder},
		{"GET /stock", s.stock},
		{"GET /api/find", s.json(s.findJSON)},
		{"GET /api/suggest", s.json(s.suggestJSON)},
		{"GET /api/part", s.json(s.partJSON)},
		{"GET /api/fork", s.json(s.forkJSON)},
		{"GET /api/xref", s.json(s.xrefJSON)},
		{"GET /api/fit", s.json(s.fitJSON)},
		{"GET /api/identify", s.json(s.identifyJSON)},
		{"GET /api/reorder", s.json(s.reorderJSON)},
		{"GET /api/stock", s.json(s.stockJSON)},
		{"GET /api/ledger", s.json(s.ledgerJSON)},
		{"GET /style.css", asset("style.css", "text/css; charset=utf-8")},
		{"GET /scan.js", asset("scan.js", "text/javascript; charset=utf-8")},
		{"GET /bag.js", asset("bag.js", "text/javascript; charset=utf-8")},
		{"GET /each.js", asset("each.js", "text/javascript; charset=utf-8")},
		{"GET /suggest.js", asset("suggest.js", "text/javascript; charset=utf-8")},
		{"GET /icon.svg", asset("icon.svg", "image/svg+xml")},
		{"/", s.nowhere},
	})
}

// Handler gives the pages of a shop. It must outlive neither the shop nor a
// change of its settings.
func Handler(open *shop.Shop) http.Handler {
	s := &site{shop: open, printer: words.For(open.Settings().Language)}
	s.pages = parse(s)
	mux := http.NewServeMux()
	for _, route := range s.routes() {
		mux.Handle(route.pattern, s.answer(route.handler))
	}
	return s.guard(mux)
}

// answer runs h, and shows the error that it may give.
func (s *site) answer(h handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := h(w, r); err != nil {
			s.refuse(w, r, err)
		}
	})
}
