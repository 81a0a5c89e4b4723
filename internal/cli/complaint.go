package cli

import (
	"context"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
	"forkstock/inventory"
)

func (a *app) complaintCommand() *cobra.Command {
	var all bool
	cmd := a.command("complaint [--all] | complaint open|expect|settle|reopen ... | complaint COMPLAINT", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 1 {
				return a.complaintOf(args[0], func(n int64) (shop.Complaint, error) { return s.Complaint(ctx, n) })
			}
			out, err := s.Complaints(ctx, all, "")
			if err != nil {
				return err
			}
			a.show(&out, func() { a.complaints(out) })
			return nil
		}))
	cmd.Flags().BoolVar(&all, "all", false, a.words.Say("cli.flag.all_complaints"))
	cmd.AddCommand(a.complaintOpen(), a.complaintExpect(), a.complaintSettle(), a.complaintReopen())
	return cmd
}

func (a *app) complaintOpen() *cobra.Command {
	var q shop.ComplaintRequest
	cmd := a.command("open DELIVERY PART PIECES --what damaged|wrong|suspect|short|kit-short [--lacks TEXT] [--credit MONEY] [--reason TEXT] [--bin BIN] [--stay] [--key KEY]", 3, 3,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			if q.Amount, err = pieces(args[2]); err != nil {
				return err
			}
			q.Delivery, q.Part, q.What = args[0], args[1], strings.ReplaceAll(q.What, "-", "_")
			out, err := s.Complain(ctx, q)
			return a.complained(out, err)
		}))
	cmd.Short = a.words.Say("cli.complaint.open")
	f := cmd.Flags()
	f.StringVar(&q.What, "what", "", a.words.Say("cli.flag.what"))
	f.StringVar(&q.Lacks, "lacks", "", a.words.Say("cli.flag.lacks"))
	f.StringVar(&q.Credit, "credit", "", a.words.Say("cli.flag.credit_expected"))
	f.StringVar(&q.Reason, "reason", "", a.words.Say("cli.flag.reason"))
	f.StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.complaint_bin"))
	f.BoolVar(&q.Stay, "stay", false, a.words.Say("cli.flag.stay"))
	f.StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) complaintExpect() *cobra.Command {
	cmd := a.command("expect COMPLAINT MONEY", 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		return a.complaintOf(args[0], func(n int64) (shop.Complaint, error) { return s.ExpectCredit(ctx, n, args[1]) })
	}))
	cmd.Short = a.words.Say("cli.complaint.expect")
	return cmd
}

func (a *app) complaintSettle() *cobra.Command {
	var by, note string
	cmd := a.command("settle COMPLAINT --by replacement|credit|refusal|mistake [--note TEXT]", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			return a.complaintOf(args[0], func(n int64) (shop.Complaint, error) { return s.SettleComplaint(ctx, n, by, note) })
		}))
	cmd.Short = a.words.Say("cli.complaint.settle")
	cmd.Flags().StringVar(&by, "by", "", a.words.Say("cli.flag.settled_by"))
	cmd.Flags().StringVar(&note, "note", "", a.words.Say("cli.flag.settled_note"))
	return cmd
}

func (a *app) complaintReopen() *cobra.Command {
	cmd := a.command("reopen COMPLAINT", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		return a.complaintOf(args[0], func(n int64) (shop.Complaint, error) { return s.ReopenComplaint(ctx, n) })
	}))
	cmd.Short = a.words.Say("cli.complaint.reopen")
	return cmd
}

func (a *app) creditCommand() *cobra.Command {
	var q shop.CreditRequest
	var back bool
	cmd := a.command("credit | credit COMPLAINT MONEY [--day DATE] [--note TEXT] [--last] [--key KEY] | credit COMPLAINT --back", 0, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 0 {
				out, err := s.Complaints(ctx, false, "")
				if err != nil {
					return err
				}
				a.show(&out, func() { a.owed(out) })
				return nil
			}
			if back == (len(args) == 2) {
				return fault.New(fault.Invalid, "cli.credit.how").WithHint("cli.credit.how.hint")
			}
			return a.complaintOf(args[0], func(n int64) (shop.Complaint, error) {
				if back {
					return s.TakeBackCredit(ctx, n)
				}
				q.Complaint, q.Amount = n, args[1]
				return s.TakeCredit(ctx, q)
			})
		}))
	f := cmd.Flags()
	f.StringVar(&q.Day, "day", "", a.words.Say("cli.flag.credit_day"))
	f.StringVar(&q.Note, "note", "", a.words.Say("cli.flag.credit_note"))
	f.BoolVar(&q.Last, "last", false, a.words.Say("cli.flag.credit_last"))
	f.BoolVar(&back, "back", false, a.words.Say("cli.flag.credit_back"))
	f.StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

