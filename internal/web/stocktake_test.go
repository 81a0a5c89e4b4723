package web

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/png"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
)

// A bagHand fills in the form of the first stocktake as a person does: it sees
// only the fields and buttons of the page, and counts what it types, chooses and
// taps. What stands in the form already costs nothing.
type bagHand struct {
	t       *testing.T
	pages   http.Handler
	fields  url.Values
	seen    map[string]bool // names of fields that are not hidden
	buttons map[string]bool // "name=value"
	photo   []byte
	inputs  int
}

func attr(e xml.StartElement, name string) (string, bool) {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

// look reads a page, or a piece that a script puts into its form.
func (h *bagHand) look(page string, whole bool) {
	h.t.Helper()
	if whole {
		h.fields, h.seen, h.buttons = url.Values{}, map[string]bool{}, map[string]bool{}
	}
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict = false
	in, choice := !whole, ""
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			h.t.Fatal(err)
		}
		end, ends := token.(xml.EndElement)
		if ends && end.Name.Local == "form" {
			in = !whole
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		name, _ := attr(e, "name")
		value, _ := attr(e, "value")
		kind, _ := attr(e, "type")
		_, selected := attr(e, "selected")
		switch {
		case e.Name.Local == "form":
			action, _ := attr(e, "action")
			in = action == "/stocktake"
		case !in:
		case e.Name.Local == "input" && kind == "checkbox":
		case e.Name.Local == "input" && kind == "hidden":
			h.fields.Set(name, value)
		case e.Name.Local == "input":
			h.fields.Set(name, value)
			h.seen[name] = true
		case e.Name.Local == "select":
			choice, h.seen[name] = name, true
			h.fields.Set(name, "")
		case e.Name.Local == "option" && selected:
			text, _ := d.RawToken()
			chars, _ := text.(xml.CharData)
			h.fields.Set(choice, string(chars))
		case e.Name.Local == "button":
			h.buttons[name+"="+value] = true
		}
	}
}

func (h *bagHand) fill(name, value string) {
	h.t.Helper()
	if !h.seen[name] {
		h.t.Fatalf("the form has no field %s", name)
	}
	if h.fields.Get(name) != value {
		h.fields.Set(name, value)
		h.inputs++
	}
}

func (h *bagHand) photograph() {
	h.t.Helper()
	if !h.seen["pictures"] {
		h.t.Fatal("the form takes no photo")
	}
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 60, 40))); err != nil {
		h.t.Fatal(err)
	}
	h.photo = b.Bytes()
	h.inputs++
}

// meanwhile is what the script of the page does while it is filled in.
func (h *bagHand) meanwhile() {
	h.t.Helper()
	s := step{method: http.MethodPost, target: "/stocktake/look", form: url.Values{"marking": h.fields["marking"], "size": h.fields["size"]}}
	h.look(s.ask(h.t, h.pages).Body.String(), false)
}

// send presses a button.
func (h *bagHand) send(name, value string) *httptest.ResponseRecorder {
	h.t.Helper()
	if !h.buttons[name+"="+value] {
		h.t.Fatalf("the form has no button %s=%s, but %v", name, value, h.buttons)
	}
	h.inputs++
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for field, values := range h.fields {
		if field != "pictures" {
			_ = w.WriteField(field, values[0])
		}
	}
	_ = w.WriteField(name, value)
	if h.photo != nil {
		file, _ := w.CreateFormFile("pictures", "bag.png")
		_, _ = file.Write(h.photo)
		h.photo = nil
	}
	_ = w.Close()
	r := httptest.NewRequest(http.MethodPost, "/stocktake", &b)
	r.Host = "localhost:8039"
	r.Header.Set("Content-Type", w.FormDataContentType())
	got := httptest.NewRecorder()
	h.pages.ServeHTTP(got, r)
	return got
}

