package shop

import (
	"bytes"
	"cmp"
	"context"
	"encoding/csv"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/sheet"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/scanner"
)

// Forms of an order, by which a supplier gets it.
const (
	OrderPDF   = "pdf"   // to print or mail, its code in bars
	OrderCSV   = "csv"   // a row a line
	OrderText  = "txt"   // ready to mail
	OrderPaste = "paste" // "number;quantity" lines for the supplier's own page
)

// OrderForm gives the form that a file's ending stands for; ok is false for any
// other.
func OrderForm(file string) (form string, ok bool) {
	switch form = strings.TrimPrefix(strings.ToLower(filepath.Ext(file)), "."); form {
	case OrderPDF, OrderCSV, OrderText:
		return form, true
	}
	return "", false
}

// OrderSheet writes an order in a form. sender is who orders, as it is to stand
// on the sheet. Errors: Invalid (the form), NotFound.
func (s *Shop) OrderSheet(ctx context.Context, name, form, sender string) ([]byte, error) {
	var o Order
	var made time.Time
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, err := orderNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if made, err = store.Time(p.Made); err != nil {
			return err
		}
		o, err = s.order(ctx, tx, p)
		return err
	})
	if err != nil {
		return nil, err
	}
	if sender = strings.TrimSpace(sender); sender == "" {
		sender = s.settings.Person
	}
	w := words.For(s.settings.Language)
	switch form {
	case OrderText:
		return []byte(o.text(w, sender)), nil
	case OrderPaste:
		return []byte(o.paste()), nil
	case OrderCSV:
		return o.csv()
	case OrderPDF:
		return o.pdf(w, sender, made)
	}
	return nil, fault.New(fault.Invalid, "shop.bad_form", clipped(form)).WithHint("shop.bad_form.hint")
}

// asked are the lines with what is to be sent: packs that will not come are left
// out.
func (o Order) asked() (lines []OrderLine) {
	for _, l := range o.Lines {
		if l.Packs -= l.Dropped; l.Packs > 0 {
			lines = append(lines, l)
		}
	}
	return lines
}

// text writes an order as plain text.
func (o Order) text(w *words.Printer, sender string) string {
	var b strings.Builder
	line := func(id string, args ...any) { b.WriteString(strings.TrimRight(w.Say(id, args...), " ,") + "\n") }
	line("order.text.head", o.Code, o.Supplier)
	line("order.text.from", sender, cmp.Or(o.Placed, o.Made))
	b.WriteString("\n")
	for _, l := range o.asked() {
		line("order.text.line", l.Packs, l.SupplierNumber, inPack(w, l), l.Maker+" "+l.Number, w.Say("role."+string(l.Role)), l.Sizes.Size)
	}
	b.WriteString("\n")
	if o.Expected != "" {
		line("order.text.expected", o.Expected)
	}
	line("order.text.code", o.Code)
	return b.String()
}

func inPack(w *words.Printer, l OrderLine) string { return w.Say("unit."+l.Unit, l.Pack) }

// paste writes a line of number and packs for each; the sums of equal numbers.
func (o Order) paste() string {
	var numbers []string
	packs := map[string]int64{}
	for _, l := range o.asked() {
		number := cmp.Or(l.SupplierNumber, l.Number)
		if packs[number] == 0 {
			numbers = append(numbers, number)
		}
		packs[number] += l.Packs
	}
	var b strings.Builder
	for _, n := range numbers {
		fmt.Fprintf(&b, "%s;%d\n", n, packs[n])
	}
	return b.String()
}

