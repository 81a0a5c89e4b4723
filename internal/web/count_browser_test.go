//go:build !race

package web

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// shows waits until an element of the page shows text.
func (b browser) shows(selector, text string) {
	b.t.Helper()
	var got string
	for range 100 {
		var err error
		look := "document.querySelector(" + strconv.Quote(selector) + ")?.innerText ?? ''" // in one step: the page may change
		if got, err = chromedp.Run(b.ctx, chromedp.Evaluate[string](look)); err != nil {
			b.t.Fatal(err)
		}
		if strings.Contains(strings.Join(strings.Fields(got), " "), text) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.t.Fatalf("%s shows %q, want %q", selector, got, text)
}

// A hand scanner counts as fast as keys go, with Tab or Enter behind each code:
// the field stays ready, each scan counts once, the label of another bin goes on
// there, and what cannot be sent waits until the shop's computer answers again.
func TestBrowserCountScans(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/count"), chromedp.WaitVisible(`form[action="/count"]`), chromedp.Click(`form[action="/count"] button.main`))
	b.do(chromedp.WaitVisible(chromedp.CSS(`input[name="text"]:focus`)), chromedp.KeyEvent("A-01-1"+kb.Enter), chromedp.WaitVisible(chromedp.CSS("#scan:focus")))
	b.has("/count/bin?bin=A-01-1", "book: 4 pieces")
	b.do(chromedp.KeyEvent("NELVO41" + kb.Tab + "NELVO41" + kb.Enter + "NELVO41" + kb.Tab))
	b.shows("#live .last", "6 pieces oil seal")
	b.do(chromedp.WaitVisible(chromedp.CSS("#scan:focus")), chromedp.KeyEvent("UNHEARD-1"+kb.Enter))
	b.shows("#missed", "UNHEARD-1 is no part of the shop")
	b.do(chromedp.KeyEvent("B-02-2" + kb.Enter + "NS 419" + kb.Enter))
	b.shows("#where", "Bin B-02-2")
	b.shows("#live .last", "1 piece oil seal")

	b.shows("#missed", "UNHEARD-1 is no part of the shop")

	// A key that no field waits for goes into the field.
	b.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`), chromedp.KeyEvent("NS 419"+kb.Enter))
	b.shows("#live .last", "2 pieces oil seal")

	// The network is away: two scans wait, and are sent once it is back.
	b.do(chromedp.Evaluate[chromedp.Void](`window.away = window.fetch; window.fetch = () => Promise.reject(new Error("away"))`))
	b.do(chromedp.KeyEvent("NS 419"+kb.Enter+"NS 419"+kb.Enter), chromedp.WaitVisible(chromedp.CSS("#unsent")))
	b.do(chromedp.Evaluate[chromedp.Void](`window.fetch = window.away`))
	b.shows("#live .last", "4 pieces oil seal")
	b.do(chromedp.WaitNotVisible(chromedp.CSS("#unsent")))

	// One less, and the amount by hand: plain forms, the field is ready again.
	b.do(chromedp.Click(`#live .last form:last-of-type button`), chromedp.WaitVisible(chromedp.CSS("#scan:focus")))
	b.shows("#live .last", "3 pieces oil seal")

	// A page loaded anew sends nothing again.
	b.do(chromedp.Reload(), chromedp.WaitVisible(chromedp.CSS("#scan:focus")))
	b.shows("#live .last", "3 pieces oil seal")
}

// Without a script every scan is a form of its own.
func TestBrowserCountWithoutScript(t *testing.T) {
	b := browse(t, chromedp.Flag("blink-settings", "scriptEnabled=false"))
	b.do(chromedp.Navigate(b.url+"/count"), chromedp.WaitVisible(`form[action="/count"]`), chromedp.Click(`form[action="/count"] button.main`))
	b.do(chromedp.WaitVisible(chromedp.CSS(`input[name="text"]:focus`)), chromedp.KeyEvent("A-01-1"+kb.Enter), chromedp.WaitVisible(chromedp.CSS("#scan:focus")))
	for _, want := range []string{"2 pieces", "4 pieces"} {
		b.do(chromedp.WaitVisible(chromedp.CSS("#scan:focus")), chromedp.KeyEvent("NELVO41"+kb.Enter))
		b.shows(".last .big", want)
	}
}

// While a bag is told of, what it may be stands there as buttons: one tap books.
func TestBrowserBag(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/stocktake"), chromedp.WaitVisible(chromedp.CSS(`input[name="marking"]:focus`)))
	b.do(chromedp.KeyEvent("NS 419"), chromedp.WaitVisible(`button[value="Nelvo/NS 419"]`))
	b.do(chromedp.SetValue(`input[name="amount"]`, "3"), chromedp.SetValue(`form.bag select[name="bin"]`, "B-02-2"))
	b.do(chromedp.Click(`button[value="Nelvo/NS 419"]`), chromedp.WaitVisible(".good"))
	b.has("/stocktake?", "Bag 1 booked: 3 pieces in B-02-2")
	b.do(chromedp.WaitVisible(`form.bag select[name="bin"]`))
	b.shows(`form.bag select[name="bin"] option[selected]`, "B-02-2")
}
