package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"html"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"log/slog"
	"mime/multipart"
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

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/scanner"
)

// TestStatuses holds the whole table to the one of the contract (DEVELOPERS.md,
// Errors), and to the kinds that package fault has.
func TestStatuses(t *testing.T) {
	want := map[fault.Kind]int{
		"invalid": 422, "notfound": 404, "ambiguous": 300, "conflict": 409, "short": 409, "nologin": 401, "denied": 403,
		"busy": 503, "damaged": 500, "full": 507, "internal": 500,
	}
	if diff := cmp.Diff(statuses, want); diff != "" {
		t.Errorf("statuses (-got +want):\n%s", diff)
	}
	file, err := parser.ParseFile(token.NewFileSet(), "../fault/fault.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var kinds int
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		if id, ok := spec.Type.(*ast.Ident); ok && id.Name == "Kind" {
			kinds++
			kind := fault.Kind(strings.Trim(spec.Values[0].(*ast.BasicLit).Value, `"`))
			if statuses[kind] == 0 {
				t.Errorf("%s has no status", kind)
			}
		}
		return true
	})
	if kinds != len(want) {
		t.Errorf("package fault has %d kinds, want %d", kinds, len(want))
	}
}

// Every kind is shown as a page and as JSON with its status.
func TestRefuse(t *testing.T) {
	s := &site{shop: testShop(t, "en"), printer: words.For("en")}
	s.pages = parse(s)
	var log bytes.Buffer
	defer slog.SetDefault(slog.Default())
	slog.SetDefault(slog.New(slog.NewTextHandler(&log, nil)))
	for kind, status := range statuses {
		for _, path := range []string{"/stock", "/api/stock"} {
			log.Reset()
			w := httptest.NewRecorder()
			r := httptest.NewRequest(http.MethodGet, path, nil)
			s.refuse(w, r, fault.New(kind, "web.nowhere").WithHint("web.nowhere.hint").WithCause(io.ErrUnexpectedEOF))
			if w.Code != status {
				t.Errorf("%s %s: %d, want %d", kind, path, w.Code, status)
			}
			body := w.Body.String()
			if !strings.Contains(body, "there is no such page") || strings.Contains(body, "unexpected EOF") {
				t.Errorf("%s %s: message missing, or cause shown: %s", kind, path, body)
			}
			want := 0
			if kind == fault.Internal {
				want = 1
			}
			if got := strings.Count(log.String(), "\n"); got != want {
				t.Errorf("%s %s: %d lines logged, want %d: %s", kind, path, got, want, log.String())
			}
		}
	}
}

// A reader who has gone is neither answered nor logged.
func TestRefuseGone(t *testing.T) {
	s := &site{printer: words.For("en")}
	var log bytes.Buffer
	defer slog.SetDefault(slog.Default())
	slog.SetDefault(slog.New(slog.NewTextHandler(&log, nil)))
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	s.refuse(httptest.NewRecorder(), httptest.NewRequestWithContext(ctx, http.MethodGet, "/", nil), ctx.Err())
	if log.Len() > 0 {
		t.Errorf("logged: %s", log.String())
	}
}

// A database that fails is told calmly, without its own words.
func TestShopGone(t *testing.T) {
	open := testShop(t, "en")
	pages := Handler(open)
	defer slog.SetDefault(slog.Default())
	slog.SetDefault(slog.New(slog.DiscardHandler))
	if err := open.Close(); err != nil {
		t.Fatal(err)
	}
	w := step{method: http.MethodGet, target: "/stock"}.ask(t, pages)
	if w.Code != 500 || strings.Contains(w.Body.String(), "sql") {
		t.Errorf("a closed shop: %d %s", w.Code, w.Body.String())
	}
	always(t, "a closed shop", w)
}

