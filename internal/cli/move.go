package cli

import (
	"context"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
	"forkstock/internal/words"
	"forkstock/inventory"
)

func (a *app) issueCommand() *cobra.Command  { return a.takeCommand("issue", inventory.Issue) }
func (a *app) scrapCommand() *cobra.Command  { return a.takeCommand("scrap", inventory.Scrap) }
func (a *app) returnCommand() *cobra.Command { return a.takeCommand("return", inventory.Return) }

// takeCommand makes a command that takes pieces out of the stock or puts them
// back.
func (a *app) takeCommand(name, kind string) *cobra.Command {
	q := shop.MoveRequest{Kind: kind}
	use := name + " PART PIECES [--job JOB] [--bin BIN] [--lot LOT] [--reason TEXT] [--key KEY]"
	if kind != inventory.Return {
		use += " [--found]"
	}
	if kind == inventory.Issue {
		use += " [--kept]"
	}
	cmd := a.movingCommand(use, &q)
	bin := "cli.flag.bin"
	if kind != inventory.Return {
		bin = "cli.flag.take_bin"
	}
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say(bin))
	if kind != inventory.Return {
		cmd.Flags().BoolVar(&q.Found, "found", false, a.words.Say("cli.flag.found"))
	}
	if kind == inventory.Issue {
		cmd.Flags().BoolVar(&q.Kept, "kept", false, a.words.Say("cli.flag.kept"))
	}
	cmd.Flags().StringVar(&q.Job, "job", "", a.words.Say("cli.flag.job"))
	return cmd
}

func (a *app) moveCommand() *cobra.Command {
	q := shop.MoveRequest{Kind: inventory.Move}
	cmd := a.movingCommand("move PART PIECES --from BIN --to BIN [--lot LOT] [--reason TEXT] [--key KEY] [--found]", &q)
	cmd.Flags().StringVar(&q.Bin, "from", "", a.words.Say("cli.flag.from"))
	cmd.Flags().StringVar(&q.To, "to", "", a.words.Say("cli.flag.to"))
	cmd.Flags().BoolVar(&q.Found, "found", false, a.words.Say("cli.flag.found"))
	return cmd
}

func (a *app) movingCommand(use string, q *shop.MoveRequest) *cobra.Command {
	cmd := a.command(use, 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		n, err := pieces(args[1])
		if err != nil {
			return err
		}
		q.Part, q.Amount = args[0], n
		out, err := s.Move(ctx, *q)
		if err != nil {
			return err
		}
		a.show(&out, func() { a.posted(out) })
		return nil
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&q.Lot, "lot", "", a.words.Say("cli.flag.lot"))
	cmd.Flags().StringVar(&q.Reason, "reason", "", a.words.Say("cli.flag.reason"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) undoCommand() *cobra.Command {
	var key, reason string
	cmd := a.command("undo POSTING [--reason TEXT] [--key KEY]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Undo(ctx, args[0], key, reason)
		if err != nil {
			return err
		}
		a.show(&out, func() { a.posted(out) })
		return nil
	}))
	cmd.Flags().StringVar(&reason, "reason", "", a.words.Say("cli.flag.reason"))
	cmd.Flags().StringVar(&key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) posted(out shop.Posted) {
	a.how(out.How)
	if out.Repeated {
		a.say("cli.posted.repeated", out.Posting.Key)
	}
	if out.Found > 0 {
		a.say("cli.posted.found", out.Found, out.FoundSeq)
	}
	var g grid
	for _, m := range out.Movements {
		g.add("  "+strconv.FormatInt(m.Seq, 10), a.words.Say("posting."+out.Posting.Kind), signed(m.Amount),
			m.Maker+"/"+m.Number, a.words.Say("cli.receive.bin", m.Bin))
	}
	g.right = []int{0, 2}
	g.write(a.out)
	if out.Posting.Kind == inventory.Sale {
		a.line("  " + a.soldFor(out.Posting.Price, out.Currency))
	}
	for _, e := range out.Ended {
		fmt.Fprintln(a.out, "! "+a.words.Say("cli.posted.ended", a.amount(e.Amount, e.Unit), e.Job))
	}
	for _, m := range append(out.Remarks, out.Aged...) {
		fmt.Fprintln(a.out, "! "+a.words.Text(m))
	}
	if out.Complaint > 0 {
		a.say("cli.posted.complaint", out.Complaint)
	}
}

// soldFor says what a sale brought.
func (a *app) soldFor(price *int64, currency string) string {
	switch {
	case price == nil:
		return a.words.Say("cli.sold.unpriced")
	case *price == 0:
		return a.words.Say("cli.sold.free", words.Money{Currency: currency})
	}
	return a.words.Say("cli.sold.for", words.Money{Minor: *price, Currency: currency})
}

func signed(n int64) string { return fmt.Sprintf("%+d", n) }
