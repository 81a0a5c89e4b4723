package web

import (
	"net"
	"net/http"
	"strings"

	"forkstock/internal/fault"
)

// Largest bodies, in bytes: a small form, one with pictures, one with a list.
const (
	mostForm     = 64 << 10
	mostPictures = 200 << 20
	mostList     = 100 << 20
)

// policy lets a page load its own style, pictures and the scripts of its own,
// which ask this server alone, send forms to this server, and nothing else: no
// script that stands in a page can run.
const policy = "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guard stands before every page. Of requests with a body that is too large,
// the read fails.
func (s *site) guard(next http.Handler) http.Handler {
	crossOrigin := http.NewCrossOriginProtection()
	crossOrigin.SetDenyHandler(s.answer(func(http.ResponseWriter, *http.Request) error {
		return fault.New(fault.Denied, "web.cross_site").WithHint("web.cross_site.hint")
	}))
	next = crossOrigin.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin") // no-referrer would take the Origin from our own forms
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !ownHost(r.Host) {
			s.refuse(w, r, fault.New(fault.Denied, "web.other_host", r.Host).WithHint("web.other_host.hint", Listen))
			return
		}
		most := int64(mostForm)
		switch r.URL.Path {
		case "/receive":
			most = mostPictures
		case "/receive/look":
			most = 3 * mostLines // as a form writes them
		case "/import":
			most = mostList
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		next.ServeHTTP(w, r)
	})
}

// ownHost reports whether a Host header names this machine. Any other name,
// even one that leads here, is that of another site (DNS rebinding).
func ownHost(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
	return strings.EqualFold(host, "localhost") || isLoopback(host)
}
