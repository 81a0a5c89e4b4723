package web

import (
	"cmp"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/sheet"
	"forkstock/internal/shop"
)

// labelPage is the form that prints labels: of a part, a bin, the parts of a
// bin, or what came with a delivery.
type labelPage struct {
	Part, Bin, Of, Delivery string
	Order                   string     // its number
	Values                  url.Values // of the form
	Codes                   []string
	DPIs                    []string
	Count, New              int  // labels that the form as it stands would print; of them with a new number
	Open                    bool // to say how labels lie: it was refused
	Refused                 *fault.Error
}

// labelNames are the fields that say what is labelled, and how.
var labelNames = []string{"part", "bin", "of", "order", "delivery", "sheet", "code", "dpi", "start", "copies", "pieces", "each"}

// labelRoutes are the routes of labels and bins.
func (s *site) labelRoutes() []route {
	return []route{
		{"GET /label", s.labelForm},
		{"POST /label", s.label},
		{"GET /label.pdf", s.labelFile},
		{"GET /label/trial.pdf", s.trialFile},
		{"GET /bin", s.bin},
	}
}

func (s *site) labelForm(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	usual, _, err := s.shop.UsualLabels(r.Context(), shop.LabelSheet{Sheet: q.Get("sheet")})
	if err != nil {
		return err
	}
	values := s.gridFields(usual.Sheet)
	for name, value := range map[string]string{"code": usual.Code, "dpi": strconv.Itoa(usual.DPI), "start": "1", "copies": "1"} {
		values.Set(name, value)
	}
	for _, name := range labelNames {
		if value := q.Get(name); value != "" {
			values.Set(name, value)
		}
	}
	page := labelPage{Values: values}
	if q, err := labelRequest(values); err == nil {
		if plan, err := s.shop.LabelPlan(r.Context(), q); err == nil { // else the form says why, once it is sent
			page.Count, page.New = plan.Count, plan.New
		}
	}
	return s.showLabels(w, r, http.StatusOK, page)
}

func (s *site) showLabels(w http.ResponseWriter, r *http.Request, status int, page labelPage) error {
	v := page.Values
	page.Part, page.Bin, page.Of, page.Delivery = v.Get("part"), v.Get("bin"), v.Get("of"), v.Get("delivery")
	page.Order = v.Get("order")
	page.Codes, page.DPIs = shop.LabelCodes, []string{"203", "300", "600"}
	return s.show(w, r, status, "label", s.printer.Say("web.labels"), page)
}

