//go:build !race

package web

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// An open delivery is scanned as fast as keys go: each scan counts at once and
// once, the field stays ready, what cannot be sent waits, another phone sees it
// all, and what somebody types into a form of the page is left alone.
func TestBrowserOpenDelivery(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/receive"), chromedp.WaitVisible("details summary"), chromedp.Click("details summary"))
	b.do(chromedp.SetValue(`form[action="/delivery/begin"] input[name="name"]`, "crate"), chromedp.Click(`form[action="/delivery/begin"] button`))
	b.do(chromedp.WaitVisible(chromedp.CSS("#scan:focus")))
	b.has("/delivery?name=crate", "nothing is in stock yet")

	b.do(chromedp.KeyEvent("NELVO41" + kb.Tab + "NELVO41" + kb.Enter + "UNHEARD-1" + kb.Tab + "NELVO41" + kb.Enter))
	b.shows("#where", "3 packs")
	b.shows("#last", "2 pieces")
	b.shows("#lines", "3 pairs = 6 pieces")
	b.shows("#unknown", "UNHEARD-1")
	b.do(chromedp.WaitVisible(chromedp.CSS("#scan:focus")))

	// Twelve of the next, and one less.
	b.do(chromedp.KeyEvent("=12"+kb.Enter), chromedp.WaitVisible("#where .wait"), chromedp.KeyEvent("NELVO41"+kb.Enter))
	b.shows("#where", "15 packs")
	b.do(chromedp.Click(`#last form[action="/delivery/less"] button`), chromedp.WaitVisible(chromedp.CSS("#scan:focus")))
	b.shows("#where", "14 packs")

	// The shop's computer is away: two scans wait, and count once when it is back.
	b.do(chromedp.Evaluate[chromedp.Void](`window.away = window.fetch; window.fetch = () => Promise.reject(new Error("away"))`))
	b.do(chromedp.KeyEvent("NELVO41"+kb.Enter+"NELVO41"+kb.Enter), chromedp.WaitVisible(chromedp.CSS("#unsent")))
	b.do(chromedp.Evaluate[chromedp.Void](`window.fetch = window.away`))
	b.shows("#where", "16 packs")
	b.do(chromedp.WaitNotVisible(chromedp.CSS("#unsent")))

	// Half a part number typed for the unknown code stays while scans go on.
	b.do(chromedp.SetValue(`#unknown input[name="part"]`, "Quarn/BW"), chromedp.Focus("#scan"), chromedp.KeyEvent("NELVO41"+kb.Enter))
	b.shows("#where", "17 packs")
	half, err := chromedp.Run(b.ctx, chromedp.Value(`#unknown input[name="part"]`))
	if err != nil || half != "Quarn/BW" {
		t.Errorf("typed for the unknown code: %q, %v", half, err)
	}

	// Another device goes on where this one is.
	b.do(chromedp.Navigate(b.url+"/receive"), chromedp.WaitVisible(`a.row[href^="/delivery"]`), chromedp.Click(`a.row[href^="/delivery"]`))
	b.do(chromedp.WaitVisible(chromedp.CSS("#scan:focus")), chromedp.KeyEvent("NELVO41B"+kb.Enter))
	b.shows("#where", "18 packs")
	b.do(chromedp.Click("#finish button"), chromedp.WaitVisible("main .note.good"))
	b.has("/delivery?finished=yes", "36 pieces")
}
