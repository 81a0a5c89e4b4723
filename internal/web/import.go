package web

import (
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// A list is taken in in three steps: it is sent, what it would do is shown,
// and a second form says to do it. Between them it waits in the shop's folder
// under a token.

// importPage is the form that sends a list, and what it would do.
type importPage struct {
	Token, Kind, Supplier, Price, Discount string
	New, Days                              string // a supplier that is not there yet
	Kinds                                  []*exchange.Kind
	Suppliers                              []string
	Refused                                *fault.Error
	Would                                  *shop.Imported // what it would do
	Done                                   bool           // or has done
	Added, Changed, Unchanged              int
	Rejected, Cells                        int // rows, and cells left out of others
}

// fields gives what the form says beside the file.
func (p importPage) fields() url.Values {
	return url.Values{"file": {p.Token}, "kind": {p.Kind}, "supplier": {p.Supplier}, "price": {p.Price}, "discount": {p.Discount}}
}

// request is what the form asks for.
func (p importPage) request(path string, dry bool) shop.ImportRequest {
	return shop.ImportRequest{
		Files: []string{path}, Kind: p.Kind, Supplier: p.Supplier, DryRun: dry, Net: p.Price == "net", Discount: p.Discount,
	}
}

func pageOf(r *http.Request) importPage {
	field := func(name string) string { return strings.TrimSpace(r.FormValue(name)) }
	return importPage{
		Token: field("file"), Kind: field("kind"), Supplier: field("supplier"), Price: field("price"), Discount: field("discount"),
		New: field("new"), Days: field("days"),
	}
}

func (s *site) importForm(w http.ResponseWriter, r *http.Request) error {
	return s.showImport(w, r, http.StatusOK, pageOf(r))
}

func (s *site) showImport(w http.ResponseWriter, r *http.Request, status int, page importPage) error {
	list, err := s.shop.Items(r.Context(), "", "", false, 0)
	if err != nil {
		return err
	}
	page.Kinds, page.Suppliers = exchange.Kinds, list.Suppliers
	return s.show(w, r, status, "import", s.printer.Say("web.import"), page)
}

// upload keeps a list that was sent, as a file or as pasted text, or goes on
// with one that is kept already, and adds the supplier that the form names anew.
func (s *site) upload(w http.ResponseWriter, r *http.Request) error {
	token, err := s.sent(r)
	page := pageOf(r)
	if err == nil {
		page.Token = token
		err = s.newSupplier(r, &page)
	}
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		page.Refused = s.forPages(e)
		return s.showImport(w, r, statuses[e.Kind], page)
	}
	http.Redirect(w, r, "/import/preview?"+page.fields().Encode(), http.StatusSeeOther)
	return nil
}

// newSupplier adds the supplier that the form writes in, unless it is there.
func (s *site) newSupplier(r *http.Request, page *importPage) error {
	if page.New == "" {
		return nil
	}
	if page.Days == "" {
		return fault.New(fault.Invalid, "shop.no_days").WithHint("shop.no_days.hint")
	}
	days, err := number(r, "days", 0)
	if err != nil {
		return err
	}
	_, err = s.shop.AddSupplier(r.Context(), shop.Supplier{Supplier: page.New, LeadDays: int(days)})
	if err != nil && fault.KindOf(err) != fault.Conflict {
		return err
	}
	page.Supplier = page.New
	return nil
}

func (s *site) sent(r *http.Request) (token string, err error) {
	err = r.ParseMultipartForm(inMemory)
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return "", fault.New(fault.Invalid, "web.too_large", tooLarge.Limit>>10).WithHint("web.list_too_large.hint")
	}
	if err != nil && !errors.Is(err, http.ErrNotMultipart) {
		return "", fault.New(fault.Invalid, "web.bad_form").WithHint("web.bad_form.hint").WithCause(err)
	}
	if token := r.FormValue("file"); token != "" {
		_, err := s.shop.Uploaded(token)
		return token, err
	}
	if r.MultipartForm != nil {
		defer func() { _ = r.MultipartForm.RemoveAll() }()
		for _, h := range r.MultipartForm.File["list"] {
			if h.Size == 0 {
				continue
			}
			f, err := h.Open()
			if err != nil {
				return "", fault.Of(err)
			}
			defer f.Close()
			return s.shop.Upload(r.Context(), h.Filename, f)
		}
	}
	if text := r.PostForm.Get("text"); strings.TrimSpace(text) != "" {
		return s.shop.Upload(r.Context(), "list.txt", strings.NewReader(text))
	}
	return "", fault.New(fault.Invalid, "web.no_list").WithHint("web.no_list.hint")
}

// preview shows what a list would do.
func (s *site) preview(w http.ResponseWriter, r *http.Request) error {
	page := pageOf(r)
	path, err := s.shop.Uploaded(page.Token)
	if err != nil {
		return err
	}
	out, err := s.shop.Import(r.Context(), page.request(path, true))
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		page.Refused = s.forPages(e)
		return s.showImport(w, r, statuses[e.Kind], page)
	}
	page.Would = &out
	return s.showImport(w, r, http.StatusOK, page)
}

// takeList takes a list in that was shown.
func (s *site) takeList(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	page := pageOf(r)
	path, err := s.shop.Uploaded(page.Token)
	if err != nil {
		return err
	}
	out, err := s.shop.Import(r.Context(), page.request(path, false))
	if err != nil {
		return err
	}
	query := page.fields()
	for name, n := range map[string]int{"added": out.Added, "changed": out.Changed, "unchanged": out.Unchanged, "rejected": out.RejectedCount, "cells": out.CellsLeftOut} {
		query.Set(name, strconv.Itoa(n))
	}
	http.Redirect(w, r, "/import/done?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// listTaken tells what taking a list in has done. What was rejected is found
// out once more: a list that is in changes nothing.
func (s *site) listTaken(w http.ResponseWriter, r *http.Request) error {
	page := pageOf(r)
	for name, to := range map[string]*int{"added": &page.Added, "changed": &page.Changed, "unchanged": &page.Unchanged, "rejected": &page.Rejected, "cells": &page.Cells} {
		*to, _ = strconv.Atoi(r.FormValue(name))
	}
	page.Done = true
	if path, err := s.shop.Uploaded(page.Token); err == nil && page.Rejected+page.Cells > 0 {
		if out, err := s.shop.Import(r.Context(), page.request(path, true)); err == nil {
			page.Would = &out
		}
	}
	return s.showImport(w, r, http.StatusOK, page)
}
