package shop

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Exports lists what can be exported: the kinds of file that Import takes in,
// and the ledger.
var Exports = append(kindNames(), "movements")

func kindNames() (names []string) {
	for _, k := range exchange.Kinds {
		names = append(names, k.Name)
	}
	return names
}

// Export gives a table of a kind, its first row the names of the columns.
// Lengths are millimetres with a point, money minor units' decimals with a
// point, amounts whole numbers of the unit. What was exported and is imported
// again changes nothing, and makes the same of an empty shop. Error: Invalid
// where there is no such kind.
func (s *Shop) Export(ctx context.Context, kind string) (rows [][]string, err error) {
	err = s.ExportTo(ctx, kind, func(row []string) error {
		rows = append(rows, row)
		return nil
	})
	return rows, err
}

// ExportTo is Export for rows that write takes one after the other.
func (s *Shop) ExportTo(ctx context.Context, kind string, write func([]string) error) error {
	of, ok := map[string]func(*exporter) error{
		"parts": (*exporter).parts, "forks": (*exporter).forks, "fitments": (*exporter).fitments, "kits": (*exporter).kits,
		"codes": (*exporter).codes, "replacements": (*exporter).replacements, "prices": (*exporter).prices,
		"stock": (*exporter).stock, "jobs": (*exporter).jobs, "movements": (*exporter).movements,
	}[kind]
	if !ok {
		return fault.New(fault.Invalid, "shop.bad_export", clipped(kind)).WithHint("shop.bad_export.hint", strings.Join(Exports, ", "))
	}
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) (err error) {
		x := &exporter{s: s, ctx: ctx, tx: tx, write: write}
		if x.part, err = partsByID(ctx, tx); err != nil {
			return err
		}
		if kind != "movements" {
			k, err := exchange.Named(kind)
			if err != nil {
				return err
			}
			x.header = k.Header()
			if err := write(x.header); err != nil {
				return err
			}
		}
		return of(x)
	})
}

// exporter writes the rows of one kind. It lives as long as its transaction,
// and so holds its context.
type exporter struct {
	s      *Shop
	ctx    context.Context
	tx     *store.Tx
	write  func([]string) error
	header []string
	part   map[string]catalog.Part // by id
}

// cells are those of a row, by column.
type cells map[string]string

// row writes a row; what it does not name stays empty.
func (x *exporter) row(groups ...cells) error {
	row := make([]string, len(x.header))
	for _, g := range groups {
		for column, text := range g {
			i := slices.Index(x.header, column)
			if i < 0 {
				return fault.New(fault.Internal, "internal").WithHint("internal.hint")
			}
			row[i] = text
		}
	}
	return x.write(row)
}

// mm prints a length in millimetres, nothing for one that is not known.
func mm(l measure.Length) string {
	if l == 0 {
		return ""
	}
	return l.String()
}

// sortedBy gives a sorted copy.
func sortedBy[T any](all []T, key func(T) string) []T {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b T) int { return strings.Compare(key(a), key(b)) })
	return all
}

// some prints a number, nothing for 0.
func some[T int | int64](n T) string {
	if n == 0 {
		return ""
	}
	return strconv.FormatInt(int64(n), 10)
}

func sizeCells(m measure.Size, thread string) cells {
	return cells{"inner_mm": mm(m.Inner), "outer_mm": mm(m.Outer), "height_mm": mm(m.Height), "overall_mm": mm(m.Overall), "thread": thread}
}

func traitCells(t catalog.Traits, entered string) cells {
	return cells{"head_mm": mm(t.Head), "seat": t.Seat, "strength": t.Strength, "coated": t.Coated, "entered": entered}
}

func (x *exporter) parts() error {
	bins, err := inventory.Bins(x.ctx, x.tx)
	if err != nil {
		return err
	}
	name := map[string]string{}
	for _, b := range bins {
		name[b.ID] = b.Name
	}
	parts, err := catalog.Parts(x.ctx, x.tx)
	for _, p := range parts {
		if err := x.row(cells{
			"number": p.Number, "maker": p.Maker, "role": string(p.Role), "description": p.Description, "unit": p.Unit,
			"material": p.Material, "elastomer": p.Elastomer, "home_bin": name[p.HomeBin], "minimum": itoa(p.Minimum), "source": p.Source,
		}, sizeCells(p.Size, p.Thread), traitCells(p.Traits, p.Entered)); err != nil {
			return err
		}
	}
	return err
}

func (x *exporter) codes() error {
	links, err := catalog.Links(x.ctx, x.tx)
	if err != nil {
		return err
	}
	suppliers, err := catalog.Suppliers(x.ctx, x.tx)
	name := map[string]string{}
	for _, v := range suppliers {
		name[v.ID] = v.Name
	}
	for _, l := range links {
		p := x.part[l.Part]
		if err := x.row(cells{"code": l.Code, "number": p.Number, "maker": p.Maker, "pieces": itoa(l.Pieces), "supplier": name[l.Supplier]}); err != nil {
			return err
		}
	}
	return err
}

