package web

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// json answers with what ask gives, its messages in the shop's language.
func (s *site) json(ask func(r *http.Request) (any, error)) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		answer, err := ask(r)
		if err != nil {
			return err
		}
		return s.send(w, http.StatusOK, answer)
	}
}

func (s *site) send(w http.ResponseWriter, status int, answer any) error {
	s.printer.Fill(answer)
	text, err := json.MarshalIndent(answer, "", "  ")
	if err != nil {
		return fault.Of(err)
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(append(text, '\n')) // the reader may have gone
	return nil
}

// pointer gives what send fills in, and the error beside it.
func pointer[T any](answer T, err error) (any, error) { return &answer, err }

func (s *site) findJSON(r *http.Request) (any, error) {
	most, err := limit(r)
	if err != nil {
		return nil, err
	}
	return pointer(s.shop.FindOnly(r.Context(), r.FormValue("q"), most, onlyOf(r)))
}

func (s *site) partJSON(r *http.Request) (any, error) {
	return pointer(s.shop.PartPage(r.Context(), r.FormValue("name")))
}

func (s *site) xrefJSON(r *http.Request) (any, error) {
	return pointer(s.shop.Xref(r.Context(), r.FormValue("number")))
}

func (s *site) forkJSON(r *http.Request) (any, error) {
	q, err := forkQuery(r)
	if err != nil {
		return nil, err
	}
	return pointer(s.shop.Fork(r.Context(), q))
}

func (s *site) reorderJSON(r *http.Request) (any, error) {
	return pointer(s.shop.Reorder(r.Context(), reorderRequest(r)))
}

func (s *site) stockJSON(r *http.Request) (any, error) {
	return pointer(s.shop.Stock(r.Context(), r.FormValue("part"), r.FormValue("as_of")))
}

func (s *site) ledgerJSON(r *http.Request) (any, error) {
	return pointer(s.shop.Ledger(r.Context(), ledgerRequest(r)))
}

func forkQuery(r *http.Request) (shop.ForkQuery, error) {
	year, err := number(r, "year", 0)
	return shop.ForkQuery{
		Name: strings.TrimSpace(r.FormValue("name")),
		Make: strings.TrimSpace(r.FormValue("make")), Model: strings.TrimSpace(r.FormValue("model")), Year: int(year),
		Variant: strings.TrimSpace(r.FormValue("variant")), Code: strings.TrimSpace(r.FormValue("code")),
		Frame: strings.TrimSpace(r.FormValue("frame")), Bike: strings.TrimSpace(r.FormValue("bike")),
	}, err
}

func reorderRequest(r *http.Request) shop.ReorderRequest {
	return shop.ReorderRequest{Supplier: r.FormValue("supplier"), AsOf: r.FormValue("as_of")}
}

// mostHits is the most parts that one search shows.
const mostHits = 200

// limit gives how many parts a search asks for: n, or 20.
func limit(r *http.Request) (int, error) {
	n, err := number(r, "n", 20)
	if err == nil && (n < 1 || n > mostHits) {
		err = fault.New(fault.Invalid, "web.bad_limit", n, mostHits)
	}
	return int(n), err
}

// number reads a whole number from a field, which means absent where it is
// empty. Which numbers are good the shop says. Error: Invalid.
func number(r *http.Request, name string, absent int64) (int64, error) {
	text := strings.TrimSpace(r.FormValue(name))
	if text == "" {
		return absent, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0, fault.New(fault.Invalid, "web.bad_number", text).WithHint("web.bad_number.hint")
	}
	return n, nil
}