// The API gives the JSON of shop's own types, messages filled in.
func TestSameAsShop(t *testing.T) {
	open := testShop(t, "de")
	pages, ctx := Handler(open), t.Context()
	fork, err := open.Fork(ctx, shop.ForkQuery{Name: "Tarn 41"})
	part, errPart := open.PartPage(ctx, "BW-10")
	list, errList := open.Reorder(ctx, shop.ReorderRequest{})
	if err := errors.Join(err, errPart, errList); err != nil {
		t.Fatal(err)
	}
	for target, want := range map[string]any{"/api/fork?name=tarn41": &fork, "/api/part?name=Quarn/BW10": &part, "/api/reorder": &list} {
		words.For("de").Fill(want)
		text, err := json.MarshalIndent(want, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		got := step{method: http.MethodGet, target: target}.ask(t, pages).Body.String()
		if diff := cmp.Diff(got, string(text)+"\n"); diff != "" {
			t.Errorf("%s (-got +want):\n%s", target, diff)
		}
	}
}

// upload sends the form of /receive as a browser does, with pictures.
func send(t *testing.T, pages http.Handler, fields map[string]string, pictures map[string][]byte) *httptest.ResponseRecorder {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	for name, value := range fields {
		if err := form.WriteField(name, value); err != nil {
			t.Fatal(err)
		}
	}
	for name, data := range pictures {
		file, err := form.CreateFormFile("pictures", name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := file.Write(data); err != nil {
			t.Fatal(err)
		}
	}
	if err := form.Close(); err != nil {
		t.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, "/receive", &body)
	r.Host = "localhost"
	r.Header.Set("Content-Type", form.FormDataContentType())
	w := httptest.NewRecorder()
	pages.ServeHTTP(w, r)
	always(t, "POST /receive", w)
	return w
}

func TestPictures(t *testing.T) {
	pages := Handler(testShop(t, "en"))
	label, err := scanner.Draw("code128", "NELVO41", 3, 90)
	if err != nil {
		t.Fatal(err)
	}
	var picture, blank bytes.Buffer
	if err := errors.Join(png.Encode(&picture, label), png.Encode(&blank, image.NewGray(image.Rect(0, 0, 60, 60)))); err != nil {
		t.Fatal(err)
	}
	fields := map[string]string{"session": "P1", "delivery": "DN 8", "lines": "", "bin": ""}
	none := map[string][]byte{"": nil} // what a browser sends where no picture was chosen
	both := map[string][]byte{"bag.png": picture.Bytes(), "dark.png": blank.Bytes()}
	for _, tt := range []struct {
		what     string
		pictures map[string][]byte
		code     int
		to       string
		has      string
	}{
		{"nothing", none, 422, "", "no code and no picture"},
		{"no picture", map[string][]byte{"<b>.png": []byte("text")}, 303, "/delivery?added=0&name=DN+8&repeated=0", ""},
		{"label", both, 303, "/delivery?added=1&came=2&name=DN+8&repeated=0", ""},
		{"again", both, 303, "/delivery?added=0&name=DN+8&repeated=1", ""},
	} {
		w := send(t, pages, fields, tt.pictures)
		if w.Code != tt.code || w.Header().Get("Location") != tt.to || !strings.Contains(w.Body.String(), tt.has) {
			t.Errorf("%s: %d to %q, want %d to %q with %q\n%s", tt.what, w.Code, w.Header().Get("Location"), tt.code, tt.to, tt.has, w.Body)
		}
	}
}

// Each picture has its answer on the page of the delivery, with what was seen
// where nothing could be read; a code that nobody knows shows how it looks.
func TestPictureAnswers(t *testing.T) {
	pages := Handler(testShop(t, "en"))
	files := map[string][]byte{"<b>.jpg": []byte("text"), "phone.heic": []byte("\x00\x00\x00\x18ftypheic and more")}
	for _, name := range []string{"covered.png", "code39.png", "blank.png"} {
		data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "pictures", name))
		if err != nil {
			t.Fatal(err)
		}
		files[name] = data
	}
	to := send(t, pages, map[string]string{"session": "P1", "delivery": "DN 8"}, files).Header().Get("Location")
	page := get(t, pages, to)
	for _, want := range []string{
		"Not read in the pictures", "&lt;b&gt;.jpg", "this is not a picture", "HEIC files are not read; set the phone",
		"no barcode found in it", "looks like a barcode that could not be read", "KB-39-52-11", "5 pictures came with it",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if strings.Contains(page, "<b>.jpg") {
		t.Error("a file's name came through unescaped")
	}
	looks := regexp.MustCompile(`/look\?id=\d+`).FindAllString(page, -1)
	if len(looks) != 2 {
		t.Fatalf("%d details are shown, want that of the code that waits and that of the covered one\n%s", len(looks), page)
	}
	for _, look := range looks {
		w := step{method: http.MethodGet, target: look}.ask(t, pages)
		if _, err := jpeg.Decode(w.Body); w.Code != 200 || err != nil || w.Header().Get("Content-Type") != "image/jpeg" {
			t.Errorf("%s: %d, %v, %v", look, w.Code, w.Header(), err)
		}
	}
}

func TestTooLarge(t *testing.T) {
	open := testShop(t, "en")
	pages := Handler(open)
	long := strings.Repeat("NELVO41\n", mostLines/8+1)
	for _, s := range []step{
		{method: http.MethodPost, target: "/issue", form: url.Values{"reason": {strings.Repeat("x", mostForm)}}},
		{method: http.MethodPost, target: "/receive", form: url.Values{"lines": {long}, "session": {"L"}}},
	} {
		w := s.ask(t, pages)
		if w.Code != 422 || !strings.Contains(w.Body.String(), "that is more than") {
			t.Errorf("%s: %d %.200s, want 422", s.target, w.Code, w.Body)
		}
	}
	if w := send(t, pages, map[string]string{"lines": long}, nil); w.Code != 422 {
		t.Errorf("many lines beside pictures: %d, want 422", w.Code)
	}
	stock, err := open.Stock(t.Context(), "Nelvo/NS 41", "")
	if err != nil || len(stock.Lines) != 1 {
		t.Errorf("stock after refused forms: %+v, %v", stock.Lines, err)
	}
}

// TestTexts holds pages, code and message table together: every id that is
// named exists, and every text of this room is used.
func TestTexts(t *testing.T) {
	there := map[string]bool{}
	for _, id := range words.IDs() {
		there[id] = true
	}
	files, err := filepath.Glob("page/*.html")
	pieces, err2 := filepath.Glob("page/piece/*.html")
	code, err3 := filepath.Glob("*.go")
	if err := errors.Join(err, err2, err3); err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile(`"(web\.[a-z_.]+)"`)
	used := map[string]bool{}
	for _, file := range slices.Concat(files, pieces, code) {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range named.FindAllStringSubmatch(string(text), -1) {
			used[m[1]] = true
			if id := m[1]; !there[id] && id != "web." {
				t.Errorf("%s: no text %s", file, id)
			}
		}
	}
	for _, id := range words.IDs() {
		other, mine := strings.CutPrefix(id, "web.")
		if mine && !used[id] && !there[other] {
			t.Errorf("text %s is used nowhere", id)
		}
	}
}

// The ledger shows the newest first, and every entry on some page.
func TestLedgerPages(t *testing.T) {
	open := testShop(t, "en")
	const more = mostEntries + 20
	if err := open.Load(t.Context(), func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		part, err := catalog.PartNamed(ctx, tx, "BW-10")
		if err != nil {
			return err
		}
		bin, err := inventory.BinNamed(ctx, tx, inventory.Intake)
		if err != nil {
			return err
		}
		lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: part.ID})
		for range more {
			if err != nil {
				return err
			}
			_, err = inventory.Post(ctx, tx, inventory.Posting{Kind: inventory.Opening, Person: who.ID},
				[]inventory.Flow{{Part: part.ID, Lot: lot.ID, To: bin.ID, Amount: 1}})
		}
		return err
	}); err != nil {
		t.Fatal(err)
	}
	ledger, err := open.Ledger(t.Context(), shop.LedgerRequest{Part: "BW-10"})
	if err != nil {
		t.Fatal(err)
	}
	var want, got []string
	for _, e := range slices.Backward(ledger.Movements) {
		want = append(want, strconv.FormatInt(e.Seq, 10))
	}
	number := regexp.MustCompile(`done=[^"]*">(\d+)</a>`)
	older := regexp.MustCompile(`href="(/ledger[^"]*before=\d+)"`)
	pages, target := Handler(open), "/ledger?part=BW-10"
	var turns int
	for ; target != "" && turns < 5; turns++ {
		body := step{method: http.MethodGet, target: target}.ask(t, pages).Body.String()
		for _, m := range number.FindAllStringSubmatch(body, -1) {
			got = append(got, m[1])
		}
		target = ""
		if m := older.FindStringSubmatch(body); m != nil {
			target = html.UnescapeString(m[1])
		}
	}
	if diff := cmp.Diff(got, want); diff != "" || turns != 2 {
		t.Errorf("%d pages, want 2 (-got +want):\n%s", turns, diff)
	}
}
