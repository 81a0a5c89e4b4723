package cli

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/table"
	"forkstock/internal/words"
)

func (a *app) stockCommand() *cobra.Command {
	var asOf string
	cmd := a.command("stock [PART] [--as-of DATE]", 0, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Stock(ctx, first(args), asOf)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.how(out.How)
			a.stock(out)
		})
		return nil
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&asOf, "as-of", "", a.words.Say("cli.flag.as_of"))
	return cmd
}

func first(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

func (a *app) stock(out shop.Stock) {
	if len(out.Lines) == 0 {
		a.say("cli.stock.empty")
		return
	}
	g := grid{right: []int{3}}
	for _, l := range out.Lines {
		g.add(l.Maker+"/"+l.Number, a.words.Say("role."+string(l.Role)), a.size(l.Sizes), a.amount(l.Amount, l.Unit),
			a.words.Say("cli.receive.bin", l.Bin), strings.TrimSpace(a.words.Say("cli.stock.lot", l.Lot)+" "+l.Batch),
			a.words.Say("cli.stock.since", l.Since), a.shelf(l))
	}
	g.write(a.out)
	a.together(out.Lines)
}

// together adds up what lies of one part in several lots and bins.
func (a *app) together(lines []shop.StockLine) {
	var sum int64
	for _, l := range lines {
		if l.Maker != lines[0].Maker || l.Number != lines[0].Number {
			return
		}
		sum += l.Amount
	}
	if len(lines) > 1 {
		a.say("cli.stock.together", a.amount(sum, lines[0].Unit))
	}
}

func (a *app) ledgerCommand() *cobra.Command {
	var q shop.LedgerRequest
	cmd := a.command("ledger [PART] [--bin BIN] [--lot LOT] [--job JOB] [--day DATE] [--as-of DATE] [--last N]", 0, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Part = first(args)
		out, err := s.Ledger(ctx, q)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.how(out.How)
			a.ledger(out)
		})
		return nil
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.ledger_bin"))
	cmd.Flags().StringVar(&q.Lot, "lot", "", a.words.Say("cli.flag.ledger_lot"))
	cmd.Flags().StringVar(&q.Job, "job", "", a.words.Say("cli.flag.job"))
	cmd.Flags().StringVar(&q.Day, "day", "", a.words.Say("cli.flag.ledger_day"))
	cmd.Flags().StringVar(&q.AsOf, "as-of", "", a.words.Say("cli.flag.as_of"))
	cmd.Flags().IntVar(&q.Last, "last", 0, a.words.Say("cli.flag.ledger_last"))
	return cmd
}

func (a *app) ledger(out shop.Ledger) {
	if len(out.Movements) == 0 {
		a.say("cli.ledger.empty")
		return
	}
	g := grid{right: []int{0, 3, 6}}
	told := map[string]bool{} // postings whose price is told
	for _, m := range out.Movements {
		why := m.Reason
		if m.Delivery != "" {
			why = a.words.Say("cli.ledger.delivery", m.Delivery)
		}
		if m.Job != "" {
			why = strings.TrimSpace(a.words.Say("cli.ledger.job", m.Job) + "  " + why)
		}
		if m.Partner != "" {
			why = strings.TrimSpace(m.Partner + "  " + why)
		}
		if m.Sold() && !told[m.Posting] {
			told[m.Posting] = true
			why = strings.TrimSpace(a.soldFor(m.Price, out.Currency) + "  " + why)
		}
		g.add(strconv.FormatInt(m.Seq, 10), m.Day, a.words.Say("posting."+m.Kind), signed(m.Amount), m.Maker+"/"+m.Number,
			a.words.Say("cli.receive.bin", m.Bin), a.words.Say("cli.ledger.then", m.OnHand), m.Person, why)
	}
	g.write(a.out)
}

