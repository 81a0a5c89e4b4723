package shop

import (
	"context"
	"strconv"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Exports lists what can be exported.
var Exports = []string{"parts", "codes", "stock"}

// Export gives a table of a kind, its first row the names of the columns.
// Lengths are millimetres with a point, amounts whole numbers of the unit.
// Error: Invalid where there is no such kind.
func (s *Shop) Export(ctx context.Context, kind string) ([][]string, error) {
	var rows [][]string
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) (err error) {
		switch kind {
		case "parts":
			rows, err = partRows(ctx, tx)
		case "codes":
			rows, err = codeRows(ctx, tx)
		case "stock":
			rows, err = s.stockRows(ctx, tx)
		default:
			err = fault.New(fault.Invalid, "shop.bad_export", kind).WithHint("shop.bad_export.hint")
		}
		return err
	})
	return rows, err
}

func partRows(ctx context.Context, tx *store.Tx) ([][]string, error) {
	rows := [][]string{{
		"number", "maker", "role", "description", "unit", "inner_mm", "outer_mm", "height_mm", "overall_mm", "thread",
		"head_mm", "seat", "strength", "coated", "entered", "material", "elastomer", "home_bin", "minimum", "source",
	}}
	bins := map[string]string{}
	all, err := inventory.Bins(ctx, tx)
	if err != nil {
		return nil, err
	}
	for _, b := range all {
		bins[b.ID] = b.Name
	}
	parts, err := catalog.Parts(ctx, tx)
	for _, p := range parts {
		rows = append(rows, []string{
			p.Number, p.Maker, string(p.Role), p.Description, p.Unit, mm(p.Size.Inner), mm(p.Size.Outer), mm(p.Size.Height),
			mm(p.Size.Overall), p.Thread, mm(p.Head), p.Seat, p.Strength, p.Coated, p.Entered, p.Material, p.Elastomer, bins[p.HomeBin], itoa(p.Minimum), p.Source,
		})
	}
	return rows, err
}

// mm prints a length in millimetres, nothing for one that is not known.
func mm(l measure.Length) string {
	if l == 0 {
		return ""
	}
	return l.String()
}

func codeRows(ctx context.Context, tx *store.Tx) ([][]string, error) {
	rows := [][]string{{"code", "number", "maker", "pieces"}}
	parts, err := partsByID(ctx, tx)
	if err != nil {
		return nil, err
	}
	links, err := catalog.Links(ctx, tx)
	for _, l := range links {
		p := parts[l.Part]
		rows = append(rows, []string{l.Code, p.Number, p.Maker, itoa(l.Pieces)})
	}
	return rows, err
}

func (s *Shop) stockRows(ctx context.Context, tx *store.Tx) ([][]string, error) {
	rows := [][]string{{"number", "maker", "bin", "lot", "batch", "use_by", "since", "unit", "amount"}}
	lines, err := s.stockLines(ctx, tx, "")
	sortLines(lines)
	for _, l := range lines {
		rows = append(rows, []string{
			l.Number, l.Maker, l.Bin, strconv.FormatInt(l.Lot, 10), l.Batch, l.UseBy, l.Since, l.Unit, itoa(l.Amount),
		})
	}
	return rows, err
}