// csv writes a row for each line, with the columns' names in English, as all
// files of forkstock have them.
func (o Order) csv() ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"order", "supplier_number", "packs", "pack", "unit", "maker", "number", "role", "size", "pack_price", "job"}}
	for _, l := range o.asked() {
		price := ""
		if l.PackPriceMinor != nil {
			price = fmt.Sprintf("%d.%02d", *l.PackPriceMinor/100, *l.PackPriceMinor%100)
		}
		rows = append(rows, []string{
			o.Code, l.SupplierNumber, strconv.FormatInt(l.Packs, 10), strconv.FormatInt(l.Pack, 10), l.Unit, l.Maker, l.Number,
			string(l.Role), l.Sizes.Size, price, l.Job,
		})
	}
	err := w.WriteAll(rows)
	return b.Bytes(), err
}

// Places on the sheet, in mm.
const (
	sheetLeft   = 15.0
	sheetTop    = 15.0
	sheetBottom = 282.0
)

// pdf draws an order on A4, its code in bars at the top right.
func (o Order) pdf(w *words.Printer, sender string, made time.Time) ([]byte, error) {
	d := sheet.New(sheet.A4, o.Code, made)
	d.Page()
	bars, err := scanner.Encode(scanner.Code128, o.Code)
	if err != nil {
		return nil, err
	}
	const module = 0.33 // mm: 13 mil, which every hand scanner reads
	wide := float64(len(bars[0])) * module
	right := sheet.A4.Width - sheetLeft
	d.Symbol(right-wide, sheetTop, bars, module, 14)
	d.Line(sheet.Box{X: right - wide, Y: sheetTop + 15, Width: wide, Height: 5}, sheet.Font{Points: 9}, sheet.Center, o.Code)

	big, plain := sheet.Font{Points: 18, Bold: true}, sheet.Font{Points: 11}
	width := right - wide - sheetLeft - 5
	d.Line(sheet.Box{X: sheetLeft, Y: sheetTop, Width: width, Height: 9}, big, sheet.Left, w.Say("order.sheet.title", o.Number))
	d.Line(sheet.Box{X: sheetLeft, Y: sheetTop + 10, Width: width, Height: 6}, plain, sheet.Left, o.Supplier)
	d.Line(sheet.Box{X: sheetLeft, Y: sheetTop + 16, Width: width, Height: 6}, plain, sheet.Left,
		w.Say("order.text.from", sender, cmp.Or(o.Placed, o.Made)))
	t := sheet.Table{
		Columns: []sheet.Column{
			{Title: w.Say("order.sheet.number"), Width: 36},
			{Title: w.Say("order.sheet.packs"), Width: 16, Align: sheet.Right},
			{Title: w.Say("order.sheet.pack"), Width: 24},
			{Title: w.Say("order.sheet.part"), Width: 70},
			{Title: w.Say("order.sheet.price"), Width: 34, Align: sheet.Right},
		},
		Font: sheet.Font{Points: 10}, Wrap: 2, Top: sheetTop, Bottom: sheetBottom,
	}
	var rows [][]string
	for _, l := range o.asked() {
		price := ""
		if l.PriceMinor != nil {
			price = w.Show(words.Money{Minor: *l.PackPriceMinor * l.Packs, Currency: o.Currency})
		}
		rows = append(rows, []string{
			l.SupplierNumber, strconv.FormatInt(l.Packs, 10), inPack(w, l),
			l.Maker + " " + l.Number + ", " + w.Say("role."+string(l.Role)) + " " + l.Sizes.Size, price,
		})
	}
	end := t.Draw(d, sheetLeft, sheetTop+32, rows, nil)
	if end+18 > sheetBottom {
		d.Page()
		end = sheetTop
	}
	d.Line(sheet.Box{X: sheetLeft, Y: end + 1, Width: 179, Height: 6}, sheet.Font{Points: 11, Bold: true}, sheet.Right,
		w.Say("cli.order.total", words.Money{Minor: o.Total, Currency: o.Currency}))
	end += 6
	d.Line(sheet.Box{X: sheetLeft, Y: end + 4, Width: 180, Height: 6}, plain, sheet.Left, w.Say("order.text.code", o.Code))
	return d.Bytes()
}