// tap presses a button, and follows where it leads.
func (h *bagHand) tap(name, value string) *httptest.ResponseRecorder {
	h.t.Helper()
	got := h.send(name, value)
	if got.Code != http.StatusSeeOther {
		h.t.Fatalf("%s=%s: %d\n%s", name, value, got.Code, got.Body)
	}
	return h.open(got.Header().Get("Location"))
}

func (h *bagHand) open(target string) *httptest.ResponseRecorder {
	h.t.Helper()
	w := step{method: http.MethodGet, target: target}.ask(h.t, h.pages)
	if w.Code != http.StatusOK {
		h.t.Fatalf("%s: %d", target, w.Code)
	}
	h.look(w.Body.String(), true)
	return w
}

// A bag of a part that is known takes at most six inputs: photo, marking,
// callipers, count, bin, and one tap on what it is; the bin stays for the next.
// Without a script it is one tap more to ask, and one less where the bin stays.
func TestBagInputs(t *testing.T) {
	const most = 6
	h := &bagHand{t: t, pages: Handler(testShop(t, "en"))}
	h.open("/stocktake")
	tell := func(marking, size, count, bin string) {
		h.inputs = 0
		h.photograph()
		h.fill("marking", marking)
		h.fill("size", size)
		h.fill("amount", count)
		h.fill("bin", bin)
	}
	for _, tt := range []struct {
		name                           string
		marking, size, count, bin, tap string
		script                         bool
		want                           int
	}{
		{"with a script, another bin", "NS 419", "40x54.2x9.5", "3", "B-02-2", "Nelvo/NS 419", true, 6},
		{"with a script, the bin stays", "copper", "10.1x16.1x1.5", "40", "B-02-2", "Quarn/BW-10", true, 5},
		{"without a script, the bin stays", "10.9", "M10x1.25x30", "2", "B-02-2", "Quarn/BB-10", false, 6},
	} {
		tell(tt.marking, tt.size, tt.count, tt.bin)
		if tt.script {
			h.meanwhile()
		} else {
			h.tap("do", "look")
		}
		page := h.tap("part", tt.tap).Body.String()
		if h.inputs != tt.want || h.inputs > most {
			t.Errorf("%s: %d inputs, want %d, at most %d", tt.name, h.inputs, tt.want, most)
		}
		if !strings.Contains(page, "booked: ") || !strings.Contains(page, "label waits") {
			t.Errorf("%s: not booked\n%s", tt.name, page)
		}
	}
	part := step{method: http.MethodGet, target: "/part?name=Nelvo/NS+419"}.ask(t, h.pages).Body.String()
	if !strings.Contains(part, `src="/photo?id=1"`) {
		t.Error("the photo of the bag does not stand with its part")
	}
	photo := step{method: http.MethodGet, target: "/photo?id=1"}.ask(t, h.pages)
	if photo.Code != http.StatusOK || photo.Header().Get("Content-Type") != "image/jpeg" {
		t.Errorf("the photo: %d %s", photo.Code, photo.Header().Get("Content-Type"))
	}
}

// What is refused loses no photo: it is kept with the bag, left aside.
func TestBagRefusedKeepsPhoto(t *testing.T) {
	h := &bagHand{t: t, pages: Handler(testShop(t, "en"))}
	h.open("/stocktake")
	h.photograph()
	h.fill("marking", "NS 419")
	h.meanwhile()
	got := h.send("part", "Nelvo/NS 419")
	page := got.Body.String()
	if got.Code != http.StatusUnprocessableEntity || !strings.Contains(page, `src="/photo?id=1"`) || !strings.Contains(page, `value="NS 419"`) {
		t.Fatalf("refused: %d\n%s", got.Code, page)
	}
	h.look(page, true)
	h.fill("amount", "3")
	h.fill("bin", "A-01-1")
	if page := h.tap("part", "Nelvo/NS 419").Body.String(); !strings.Contains(page, "Bag 1 booked: 3 pieces in A-01-1") {
		t.Errorf("gone on with:\n%s", page)
	}
}
