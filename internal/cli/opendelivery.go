package cli

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/scanner"
)

func (a *app) deliveryCommand() *cobra.Command {
	cmd := a.command("delivery | delivery NAME | delivery begin|scan|tick|less|say|instead|finish|drop ...", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 1 {
				out, err := s.OpenDelivery(ctx, args[0])
				return a.delivery(out, err)
			}
			all, err := s.OpenDeliveries(ctx)
			if err != nil {
				return err
			}
			out := struct {
				Deliveries []shop.OpenOne `json:"deliveries"`
			}{all}
			a.show(&out, func() {
				if len(all) == 0 {
					a.say("cli.delivery.none")
				}
				for _, d := range all {
					a.say("cli.delivery.open", d.Delivery, d.Begun.In(s.Settings().Location()).Format("2006-01-02 15:04"), d.Scans, d.Supplier)
				}
			})
			return nil
		}))
	cmd.AddCommand(a.deliveryBegin(), a.deliveryScan(), a.deliveryTick(), a.deliveryLess(), a.deliverySay(), a.deliveryInstead(),
		a.deliveryFinish(), a.deliveryDrop())
	return cmd
}

// delivery shows what came against what was expected, and what waits.
func (a *app) delivery(out shop.OpenDelivery, err error) error {
	if err != nil {
		return err
	}
	a.show(&out, func() {
		a.say("cli.delivery.head."+out.State, out.Delivery, out.Packs)
		g := grid{right: []int{2, 3}}
		for _, l := range out.Lines {
			expected := ""
			if l.Expected > 0 {
				expected = a.words.Say("cli.delivery.of", l.Expected)
			}
			g.add("  "+l.Name(), a.words.Say("role."+string(l.Role)), fmt.Sprint(l.Counted), expected,
				a.words.Say("delivery.line."+l.State), strings.Join(a.remarks(l), ", "))
		}
		g.write(a.out)
		if out.SamePack > 0 {
			a.say("cli.receive.same_pack", out.SamePack)
		}
		if out.Ignored > 0 {
			a.say("cli.receive.ignored", out.Ignored)
		}
		if out.TakenBack > 0 {
			a.say("cli.delivery.taken_back", out.TakenBack)
		}
		a.owing(out.Owing)
		a.waiting(shop.Received{Unknown: out.Unknown, ToConfirm: out.ToConfirm})
	})
	return nil
}

// remarks tells the packs of a line, and what was said of it.
func (a *app) remarks(l shop.DeliveryLine) (all []string) {
	for _, p := range l.Packs {
		if p.Pieces > 1 {
			all = append(all, a.words.Say("delivery.packs", p.Packs, a.amount(p.Pieces, l.Unit)))
		}
	}
	say := func(told bool, id string, args ...any) {
		if told {
			all = append(all, a.words.Say(id, args...))
		}
	}
	say(l.Over > 0 && l.Expected > 0, "delivery.over", a.amount(l.Over, l.Unit))
	say(l.Damaged > 0, "delivery.damaged", l.Damaged)
	say(l.Wrong > 0, "delivery.wrong", l.Wrong)
	if l.Noted != nil {
		say(true, "delivery.noted", *l.Noted)
	}
	for _, c := range l.Instead {
		say(true, "delivery.came_instead", c.Amount, c.Part)
	}
	say(l.InsteadOf != "", "delivery.instead_of", l.InsteadOf)
	say(l.Promised != "", "cli.order.promised", l.Promised)
	return append(all, l.Reasons...)
}

func (a *app) deliveryBegin() *cobra.Command {
	var q shop.BeginRequest
	cmd := a.command("begin [NAME] [--order ORDER]... [--supplier NAME]", 0, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Name = strings.Join(args, "")
		out, err := s.BeginDelivery(ctx, q)
		return a.delivery(out, err)
	}))
	cmd.Short = a.words.Say("cli.delivery.begin")
	cmd.Flags().StringArrayVar(&q.Orders, "order", nil, a.words.Say("cli.flag.for_orders"))
	cmd.Flags().StringVar(&q.Supplier, "supplier", "", a.words.Say("cli.flag.intake_come_from"))
	return cmd
}

