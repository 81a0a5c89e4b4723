package web

import (
	"bytes"
	"cmp"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// stocktakeRoutes are the pages of the first stocktake.
func (s *site) stocktakeRoutes() []route {
	return []route{
		{"GET /stocktake", s.stocktake},
		{"POST /stocktake", s.tellBag},
		{"POST /stocktake/look", s.lookBag},
		{"POST /stocktake/back", s.bagBack},
		{"POST /stocktake/drop", s.dropBag},
		{"POST /stocktake/labels", s.printBags},
		{"GET /stocktake/labels.pdf", s.bagLabels},
		{"GET /photo", s.photo},
	}
}

// stocktakePage is the form for a bag, what it may hold, and the bags so far.
type stocktakePage struct {
	shop.Stocktake
	Values  url.Values // of the form
	Open    *shop.Bag  // that the form is about, nil for one that nobody told of
	Maybe   maybe
	Done    *shop.Bag // that was booked just now
	Again   bool      // by a form that had been sent before
	Bins    []string
	Roles   []catalog.Role
	Printed string // the sheet of labels that was made just now
	Refused *fault.Error
	Beside  bool // it was refused because the part lies in the bin already
	Lost    bool // a picture was chosen, and has to be chosen again
}

// maybe is what a bag may hold.
type maybe struct {
	shop.BagLook
	Asked bool
}

func (s *site) stocktake(w http.ResponseWriter, r *http.Request) error {
	page := stocktakePage{Values: url.Values{"bin": {r.FormValue("bin")}}, Again: r.FormValue("again") != "", Printed: r.FormValue("printed")}
	bag, err := number(r, "bag", 0)
	if err != nil {
		return err
	}
	if done, err := number(r, "done", 0); err != nil {
		return err
	} else if done != 0 {
		b, err := s.shop.BagNumbered(r.Context(), done)
		if err != nil {
			return err
		}
		if b.State == "booked" {
			page.Done = &b
		}
	}
	if bag != 0 {
		b, err := s.shop.BagNumbered(r.Context(), bag)
		if err != nil {
			return err
		}
		page.Open, page.Values = &b, url.Values{"marking": {b.Marking}, "size": {b.Told}, "bin": {cmp.Or(b.Bin, r.FormValue("bin"))}, "note": {b.Note}}
		if b.Amount > 0 {
			page.Values.Set("amount", strconv.FormatInt(b.Amount, 10))
		}
	}
	return s.showStocktake(w, r, http.StatusOK, page)
}

func (s *site) showStocktake(w http.ResponseWriter, r *http.Request, status int, page stocktakePage) (err error) {
	if page.Stocktake, err = s.shop.Stocktake(r.Context()); err != nil {
		return err
	}
	if page.Bins, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	if page.Values.Get("bin") == "" && len(page.Bags) > 0 {
		page.Values.Set("bin", page.Bags[0].Bin) // the bin stays
	}
	page.Roles = catalog.Roles
	if v := page.Values; v.Get("marking")+v.Get("size") != "" {
		look, err := s.shop.LookBag(r.Context(), v.Get("marking"), v.Get("size"))
		if err != nil && fault.KindOf(err) != fault.Invalid {
			return err
		}
		page.Maybe = maybe{look, err == nil}
	}
	return s.show(w, r, status, "stocktake", s.printer.Say("web.stocktake"), page)
}

// bagForm reads what a form tells of a bag.
func (s *site) bagForm(r *http.Request) (q shop.BagForm, err error) {
	photos, err := upload(r)
	if err != nil {
		return q, err
	}
	f := r.PostForm
	q = shop.BagForm{
		Key: f.Get("key"), Marking: f.Get("marking"), Size: f.Get("size"), Bin: strings.TrimSpace(f.Get("bin")), Note: f.Get("note"), Photos: photos,
	}
	if q.Bag, err = number(r, "bag", 0); err == nil {
		q.Amount, err = number(r, "amount", 0)
	}
	return q, err
}

// tellBag takes the form for a bag: it books it as the part whose button was
// pressed or as a new one, else it keeps it aside. A form that is refused comes
// back with what stood in it.
func (s *site) tellBag(w http.ResponseWriter, r *http.Request) error {
	q, err := s.bagForm(r)
	if r.MultipartForm != nil {
		defer func() { _ = r.MultipartForm.RemoveAll() }()
	}
	if err != nil && r.PostForm == nil {
		return err
	}
	f := r.PostForm
	book := shop.BagBooking{BagForm: q, Part: f.Get("part"), Another: f.Get("another") != ""}
	if f.Get("do") == "new" {
		book.New = &shop.BagNewPart{
			Role: f.Get("role"), Maker: f.Get("maker"), Number: f.Get("number"), Size: f.Get("nominal"), Description: f.Get("description"),
		}
	}
	var b shop.Bag
	switch {
	case err != nil:
	case book.New != nil || book.Part != "":
		b, err = s.shop.BookBag(r.Context(), book)
	default:
		if look, _ := s.shop.LookBag(r.Context(), q.Marking, ""); look.Bin != "" && q.Bag == 0 && len(q.Photos) == 0 { // the label of a bin was scanned
			http.Redirect(w, r, "/stocktake?"+url.Values{"bin": {look.Bin}}.Encode(), http.StatusSeeOther)
			return nil
		}
		b, err = s.shop.KeepBag(r.Context(), q)
	}
	if err != nil {
		return s.bagRefused(w, r, q, err)
	}
	query := url.Values{"bin": {b.Bin}}
	switch {
	case b.State == "booked":
		query.Set("done", strconv.FormatInt(b.Bag, 10))
		if b.Repeated {
			query.Set("again", "yes")
		}
	case f.Get("do") != "later":
		query.Set("bag", strconv.FormatInt(b.Bag, 10))
	}
	http.Redirect(w, r, "/stocktake?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// bagRefused shows the form once more. What was photographed is kept with the bag,
// left aside.
func (s *site) bagRefused(w http.ResponseWriter, r *http.Request, q shop.BagForm, err error) error {
	e := fault.Of(err)
	if e.Kind == fault.Internal {
		return err
	}
	page := stocktakePage{Values: r.PostForm, Refused: s.forPages(e), Beside: e.Message.ID == "shop.bag_again"}
	switch {
	case q.Bag != 0:
		if b, err := s.shop.BagNumbered(r.Context(), q.Bag); err == nil {
			page.Open = &b
		}
	case len(q.Photos) > 0:
		b, err := s.shop.KeepBag(r.Context(), shop.BagForm{Key: q.Key, Marking: q.Marking, Photos: q.Photos})
		if err == nil {
			page.Open = &b
		}
		page.Lost = err != nil
	}
	return s.showStocktake(w, r, statuses[e.Kind], page)
}

// lookBag shows what a bag may hold, for the page that is being filled in.
func (s *site) lookBag(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	var look maybe
	if f := r.PostForm; strings.TrimSpace(f.Get("marking")+f.Get("size")) != "" {
		got, err := s.shop.LookBag(r.Context(), f.Get("marking"), f.Get("size"))
		if err != nil && fault.KindOf(err) != fault.Invalid {
			return err
		}
		look = maybe{got, err == nil}
	}
	var b bytes.Buffer
	if err := s.pages["stocktake"].ExecuteTemplate(&b, "maybe", look); err != nil {
		return fault.Of(err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(b.Bytes()) // the reader may have gone
	return nil
}

// bagOf reads which bag a form is about.
func bagOf(r *http.Request) (int64, error) {
	if err := form(r); err != nil {
		return 0, err
	}
	return number(r, "bag", 0)
}

// bagBack takes the posting of a bag back.
func (s *site) bagBack(w http.ResponseWriter, r *http.Request) error {
	bag, err := bagOf(r)
	if err != nil {
		return err
	}
	if _, err := s.shop.UnbookBag(r.Context(), bag); err != nil {
		return err
	}
	http.Redirect(w, r, "/stocktake?bag="+strconv.FormatInt(bag, 10), http.StatusSeeOther)
	return nil
}

// dropBag says that a bag is none.
func (s *site) dropBag(w http.ResponseWriter, r *http.Request) error {
	bag, err := bagOf(r)
	if err != nil {
		return err
	}
	if err := s.shop.DropBag(r.Context(), bag); err != nil {
		return err
	}
	http.Redirect(w, r, "/stocktake", http.StatusSeeOther)
	return nil
}

// printBags makes a sheet of the labels that wait, or of one.
func (s *site) printBags(w http.ResponseWriter, r *http.Request) error {
	bag, err := bagOf(r)
	if err != nil {
		return err
	}
	start, err := number(r, "start", 1)
	if err != nil {
		return err
	}
	stamp, err := s.shop.PrintBags(r.Context(), bag)
	if err != nil {
		return err
	}
	query := url.Values{"sheet": {stamp}, "start": {strconv.FormatInt(start, 10)}}
	http.Redirect(w, r, "/stocktake/labels.pdf?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// bagLabels sends a sheet of labels.
func (s *site) bagLabels(w http.ResponseWriter, r *http.Request) error {
	start, err := number(r, "start", 1)
	if err != nil {
		return err
	}
	out, err := s.shop.BagLabels(r.Context(), shop.LabelSheet{Start: int(start)}, r.FormValue("sheet"))
	if err != nil {
		return err
	}
	sendPDF(w, "labels.pdf", out.PDF)
	return nil
}

// photo sends a picture of a bag.
func (s *site) photo(w http.ResponseWriter, r *http.Request) error {
	id, err := number(r, "id", 0)
	if err != nil {
		return err
	}
	picture, err := s.shop.BagPhoto(r.Context(), id)
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/jpeg")
	_, _ = w.Write(picture) // the reader may have gone
	return nil
}
