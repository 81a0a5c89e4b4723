package cli

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/table"
	"forkstock/internal/words"
)

func (a *app) orderCommand() *cobra.Command {
	var all bool
	cmd := a.command("order [--all] | order draft|add|place|promise|close|cancel|sheet|today|cutoff ... | order ORDER", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 1 {
				out, err := s.Order(ctx, args[0])
				return a.ordered(out, err)
			}
			out, err := s.Orders(ctx, all)
			if err != nil {
				return err
			}
			a.show(&out, func() { a.orderList(out) })
			return nil
		}))
	cmd.Flags().BoolVar(&all, "all", false, a.words.Say("cli.flag.all_orders"))
	cmd.AddCommand(a.orderDraft(), a.orderAdd(), a.orderPlace(), a.orderPromise(), a.orderEnd("close", false), a.orderEnd("cancel", true),
		a.orderToday(), a.orderCutoff(), a.orderSheet())
	return cmd
}

func (a *app) orderList(out shop.Orders) {
	if len(out.Orders) == 0 {
		a.say("cli.order.none")
	}
	g := grid{right: []int{0, 4}}
	for _, o := range out.Orders {
		when := o.Made
		if o.Expected != "" && o.State != "closed" {
			when = a.words.Say("cli.order.expected", o.Expected)
		}
		if o.Late {
			when += "  ! " + a.words.Say("cli.order.late")
		}
		g.add(fmt.Sprint(o.Number), o.Supplier, a.words.Say("order.state."+o.State), a.words.Say("cli.order.lines", len(o.Lines)),
			a.words.Show(words.Money{Minor: o.Total, Currency: o.Currency}), when)
	}
	g.write(a.out)
	for _, o := range out.Orders {
		for _, l := range o.Lines {
			a.jumped(l.Jump, l.Maker+"/"+l.Number+": ")
		}
	}
}

// ordered shows an order.
func (a *app) ordered(o shop.Order, err error) error {
	if err != nil {
		return err
	}
	a.show(&o, func() {
		a.say("cli.order.head", o.Number, o.Supplier, a.words.Say("order.state."+o.State))
		if o.Placed != "" {
			a.say("cli.order.placed", o.Placed, o.Expected)
		}
		g := grid{right: []int{1, 5}}
		for _, l := range o.Lines {
			came := ""
			switch {
			case l.Received > 0 && l.Missing > 0:
				came = a.words.Say("cli.order.part", l.Received, l.Missing)
			case l.Received > 0:
				came = a.words.Say("cli.order.came", l.Received)
			case l.Dropped > 0:
				came = a.words.Say("cli.order.dropped", l.Dropped)
			}
			if l.Promised != "" && l.Missing > 0 {
				came += "  " + a.words.Say("cli.order.promised", l.Promised)
			}
			job := ""
			if l.Job != "" {
				job = a.words.Say("cli.ledger.job", l.Job)
			}
			g.add("  "+l.SupplierNumber, a.words.Say("cli.order.packs", l.Packs, l.Pack), l.Maker+"/"+l.Number,
				a.words.Say("role."+string(l.Role)), a.size(l.Sizes), a.price(l.PriceMinor, o.Currency), job, came)
		}
		g.write(a.out)
		for _, l := range o.Lines {
			a.jumped(l.Jump, l.Maker+"/"+l.Number+": ")
		}
		a.say("cli.order.total", words.Money{Minor: o.Total, Currency: o.Currency})
		if o.Unpriced > 0 {
			a.say("cli.reorder.unpriced", o.Unpriced)
		}
	})
	return nil
}

func (a *app) orderDraft() *cobra.Command {
	var supplier string
	cmd := a.command("draft [--supplier NAME]", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		out, err := s.DraftOrders(ctx, supplier)
		if err != nil {
			return err
		}
		a.show(&out, func() { a.orderList(out) })
		return nil
	}))
	cmd.Short = a.words.Say("cli.order.draft")
	cmd.Flags().StringVar(&supplier, "supplier", "", a.words.Say("cli.flag.supplier"))
	return cmd
}

