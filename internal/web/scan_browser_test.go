//go:build !race

package web

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// box gives what stands in the box for scans.
func (b browser) box() string {
	b.t.Helper()
	text, err := chromedp.Run(b.ctx, chromedp.Value("#scans"))
	if err != nil {
		b.t.Fatal(err)
	}
	return text
}

// counts waits until the page counts as text says.
func (b browser) counts(text string) {
	b.t.Helper()
	var got string
	for range 100 {
		var err error
		if got, err = chromedp.Run(b.ctx, chromedp.Text("#seen")); err != nil {
			b.t.Fatal(err)
		}
		if strings.Contains(strings.Join(strings.Fields(got), " "), text) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.t.Fatalf("the page counts %q, want %q; in the box: %q", got, text, b.box())
}

// A hand scanner types into the page as fast as keys go, with Enter or Tab
// behind each code, while the page counts; one less, twelve of the next, and
// nothing is lost when the form is sent and the page changes.
func TestBrowserScanner(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/receive?delivery=DN+7"), chromedp.WaitVisible(chromedp.CSS("#scans:focus")))
	b.do(chromedp.KeyEvent("NELVO41" + kb.Tab + "NELVO41" + kb.Enter + "UNHEARD1" + kb.Tab))
	b.counts("3 packs scanned")
	if got := b.box(); got != "NELVO41\nNELVO41\nUNHEARD1\n" {
		t.Fatalf("in the box: %q", got)
	}
	b.counts("Nelvo/NS 41 · 4 pieces")

	// Twelve of the next: said by a button, seen, and taken by the next scan.
	b.do(chromedp.Click("#next"))
	b.counts("12 packs with the next scan")
	b.do(chromedp.KeyEvent("NS 419" + kb.Enter))
	b.counts("15 packs scanned")

	// One less by hand leaves the box ready: Enter behind the next scan presses nothing.
	b.do(chromedp.Click(`#seen button[data-less="5"]`))
	b.counts("14 packs scanned")
	b.do(chromedp.Click(`#seen button[data-less="2"]`), chromedp.KeyEvent("NELVO41B"+kb.Enter))
	b.counts("14 packs scanned")
	if got := b.box(); got != "NELVO41\nUNHEARD1\n=11\nNS 419\nNELVO41B\n" {
		t.Fatalf("in the box: %q", got)
	}

	// A scanner set to another keyboard than the computer: repaired, or refused with a way out.
	b.do(chromedp.KeyEvent("+E09523952501131" + kb.Enter + "KBß39-52" + kb.Enter))
	b.counts("typed on a wrong keyboard (German), repaired")
	b.counts("nothing proves that KB-39/52 was meant")
	b.do(chromedp.Click(`#seen button[data-out="7"]`))
	b.counts("15 packs scanned")

	// What is typed while the form is on its way stands on the next page.
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('form[action="/receive"]').requestSubmit(); scans.value += "LATE-1\nLATE"`))
	b.do(chromedp.WaitVisible(chromedp.CSS(".lead")), chromedp.WaitVisible(chromedp.CSS("#scans:focus")), chromedp.KeyEvent("-2"+kb.Enter))
	b.has("/delivery?added=15", "15 scans recorded")
	b.counts("2 packs scanned")
	if got := b.box(); got != "LATE-1\nLATE-2\n" {
		t.Fatalf("in the box of the next page: %q", got)
	}

	// A page that is loaded anew keeps the box, and a key that nobody waits for goes into it.
	b.do(chromedp.Reload(), chromedp.WaitVisible(chromedp.CSS("#scans:focus")))
	b.do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`), chromedp.KeyEvent("LATE-3"+kb.Enter))
	b.counts("3 packs scanned")
	if got := b.box(); got != "LATE-1\nLATE-2\nLATE-3\n" {
		t.Fatalf("in the box of the page loaded anew: %q", got)
	}
}

// Tab by hand leaves the box, as everywhere.
func TestBrowserTabByHand(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/receive"), chromedp.WaitVisible(chromedp.CSS("#scans:focus")), chromedp.KeyEvent("SLOW"))
	time.Sleep(300 * time.Millisecond) // as long as a hand takes
	b.do(chromedp.KeyEvent(kb.Tab), chromedp.WaitVisible(chromedp.CSS("#times:focus")))
	if got := b.box(); got != "SLOW" {
		t.Fatalf("in the box: %q", got)
	}
}

// What is in stock by a delivery can be one pack less with one tap.
func TestBrowserOneLess(t *testing.T) {
	b := browse(t)
	b.do(chromedp.Navigate(b.url+"/receive?delivery=DN+8"), chromedp.WaitVisible(chromedp.CSS("#scans:focus")))
	b.do(chromedp.KeyEvent("NELVO41\rNELVO41\r"), chromedp.Click(`form[action="/receive"] button.main`), chromedp.WaitVisible(".lead"))
	b.has("/delivery?added=2", "4 pieces")
	b.do(chromedp.Click(`.stack form[action="/undo"] button`), chromedp.WaitVisible(`details form[action="/undo"]`))
	b.has("/delivery?", "2 pieces")
}
