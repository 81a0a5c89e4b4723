package web

import (
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A script asks a test shop for pages, in order. Blocks stand apart by a blank
// line; a block is a request and what the answer must be:
//
//	GET /part?name=Nelvo/NS+41      or POST
//	form key=value                  a field of the form that is sent
//	header Name: value              of the request; Host too
//	code 200
//	to /part?name=...               where it redirects, "..." stands for any text
//	has TEXT                        in the answer, after the language's column
//	lacks TEXT
//
// Lines that begin with # are remarks.
type step struct {
	method, target string
	form           url.Values
	headers        http.Header
	checks         [][2]string
}

func steps(t *testing.T, file string) (out []step) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var now *step
	for line := range strings.Lines(string(text)) {
		line = strings.TrimRight(line, "\n")
		word, rest, _ := strings.Cut(line, " ")
		switch word {
		case "", "#":
		case "GET", "POST":
			out = append(out, step{method: word, target: rest, form: url.Values{}, headers: http.Header{}})
			now = &out[len(out)-1]
		case "form":
			name, value, _ := strings.Cut(rest, "=")
			now.form.Add(name, strings.ReplaceAll(value, `\n`, "\r\n")) // as browsers send lines
		case "header":
			name, value, _ := strings.Cut(rest, ": ")
			now.headers.Set(name, value)
		case "code", "to", "has", "lacks":
			now.checks = append(now.checks, [2]string{word, rest})
		default:
			t.Fatalf("%s: what is %q?", file, line)
		}
	}
	return out
}

// ask sends a step to the pages.
func (s step) ask(t *testing.T, pages http.Handler) *httptest.ResponseRecorder {
	t.Helper()
	r := httptest.NewRequest(s.method, s.target, nil)
	if s.method == http.MethodPost {
		r = httptest.NewRequest(s.method, s.target, strings.NewReader(s.form.Encode()))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	r.Host = "localhost:8039"
	for name := range s.headers {
		r.Header.Set(name, s.headers.Get(name))
		if name == "Host" {
			r.Host = s.headers.Get(name)
		}
	}
	w := httptest.NewRecorder()
	pages.ServeHTTP(w, r)
	return w
}

// check compares an answer with what the step asks for; the texts are English.
func (s step) check(t *testing.T, w *httptest.ResponseRecorder, english bool) {
	t.Helper()
	body := strings.ReplaceAll(w.Body.String(), "&#43;", "+") // as html/template writes a plus
	for _, c := range s.checks {
		ok := true
		switch want := c[1]; c[0] {
		case "code":
			ok = strconv.Itoa(w.Code) == want
		case "to":
			pattern := strings.ReplaceAll(regexp.QuoteMeta(want), `\.\.\.`, ".*")
			ok = regexp.MustCompile("^" + pattern + "$").MatchString(w.Header().Get("Location"))
		case "has":
			ok = !english || strings.Contains(body, want)
		case "lacks":
			ok = !english || !strings.Contains(body, want)
		}
		if !ok {
			t.Errorf("%s %s: got %d to %q, want %s %s\n%s", s.method, s.target, w.Code, w.Header().Get("Location"), c[0], c[1], body)
		}
	}
	always(t, s.method+" "+s.target, w)
}

// TestScripts runs every script in both languages.
func TestScripts(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no scripts: %v", err)
	}
	for _, language := range []string{"en", "de"} {
		for _, file := range files {
			t.Run(language+"/"+filepath.Base(file), func(t *testing.T) {
				pages := Handler(testShop(t, language))
				for _, s := range steps(t, file) {
					s.check(t, s.ask(t, pages), language == "en")
				}
			})
		}
	}
}

// TestEveryRouteHasAScript holds the scripts to the routes.
func TestEveryRouteHasAScript(t *testing.T) {
	files, _ := filepath.Glob("testdata/*.txt")
	asked := map[string]bool{}
	for _, file := range files {
		for _, s := range steps(t, file) {
			path, _, _ := strings.Cut(s.target, "?")
			asked[s.method+" "+path] = true
		}
	}
	for _, route := range new(site).routes() {
		pattern := strings.TrimSuffix(route.pattern, "{$}")
		if pattern == "/" {
			pattern = "GET /nowhere"
		}
		if !asked[pattern] {
			t.Errorf("no script asks for %s", pattern)
		}
	}
}

