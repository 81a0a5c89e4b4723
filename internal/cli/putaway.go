package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) putAwayCommand() *cobra.Command {
	var q shop.PutRequest
	var move bool
	cmd := a.command("putaway DELIVERY | putaway DELIVERY --move [--key KEY] | putaway DELIVERY PART [--to BIN] [--home] [--key KEY]", 1, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			var out shop.PutAway
			if len(args) == 1 && !move && q.Bin == "" && !q.Home {
				out, err = s.PutAway(ctx, args[0])
			} else {
				q.Delivery = args[0]
				if len(args) == 2 {
					q.Part = args[1]
				}
				out, err = s.PutInPlace(ctx, q)
			}
			if err != nil {
				return err
			}
			a.show(&out, func() { a.putAway(out) })
			return nil
		}))
	cmd.Flags().BoolVar(&move, "move", false, a.words.Say("cli.flag.put_all"))
	cmd.Flags().StringVar(&q.Bin, "to", "", a.words.Say("cli.flag.put_to"))
	cmd.Flags().BoolVar(&q.Home, "home", false, a.words.Say("cli.flag.put_home"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) putAway(out shop.PutAway) {
	if out.Repeated {
		a.say("cli.putaway.repeated")
	}
	if out.Moved > 0 {
		a.say("cli.putaway.moved", out.Moved)
	}
	if len(out.Lines) == 0 {
		a.say("cli.putaway.none", out.Delivery)
	}
	var g grid
	for _, l := range out.Lines {
		to := a.words.Say("cli.receive.bin", l.Bin)
		if l.Job != "" {
			to = a.words.Say("cli.ledger.job", l.Job)
		}
		if l.Tray != "" {
			to += ", " + a.words.Say("cli.receive.bin", l.Tray)
		}
		note := ""
		switch {
		case l.InIntake > 0 && l.Home != "" && l.Job == "":
			note = a.words.Say("cli.putaway.home", l.Home)
		case l.InIntake > 0 && l.Job == "":
			note = a.words.Say("cli.putaway.homeless")
		}
		g.add(to, a.amount(l.Amount, l.Unit), l.Maker+"/"+l.Number, a.words.Say("role."+string(l.Role)), a.size(l.Sizes), note)
	}
	g.write(a.out)
}
