package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// countRoutes are the pages of counting, and of the first stocktake.
func (s *site) countRoutes() []route {
	return slices.Concat(s.stocktakeRoutes(), []route{
		{"GET /count", s.counts},
		{"POST /count", s.beginCount},
		{"GET /count/open", s.count},
		{"GET /count/bin", s.countBin},
		{"POST /count/scan", s.countScan},
		{"POST /count/set", s.countSet},
		{"POST /count/done", s.countDone},
		{"POST /count/post", s.countPost},
		{"POST /count/drop", s.countDrop},
		{"GET /count/sheet.pdf", s.countSheet},
	})
}

// countsPage lists the counts, and begins one.
type countsPage struct {
	Open, Ended []shop.Count
	Bins        []string
	Name        string // typed, or today
	Dropped     string // a count that was dropped just now
	Refused     *fault.Error
}

func (s *site) counts(w http.ResponseWriter, r *http.Request) error {
	return s.showCounts(w, r, http.StatusOK, countsPage{Name: s.shop.Today(), Dropped: r.FormValue("dropped")})
}

func (s *site) showCounts(w http.ResponseWriter, r *http.Request, status int, page countsPage) (err error) {
	if page.Open, err = s.shop.Counts(r.Context()); err != nil {
		return err
	}
	if page.Ended, err = s.shop.CountsEnded(r.Context()); err != nil {
		return err
	}
	if page.Bins, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	return s.show(w, r, status, "counts", s.printer.Say("web.counts"), page)
}

func (s *site) beginCount(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	name := strings.TrimSpace(r.PostForm.Get("name"))
	if _, err := s.shop.BeginCount(r.Context(), name); err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		return s.showCounts(w, r, statuses[e.Kind], countsPage{Name: name, Refused: s.forPages(e)})
	}
	http.Redirect(w, r, toCount(name), http.StatusSeeOther)
	return nil
}

func toCount(name string) string { return "/count/open?" + url.Values{"name": {name}}.Encode() }

// countPage is a count: its bins, and its differences to be reviewed.
type countPage struct {
	shop.Count
	Differ, Agree, Again []shop.CountLine // Again: something moved while it was counted
	Rest                 []string         // bins that nobody has begun
}

func (s *site) count(w http.ResponseWriter, r *http.Request) error {
	c, err := s.shop.CountOrEnded(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	page := countPage{Count: c}
	for _, l := range c.Lines {
		switch {
		case l.Moved:
			page.Again = append(page.Again, l)
		case l.Difference != 0:
			page.Differ = append(page.Differ, l)
		default:
			page.Agree = append(page.Agree, l)
		}
	}
	bins, err := s.shop.Bins(r.Context())
	if err != nil {
		return err
	}
	for _, b := range bins {
		if !slices.ContainsFunc(c.Bins, func(v shop.CountBin) bool { return v.Bin == b }) {
			page.Rest = append(page.Rest, b)
		}
	}
	return s.show(w, r, http.StatusOK, "count", s.printer.Say("web.count.named", c.Name), page)
}

// countedPage is a bin that is being counted.
type countedPage struct {
	shop.CountedBin
	Blind   bool            // without what the book has
	Last    *shop.CountLine // that was counted just now
	Unknown string          // a scan that stands for no part
}

func (s *site) countBin(w http.ResponseWriter, r *http.Request) error {
	b, err := s.shop.CountedBin(r.Context(), r.FormValue("name"), r.FormValue("bin"))
	if err != nil {
		return err
	}
	page := countedPage{CountedBin: b, Blind: r.FormValue("blind") != "", Unknown: r.FormValue("unknown")}
	for i, l := range b.Counted {
		if l.Seen && l.Name() == r.FormValue("last") {
			page.Last = &b.Counted[i]
		}
	}
	return s.show(w, r, http.StatusOK, "countbin", s.printer.Say("web.bin_named", b.Bin), page)
}

// toBin gives the page of the bin that a form counted in.
func toBin(f url.Values, bin string, more url.Values) string {
	query := url.Values{"name": {f.Get("name")}, "bin": {bin}}
	if f.Get("blind") != "" {
		query.Set("blind", "yes")
	}
	for name, values := range more {
		if values[0] != "" {
			query[name] = values
		}
	}
	return "/count/bin?" + query.Encode()
}

// countScan takes one scan: the label of a bin, or a pack that lies in the bin of
// the page; with an amount it says how much of the part lies there.
func (s *site) countScan(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	text, bin := strings.TrimSpace(f.Get("text")), f.Get("bin")
	if text != "" && strings.TrimSpace(f.Get("amount")) != "" {
		return s.countSet(w, r)
	}
	got, err := s.shop.ScanCount(r.Context(), f.Get("name"), bin, f.Get("key"), strings.NewReader(text+"\n"))
	if err != nil {
		return err
	}
	unknown := ""
	if len(got.Unknown) > 0 {
		unknown = got.Unknown[0]
	}
	http.Redirect(w, r, toBin(f, got.Bin, url.Values{"last": {got.Last}, "unknown": {unknown}}), http.StatusSeeOther)
	return nil
}

// countSet takes how much of a part lies in the bin.
func (s *site) countSet(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	amount, err := number(r, "amount", -1)
	if err != nil {
		return err
	}
	part := strings.TrimSpace(f.Get("text"))
	set := shop.CountSet{Count: f.Get("name"), Bin: f.Get("bin"), Part: part, Amount: amount, Key: f.Get("key")}
	got, err := s.shop.SetCount(r.Context(), set)
	if err != nil {
		return err
	}
	http.Redirect(w, r, toBin(f, f.Get("bin"), url.Values{"last": {got.Last}}), http.StatusSeeOther)
	return nil
}

// countDone says that the bin was looked through.
func (s *site) countDone(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	if _, err := s.shop.CountBin(r.Context(), f.Get("name"), f.Get("bin")); err != nil {
		return err
	}
	http.Redirect(w, r, toBin(f, f.Get("bin"), nil), http.StatusSeeOther)
	return nil
}

// countPost enters the differences, each with its reason.
func (s *site) countPost(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	q := shop.CountPosting{Count: f.Get("name"), ID: f.Get("id"), Reason: f.Get("reason"), Reasons: map[string]string{}}
	for name, values := range f {
		if line, ok := strings.CutPrefix(name, "why "); ok {
			q.Reasons[line] = values[0]
		}
	}
	if _, err := s.shop.PostCount(r.Context(), q); err != nil {
		return err
	}
	http.Redirect(w, r, toCount(q.Count), http.StatusSeeOther)
	return nil
}

// countDrop ends a count without posting.
func (s *site) countDrop(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	name := r.PostForm.Get("name")
	if err := s.shop.DropCount(r.Context(), name); err != nil {
		return err
	}
	http.Redirect(w, r, "/count?"+url.Values{"dropped": {name}}.Encode(), http.StatusSeeOther)
	return nil
}

// countSheet sends a sheet to count by on paper.
func (s *site) countSheet(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	bins := slices.DeleteFunc(q["bin"], func(b string) bool { return b == "" })
	pdf, err := s.shop.CountSheet(r.Context(), bins, q.Get("blind") != "")
	if err != nil {
		return err
	}
	sendPDF(w, "count.pdf", pdf)
	return nil
}