// idLeft finds a message id that nobody rendered.
var idLeft = regexp.MustCompile(`\b(?:web|shop|catalog|inventory|search|scanner|role|leg|renew|fitted|verdict|layout|measure|cap_shape|damping|springing|caution|unit|reorder)\.[a-z]\w*`)

// own finds what a page may not carry: scripts, and what the policy blocks.
var own = regexp.MustCompile(`(?i)<script|<[a-z][^<>]*\s(?:on\w+|style)=|javascript:|(?:src|href|action)="(?:https?:|//)`)

// ownScripts are the scripts that every page carries, once.
var ownScripts = []string{`<script src="/suggest.js" defer></script>`, `<script src="/scan.js?` + scriptVersion + `" type="module"></script>`, `<script src="/each.js?` + eachVersion + `" type="module"></script>`, `<script src="/bag.js?` + bagVersion + `" type="module"></script>`}

// always checks what holds for every answer. Sources: the policy that issue
// and RFC ask for stands here a second time, so that a change is noticed;
// void elements, HTML standard, 13.1.2.
func always(t *testing.T, what string, w *httptest.ResponseRecorder) {
	t.Helper()
	for name, want := range map[string]string{
		"Content-Security-Policy": "default-src 'none'; style-src 'self'; script-src 'self'; connect-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
		"X-Content-Type-Options":  "nosniff",
		"Referrer-Policy":         "same-origin",
	} {
		if got := w.Header().Get(name); got != want {
			t.Errorf("%s: %s: %q, want %q", what, name, got, want)
		}
	}
	contentType, body := w.Header().Get("Content-Type"), w.Body.String()
	if strings.HasPrefix(contentType, "text/html") || contentType == "application/json" {
		if got := w.Header().Get("Cache-Control"); got != "no-store" {
			t.Errorf("%s: Cache-Control: %q, want no-store", what, got)
		}
		if found := idLeft.FindString(body); found != "" {
			t.Errorf("%s: %q was not rendered", what, found)
		}
	}
	switch {
	case w.Code == http.StatusSeeOther || strings.HasPrefix(contentType, "text/css") || strings.HasPrefix(contentType, "text/javascript") ||
		contentType == "text/csv; charset=utf-8" || contentType == "text/plain; charset=utf-8" || contentType == "image/svg+xml":
	case contentType == "application/pdf":
		if !strings.HasPrefix(body, "%PDF-") {
			t.Errorf("%s: no PDF file", what)
		}
	case contentType == "application/json":
		if !json.Valid(w.Body.Bytes()) {
			t.Errorf("%s: no JSON: %s", what, body)
		}
	case strings.HasPrefix(contentType, "text/html"):
		rest := body
		for _, script := range ownScripts {
			rest = strings.Replace(rest, script, "", 1)
		}
		if found := own.FindString(rest); found != "" {
			t.Errorf("%s: a page carries %q", what, found)
		}
		if err := balanced(body); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	default:
		t.Errorf("%s: content type %q", what, contentType)
	}
}

var void = []string{"meta", "link", "input", "br", "img"}

// balanced checks that every element of a page ends where it should.
func balanced(page string) error {
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict = false
	var open []string
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			if len(open) > 0 {
				return errors.New("not ended: " + strings.Join(open, " "))
			}
			return nil
		}
		if err != nil {
			return err
		}
		switch e := token.(type) {
		case xml.StartElement:
			if !slices.Contains(void, e.Name.Local) {
				open = append(open, e.Name.Local)
			}
		case xml.EndElement:
			if len(open) == 0 || open[len(open)-1] != e.Name.Local {
				return errors.New("ends out of order: " + e.Name.Local + " in " + strings.Join(open, " "))
			}
			open = open[:len(open)-1]
		}
	}
}

func TestBalanced(t *testing.T) {
	for page, ok := range map[string]bool{
		"<!doctype html><p>a<br>b <input name=a autofocus></p>": true,
		"<p><b>a</p></b>": false,
		"<p>a":            false,
		"a</p>":           false,
	} {
		if err := balanced(page); (err == nil) != ok {
			t.Errorf("balanced(%q) = %v, want ok %v", page, err, ok)
		}
	}
}