// label gives numbers to what has none, keeps the sheet where that was asked
// for, and leads to the file. A form that is refused comes back as it was.
func (s *site) label(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	query := url.Values{"sheet": {typedGrid(f)}}
	for _, name := range labelNames {
		if value := strings.TrimSpace(f.Get(name)); value != "" && name != "sheet" {
			query.Set(name, value)
		}
	}
	q, err := labelRequest(query)
	if err == nil {
		_, err = s.shop.Label(r.Context(), q)
	}
	if err == nil && f.Get("keep") == "yes" {
		_, err = s.shop.SetSettings(r.Context(), shop.Change{Labels: q.Sheet, LabelCode: q.Code, DPI: q.DPI})
	}
	if err != nil {
		e := fault.Of(err)
		if e.Kind == fault.Internal {
			return err
		}
		return s.showLabels(w, r, statuses[e.Kind], labelPage{Values: f, Open: true, Refused: s.forPages(e)})
	}
	http.Redirect(w, r, "/label.pdf?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// labelFile sends labels of what has its numbers.
func (s *site) labelFile(w http.ResponseWriter, r *http.Request) error {
	q, err := labelRequest(r.URL.Query())
	if err != nil {
		return err
	}
	out, err := s.shop.LabelAgain(r.Context(), q)
	if err != nil {
		return err
	}
	sendPDF(w, "labels.pdf", out.PDF)
	return nil
}

// trialFile sends the page to try a printer with.
func (s *site) trialFile(w http.ResponseWriter, r *http.Request) error {
	q, err := labelRequest(r.URL.Query())
	if err != nil {
		return err
	}
	pdf, err := s.shop.LabelTrial(r.Context(), q.LabelSheet)
	if err != nil {
		return err
	}
	sendPDF(w, "trial.pdf", pdf)
	return nil
}

func sendPDF(w http.ResponseWriter, name string, pdf []byte) {
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="`+name+`"`)
	_, _ = w.Write(pdf) // the reader may have gone
}

// labelRequest reads what is labelled, and how. Error: Invalid.
func labelRequest(v url.Values) (shop.LabelRequest, error) {
	q := shop.LabelRequest{
		LabelSheet: shop.LabelSheet{Sheet: v.Get("sheet"), Code: v.Get("code")},
		Of:         v.Get("of"), Delivery: v.Get("delivery"), Each: v.Get("each") == "yes",
	}
	if part := strings.TrimSpace(v.Get("part")); part != "" {
		q.Parts = []string{part}
	}
	if bin := strings.TrimSpace(v.Get("bin")); bin != "" {
		q.Bins = []string{bin}
	}
	if order := strings.TrimSpace(v.Get("order")); order != "" {
		q.Orders = []string{order}
	}
	var pieces int
	for name, to := range map[string]*int{"dpi": &q.DPI, "start": &q.Start, "copies": &q.Copies, "pieces": &pieces} {
		text := v.Get(name)
		n, err := strconv.Atoi(cmp.Or(text, "0"))
		if err != nil {
			return q, fault.New(fault.Invalid, "web.bad_number", text).WithHint("web.bad_number.hint")
		}
		*to = n
	}
	q.Pieces = int64(pieces)
	return q, nil
}

// gridFields gives the fields of the form that say how labels lie.
func (s *site) gridFields(text string) url.Values {
	g, err := sheet.ParseGrid(text)
	if err != nil {
		return url.Values{}
	}
	paper := cmp.Or(g.Paper, "roll")
	return url.Values{
		"paper": {paper}, "columns": {strconv.Itoa(g.Columns)}, "rows": {strconv.Itoa(g.Rows)},
		"width": {s.printer.Show(g.Width)}, "height": {s.printer.Show(g.Height)}, "left": {s.printer.Show(g.Left)},
		"top": {s.printer.Show(g.Top)}, "gap_x": {s.printer.Show(g.GapX)}, "gap_y": {s.printer.Show(g.GapY)},
	}
}

// typedGrid gives what the form says of how labels lie, as sheet.ParseGrid
// reads it: one word for each field, so that none can be taken for another.
func typedGrid(f url.Values) string {
	word := func(name, absent string) string {
		return cmp.Or(strings.Join(strings.Fields(f.Get(name)), ""), absent)
	}
	size := word("width", "0") + "x" + word("height", "0")
	if paper := word("paper", "A4"); paper != "roll" {
		return paper + " " + word("columns", "1") + "x" + word("rows", "1") + " " + size +
			" margin " + word("left", "0") + "x" + word("top", "0") + " gap " + word("gap_x", "0") + "x" + word("gap_y", "0")
	}
	return "roll " + size
}

// bin shows a bin, and what lies in it.
func (s *site) bin(w http.ResponseWriter, r *http.Request) error {
	page, err := s.shop.BinPage(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	return s.show(w, r, http.StatusOK, "bin", s.printer.Say("web.bin_named", page.Bin), page)
}

// scannedBin gives where to find the bin whose label was scanned into the box.
func (s *site) scannedBin(r *http.Request, text string) (to string, ok bool) {
	code, _ := gs1.Key("", text)
	if !gs1.IsOwn(code) {
		return "", false
	}
	page, err := s.shop.BinPage(r.Context(), code)
	return "/bin?" + url.Values{"name": {page.Bin}}.Encode(), err == nil
}
