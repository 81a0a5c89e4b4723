package web

import (
	"bytes"
	"crypto/rand"
	"errors"
	"io"
	"mime/multipart"
	"net/http"
	"path"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// Limits of what one form brings in.
const (
	mostLines = 1 << 20 // bytes
	inMemory  = 8 << 20 // bytes of pictures, the rest waits in files
)

// scanning is the box that a hand scanner types into.
type scanning struct {
	Lines string
	Rows  int
	Focus bool
}

// Scanning gives the box of the form.
func (p intakePage) Scanning() scanning { return scanning{p.Lines, 8, p.Begin.Order == ""} }

// intakePage is the form that receives typed and scanned lines, and pictures.
type intakePage struct {
	Delivery, Bin, Session, Lines string
	Supplier                      string
	Bins, Suppliers               []string
	Today                         string
	Refused                       *fault.Error // why the form came back
	Pictures                      bool         // pictures were chosen, and have to be chosen again

	Begin   beginForm      // of a delivery that stays open
	Open    []shop.OpenOne // deliveries that are
	Dropped string         // one that was dropped just now
}

// beginForm opens a delivery.
type beginForm struct {
	Name, Order, Supplier string
	Orders                []shop.Order // of which something is to come
	Refused               *fault.Error
}

func (s *site) receiveForm(w http.ResponseWriter, r *http.Request) error {
	page := intakePage{Delivery: r.FormValue("delivery"), Supplier: r.FormValue("supplier"), Bin: r.FormValue("bin"), Session: rand.Text()}
	page.Begin.Order, page.Dropped = r.FormValue("order"), r.FormValue("dropped")
	return s.showIntake(w, r, http.StatusOK, page)
}

func (s *site) showIntake(w http.ResponseWriter, r *http.Request, status int, page intakePage) (err error) {
	page.Today = s.shop.Today()
	if page.Bins, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	if page.Suppliers, err = s.shop.SupplierNames(r.Context()); err != nil {
		return err
	}
	if page.Open, err = s.shop.OpenDeliveries(r.Context()); err != nil {
		return err
	}
	orders, err := s.shop.Orders(r.Context(), false)
	if err != nil {
		return err
	}
	for _, o := range orders.Orders {
		if o.State != "draft" {
			page.Begin.Orders = append(page.Begin.Orders, o)
		}
	}
	return s.show(w, r, status, "receive", s.printer.Say("web.receive"), page)
}

// tryLines shows what scanned lines would be received as, for the page that
// goes on scanning meanwhile.
func (s *site) tryLines(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	out, err := s.shop.TryLines(r.Context(), strings.NewReader(r.PostForm.Get("lines")), r.PostForm.Get("supplier"))
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := s.pages["receive"].ExecuteTemplate(&b, "tried", out); err != nil {
		return fault.Of(err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(b.Bytes()) // the reader may have gone
	return nil
}

// receive takes a delivery in. A picture that cannot be read is told on the
// page of the delivery and keeps nothing else out. A form that is refused comes
// back with what stood in it, under its own session.
func (s *site) receive(w http.ResponseWriter, r *http.Request) error {
	pictures, err := upload(r)
	if err != nil {
		return err
	}
	if r.MultipartForm != nil {
		defer func() { _ = r.MultipartForm.RemoveAll() }()
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	lines := r.PostForm.Get("lines")
	in := shop.Intake{Delivery: field("delivery"), Supplier: field("supplier"), Bin: field("bin"), Session: field("session"), Pictures: pictures, Apart: true}
	if strings.TrimSpace(lines) != "" {
		in.Lines = strings.NewReader(lines)
	}
	got, err := s.take(r, in, len(lines))
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		return s.showIntake(w, r, statuses[e.Kind], intakePage{
			Delivery: in.Delivery, Supplier: in.Supplier, Bin: in.Bin, Session: in.Session, Lines: lines,
			Refused: s.forPages(e), Pictures: len(pictures) > 0,
		})
	}
	http.Redirect(w, r, received(got), http.StatusSeeOther)
	return nil
}

// take receives what a form brings.
func (s *site) take(r *http.Request, in shop.Intake, size int) (shop.Received, error) {
	switch {
	case in.Lines == nil && len(in.Pictures) == 0:
		return shop.Received{}, fault.New(fault.Invalid, "web.nothing_came").WithHint("web.nothing_came.hint")
	case size > mostLines:
		return shop.Received{}, fault.New(fault.Invalid, "web.too_large", mostLines>>10).WithHint("web.too_large.hint")
	}
	return s.shop.Receive(r.Context(), in)
}

// upload reads a form with pictures, which stay in its files until they are
// read.
func upload(r *http.Request) ([]shop.Picture, error) {
	err := r.ParseMultipartForm(inMemory)
	if errors.Is(err, http.ErrNotMultipart) {
		return nil, form(r)
	}
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return nil, fault.New(fault.Invalid, "web.too_large", tooLarge.Limit>>10).WithHint("web.too_large.hint")
	}
	if err != nil {
		return nil, fault.New(fault.Invalid, "web.bad_form").WithHint("web.bad_form.hint").WithCause(err)
	}
	var pictures []shop.Picture
	for _, h := range r.MultipartForm.File["pictures"] {
		if h.Filename == "" && h.Size == 0 {
			continue
		}
		pictures = append(pictures, shop.Picture{Name: path.Base(h.Filename), Load: func() ([]byte, error) { return content(h) }})
	}
	return pictures, nil
}

// content reads a picture when its turn comes.
func content(h *multipart.FileHeader) ([]byte, error) {
	file, err := h.Open()
	if err != nil {
		return nil, fault.Of(err)
	}
	data, err := io.ReadAll(file)
	if err = errors.Join(err, file.Close()); err != nil {
		return nil, fault.Of(err)
	}
	return data, nil
}