func (a *app) orderAdd() *cobra.Command {
	var q shop.LineRequest
	cmd := a.command("add SUPPLIER PART PACKS [--item THEIR-NUMBER] [--unlisted] [--job JOB]", 3, 3,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.Part = args[1]
			if q.Packs, err = pieces(args[2]); err != nil {
				return err
			}
			out, err := s.OrderPart(ctx, args[0], q)
			return a.ordered(out, err)
		}))
	cmd.Short = a.words.Say("cli.order.add")
	cmd.Flags().StringVar(&q.Item, "item", "", a.words.Say("cli.flag.item"))
	cmd.Flags().StringVar(&q.Job, "job", "", a.words.Say("cli.flag.job"))
	cmd.Flags().BoolVar(&q.Unlisted, "unlisted", false, a.words.Say("cli.flag.unlisted"))
	return cmd
}

func (a *app) orderPlace() *cobra.Command {
	var day, expected string
	cmd := a.command("place ORDER [--day DATE] [--expected DATE]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.PlaceOrder(ctx, args[0], day, expected)
		return a.ordered(out, err)
	}))
	cmd.Short = a.words.Say("cli.order.place")
	cmd.Flags().StringVar(&day, "day", "", a.words.Say("cli.flag.order_day"))
	cmd.Flags().StringVar(&expected, "expected", "", a.words.Say("cli.flag.expected"))
	return cmd
}

func (a *app) orderPromise() *cobra.Command {
	var q shop.PromiseRequest
	cmd := a.command("promise ORDER PART [--day DATE] [--dropped PACKS]", 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Part = args[1]
		out, err := s.Promise(ctx, args[0], q)
		return a.ordered(out, err)
	}))
	cmd.Short = a.words.Say("cli.order.promise")
	cmd.Flags().StringVar(&q.Day, "day", "", a.words.Say("cli.flag.promised"))
	a.tellNumber(cmd, &q.Dropped, "dropped", "cli.flag.dropped")
	return cmd
}

func (a *app) orderEnd(name string, cancel bool) *cobra.Command {
	var note string
	cmd := a.command(name+" ORDER [--reason TEXT]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.EndOrder(ctx, args[0], cancel, note)
		return a.ordered(out, err)
	}))
	cmd.Short = a.words.Say("cli.order." + name)
	cmd.Flags().StringVar(&note, "reason", "", a.words.Say("cli.flag.reason"))
	return cmd
}

func (a *app) orderToday() *cobra.Command {
	cmd := a.command("today", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		out, err := s.OrderToday(ctx)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			if len(out.Suppliers) == 0 {
				a.say("cli.today.none")
			}
			for _, t := range out.Suppliers {
				a.line(a.todayHead(t, out.Time))
				for _, l := range t.Lines {
					a.reorderLine(l, out.Currency)
				}
				for _, l := range t.Jobs {
					a.line("  ", a.words.Say("cli.today.job", l.Packs, l.SupplierNumber, l.Maker+"/"+l.Number, l.Job))
				}
			}
		})
		return nil
	}))
	cmd.Short = a.words.Say("cli.order.today")
	return cmd
}

// todayHead tells until when an order leaves a supplier.
func (a *app) todayHead(t shop.TodaySupplier, now string) string {
	switch {
	case t.Supplier == "":
		return a.words.Say("cli.reorder.no_supplier")
	case t.Missed:
		return a.words.Say("cli.today.missed", t.Supplier, t.Cutoff, now)
	case t.Cutoff == "":
		return a.words.Say("cli.today.open", t.Supplier)
	}
	return a.words.Say("cli.today.until", t.Supplier, t.Cutoff, now)
}

func (a *app) buyCommand() *cobra.Command {
	var q shop.BuyRequest
	cmd := a.command("buy PART PIECES --from SUPPLIER [--price MONEY] [--job JOB] [--bin BIN] [--key KEY]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.Part = args[0]
			if q.Amount, err = pieces(args[1]); err != nil {
				return err
			}
			out, err := s.Buy(ctx, q)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				a.say("cli.buy.done", out.Order)
				a.posted(out.Posted)
			})
			return nil
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&q.Supplier, "from", "", a.words.Say("cli.flag.buy_from"))
	cmd.Flags().StringVar(&q.Price, "price", "", a.words.Say("cli.flag.buy_price"))
	cmd.Flags().StringVar(&q.Job, "job", "", a.words.Say("cli.flag.job"))
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.bin"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) emptyCommand() *cobra.Command {
	var reason string
	cmd := a.command("empty PART|BIN [--reason TEXT]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Empty(ctx, args[0], reason)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			id := "cli.empty.done"
			if !out.Noted {
				id = "cli.empty.again"
			}
			a.say(id, out.Maker+"/"+out.Number)
			if out.Lost != nil {
				a.posted(*out.Lost)
			}
		})
		return nil
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&reason, "reason", "", a.words.Say("cli.flag.reason"))
	return cmd
}

