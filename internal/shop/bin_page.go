package shop

import (
	"context"

	"forkstock/internal/store"
	"forkstock/inventory"
)

// BinPage is a bin and what lies in it.
type BinPage struct {
	Bin   string      `json:"bin"`
	Kind  string      `json:"kind"`
	Job   string      `json:"job"`  // whose tray it is; empty: nobody's
	Code  string      `json:"code"` // on its label, GTIN-14; empty: it has none yet
	Lines []StockLine `json:"lines"`
}

// BinPage gives the bin of a name, or of the code on its label. Error: NotFound.
func (s *Shop) BinPage(ctx context.Context, name string) (page BinPage, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		b, err := inventory.BinNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		tray, _, err := inventory.TrayIn(ctx, tx, b.ID)
		if err != nil {
			return err
		}
		page.Bin, page.Kind, page.Job = b.Name, b.Kind, tray.Job
		if page.Code, err = inventory.NumberOfBin(ctx, tx, b.ID); err != nil {
			return err
		}
		lines, err := inventory.StockIn(ctx, tx, b.ID)
		if err != nil {
			return err
		}
		page.Lines, err = s.tellLines(ctx, tx, lines)
		sortLines(page.Lines)
		return err
	})
	return page, err
}
