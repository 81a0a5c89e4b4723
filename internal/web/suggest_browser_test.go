//go:build !race

package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// What the text in the box may become stands beneath it while it is typed, and
// is reached with the arrow keys.
func TestBrowserSuggests(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url), chromedp.WaitVisible(chromedp.CSS("#q:focus")), chromedp.KeyEvent("wiper ovar"))
	b.do(chromedp.WaitVisible(`#suggestions a[href*="ovar" i]`)) // what stood there for fewer letters is gone
	got, err := chromedp.Run(b.ctx, chromedp.Text("#suggestions"))
	if err != nil || got == "" {
		t.Fatalf("suggested %q, %v", got, err)
	}
	b.do(chromedp.KeyEvent(kb.ArrowDown), chromedp.WaitVisible("#suggestions a:focus"), chromedp.KeyEvent("\r"), chromedp.WaitVisible(".asked"))
	b.has("/?q=wiper", "Ovarra")
}
