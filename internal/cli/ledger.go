package cli

import (
	"context"
	"strconv"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
	"forkstock/inventory"
)

func (a *app) sellCommand() *cobra.Command {
	q := shop.MoveRequest{Kind: inventory.Sale}
	cmd := a.movingCommand("sell PART PIECES [--price MONEY] [--to NAME] [--bin BIN] [--lot LOT] [--found] [--kept]", &q)
	a.takeFlags(cmd, &q)
	cmd.Flags().StringVar(&q.Price, "price", "", a.words.Say("cli.flag.sale_price"))
	cmd.Flags().StringVar(&q.Partner, "to", "", a.words.Say("cli.flag.buyer"))
	return cmd
}

// takeFlags adds what all commands have that take pieces from the shelf.
func (a *app) takeFlags(cmd *cobra.Command, q *shop.MoveRequest) {
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.take_bin"))
	cmd.Flags().BoolVar(&q.Found, "found", false, a.words.Say("cli.flag.found"))
	cmd.Flags().BoolVar(&q.Kept, "kept", false, a.words.Say("cli.flag.kept"))
}

func (a *app) lendCommand() *cobra.Command {
	return a.loanCommand("lend PART PIECES --to NAME [--until DATE] | lend PART PIECES --to NAME --back | lend",
		"to", inventory.Lend, inventory.LentBack)
}

func (a *app) borrowCommand() *cobra.Command {
	return a.loanCommand("borrow PART PIECES --from NAME [--until DATE] | borrow PART PIECES --from NAME --back | borrow",
		"from", inventory.Borrow, inventory.BorrowedBack)
}

// loanCommand makes a command that lends or borrows, brings back, and without a
// part shows what is out.
func (a *app) loanCommand(use, partner, out, back string) *cobra.Command {
	q := shop.MoveRequest{}
	var returned bool
	move := a.movingCommand(use, &q)
	cmd := a.command(use, 0, 2, func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return a.withShop(a.loans)(cmd, args)
		}
		if len(args) == 1 {
			return fault.New(fault.Invalid, "cli.too_few", cmd.Name()).WithHint("cli.usage.hint", cmd.UseLine())
		}
		q.Kind = out
		if returned {
			q.Kind = back
		}
		return move.RunE(cmd, args)
	})
	cmd.Flags().AddFlagSet(move.Flags())
	cmd.ValidArgsFunction = move.ValidArgsFunction
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.take_bin"))
	cmd.Flags().BoolVar(&q.Found, "found", false, a.words.Say("cli.flag.found"))
	cmd.Flags().BoolVar(&q.Kept, "kept", false, a.words.Say("cli.flag.kept"))
	cmd.Flags().StringVar(&q.Partner, partner, "", a.words.Say("cli.flag.loan_"+partner))
	cmd.Flags().StringVar(&q.Due, "until", "", a.words.Say("cli.flag.due"))
	cmd.Flags().BoolVar(&returned, "back", false, a.words.Say("cli.flag.back"))
	return cmd
}

func (a *app) loans(ctx context.Context, s *shop.Shop, _ []string) error {
	out, err := s.Loans(ctx)
	if err != nil {
		return err
	}
	a.show(&out, func() {
		if len(out.Lines) == 0 {
			a.say("cli.loans.none")
		}
		var g grid
		for _, l := range out.Lines {
			due := ""
			if l.Due != "" {
				due = a.words.Say("cli.loans.due", l.Due)
			}
			if l.Overdue {
				due = "! " + due
			}
			g.add(a.words.Say("cli.loans."+l.Kind, l.Partner), a.amount(l.Amount, l.Unit), l.Maker+"/"+l.Number, l.Since, due)
		}
		g.write(a.out)
	})
	return nil
}

func (a *app) setAsideCommand() *cobra.Command {
	var job, until string
	cmd := a.command("set-aside PART PIECES --job JOB [--until DATE] | set-aside [PART] [--job JOB]", 0, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) < 2 {
				out, err := s.SetAsides(ctx, first(args), job)
				if err != nil {
					return err
				}
				a.show(&out, func() { a.asides(out.Lines) })
				return nil
			}
			n, err := pieces(args[1])
			if err != nil {
				return err
			}
			out, err := s.SetAside(ctx, args[0], n, job, until)
			if err != nil {
				return err
			}
			a.show(&out, func() { a.asides([]shop.SetAside{out}) })
			return nil
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&job, "job", "", a.words.Say("cli.flag.job"))
	cmd.Flags().StringVar(&until, "until", "", a.words.Say("cli.flag.until"))
	return cmd
}

func (a *app) releaseCommand() *cobra.Command {
	var job, why string
	cmd := a.command("release [PART] [PIECES] --job JOB [--reason TEXT]", 0, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			var n int64
			if len(args) == 2 {
				var err error
				if n, err = pieces(args[1]); err != nil {
					return err
				}
			}
			out, err := s.Release(ctx, first(args), job, n, why)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				a.say("cli.release.done")
				a.asides(out.Lines)
			})
			return nil
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&job, "job", "", a.words.Say("cli.flag.job"))
	cmd.Flags().StringVar(&why, "reason", "", a.words.Say("cli.flag.reason"))
	return cmd
}

func pieces(text string) (int64, error) {
	return number(text, "cli.bad_pieces", "cli.bad_pieces.hint")
}