// complaintOf does something with the complaint of a number, and shows it.
func (a *app) complaintOf(text string, do func(int64) (shop.Complaint, error)) error {
	n, err := number(text, "cli.bad_complaint", "inventory.claim_absent.hint")
	if err != nil {
		return err
	}
	out, err := do(n)
	return a.complained(out, err)
}

// complained shows a complaint.
func (a *app) complained(c shop.Complaint, err error) error {
	if err != nil {
		return err
	}
	a.show(&c, func() {
		if c.Repeated {
			a.say("cli.complaint.repeated")
		}
		a.say("cli.complaint.head", c.Complaint, a.amount(c.Amount, c.Unit), c.Maker+"/"+c.Number, a.words.Say("complaint.what."+c.What))
		a.say("cli.complaint.from", a.orUnknown(c.Supplier), a.orUnknown(c.Delivery), c.Opened, c.Person)
		for _, text := range []string{c.Lacks, c.Reason} {
			if text != "" {
				a.line("  " + text)
			}
		}
		a.say("cli.complaint.money", a.price(c.Expected, c.Currency), a.price(&c.Credited, c.Currency), a.price(c.Owed, c.Currency))
		for _, m := range c.Remarks {
			a.line("! ", a.words.Text(m))
		}
		for _, m := range c.Moved {
			a.say("cli.complaint.moved."+m.Kind, a.amount(m.Amount, c.Unit), m.Day)
		}
		for _, k := range c.Credits {
			id := "cli.complaint.credit"
			if k.TakenBack {
				id = "cli.complaint.credit_back"
			}
			a.say(id, words.Money{Minor: k.Minor, Currency: c.Currency}, k.Day, k.Note)
		}
		for _, h := range c.Held {
			a.say("cli.complaint.held", a.amount(h.Amount, h.Unit), h.Bin)
		}
		switch c.State {
		case "open":
		case "undone":
			a.say("cli.complaint.undone")
		default:
			a.say("cli.complaint.settled", c.Settled, a.words.Say("complaint.by."+c.By), c.Note)
		}
	})
	return nil
}

// orUnknown gives a name, or that it is not known.
func (a *app) orUnknown(name string) string {
	if name == "" {
		return a.words.Say("cli.complaint.unknown")
	}
	return name
}

// complaints shows a list of them, what is owed, and what is blocked.
func (a *app) complaints(out shop.Complaints) {
	if len(out.Complaints) == 0 {
		a.say("cli.complaint.none")
	}
	g := grid{right: []int{0, 3, 6}}
	for _, c := range out.Complaints {
		state := ""
		switch c.State {
		case "settled":
			state = a.words.Say("complaint.by." + c.By)
		case "undone":
			state = a.words.Say("complaint.by.undone")
		}
		g.add(strconv.FormatInt(c.Complaint, 10), c.Opened, a.orUnknown(c.Supplier), a.amount(c.Amount, c.Unit), c.Maker+"/"+c.Number,
			a.words.Say("complaint.what."+c.What), a.price(c.Owed, out.Currency), state)
	}
	g.write(a.out)
	a.owed(out)
	if len(out.Held) == 0 {
		return
	}
	a.say("cli.complaint.blocked")
	g = grid{right: []int{1}}
	for _, h := range out.Held {
		g.add("  "+h.Bin, a.amount(h.Amount, h.Unit), h.Maker+"/"+h.Number, h.Delivery, h.Supplier)
	}
	g.write(a.out)
}

// owed shows what suppliers owe.
func (a *app) owed(out shop.Complaints) {
	if len(out.Owed) == 0 {
		a.say("cli.complaint.owed_none")
		return
	}
	for _, o := range out.Owed {
		a.say("cli.complaint.owed", a.orUnknown(o.Supplier), words.Money{Minor: o.Minor, Currency: out.Currency}, o.Open, o.Unagreed)
	}
}

func (a *app) sendBackCommand() *cobra.Command {
	q := shop.MoveRequest{Kind: inventory.SendBack}
	cmd := a.movingCommand("send-back PART PIECES --to SUPPLIER [--credit MONEY] [--complaint COMPLAINT] [--bin BIN] [--lot LOT] [--reason TEXT]", &q)
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.back_bin"))
	cmd.Flags().StringVar(&q.Partner, "to", "", a.words.Say("cli.flag.back_to"))
	cmd.Flags().StringVar(&q.Price, "credit", "", a.words.Say("cli.flag.credit"))
	cmd.Flags().Int64Var(&q.Complaint, "complaint", 0, a.words.Say("cli.flag.for_complaint"))
	return cmd
}

// owing names complaints that may be settled by what came.
func (a *app) owing(all []shop.Owing) {
	for _, o := range all {
		a.say("cli.owing", o.Complaint, a.amount(o.Amount, o.Unit), o.Maker+"/"+o.Number, o.Delivery)
	}
}
