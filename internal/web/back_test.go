package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// More that comes back from a job than was out for it is posted, and the page
// says so; taken back, nothing is odd any more.
func TestBackMoreThanWasOut(t *testing.T) {
	pages := Handler(testShop(t, "en"))
	does := func(target, amount, job string) string {
		t.Helper()
		form := url.Values{"part": {"Nelvo/NS 41"}, "amount": {amount}, "job": {job}}
		w := step{method: http.MethodPost, target: target, form: form}.ask(t, pages)
		return get(t, pages, w.Header().Get("Location"))
	}
	does("/issue", "1", "900")
	does("/issue", "3", "901")
	const odd = "2 came back from job 900, but by the book 1 was out for it"
	page := does("/return", "2", "900")
	if !strings.Contains(page, odd) {
		t.Fatalf("nothing is said\n%s", page)
	}
	page, _ = press(t, pages, page, "/undo")
	if strings.Contains(page, odd) {
		t.Errorf("said of what is taken back\n%s", page)
	}
	if page = does("/return", "1", "900"); strings.Contains(page, "came back from job") {
		t.Errorf("said though it was out\n%s", page)
	}
}
