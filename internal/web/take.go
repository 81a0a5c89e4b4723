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

func (s *site) takeRoutes() []route {
	return []route{
		{"GET /take", s.takePage},
		{"POST /take", s.takeScan},
		{"POST /take/answer", s.answerTake},
	}
}

// takePage is the take mode: the job is asked once, then every scan is one out.
type takePage struct {
	takeList
	Asks bool // the job is not told yet
	Jobs []string
	New  string // the session that begins
}

// takeList is what a scan changes of the page.
type takeList struct {
	Session, Job string
	Last         *shop.TakeLine
	Earlier      []shop.TakeLine
	Waits        []shop.TakeLine // without the last one
	Lost         int64           // pieces that the book still had of the last part
	Refused      *fault.Error    // the scan that was none
}

// List gives the list that the page begins with.
func (p takePage) List() takeList { return p.takeList }

// tookLine is one scan as it is shown, the last one large.
type tookLine struct {
	List takeList
	Line shop.TakeLine
	Last bool
}

// lineOf gives a scan of a page.
func lineOf(l any) shop.TakeLine {
	if p, ok := l.(*shop.TakeLine); ok {
		return *p
	}
	return l.(shop.TakeLine)
}

func (s *site) takePage(w http.ResponseWriter, r *http.Request) error {
	return s.showTake(w, r, http.StatusOK, nil)
}

func (s *site) showTake(w http.ResponseWriter, r *http.Request, status int, refused *fault.Error) error {
	session, job := strings.TrimSpace(r.FormValue("session")), strings.TrimSpace(r.FormValue("job"))
	list, jobs, err := s.takes(r, session, job)
	if err != nil {
		return err
	}
	list.Refused = refused
	if list.Lost, err = number(r, "lost", 0); err != nil {
		return err
	}
	page := takePage{list, session == "", jobs, rand.Text()}
	return s.show(w, r, status, "take", s.printer.Say("web.take.title"), page)
}

func (s *site) takes(r *http.Request, session, job string) (list takeList, jobs []string, err error) {
	all, err := s.shop.Takes(r.Context(), session)
	if err != nil {
		return list, nil, err
	}
	list = takeList{Session: session, Job: job, Waits: all.Waits}
	if session != "" && len(all.Lines) > 0 {
		list.Last = &all.Lines[0]
		list.Earlier = slices.DeleteFunc(all.Lines[1:], shop.TakeLine.Waits)
		list.Waits = slices.DeleteFunc(all.Waits, func(l shop.TakeLine) bool { return l.Scan == list.Last.Scan })
	}
	return list, all.Jobs, nil
}

// takeScan takes what a scan stands for.
func (s *site) takeScan(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return s.tookIt(w, r, 0, err)
	}
	f := r.PostForm
	_, err = s.shop.Take(r.Context(), shop.TakeRequest{
		Key: f.Get("key"), Session: f.Get("session"), Job: f.Get("job"), Text: f.Get("scan"), Amount: amount,
	})
	return s.tookIt(w, r, 0, err)
}

// answerTake settles a scan that waits, or takes one back.
func (s *site) answerTake(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	scan, err := number(r, "number", 0)
	if err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return s.tookIt(w, r, 0, err)
	}
	f := r.PostForm
	out, err := s.shop.AnswerTake(r.Context(), shop.TakeAnswer{
		Scan: scan, Does: f.Get("does"), Part: strings.TrimSpace(f.Get("part")), Amount: amount, Learn: f.Get("learn") == "yes",
	})
	return s.tookIt(w, r, out.Lost, err)
}

// tookIt leads back to the page.
func (s *site) tookIt(w http.ResponseWriter, r *http.Request, lost int64, err error) error {
	f := r.PostForm
	session, job := f.Get("session"), f.Get("job")
	var refused *fault.Error
	status := http.StatusOK
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal || statuses[e.Kind] >= http.StatusInternalServerError {
			return err
		}
		refused, status = s.forPages(e), statuses[e.Kind]
	}
	if refused != nil {
		return s.showTake(w, r, status, refused)
	}
	query := url.Values{"session": {session}, "job": {job}}
	if lost > 0 {
		query.Set("lost", strconv.FormatInt(lost, 10))
	}
	http.Redirect(w, r, "/take?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// canEmpty reports whether the book still has some where a scan was taken from,
// or could be.
func canEmpty(l shop.TakeLine) bool {
	return l.OnHand > 0 && (l.State == inventory.TakeTaken || l.State == inventory.TakeShort)
}

// restOfPack gives how many pieces are left of the pack that a scan stands for, 0 where
// it was one or all of it.
func restOfPack(l shop.TakeLine) int64 {
	if l.State != inventory.TakeTaken || l.Undone || l.Pack <= l.Amount {
		return 0
	}
	return l.Pack - l.Amount
}