func (x *exporter) stock() error {
	lines, err := inventory.Stock(x.ctx, x.tx, "")
	if err != nil {
		return err
	}
	slices.SortStableFunc(lines, func(a, b inventory.Line) int {
		p, q := x.part[a.Part], x.part[b.Part]
		return cmp.Or(strings.Compare(p.Number, q.Number), strings.Compare(p.Maker, q.Maker), cmp.Compare(a.Lot.Short, b.Lot.Short),
			strings.Compare(a.Bin.Name, b.Bin.Name))
	})
	deliveries, err := inventory.DeliveryNames(x.ctx, x.tx)
	if err != nil {
		return err
	}
	for _, l := range lines {
		p := x.part[l.Part]
		since, err := store.Time(l.Lot.Since)
		if err != nil {
			return err
		}
		if err := x.row(cells{
			"number": p.Number, "maker": p.Maker, "bin": l.Bin.Name, "bin_kind": l.Bin.Kind, "lot": itoa(l.Lot.Short),
			"delivery": deliveries[l.Lot.Delivery], "batch": l.Lot.Batch, "cure": l.Lot.Cure, "use_by": l.Lot.UseBy,
			"since": x.s.day(since), "unit": p.Unit, "amount": itoa(l.Amount),
		}); err != nil {
			return err
		}
	}
	return nil
}

func (x *exporter) jobs() error {
	uses, err := inventory.PastUses(x.ctx, x.tx)
	for _, u := range uses {
		p := x.part[u.Part]
		f, _, err := catalog.ForkByID(x.ctx, x.tx, u.Fork)
		if err != nil {
			return err
		}
		if err := x.row(cells{"job": u.Job, "day": u.Day, "fork": f.Name, "number": p.Number, "maker": p.Maker, "amount": itoa(u.Amount)}); err != nil {
			return err
		}
	}
	return err
}

func (x *exporter) replacements() error {
	all, err := catalog.Replacements(x.ctx, x.tx)
	for _, r := range all {
		both := "no"
		if r.BothWays {
			both = "yes"
		}
		if err := x.row(cells{
			"number": r.Old.Number, "maker": r.Old.Maker, "by_number": r.New.Number, "by_maker": r.New.Maker, "both_ways": both,
			"since": r.Since, "reason": r.Reason, "source": r.Source,
		}); err != nil {
			return err
		}
	}
	return err
}

// prices writes net prices of packs, each with its supplier.
func (x *exporter) prices() error {
	suppliers, err := catalog.Suppliers(x.ctx, x.tx)
	if err != nil {
		return err
	}
	for _, v := range suppliers {
		if err := catalog.EachItem(x.ctx, x.tx, v.ID, func(i catalog.Item) error { return x.price(v, i) }); err != nil {
			return err
		}
	}
	return nil
}

func (x *exporter) price(v catalog.Supplier, i catalog.Item) error {
	c := cells{
		"supplier_number": i.Number, "supplier": v.Name, "description": i.Description, "pack": itoa(i.Pack), "ean": i.Code,
		"maker": i.Maker, "maker_number": i.MakerNumber, "listed": i.Listed, "note": i.Note, "lead_days": strconv.Itoa(v.LeadDays),
	}
	if i.Priced {
		c["net_price"] = decimals(i.PackPriceMinor)
	}
	if v.Told {
		c["discount"] = decimals(v.Discount)
	}
	if p, ok := x.part[i.Part]; ok {
		c["our_part"] = p.Name()
	}
	return x.row(c)
}

// decimals prints hundredths with a point: 12.50.
func decimals(n int64) string {
	text := strconv.FormatInt(n, 10)
	for len(text) < 3 {
		text = "0" + text
	}
	return text[:len(text)-2] + "." + text[len(text)-2:]
}

func (x *exporter) movements() error {
	if err := x.write([]string{
		"seq", "number", "maker", "unit", "bin", "lot", "amount", "value", "posting", "key", "kind", "person", "time", "delivery",
		"reason", "corrects",
	}); err != nil {
		return err
	}
	entries, err := inventory.Ledger(x.ctx, x.tx, inventory.LedgerOf{})
	for _, e := range entries {
		p, value := x.part[e.Part], ""
		if e.Value.Known {
			value = decimals(max(e.Value.Minor, -e.Value.Minor))
			if e.Value.Minor < 0 {
				value = "-" + value
			}
		}
		if err := x.write([]string{
			itoa(e.Seq), p.Number, p.Maker, p.Unit, e.BinName, itoa(e.LotShort), itoa(e.Amount), value, e.Posting, e.Key, e.Kind,
			e.Person, store.Stamp(e.At), e.Delivery, e.Reason, e.Corrects,
		}); err != nil {
			return err
		}
	}
	return err
}