func (a *app) deliveryScan() *cobra.Command {
	var bin, session string
	cmd := a.command("scan NAME [--bin BIN] [--session ID] [PICTURE...]", 1, -1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		name, pictures := args[0], args[1:]
		open, err := s.IsOpen(ctx, name)
		if err != nil {
			return err
		}
		if !open {
			return fault.New(fault.Conflict, "cli.delivery.not_open", name).WithHint("cli.delivery.not_open.hint")
		}
		if len(pictures) > 0 && strings.Join(pictures, "") != "-" {
			in := shop.Intake{Delivery: name, Bin: bin}
			if in.Pictures, err = readPictures(pictures); err != nil {
				return err
			}
			return a.receive(ctx, s, in)
		}
		return a.scanInto(ctx, s, shop.ScanRequest{Delivery: name, Bin: bin, Session: session})
	}))
	cmd.Short = a.words.Say("cli.delivery.scan")
	cmd.Flags().StringVar(&bin, "bin", "", a.words.Say("cli.flag.bin"))
	cmd.Flags().StringVar(&session, "session", "", a.words.Say("cli.flag.session"))
	return cmd
}

// scanInto records what the hand scanner types, line by line: each is kept
// before the next is read. A line that is no scan is told, and the others are
// recorded; that is exit 1.
func (a *app) scanInto(ctx context.Context, s *shop.Shop, q shop.ScanRequest) error {
	if q.Session == "" {
		q.Session = rand.Text()
	}
	var failed error
	err := a.eachScan(func(number int, text string) error {
		q.Number, q.Text = number, text
		out, err := s.ScanInto(ctx, q)
		switch e := fault.Of(err); {
		case err == nil:
		case e.Kind == fault.Invalid:
			a.complain(e)
			failed = errNo
			return nil
		default:
			return err
		}
		q.Times = out.Times
		if out.Bin != "" {
			q.Bin = out.Bin
		}
		if !a.json {
			a.scannedInto(out)
		}
		return nil
	})
	if err != nil {
		return err
	}
	out, err := s.OpenDelivery(ctx, q.Delivery)
	if a.json {
		err = a.delivery(out, err)
	}
	if len(out.Unknown)+len(out.ToConfirm) > 0 {
		failed = errNo
	}
	return errors.Join(err, failed)
}

// eachScan calls do with each line on standard input that is not blank, and
// shows at once what that says: whoever scans looks at it now.
func (a *app) eachScan(do func(number int, text string) error) error {
	return scanner.EachLine(a.stdin, func(number int, raw []byte) error {
		text := string(raw)
		if strings.TrimSpace(text) == "" {
			return nil
		}
		err := do(number, text)
		_ = a.out.Flush() // Main tells
		return err
	})
}

// scannedInto shows one scan.
func (a *app) scannedInto(out shop.ScannedInto) {
	switch {
	case out.Order > 0:
		a.say("cli.delivery.order", out.Order)
	case out.Bin != "":
		a.say("cli.delivery.bin", out.Bin)
	case out.Times > 0:
		a.say("cli.delivery.times", out.Times)
	default:
		state := a.words.Say("scan." + out.State)
		if out.Number != "" {
			state = out.Name() + "  " + a.amount(out.Pieces, out.Unit)
		}
		if out.Repeated {
			state += ", " + a.words.Say("scan.repeated")
		}
		fmt.Fprintf(a.out, "%4d  %s  %s\n", out.Packs, oneLine(out.Text), state)
	}
}

func (a *app) deliveryTick() *cobra.Command {
	var q shop.TickRequest
	cmd := a.command("tick NAME PART [--pieces N] [--bin BIN] [--key K]", 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Delivery, q.Part = args[0], args[1]
		if q.Key == "" {
			q.Key = rand.Text()
		}
		out, err := s.Tick(ctx, q)
		return a.delivery(out, err)
	}))
	cmd.Short = a.words.Say("cli.delivery.tick")
	cmd.ValidArgsFunction = a.completeParts(1)
	cmd.Flags().Int64Var(&q.Pieces, "pieces", 0, a.words.Say("cli.flag.tick_pieces"))
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.bin"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) deliveryLess() *cobra.Command {
	var q shop.LessRequest
	cmd := a.command("less NAME [PART] [--scan N]", 1, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Delivery, q.Part = args[0], strings.Join(args[1:], "")
		out, err := s.OneLess(ctx, q)
		return a.delivery(out, err)
	}))
	cmd.Short = a.words.Say("cli.delivery.less")
	cmd.Flags().Int64Var(&q.Scan, "scan", 0, a.words.Say("cli.flag.less_scan"))
	return cmd
}

