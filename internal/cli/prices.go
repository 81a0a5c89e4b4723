package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) pricesCommand() *cobra.Command {
	cmd := a.command("prices PART", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Prices(ctx, args[0])
		if err != nil {
			return err
		}
		a.show(&out, func() { a.prices(out) })
		return nil
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	return cmd
}

func (a *app) prices(out shop.Prices) {
	a.say("cli.prices.head", out.Maker+"/"+out.Number, a.words.Say("role."+string(out.Role)))
	for _, o := range out.Offers {
		a.say("cli.prices.offer", o.Supplier, o.SupplierNumber, a.price(o.PackPriceMinor, out.Currency), a.amount(o.Pack, out.Unit))
		for _, w := range o.Earlier {
			a.say("cli.prices.earlier", w.Until, a.price(&w.Minor, out.Currency), a.amount(w.Pack, out.Unit))
		}
	}
	if len(out.Paid) == 0 {
		a.say("cli.prices.never")
		return
	}
	a.say("cli.prices.paid")
	g := grid{right: []int{3, 4}}
	for _, p := range out.Paid {
		g.add("  "+p.Day, a.orUnknown(p.Supplier), p.Delivery, a.amount(p.Amount, out.Unit), a.price(p.Cost, out.Currency))
	}
	g.write(a.out)
}

// jumped warns of a price that is far from the one before.
func (a *app) jumped(j *shop.Jump, of string) {
	if j != nil {
		a.line("! ", of, a.words.Text(j.Why))
	}
}
