//go:build !race

package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// The job is told once, then a hand scanner takes as fast as keys go: each scan is
// one out, the field stays ready, what waits and what cannot be sent is kept.
func TestBrowserTakes(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/take"), chromedp.WaitVisible(chromedp.CSS(`input[name="job"]:focus`)), chromedp.KeyEvent("12"+kb.Enter))
	ready := chromedp.WaitVisible(chromedp.CSS(`input[name="scan"]:focus`))
	b.do(ready, chromedp.KeyEvent("NELVO41"+kb.Enter+"NELVO41"+kb.Tab))
	b.shows("#taken .next", "the book has 2 pieces left")
	b.do(ready, chromedp.KeyEvent("UNHEARD-1"+kb.Enter))
	b.shows("#taken .next", "UNHEARD-1 not known")

	// A key that no field waits for goes into the field.
	b.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`), chromedp.KeyEvent("NELVO41"+kb.Enter))
	b.shows("#taken .next", "the book has 1 piece left")
	b.shows("#taken", "Waits for an answer UNHEARD-1")

	// The network is away: a scan waits, and is sent once it is back.
	b.do(chromedp.Evaluate[chromedp.Void](`window.away = window.fetch; window.fetch = () => Promise.reject(new Error("away"))`))
	b.do(chromedp.KeyEvent("NELVO41"+kb.Enter), chromedp.WaitVisible(chromedp.CSS("#unsent")))
	b.do(chromedp.Evaluate[chromedp.Void](`window.fetch = window.away`))
	b.shows("#taken .next", "the book has 0 pieces left")

	// Taking back is one tap, worded for all that it takes back, and the field is ready again; loaded anew nothing is sent twice.
	b.shows(`#taken .next button[value="less"]`, "Take it all back")
	b.do(chromedp.Click(`#taken .next button[value="less"]`), ready)
	b.shows("#taken .next", "taken back the book has 1 piece left")
	b.do(chromedp.Reload(), ready)
	b.shows("#taken .next", "the book has 1 piece left")
}

// Without a script every scan is a form of its own, and what is short is found in
// one tap.
func TestBrowserTakesWithoutScript(t *testing.T) {
	b := browse(t, chromedp.Flag("blink-settings", "scriptEnabled=false"))
	b.do(chromedp.Navigate(b.url + "/take?session=s1&job="))
	ready := chromedp.WaitVisible(chromedp.CSS(`input[name="scan"]:focus`))
	for _, left := range []string{"3 pieces", "2 pieces", "1 piece", "0 pieces"} {
		b.do(ready, chromedp.KeyEvent("NELVO41"+kb.Enter))
		b.shows("#taken .next", "the book has "+left+" left")
	}
	b.do(ready, chromedp.KeyEvent("NELVO41"+kb.Enter))
	b.shows("#taken .next", "the book has too little")
	b.do(chromedp.Click(`#taken .next button[value="found"]`), ready)
	b.shows("#taken .next", "1 piece · 41×54×11 NS 41 Nelvo · oil seal out of A-01-1")
}
