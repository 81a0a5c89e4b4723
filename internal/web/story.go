package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/shop"
)

// storyRoutes are how the stock came so, what it is worth, and what ends.
func (s *site) storyRoutes() []route {
	return []route{
		{"GET /ledger", s.ledger},
		{"GET /worth", s.worth},
		{"GET /expiring", s.expiring},
	}
}

// mostEntries is how many lines of the ledger stand on a page.
const mostEntries = 200

// ledgerPage is the story of a part, a bin, a lot, a job or a day, the newest
// first.
type ledgerPage struct {
	Entries []shop.Entry
	Of      shop.LedgerRequest
	Bins    []string
	Today   string
	Older   string // address of the page with what was before, empty for none
}

// Part gives whose story it is, empty for that of several.
func (p ledgerPage) Part() string { return p.Of.Part }

// Narrowed reports whether something besides the part narrows the story.
func (p ledgerPage) Narrowed() bool {
	return p.Of.Bin+p.Of.Lot+p.Of.Job+p.Of.Day+p.Of.AsOf != ""
}

// ledgerRequest reads whose story is asked for.
func ledgerRequest(r *http.Request) shop.LedgerRequest {
	field := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	return shop.LedgerRequest{
		Part: field("part"), Bin: field("bin"), Lot: field("lot"), Job: field("job"), Day: field("day"), AsOf: field("as_of"),
	}
}

// ledger shows movements, the newest first, from before the movement of that
// number on.
func (s *site) ledger(w http.ResponseWriter, r *http.Request) error {
	before, err := number(r, "before", 0)
	if err != nil {
		return err
	}
	page := ledgerPage{Of: ledgerRequest(r), Today: s.shop.Today()}
	page.Of.Before, page.Of.Last = before, mostEntries+1
	ledger, err := s.shop.Ledger(r.Context(), page.Of)
	if err != nil {
		return err
	}
	page.Entries = ledger.Movements
	if len(page.Entries) > mostEntries {
		page.Entries = page.Entries[1:]
		query := url.Values{}
		for name, value := range map[string]string{
			"part": page.Of.Part, "bin": page.Of.Bin, "lot": page.Of.Lot, "job": page.Of.Job, "day": page.Of.Day, "as_of": page.Of.AsOf,
		} {
			if value != "" {
				query.Set(name, value)
			}
		}
		page.Older = "/ledger?" + strings.TrimPrefix(query.Encode()+"&before="+strconv.FormatInt(page.Entries[0].Seq, 10), "&")
	}
	slices.Reverse(page.Entries)
	if page.Bins, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "ledger", s.printer.Say("web.ledger"), page)
}

// worth shows what the stock was worth on a day.
func (s *site) worth(w http.ResponseWriter, r *http.Request) error {
	day, fifo := strings.TrimSpace(r.FormValue("as_of")), r.FormValue("rule") == "fifo"
	out, err := s.shop.Worth(r.Context(), day, fifo)
	if err != nil {
		return err
	}
	page := struct {
		shop.Worth
		Today    string
		Unvalued []shop.WorthLine // with pieces whose cost is not known
	}{Worth: out, Today: s.shop.Today()}
	for _, l := range out.Lines {
		if l.Unknown != 0 {
			page.Unvalued = append(page.Unvalued, l)
		}
	}
	page.Lines = slices.DeleteFunc(page.Lines, func(l shop.WorthLine) bool { return l.Unknown == l.Amount })
	return s.show(w, r, http.StatusOK, "worth", s.printer.Say("web.worth"), page)
}

// usualWeeks is how far ahead the page of what ends looks.
const usualWeeks = 12

// expiring shows what on the shelf ends within some weeks.
func (s *site) expiring(w http.ResponseWriter, r *http.Request) error {
	weeks, err := number(r, "weeks", usualWeeks)
	if err != nil {
		return err
	}
	out, err := s.shop.Expiring(r.Context(), int(min(weeks, 1<<20)))
	if err != nil {
		return err
	}
	slices.SortStableFunc(out.Lines, func(a, b shop.ExpiringLine) int { return cmp.Compare(a.Ends, b.Ends) })
	return s.show(w, r, http.StatusOK, "expiring", s.printer.Say("web.expiring"), struct {
		shop.Expiring
		Weeks int64
	}{out, weeks})
}
