package web

import (
	"net/http"
	"net/url"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// itemsShown is how many items stand on a page.
const itemsShown = 50

// items lists what a supplier offers and the shop does not use yet.
func (s *site) items(w http.ResponseWriter, r *http.Request) error {
	all := r.FormValue("all") != ""
	list, err := s.shop.Items(r.Context(), r.FormValue("supplier"), r.FormValue("after"), !all, itemsShown)
	if err == nil && list.Supplier == "" && len(list.Suppliers) == 1 { // there is nothing to choose
		list, err = s.shop.Items(r.Context(), list.Suppliers[0], "", !all, itemsShown)
	}
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "items", s.printer.Say("web.listed"), struct {
		shop.ItemList
		All bool
	}{list, all})
}

// itemPage is one item with what is proposed of it.
type itemPage struct {
	shop.Adoption
	Values  url.Values // what was typed
	Roles   []catalog.Role
	Refused *fault.Error
	Prices  shop.OfferHistory
}

// item shows an item with a form to say what it is.
func (s *site) item(w http.ResponseWriter, r *http.Request) error {
	return s.showItem(w, r, http.StatusOK, itemPage{Values: r.URL.Query()})
}

func (s *site) showItem(w http.ResponseWriter, r *http.Request, status int, page itemPage) (err error) {
	page.Adoption, err = s.shop.Adopt(r.Context(), shop.AdoptRequest{Supplier: page.Values.Get("supplier"), Number: page.Values.Get("item")})
	if err != nil {
		return err
	}
	if page.Prices, err = s.shop.OfferPrices(r.Context(), page.Supplier, page.SupplierNumber); err != nil {
		return err
	}
	page.Roles = catalog.Roles
	for field, of := range map[string]string{"role": "role", "size": "size", "thread": "thread", "pieces": "pieces"} {
		if p, ok := page.Says(of); ok && !page.Values.Has(field) {
			page.Values.Set(field, p.Value)
		}
	}
	if !page.Values.Has("maker") {
		page.Values.Set("maker", page.Maker)
	}
	if !page.Values.Has("number") {
		page.Values.Set("number", page.Number)
	}
	return s.show(w, r, status, "item", s.printer.Say("web.listed"), page)
}

// adopt makes an item a part: with one tap as it is proposed, or as the form
// says.
func (s *site) adopt(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	told := func(name string) *string {
		if text := r.PostForm.Get(name); text != "" {
			return &text
		}
		return nil
	}
	q := shop.AdoptRequest{
		Supplier: r.PostForm.Get("supplier"), Number: r.PostForm.Get("item"), Yes: r.PostForm.Get("yes") != "",
		Maker: r.PostForm.Get("maker"), PartNumber: r.PostForm.Get("number"),
		PartFacts: shop.PartFacts{Role: told("role"), SizeFacts: shop.SizeFacts{Size: told("size"), Thread: told("thread")}},
	}
	out, err := s.adoptTyped(r, q)
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal || e.Kind == fault.NotFound {
			return err
		}
		return s.showItem(w, r, statuses[e.Kind], itemPage{Values: r.PostForm, Refused: s.forPages(e)})
	}
	if code := r.PostForm.Get("waits"); code != "" { // back to the code that it was taken in for
		query := url.Values{"code": {code}, "known": {out.Part.Name()}}
		http.Redirect(w, r, waitingAt(r.PostForm.Get("delivery"), query)+"#waits", http.StatusSeeOther)
		return nil
	}
	http.Redirect(w, r, "/part?"+url.Values{"name": {out.Part.Name()}, "list": {out.Supplier}}.Encode(), http.StatusSeeOther)
	return nil
}

func (s *site) adoptTyped(r *http.Request, q shop.AdoptRequest) (shop.Adoption, error) {
	if r.PostForm.Get("pieces") != "" {
		n, err := number(r, "pieces", 0)
		if err != nil {
			return shop.Adoption{}, err
		}
		q.Pieces = &n
	}
	if !q.Yes && q.Maker == "" && q.PartNumber == "" && q.Role == nil {
		q.Yes = true
	}
	return s.shop.Adopt(r.Context(), q)
}
