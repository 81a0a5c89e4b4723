//go:build !race

package web

import (
	"context"
	"net/http/httptest"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// A browser is one window, with or without JavaScript.
type browser struct {
	t   *testing.T
	ctx context.Context
	url string // of the first page
}

// browse opens a window on the pages of a test shop. The time limit only ends
// a test that hangs.
func browse(t *testing.T, flags ...chromedp.ExecAllocatorOption) browser {
	t.Helper()
	program, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium on this machine: scripts/setup test installs it")
	}
	server := httptest.NewServer(Handler(testShop(t, "en")))
	t.Cleanup(server.Close)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(program), chromedp.NoSandbox, chromedp.DisableGPU)
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, append(options, flags...)...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	b := browser{t, ctx, server.URL}
	b.do(func(ctx context.Context, target *chromedp.Target) (chromedp.Void, error) { // a window in front, as of a person
		return cdp.Call(ctx, target, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true})
	})
	return b
}

// do runs steps in order.
func (b browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// has waits for a page at an address of that beginning, and finds text in it.
func (b browser) has(path, text string) {
	b.t.Helper()
	b.do(chromedp.WaitReady(chromedp.CSS("main")))
	at, err := chromedp.Run(b.ctx, chromedp.Location())
	if err != nil {
		b.t.Fatal(err)
	}
	page, err := chromedp.Run(b.ctx, chromedp.Text("main"))
	if err != nil {
		b.t.Fatal(err)
	}
	if at = strings.TrimPrefix(at, b.url); !strings.HasPrefix(at, path) || !strings.Contains(page, text) {
		b.t.Fatalf("at %s: got %q, want %q at %s", at, page, text, path)
	}
}

// The main way with a real browser: what is typed goes into the box without a
// click, the first part is followed, one piece taken, two codes received. The
// policy of the pages holds no script back that they would need, so a browser
// that runs none goes the same way.
func TestBrowserMainWay(t *testing.T) {
	for _, way := range []struct {
		name  string
		flags []chromedp.ExecAllocatorOption
	}{
		{"with scripts", nil},
		{"without scripts", []chromedp.ExecAllocatorOption{chromedp.Flag("blink-settings", "scriptEnabled=false")}},
	} {
		t.Run(way.name, func(t *testing.T) {
			b := browse(t, way.flags...)
			b.do(chromedp.Navigate(b.url), chromedp.WaitVisible(chromedp.CSS("#q:focus")), chromedp.KeyEvent("41 mm seal\r"), chromedp.WaitVisible(".asked"))
			b.has("/?q=41+mm+seal", "NS 41")
			b.do(chromedp.Click(`a.row[href^="/part"]`), chromedp.WaitVisible(`form[action="/issue"]`))
			b.has("/part?name=Nelvo", "4 pieces in stock")
			b.do(chromedp.Click(`form[action="/issue"] button.main`), chromedp.WaitVisible(".good"))
			b.has("/part?done=", "3 pieces in stock")
			b.do(chromedp.Click(`nav a[href="/receive"]`), chromedp.WaitVisible(chromedp.CSS("textarea:focus")), chromedp.KeyEvent("NELVO41\rUNHEARD-1\r"))
			b.do(chromedp.Click(`form[action="/receive"] button.main`), chromedp.WaitVisible(".lead"))
			b.has("/delivery?", "2 scans recorded: 2 pieces into stock")
			b.has("/delivery?", "UNHEARD-1")
			b.do(chromedp.Click(`nav a[href="/waiting"]`), chromedp.WaitVisible(`form[action="/link"]`))
			b.has("/waiting", "UNHEARD-1")
		})
	}
}
