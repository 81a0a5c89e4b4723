package web

import (
	"bytes"
	"errors"
	"html"
	"image/png"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/scanner"
)

var (
	hidden = regexp.MustCompile(`<input type="hidden" name="(\w+)" value="([^"]*)">`)
	large  = regexp.MustCompile(`<b>(\d+ pieces?)</b> in stock|<span class="big">(\d+ pieces?)</span>`)
)

// press sends the last form to an address that stands on a page, as a click on
// its button does, and gives the page that it leads to, and its address.
func press(t *testing.T, pages http.Handler, page, action string) (next, address string) {
	t.Helper()
	at := strings.LastIndex(page, `action="`+action+`"`)
	if at < 0 {
		t.Fatalf("no form to %s on the page\n%s", action, page)
	}
	text, _, _ := strings.Cut(page[at:], "</form>")
	form := url.Values{}
	for _, m := range hidden.FindAllStringSubmatch(text, -1) {
		form.Add(m[1], html.UnescapeString(m[2]))
	}
	w := step{method: http.MethodPost, target: action, form: form}.ask(t, pages)
	if w.Code != http.StatusSeeOther {
		t.Fatalf("%s %v: %d\n%s", action, form, w.Code, w.Body)
	}
	address = w.Header().Get("Location")
	return get(t, pages, address), address
}

func get(t *testing.T, pages http.Handler, target string) string {
	t.Helper()
	w := step{method: http.MethodGet, target: target}.ask(t, pages)
	always(t, target, w)
	return w.Body.String()
}

// amount gives the amount that a page shows large.
func amount(page string) string {
	if m := large.FindStringSubmatch(page); m != nil {
		return m[1] + m[2]
	}
	return ""
}

// twoPictures gives two pictures of a code.
func twoPictures(t *testing.T, code string) map[string][]byte {
	t.Helper()
	pictures := map[string][]byte{}
	for name, height := range map[string]int{"a.png": 90, "b.png": 110} {
		label, err := scanner.Draw("code128", code, 3, height)
		var b bytes.Buffer
		if err := errors.Join(err, png.Encode(&b, label)); err != nil {
			t.Fatal(err)
		}
		pictures[name] = b.Bytes()
	}
	return pictures
}

// A pack that two pictures show counts twice, until somebody takes the second
// back; and that can be taken back, too.
func TestTwoPictures(t *testing.T) {
	pages := Handler(testShop(t, "en"))
	to := send(t, pages, map[string]string{"session": "P1", "delivery": "DN 8"}, twoPictures(t, "NELVO41")).Header().Get("Location")
	if want := "/delivery?added=2&came=4&name=DN+8&repeated=0"; to != want {
		t.Fatalf("to %s, want %s", to, want)
	}
	page := get(t, pages, to)
	for _, want := range []struct{ says, amount, next string }{
		{"1 code was in two pictures and counted in both", "4 pieces", "/undo"},
		{"1 scan was posted and undone since", "2 pieces", "/undo"},
		{"1 code was in two pictures and counted in both", "4 pieces", ""},
	} {
		if !strings.Contains(page, want.says) || amount(page) != want.amount {
			t.Fatalf("got %s, want %s and %q\n%s", amount(page), want.amount, want.says, page)
		}
		if want.next != "" {
			page, _ = press(t, pages, page, want.next)
		}
	}
}

// A code that waited and is linked apart from its delivery tells that two
// pictures show it.
func TestTwoPicturesLinked(t *testing.T) {
	pages := Handler(testShop(t, "en"))
	send(t, pages, map[string]string{"session": "P1", "delivery": "DN 8"}, twoPictures(t, "UNHEARD-2"))
	form := url.Values{"code": {"UNHEARD-2"}, "part": {"Quarn/BW-10"}}
	w := step{method: http.MethodPost, target: "/link", form: form}.ask(t, pages)
	if got, want := w.Header().Get("Location"), "/waiting?again=1&part=Quarn%2FBW-10&posted=2"; got != want {
		t.Errorf("to %s, want %s", got, want)
	}
}

// What only comes near is not what to buy.
func TestBuy(t *testing.T) {
	near, fits := shop.Fit{Verdict: catalog.Near}, shop.Fit{Verdict: catalog.Fits}
	for _, tt := range []struct {
		parts []shop.Fit
		want  bool
	}{{nil, false}, {[]shop.Fit{near}, false}, {[]shop.Fit{fits, near}, true}} {
		if got := (place{Position: shop.Position{Parts: tt.parts}}).Buy(); (got != nil) != tt.want {
			t.Errorf("Buy of %v = %v, want one: %v", tt.parts, got, tt.want)
		}
	}
}

// What was found for a posting stays when that is undone, and has a button of
// its own then.
func TestUndoFound(t *testing.T) {
	pages := Handler(testShop(t, "en"))
	form := url.Values{"part": {"Nelvo/NS 41"}, "amount": {"5"}, "found": {"yes"}, "key": {"k"}}
	w := step{method: http.MethodPost, target: "/issue", form: form}.ask(t, pages)
	page := get(t, pages, w.Header().Get("Location"))
	if !strings.Contains(page, "found, to be looked into: 1 piece into A-01-1") {
		t.Fatalf("what was found is not told\n%s", page)
	}
	page, undone := press(t, pages, page, "/undo")
	if got := amount(page); got != "5 pieces" || !strings.Contains(page, "Take back what was found, too") {
		t.Fatalf("after the undo: %s, want 5 pieces and a button\n%s", got, page)
	}
	after, _ := press(t, pages, page, "/undo")
	for _, page := range []string{after, get(t, pages, undone)} {
		if got := amount(page); got != "4 pieces" || strings.Contains(page, `action="/undo"`) {
			t.Fatalf("after both: %s, want 4 pieces and no button\n%s", got, page)
		}
	}
}