func (a *app) shelfCommand() *cobra.Command {
	var f shop.ShelfFacts
	cmd := a.command("shelf PART [--sell MONEY] [--counted yes|no] [--bottle ML]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.SetShelf(ctx, args[0], f)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			count := "cli.shelf.counted"
			if !out.Counted {
				count = "cli.shelf.uncounted"
			}
			a.say(count, out.Maker+"/"+out.Number, a.price(out.SellMinor, out.Currency))
			if out.Bottle > 0 {
				a.say("cli.shelf.bottle", out.Bottle)
			}
		})
		return nil
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	a.tellText(cmd, &f.Sell, "sell", "cli.flag.sell")
	cmd.Flags().Var(fact[int64]{&f.Bottle, pieces}, "bottle", a.words.Say("cli.flag.bottle"))
	cmd.Flags().Var(fact[bool]{&f.Counted, yesNo}, "counted", a.words.Say("cli.flag.counted"))
	return cmd
}

// yesNo reads yes or no, in both languages.
func yesNo(text string) (bool, error) {
	switch text {
	case "yes", "ja":
		return true, nil
	case "no", "nein":
		return false, nil
	}
	return false, fmt.Errorf("%q: yes or no", text)
}

func (a *app) orderCutoff() *cobra.Command {
	cmd := a.command("cutoff SUPPLIER HH:MM", 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		name, err := s.SetCutoff(ctx, args[0], args[1])
		if err != nil {
			return err
		}
		out := struct {
			Supplier string `json:"supplier"`
			Cutoff   string `json:"cutoff"`
		}{name, args[1]}
		a.show(&out, func() { a.say("cli.cutoff.done", name, args[1]) })
		return nil
	}))
	cmd.Short = a.words.Say("cli.order.cutoff")
	return cmd
}

// against tells what came more or less than the order of a delivery asks for.
func (a *app) against(out shop.Received) {
	if out.Order == 0 {
		return
	}
	for _, l := range out.Over {
		a.say("cli.receive.over", a.amount(l.Amount, l.Unit), l.Maker+"/"+l.Number, out.Order)
	}
	for _, l := range out.Short {
		a.say("cli.receive.short", a.amount(l.Missing, l.Unit), l.Number, out.Order)
	}
	if len(out.Short) == 0 {
		a.say("cli.receive.whole", out.Order)
	}
}

func (a *app) orderSheet() *cobra.Command {
	var file, sender string
	var paste bool
	cmd := a.command("sheet ORDER [-o FILE] [--paste] [--sender NAME]", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			form := shop.OrderText
			if paste {
				form = shop.OrderPaste
			} else if file != "" {
				var ok bool
				if form, ok = shop.OrderForm(file); !ok {
					return fault.New(fault.Invalid, "shop.bad_form", file).WithHint("shop.bad_form.hint")
				}
			}
			out, err := s.OrderSheet(ctx, args[0], form, sender)
			if err != nil {
				return err
			}
			if file == "" {
				_, _ = a.out.Write(out)
				return nil
			}
			if err := table.Replace(file, func(w io.Writer) error { _, err := w.Write(out); return err }); err != nil {
				return err
			}
			a.say("cli.order.written", args[0], file)
			return nil
		}))
	cmd.Short = a.words.Say("cli.order.sheet")
	cmd.Flags().StringVarP(&file, "output", "o", "", a.words.Say("cli.flag.sheet_file"))
	cmd.Flags().BoolVar(&paste, "paste", false, a.words.Say("cli.flag.paste"))
	cmd.Flags().StringVar(&sender, "sender", "", a.words.Say("cli.flag.sender"))
	return cmd
}