// number reads a whole number, or says what it is none of.
func number(text, not, hint string) (int64, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil {
		return 0, fault.New(fault.Invalid, not, text).WithHint(hint)
	}
	return n, nil
}

func (a *app) asides(lines []shop.SetAside) {
	if len(lines) == 0 {
		a.say("cli.aside.none")
	}
	var g grid
	for _, l := range lines {
		until := a.words.Say("cli.aside.open")
		if l.Until != "" {
			until = a.words.Say("cli.aside.until", l.Until)
		}
		g.add("  "+l.Job, a.amount(l.Amount, l.Unit), l.Maker+"/"+l.Number, until, l.Person)
	}
	g.write(a.out)
}

func (a *app) openCommand() *cobra.Command {
	var q shop.UnpackRequest
	cmd := a.command("open KIT [PIECES] [--bin BIN] [--to BIN] [--reason TEXT] [--key KEY]", 1, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.Kit = args[0]
			if len(args) == 2 {
				if q.Amount, err = pieces(args[1]); err != nil {
					return err
				}
			}
			out, err := s.Unpack(ctx, q)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				a.posted(out.Posted)
				for _, c := range out.Left {
					a.say("cli.open.left", c.Pieces, a.words.Say("role."+string(c.Role)))
				}
			})
			return nil
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.take_bin"))
	cmd.Flags().StringVar(&q.To, "to", "", a.words.Say("cli.flag.open_to"))
	cmd.Flags().StringVar(&q.Reason, "reason", "", a.words.Say("cli.flag.reason"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) invoiceCommand() *cobra.Command {
	var q shop.InvoiceRequest
	cmd := a.command("invoice DELIVERY PART COST [--reason TEXT] [--key KEY]", 3, 3,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Delivery, q.Part, q.Cost = args[0], args[1], args[2]
			out, err := s.Invoice(ctx, q)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				a.say("cli.invoice.done", a.amount(out.Amount, out.Unit), out.Maker+"/"+out.Number,
					a.price(out.Before, out.Currency), a.price(&out.Cost, out.Currency))
				a.jumped(out.Jump, "")
				if out.Used > 0 {
					a.say("cli.invoice.used", out.Used)
				}
				if out.Gone != 0 {
					a.say("cli.invoice.gone", words.Money{Minor: out.Gone, Currency: out.Currency})
				}
			})
			return nil
		}))
	cmd.Flags().StringVar(&q.Reason, "reason", "", a.words.Say("cli.flag.reason"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) worthCommand() *cobra.Command {
	var day string
	var fifo bool
	cmd := a.command("worth [--as-of DATE] [--first-in-first-out]", 0, 0,
		a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
			out, err := s.Worth(ctx, day, fifo)
			if err != nil {
				return err
			}
			a.show(&out, func() { a.worth(out) })
			return nil
		}))
	cmd.Flags().StringVar(&day, "as-of", "", a.words.Say("cli.flag.as_of"))
	cmd.Flags().BoolVar(&fifo, "first-in-first-out", false, a.words.Say("cli.flag.fifo"))
	return cmd
}

func (a *app) worth(out shop.Worth) {
	a.say("cli.worth.head."+out.Rule, out.AsOf, words.Money{Minor: out.Total, Currency: out.Currency})
	g := grid{right: []int{1, 3}}
	for _, l := range out.Lines {
		unknown := ""
		if l.Unknown != 0 {
			unknown = a.words.Say("cli.worth.unknown", a.amount(l.Unknown, l.Unit))
		}
		g.add("  "+l.Maker+"/"+l.Number, a.amount(l.Amount, l.Unit), a.words.Say("role."+string(l.Role)),
			a.words.Show(words.Money{Minor: l.Value, Currency: out.Currency}), unknown)
	}
	g.write(a.out)
	if out.Unvalued > 0 {
		a.say("cli.worth.unvalued", out.Unvalued)
	}
}

func (a *app) expiringCommand() *cobra.Command {
	var weeks int
	cmd := a.command("expiring [--weeks N]", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		out, err := s.Expiring(ctx, weeks)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			if len(out.Lines) == 0 {
				a.say("cli.expiring.none", out.Until)
			}
			var g grid
			for _, l := range out.Lines {
				ends, inspect := l.Ends, ""
				if l.Over {
					ends = "! " + ends
				}
				if l.Inspect != "" {
					inspect = a.words.Say("cli.expiring.inspect", l.Lot, l.Inspect)
				}
				g.add(ends, a.amount(l.Amount, l.Unit), l.Maker+"/"+l.Number, a.words.Say("cli.receive.bin", l.Bin),
					a.words.Say("cli.expiring.lot", l.Lot), inspect)
			}
			g.write(a.out)
		})
		return nil
	}))
	cmd.Flags().IntVar(&weeks, "weeks", 26, a.words.Say("cli.flag.weeks"))
	return cmd
}

func (a *app) inspectCommand() *cobra.Command {
	var note string
	cmd := a.command("inspect LOT [--reason TEXT]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		lot, err := number(args[0], "cli.bad_lot", "inventory.no_lot.hint")
		if err != nil {
			return err
		}
		out, err := s.Inspect(ctx, lot, note)
		if err != nil {
			return err
		}
		a.show(&out, func() { a.say("cli.inspect.done", out.Lot, out.Maker+"/"+out.Number, out.Until, out.Group) })
		return nil
	}))
	cmd.Flags().StringVar(&note, "reason", "", a.words.Say("cli.flag.reason"))
	return cmd
}
