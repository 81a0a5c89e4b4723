package web

import (
	"net/http"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/shop"
)

func (s *site) reorder(w http.ResponseWriter, r *http.Request) error {
	request := reorderRequest(r)
	list, err := s.shop.Reorder(r.Context(), request)
	if err != nil {
		return err
	}
	page := reorderPage{Reorder: list, Supplier: request.Supplier, One: request.Supplier != "", Now: request.AsOf == ""}
	open, err := s.shop.Orders(r.Context(), false)
	if err != nil {
		return err
	}
	page.Open = bySupplier(open.Orders)
	if page.Suppliers, err = s.shop.SupplierNames(r.Context()); err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "reorder", s.printer.Say("web.reorder", list.Week), page)
}

// reorderPage is what to buy this week, below what is ordered already.
type reorderPage struct {
	shop.Reorder
	Supplier  string
	One       bool
	Now       bool // it is the list of now, which can be put on orders
	Open      []shop.Order
	Suppliers []string
}

// Buying gives the form for a part of the list that was bought round the corner.
func (p reorderPage) Buying(l shop.ReorderLine, supplier string) buying {
	return buying{l.Maker + "/" + l.Number, l.Unit, l.Amount, p.Suppliers, supplier}
}

func (s *site) stock(w http.ResponseWriter, r *http.Request) error {
	part, day := r.FormValue("part"), r.FormValue("as_of")
	stock, err := s.shop.Stock(r.Context(), part, day)
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "stock", s.printer.Say("web.stock"), struct {
		Groups []group
		Part   string
		AsOf   string // the day at whose end it lay so, empty for now
		Today  string
	}{s.byRole(stock.Lines), part, day, s.shop.Today()})
}

// group is what is in stock of the parts of one role.
type group struct {
	Role  catalog.Role
	Lines []shop.StockLine
}

// byRole groups lines, in the order of the roles' names as they are shown.
func (s *site) byRole(lines []shop.StockLine) (out []group) {
	at := map[catalog.Role]int{}
	for _, l := range lines {
		i, there := at[l.Role]
		if !there {
			i = len(out)
			at[l.Role], out = i, append(out, group{Role: l.Role})
		}
		out[i].Lines = append(out[i].Lines, l)
	}
	name := func(g group) string { return s.printer.Say("role." + string(g.Role)) }
	slices.SortFunc(out, func(a, b group) int { return strings.Compare(name(a), name(b)) })
	return out
}
