package shop

import (
	"cmp"
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/sheet"
	"forkstock/scanner"
)

// LabelCodes are the kinds of code on labels.
var LabelCodes = []string{scanner.Code128, scanner.DataMatrix, scanner.QR}

// LabelSheet is how labels are printed. What is empty is as the settings say.
type LabelSheet struct {
	Sheet  string // as sheet.ParseGrid reads it
	Code   string // of LabelCodes
	DPI    int    // dots of the printer to the inch
	Module string // width of the narrowest bar, in mm; empty: what the label allows
	Start  int    // the first label of the first page that is free, from 1
}

// What is printed on where nothing is set: an invented grid, and the dots of
// usual printers of paper and of rolls (common practice, no source).
const (
	usualSheet = "A4 3x8 64x34 margin 7x12.5 gap 2x0"
	paperDPI   = 600
	rollDPI    = 203
)

// UsualLabels gives how labels are printed, as the settings say where q does
// not; kept is false where neither says on which sheet. A running program heeds
// settings that were changed since it began. Error: Invalid.
func (s *Shop) UsualLabels(ctx context.Context, q LabelSheet) (how LabelSheet, kept bool, err error) {
	set, err := loadSettings(ctx, s.db)
	if err != nil {
		return q, false, err
	}
	kept = q.Sheet != "" || set.Labels != ""
	q.Sheet, q.Code = first(q.Sheet, set.Labels, usualSheet), first(q.Code, set.LabelCode, scanner.Code128)
	g, err := sheet.ParseGrid(q.Sheet)
	if err != nil {
		return q, kept, err
	}
	usual := paperDPI
	if g.Roll() {
		usual = rollDPI
	}
	q.DPI = cmp.Or(q.DPI, set.DPI, usual)
	return q, kept, nil
}

// read reads how to print. Error: Invalid.
func (q LabelSheet) read() (g sheet.Grid, p sheet.Print, err error) {
	p = sheet.Print{DPI: q.DPI, Start: q.Start}
	if !slices.Contains(LabelCodes, q.Code) {
		return g, p, badCode(q.Code)
	}
	if g, err = sheet.ParseGrid(q.Sheet); err != nil {
		return g, p, err
	}
	if q.Module != "" {
		if p.Module, err = measure.ParseLength(q.Module); err != nil {
			return g, p, err
		}
	}
	return g, p, p.Check()
}

func badCode(code string) error {
	return fault.New(fault.Invalid, "shop.label_code", clipped(code)).WithHint("shop.label_code.hint")
}
