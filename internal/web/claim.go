package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/internal/shop"
)

// claimed leads to what was said of a claim.
func claimed(done shop.Confirmed) url.Values {
	query := url.Values{"claim": {strconv.FormatInt(done.Claim, 10)}}
	if done.Repeated {
		query.Set("said", "again")
	}
	return query
}

// said is a claim that was seen right or wrong, or taken back.
type said struct {
	shop.Source
	Again bool // the same person had said so today
}

// saidOf picks the claim out of a page's that its address tells of.
func saidOf(r *http.Request, all []shop.Source) *said {
	for _, c := range all {
		if strconv.FormatInt(c.Claim, 10) == r.FormValue("claim") {
			return &said{c, r.FormValue("said") == "again"}
		}
	}
	return nil
}

// confirm keeps what was seen with own eyes: that a part fits a fork or does
// not, or that a claim is right or wrong.
func (s *site) confirm(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	q := shop.ConfirmRequest{Part: field("part"), Fork: field("fork"), Wrong: field("wrong") != "", Why: field("why")}
	place, err := number(r, "place", 0)
	if err == nil && field("claim") != "" {
		q.Claim, err = shop.ReadClaim(field("claim"))
	}
	if err != nil {
		return err
	}
	q.Place = int(place)
	done, err := s.shop.Confirm(r.Context(), q)
	if err != nil {
		return err
	}
	http.Redirect(w, r, s.whence(r, done), http.StatusSeeOther)
	return nil
}

// withdraw takes a claim back.
func (s *site) withdraw(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	number, err := shop.ReadClaim(r.PostForm.Get("claim"))
	if err != nil {
		return err
	}
	done, err := s.shop.Withdraw(r.Context(), number, r.PostForm.Get("why"))
	if err != nil {
		return err
	}
	http.Redirect(w, r, s.whence(r, shop.Confirmed{Source: done.Source}), http.StatusSeeOther)
	return nil
}

// whence gives the page that a form about a claim stood on.
func (s *site) whence(r *http.Request, c shop.Confirmed) string {
	if c.Part == "" || r.PostForm.Get("from") == "fork" {
		return toFork(c.Fork, claimed(c)) + "#sources"
	}
	query := claimed(c)
	query.Set("name", c.Part)
	return "/part?" + query.Encode() + "#sources"
}

// withOrigin gives the claims of a page, with the page that they stand on.
func withOrigin(from string, all []shop.Source) any {
	return struct {
		From string
		All  []shop.Source
	}{from, all}
}