func (a *app) reorderCommand() *cobra.Command {
	var q shop.ReorderRequest
	cmd := a.command("reorder [--supplier NAME] [--as-of DATE]", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		return a.reorder(ctx, s, q)
	}))
	cmd.Flags().StringVar(&q.Supplier, "supplier", "", a.words.Say("cli.flag.supplier"))
	cmd.Flags().StringVar(&q.AsOf, "as-of", "", a.words.Say("cli.flag.as_of"))
	return cmd
}

func (a *app) reorder(ctx context.Context, s *shop.Shop, q shop.ReorderRequest) error {
	out, err := s.Reorder(ctx, q)
	if err != nil {
		return err
	}
	a.show(&out, func() { a.reorderList(out) })
	return nil
}

func (a *app) reorderList(out shop.Reorder) {
	a.say("cli.reorder.head", out.Week, out.AsOf, out.Rule)
	if len(out.Orders) == 0 {
		a.say("cli.reorder.empty")
	}
	for _, o := range out.Orders {
		fmt.Fprintln(a.out)
		if o.Supplier == "" {
			a.say("cli.reorder.no_supplier")
		} else {
			a.say("cli.reorder.supplier", o.Supplier, len(o.Lines), words.Money{Minor: o.Total, Currency: out.Currency})
		}
		for _, l := range o.Lines {
			a.reorderLine(l, out.Currency)
		}
		if o.Unpriced > 0 {
			a.say("cli.reorder.unpriced", o.Unpriced)
		}
	}
	if len(out.Orders) > 1 {
		fmt.Fprintln(a.out)
		a.say("cli.reorder.total", words.Money{Minor: out.Total, Currency: out.Currency})
	}
}

func (a *app) reorderLine(l shop.ReorderLine, currency string) {
	what := l.Maker + "/" + l.Number
	if l.SupplierNumber != "" && l.SupplierNumber != l.Number {
		what += a.words.Say("cli.reorder.their_number", l.SupplierNumber)
	}
	price := ""
	if l.SupplierNumber != "" {
		price = a.price(l.PriceMinor, currency)
	}
	fmt.Fprintf(a.out, "  %12s  %-40s %s\n", a.amount(l.Amount, l.Unit), what, price)
	fmt.Fprintf(a.out, "  %12s  %s %s\n", a.packs(l), a.words.Say("role."+string(l.Role)), a.size(l.Sizes))
	fmt.Fprintf(a.out, "  %12s  %s\n", "", a.words.Text(l.Why))
}

// packs tells how many packs of more than one piece that is.
func (a *app) packs(l shop.ReorderLine) string {
	if l.Packs == l.Amount || l.SupplierNumber == "" {
		return ""
	}
	return a.words.Say("cli.reorder.packs", l.Packs)
}

func (a *app) checkCommand() *cobra.Command {
	return a.command("check", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		out, err := s.Check(ctx)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			for _, f := range out.Findings {
				fmt.Fprintln(a.out, a.words.Text(f.Message))
				fmt.Fprintln(a.out, "    "+a.words.Text(f.Mend))
			}
			a.say("cli.check.done", out.Movements, out.Parts, len(out.Findings))
		})
		if len(out.Findings) > 0 {
			return errNo
		}
		return nil
	}))
}

func (a *app) exportCommand() *cobra.Command {
	var file string
	cmd := a.command("export KIND [-o FILE]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if file == "" {
			w := table.NewCSV(a.out)
			if err := s.ExportTo(ctx, args[0], w.Write); err != nil {
				return err
			}
			if err := w.Close(); err != nil {
				return fault.New(fault.Full, "cli.unwritten").WithCause(err)
			}
			return nil
		}
		rows := -1 // the header
		err := table.StreamFile(file, func(w table.Writer) error {
			return s.ExportTo(ctx, args[0], func(row []string) error {
				rows++
				return w.Write(row)
			})
		})
		if err != nil {
			return err
		}
		a.say("cli.export.done", rows, file)
		return nil
	}))
	cmd.Flags().StringVarP(&file, "output", "o", "", a.words.Say("cli.flag.output"))
	cmd.ValidArgs = shop.Exports
	return cmd
}
