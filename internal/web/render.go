package web

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/words"
)

//go:embed page
var files embed.FS

// pages holds the parsed pages by name: the base, and each file that fills it.
type pages map[string]*template.Template

// parse parses every page. A page that does not parse is a defect that stops
// the program at once.
func parse(s *site) pages {
	base := template.Must(template.New("base").Funcs(s.functions()).ParseFS(files, "page/base.html", "page/pieces.html", "page/piece/*.html"))
	names, err := fs.Glob(files, "page/*.html")
	if err != nil {
		panic(err)
	}
	out := pages{}
	for _, file := range names {
		name := strings.TrimSuffix(path.Base(file), ".html")
		if name != "base" && name != "pieces" {
			out[name] = template.Must(template.Must(base.Clone()).ParseFS(files, file))
		}
	}
	return out
}

// display renders a value; a message as pages have it.
func (s *site) display(value any) string {
	if m, ok := value.(fault.Message); ok {
		value = words.ForPage(m)
	}
	return s.printer.Show(value)
}

// functions are what pages call beside the built-in functions.
func (s *site) functions() template.FuncMap {
	p, set := s.printer, s.shop.Settings()
	return template.FuncMap{
		"lang":      p.Language,
		"demo":      func() bool { return set.Demo },
		"say":       p.Say,
		"word":      func(group string, value any) string { return p.Say(group + "." + p.Show(value)) },
		"show":      s.display,
		"printed":   gs1.Printed,
		"described": func(role catalog.Role, text string) string { return p.Described("role."+string(role), text) },
		"money":     s.money,
		"key":       rand.Text,
		"unit":      func(unit string, n int64) string { return p.Say("unit."+unit, n) },
		"clock":     func(t time.Time) string { return t.In(set.Location()).Format("15:04") },
		"join":      func(all []string) string { return strings.Join(all, ", ") },
		"day":       func(t *time.Time) string { return t.In(set.Location()).Format(time.DateOnly) },
		"less":      func(n int64) int64 { return -n },
		"more":      func(n, by int64) int64 { return n + by },
		"signed":    func(n int64) string { return strings.Replace(fmt.Sprintf("%+d", n), "-", "\u2212", 1) },
		"undoes":    undoes,
		"likely":    likelies,
		"sources":   withOrigin,
		"style":     func() string { return styleVersion },
		"took":      func(list takeList, l any, last bool) tookLine { return tookLine{list, lineOf(l), last} },
		"amountof":  s.amountOf,
		"canempty":  canEmpty,
		"rest":      restOfPack,
		"script":    func() string { return scriptVersion },
		"each":      func() string { return eachVersion },
		"bagscript": func() string { return bagVersion },
	}
}

// money prints an int64 or *int64 of minor units; nil is a price not known.
func (s *site) money(minor any) string {
	currency := s.shop.Settings().Currency
	switch m := minor.(type) {
	case int64:
		return s.printer.Show(words.Money{Minor: m, Currency: currency})
	case *int64:
		if m != nil {
			return s.printer.Show(words.Money{Minor: *m, Currency: currency})
		}
	}
	return s.printer.Say("web.price_unknown")
}

// frame is what the base shows around a page.
type frame struct {
	Page  string // name of its file
	Title string
	Focus bool   // the box takes what is typed or scanned
	Asked string // what stands in the box
	Waits waits
	Body  any
}

// waits counts the scans that wait for an answer.
type waits struct{ Unknown, Confirm int }

// All counts both.
func (w waits) All() int { return w.Unknown + w.Confirm }

// waits counts what waits. Where that fails it counts nothing: what the page
// itself has to say goes before.
func (s *site) waits(r *http.Request) (out waits) {
	unknown, confirm, err := s.shop.CountWaiting(r.Context())
	if err != nil {
		return out
	}
	return waits{unknown, confirm}
}

// show renders a page whole, then sends it.
func (s *site) show(w http.ResponseWriter, r *http.Request, status int, name, title string, body any) error {
	var b bytes.Buffer
	f := frame{Page: name, Title: title, Focus: name == "first" || name == "found", Waits: s.waits(r), Body: body}
	if found, ok := body.(results); ok {
		f.Asked = found.Query
	}
	if err := s.pages[name].ExecuteTemplate(&b, "base", f); err != nil {
		return fault.Of(err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(b.Bytes()) // the reader may have gone
	return nil
}

// styleVersion and its like change with their files, so that browsers may keep
// these.
var styleVersion, scriptVersion, eachVersion, bagVersion = version("style.css"), version("scan.js"), version("each.js"), version("bag.js")

func version(name string) string {
	text, _ := files.ReadFile("page/" + name)
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:6])
}

// asset sends a file that does not change while the program runs.
func asset(name, contentType string) handler {
	return func(w http.ResponseWriter, r *http.Request) error {
		text, err := files.ReadFile("page/" + name)
		if err != nil {
			return fault.Of(err)
		}
		w.Header().Set("Content-Type", contentType)
		w.Header().Set("Cache-Control", "max-age=31536000, immutable")
		http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(text))
		return nil
	}
}
