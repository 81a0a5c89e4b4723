package shop

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/measure"
	"forkstock/internal/sheet"
	"forkstock/internal/words"
	"forkstock/scanner"
)

// trialWidths are the widths of modules on the trial page; the page prints the
// whole dots next to them.
var trialWidths = []measure.Length{250, 333, 500}

// trialText begins the text of the codes on the trial page, before the width of
// their bars in micrometres.
const trialText = "TRIAL"

// trialWidth gives the width of the bars of a code of the trial page, 0 of any
// other.
func trialWidth(text string) measure.Length {
	digits, found := strings.CutPrefix(text, trialText)
	n, err := strconv.Atoi(digits)
	if !found || err != nil || !slices.Contains(trialWidths, measure.Length(n)) {
		return 0
	}
	return measure.Length(n)
}

// LabelTrial makes the page to try a printer with, on the paper of a sheet, on
// A4 for a roll: rulers, and every kind of code in several widths. Error:
// Invalid.
func (s *Shop) LabelTrial(ctx context.Context, q LabelSheet) ([]byte, error) {
	how, _, err := s.UsualLabels(ctx, q)
	if err != nil {
		return nil, err
	}
	g, p, err := how.read()
	if err != nil {
		return nil, err
	}
	printer := words.For(s.settings.Language)
	say := printer.Say
	page := sheet.Trial{
		Title:  say("shop.trial_title"),
		Advice: []string{say("shop.trial_full"), say("shop.trial_read", p.DPI)},
		Across: say("shop.trial_across"), Down: say("shop.trial_down"), Mark: printer.Mark(),
	}
	for _, code := range LabelCodes {
		row := sheet.TrialRow{Name: say("shop.code." + code)}
		for _, width := range trialWidths {
			text := trialText + itoa(int64(width))
			modules, err := scanner.Encode(code, text)
			if err != nil {
				return nil, err
			}
			row.Symbols = append(row.Symbols, sheet.TrialSymbol{Caption: text, Modules: modules, Width: width})
		}
		page.Rows = append(page.Rows, row)
	}
	paper := g.Page()
	if g.Roll() {
		paper = sheet.A4
	}
	return page.Page(paper, p.DPI, s.opt.Clock())
}
