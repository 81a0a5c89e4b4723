package web

import "net/http"

func (s *site) suggestJSON(r *http.Request) (any, error) {
	return pointer(s.shop.Suggest(r.Context(), r.FormValue("q")))
}