func (a *app) deliverySay() *cobra.Command {
	var reason, key string
	amounts := map[string]*int64{}
	cmd := a.command("say NAME PART [--damaged N] [--wrong N] [--noted N] [--reason TEXT] [--key K]", 2, 2, nil)
	cmd.RunE = a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		var out shop.OpenDelivery
		said := false
		for _, kind := range []string{inventory.RemarkDamaged, inventory.RemarkWrong, inventory.RemarkNoted} {
			if !cmd.Flags().Changed(kind) {
				continue
			}
			said = true
			q := shop.RemarkRequest{Delivery: args[0], Part: args[1], Kind: kind, Amount: *amounts[kind], Reason: reason, Key: rand.Text()}
			if key != "" {
				q.Key = key + "/" + kind
			}
			var err error
			if out, err = s.Remark(ctx, q); err != nil {
				return err
			}
		}
		if !said {
			return fault.New(fault.Invalid, "cli.delivery.said_nothing").WithHint("cli.usage.hint", cmd.UseLine())
		}
		return a.delivery(out, nil)
	})
	cmd.Short = a.words.Say("cli.delivery.say")
	cmd.ValidArgsFunction = a.completeParts(1)
	for _, kind := range []string{inventory.RemarkDamaged, inventory.RemarkWrong, inventory.RemarkNoted} {
		amounts[kind] = cmd.Flags().Int64(kind, 0, a.words.Say("cli.flag.remark_"+kind))
	}
	cmd.Flags().StringVar(&reason, "reason", "", a.words.Say("cli.flag.reason"))
	cmd.Flags().StringVar(&key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) deliveryInstead() *cobra.Command {
	var yes, no bool
	var key string
	cmd := a.command("instead NAME CAME ORDERED [--yes | --no] [--key K]", 3, 3, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if !yes && !no {
			out, err := s.Substitute(ctx, args[1], args[2])
			if err != nil {
				return err
			}
			a.show(&out, func() { a.substitute(out) })
			return nil
		}
		q := shop.RemarkRequest{Delivery: args[0], Part: args[1], Ordered: args[2], Kind: inventory.RemarkInstead, Key: key}
		if q.Key == "" {
			q.Key = rand.Text()
		}
		if yes {
			q.Amount = 1
		}
		out, err := s.Remark(ctx, q)
		return a.delivery(out, err)
	}))
	cmd.Short = a.words.Say("cli.delivery.instead")
	cmd.Flags().BoolVar(&yes, "yes", false, a.words.Say("cli.flag.instead_yes"))
	cmd.Flags().BoolVar(&no, "no", false, a.words.Say("cli.flag.instead_no"))
	cmd.Flags().StringVar(&key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

// substitute shows whether a part will do for another.
func (a *app) substitute(out shop.Substitute) {
	a.say("delivery.substitute", out.Came.Name(), out.Ordered.Name(), fault.Say("verdict."+string(out.Verdict)))
	if !out.Told.IsZero() {
		fmt.Fprintln(a.out, "  "+a.words.Text(out.Told))
	}
	a.say("cli.delivery.sizes", fault.Say("verdict."+string(out.Sizes)))
	for _, why := range out.Why {
		fmt.Fprintln(a.out, "    "+a.words.Text(why))
	}
	for _, f := range out.Forks {
		a.say("cli.delivery.fork", f.Fork, fault.Say("verdict."+string(f.Verdict)))
		for _, why := range f.Why {
			fmt.Fprintln(a.out, "    "+a.words.Text(why))
		}
	}
}

func (a *app) deliveryFinish() *cobra.Command {
	cmd := a.command("finish NAME", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.FinishDelivery(ctx, args[0])
		if err := a.delivery(out, err); err != nil {
			return err
		}
		if !a.json {
			a.say("cli.delivery.putaway", words.ShellWord(out.Delivery))
		}
		if len(out.Unknown)+len(out.ToConfirm) > 0 {
			return errNo
		}
		return nil
	}))
	cmd.Short = a.words.Say("cli.delivery.finish")
	return cmd
}

func (a *app) deliveryDrop() *cobra.Command {
	cmd := a.command("drop NAME", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if err := s.DropDelivery(ctx, args[0]); err != nil {
			return err
		}
		out, err := s.OpenDelivery(ctx, args[0])
		if err != nil {
			return err
		}
		a.show(&out, func() { a.say("cli.delivery.dropped", out.Delivery) })
		return nil
	}))
	cmd.Short = a.words.Say("cli.delivery.drop")
	return cmd
}
