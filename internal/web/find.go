package web

import (
	"net/http"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// first is the first page: the box, or what was found for q.
func (s *site) first(w http.ResponseWriter, r *http.Request) error {
	if q := strings.TrimSpace(r.FormValue("q")); q != "" {
		if to, ok := s.scannedBin(r, q); ok {
			http.Redirect(w, r, to, http.StatusSeeOther)
			return nil
		}
		if to, ok := s.scannedOrder(r, q); ok {
			http.Redirect(w, r, to, http.StatusSeeOther)
			return nil
		}
		return s.find(w, r, q)
	}
	return s.show(w, r, http.StatusOK, "first", s.printer.Say("web.first"), nil)
}

func (s *site) find(w http.ResponseWriter, r *http.Request, q string) error {
	most, err := limit(r)
	if err != nil {
		return err
	}
	only := onlyOf(r)
	found, err := s.shop.FindOnly(r.Context(), q, most, only)
	if fault.KindOf(err) == fault.Invalid { // the words stay at hand
		e := s.forPages(fault.Of(err))
		return s.show(w, r, statuses[fault.Invalid], "found", q, results{Query: q, Refused: e})
	}
	if err != nil {
		return err
	}
	page := results{Query: q, Found: found, Narrowing: s.narrowings(q, only, found)}
	if n := more(found); n > 0 {
		page.More, page.MoreURL = n, moreURL(q, only, n)
	}
	for i, f := range page.Forks {
		page.Forks[i].Why = s.news(f)
	}
	if len(page.Parts) > 0 && len(page.Forks) > mostForks {
		page.Forks, page.OtherForks = page.Forks[:mostForks], page.Forks[mostForks:]
	}
	return s.show(w, r, http.StatusOK, "found", q, page)
}

// mostForks is how many forks stand before the parts; more are a touch away.
const mostForks = 3

// results is what was found for some words.
type results struct {
	Query string
	shop.Found
	OtherForks []shop.ForkHit
	More       int // how many parts to ask for to see more, 0 for no more
	MoreURL    string
	Narrowing  narrowed
	Refused    *fault.Error // why nothing was looked for
}

func more(f shop.Found) int {
	if f.Total > len(f.Parts) && len(f.Parts) < mostHits {
		return min(f.Total, mostHits)
	}
	return 0
}

// news gives why a fork was found, unless its models say so already.
func (s *site) news(f shop.ForkHit) fault.Message {
	for _, m := range f.Models {
		if s.printer.Text(f.Why) == m.Make+" "+m.Model+" "+m.Years {
			return fault.Message{}
		}
	}
	return f.Why
}
