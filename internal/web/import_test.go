package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// TestFirstList takes the first list into an empty shop by pages alone: its
// supplier is written in beside it.
func TestFirstList(t *testing.T) {
	opt := shop.Options{Process: "server"}
	dir := t.TempDir()
	if err := shop.Init(t.Context(), dir, shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Anna Probe"}, opt); err != nil {
		t.Fatal(err)
	}
	open, err := shop.Open(t.Context(), dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = open.Close() })
	pages := Handler(open)
	ask := func(method, target string, form url.Values, checks ...[2]string) (to, body string) {
		t.Helper()
		s := step{method: method, target: target, form: form, headers: http.Header{}, checks: checks}
		w := s.ask(t, pages)
		s.check(t, w, true)
		return w.Header().Get("Location"), w.Body.String()
	}
	has, lacks, code := func(s string) [2]string { return [2]string{"has", s} }, func(s string) [2]string { return [2]string{"lacks", s} },
		func(s string) [2]string { return [2]string{"code", s} }
	ask("GET", "/items", nil, code("200"), has("No supplier known"), has(`href="/import"`))
	ask("GET", "/import", nil, code("200"), has(`<details open>`), has(`name="new"`), lacks(`name="supplier"`))

	list := "part no,description,net price\n7,\"FORK SEAL 39X52X11, PAIR\",12.50\n"
	form := url.Values{"text": {list}, "kind": {"prices"}, "price": {"net"}}
	to, _ := ask("POST", "/import", form, code("303"))
	_, body := ask("GET", to, nil, code("422"), has("whose price list is it"), has("write in a new one"), lacks("--supplier"), has(`name="new"`))
	token := between(t, body, `name="file" value="`, `"`)

	form = url.Values{"file": {token}, "kind": {"prices"}, "price": {"net"}, "new": {"Wesselmoor"}}
	ask("POST", "/import", form, code("422"), has("how long does a delivery take"), has(`value="Wesselmoor"`), has(`value="`+token+`"`), lacks("--days"))
	form.Set("days", "soon")
	ask("POST", "/import", form, code("422"), has(`value="soon"`))
	form.Set("days", "3")
	to, _ = ask("POST", "/import", form, code("303"), [2]string{"to", "/import/preview?discount=&file=" + token + "&kind=prices&price=net&supplier=Wesselmoor"})
	ask("POST", "/import", form, code("303")) // sent twice it is there already
	ask("GET", to, nil, code("200"), has("Would be: 1 added"))
	form.Set("supplier", "Wesselmoor")
	ask("POST", "/import/confirm", form, code("303"))
	ask("GET", "/items", nil, code("200"), has("FORK SEAL 39X52X11"), has("<option selected>Wesselmoor"))
	ask("GET", "/items?all=1", nil, code("200"), has("FORK SEAL 39X52X11"))
}

// TestDisplay shows what pages say in place of a command.
func TestDisplay(t *testing.T) {
	s := &site{printer: words.For("en")}
	if got := s.display(fault.Say("shop.name_oil", "NV 41")); strings.Contains(got, "forkstock") || got == "" {
		t.Errorf("a page says %q", got)
	}
	if got := s.display("NV 41"); got != "NV 41" {
		t.Errorf("a page says %q", got)
	}
}

// between gives what stands between two texts.
func between(t *testing.T, text, before, after string) string {
	t.Helper()
	_, rest, ok := strings.Cut(text, before)
	in, _, closed := strings.Cut(rest, after)
	if !ok || !closed {
		t.Fatalf("%q stands nowhere", before)
	}
	return in
}
